import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { openHouse } from '../faults/house.ts'
import { makeScenario, perform } from '../faults/scenario.ts'
import { settle } from '../faults/settle.ts'
import { makeWorlds, type Worlds } from '../faults/world.ts'

let worlds: Worlds
beforeAll(async () => {
  worlds = await makeWorlds()
})
afterAll(() => worlds.close())

describe('the links of a mail', () => {
  it('carry no token, open nothing without signing in, and change nothing when a scanner follows them', async () => {
    const world = await worlds.open()
    const house = openHouse(world)
    const scenario = makeScenario(3, 3)
    await perform(house, { kind: 'register', csv: scenario.registerCsv })
    await perform(house, { kind: 'upload', surveys: scenario.surveys })
    await settle(house, house)
    const before = await world.kept()
    const texts = world.mailed.flatMap((m) => [m.text, m.html])
    const links = [...new Set(texts.flatMap((t) => t.match(/https?:\/\/[^\s"'<>]+/g) ?? []))]
    expect(links.length).toBeGreaterThan(0)
    for (const link of links) {
      const { origin, pathname, search } = new URL(link)
      expect(origin).toBe('http://127.0.0.1:4700')
      expect(link).not.toMatch(/token|session|bearer/i)
      for (const method of ['GET', 'HEAD']) {
        const nobody = await house.ask('nobody' as never, pathname + search, {
          method,
          headers: { Accept: 'text/html' },
          as: 'none',
        })
        expect(nobody.status).toBe(303)
        expect(nobody.headers.get('location')).toMatch(/^\/sign-in\?back=/)
        const opened = await house.ask('engineer', pathname + search, { method, as: 'session' })
        expect(opened.status).toBe(200)
      }
    }
    expect(await world.kept()).toEqual(before)
    expect((await house.ledger.listMarks()).length).toBe(0)
    house.close()
    await world.close()
  })

  it('and subjects and addresses keep to their line, whatever the register and the survey bring', async () => {
    const { simpleParser } = await import('mailparser')
    const { createTransport } = await import('nodemailer')
    const world = await worlds.open()
    const house = openHouse(world)
    const id = 'E\\r\\nBcc: spy@example.org'
    const nasty = 'E Bcc: spy@example.org\u202e'
    const csv = `electrode_id,site_id,kind,limit_ohm,responsible_email\n"${nasty}","S, <a@example.org>",rod,25,"ana@example.org, spy@example.org"\n${id},S,rod,25,ana@example.org\n`
    const sent = await house.ask('admin', '/api/register', {
      method: 'POST',
      headers: { 'content-type': 'text/csv' },
      body: csv,
    })
    expect(sent.status).toBeLessThan(500)
    const [survey] = makeScenario(1, 1).surveys
    for (const electrodeId of [nasty, id])
      await perform(house, { kind: 'json', survey: { ...survey!, electrodeId, ohms: [60, 61, 62] } })
    await settle(house, house)
    const transport = createTransport({ streamTransport: true, buffer: true })
    for (const mail of world.mailed) {
      const { message } = await transport.sendMail({
        from: 'stakeline@example.org',
        to: { name: '', address: mail.to },
        subject: mail.subject,
        text: mail.text,
      })
      const parsed = await simpleParser(message as Buffer)
      expect(parsed.bcc).toBeUndefined()
      expect(parsed.cc).toBeUndefined()
      const to = Array.isArray(parsed.to) ? parsed.to : [parsed.to]
      expect(to.flatMap((t) => t?.value ?? [])).toHaveLength(1)
    }
    expect(world.mailed.length).toBeGreaterThan(0)
    house.close()
    await world.close()
  })
})
