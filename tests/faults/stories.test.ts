import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest'
import { type House, openHouse } from './house.ts'
import { asCsv, asForm, asJson, makeScenario, perform } from './scenario.ts'
import { settle } from './settle.ts'
import { type Disturbance, undisturbed } from './steps.ts'
import { makeWorlds, type World, type Worlds } from './world.ts'

/** What went wrong elsewhere, played here: README.md of this folder says which story is shown by which test. */

let worlds: Worlds
let world: World
let house: House
const scenario = makeScenario(3, 3)
const [survey] = scenario.surveys
const json = { 'content-type': 'application/json' }

beforeAll(async () => {
  // What fails on purpose is written down by the app; here it only hides what matters.
  vi.spyOn(console, 'error').mockImplementation(() => {})
  worlds = await makeWorlds()
})
afterAll(() => worlds.close())
afterEach(async () => {
  house.close()
  await world.close()
})
beforeEach(async () => {
  world = await worlds.open()
  house = openHouse(world)
  await perform(house, { kind: 'register', csv: scenario.registerCsv })
})

const post = (body: object, at: House = house) =>
  at.ask('field', '/api/surveys', { method: 'POST', headers: json, body: JSON.stringify(body) })
const surveysOf = async (electrodeId: string) =>
  (await house.ledger.readElectrodeFile(electrodeId))!.surveys.map((s) => s.survey.surveyRef)

describe('a phone that sends again because no answer came', () => {
  it('leaves one survey and gets the same receipt, however often and at the same time it sends', async () => {
    const answers = await Promise.all(Array.from({ length: 12 }, () => post(asJson(survey!))))
    const bodies = (await Promise.all(answers.map((a) => a.json()))) as { id: string; receipt: object }[]
    expect(answers.map((a) => a.status).sort()).toEqual([...Array(11).fill(200), 201])
    expect(new Set(bodies.map((b) => JSON.stringify(b.receipt))).size).toBe(1)
    expect(await surveysOf(survey!.electrodeId)).toEqual([survey!.surveyRef])
  })

  it('gets its receipt the second time when the first answer was lost after the survey was stored', async () => {
    const by: Disturbance = {
      ...undisturbed,
      async after({ action }) {
        if (action === 'putSurvey Put') throw Object.assign(new Error('gone'), { name: 'TimeoutError' })
      },
    }
    const shaky = openHouse(world, by, 1)
    expect((await post(asJson(survey!), shaky)).status).toBe(500)
    const again = await post(asJson(survey!))
    expect(again.status).toBe(200)
    expect(await again.json()).toMatchObject({ receipt: { surveyRef: survey!.surveyRef } })
    expect(await surveysOf(survey!.electrodeId)).toEqual([survey!.surveyRef])
    shaky.close()
  })

  it('that sends the same survey by form, by API and in a file leaves one survey', async () => {
    await Promise.all([
      perform(house, { kind: 'json', survey: survey! }),
      perform(house, { kind: 'form', survey: survey! }),
      perform(house, { kind: 'upload', surveys: [survey!, survey!] }),
    ])
    await settle(house, house)
    expect(await surveysOf(survey!.electrodeId)).toEqual([survey!.surveyRef])
  })
})

describe('a survey without a reference', () => {
  it('is refused by the API, the form and the file, and never given one by the server', async () => {
    const { surveyRef: _, ...nameless } = asJson(survey!)
    expect((await post(nameless)).status).toBe(422)
    const body = new URLSearchParams({ ...asForm(survey!), surveyRef: '' })
    expect((await house.ask('field', '/surveys/new', { as: 'session', method: 'POST', body })).status).toBe(
      422,
    )
    const csv = asCsv([{ ...survey!, surveyRef: '' }])
    const headers = { 'content-type': 'text/csv' }
    const sent = await house.ask('field', '/api/uploads', { method: 'POST', headers, body: csv })
    const { id } = (await sent.json()) as { id: string }
    await settle(house, house)
    expect(await house.ledger.getUpload(id)).toMatchObject({ surveysAccepted: 0, rowsRefused: 1 })
    expect(await surveysOf(survey!.electrodeId)).toEqual([])
  })
})

describe('a survey that was edited after it was sent', () => {
  const edited = { ...asJson(survey!), readings: asJson(survey!).readings.slice(0, 2) }

  it('under the same reference is a conflict that names what is kept; the first stays as it is', async () => {
    await post(asJson(survey!))
    const answer = await post(edited)
    expect(answer.status).toBe(409)
    expect(JSON.stringify(await answer.json())).toContain(survey!.surveyRef)
    const stored = await house.ledger.getSurvey(
      { kind: 'electrode', id: survey!.electrodeId },
      survey!.surveyRef,
    )
    expect(stored!.survey.readings).toHaveLength(3)
  })

  it('under a new reference that names the old one is taken, and both are kept', async () => {
    await post(asJson(survey!))
    const answer = await post({ ...edited, surveyRef: 'NEW', corrects: survey!.surveyRef })
    expect(answer.status).toBe(201)
    expect(await surveysOf(survey!.electrodeId)).toEqual([survey!.surveyRef, 'NEW'])
  })

  it('in a file is told by row, and its raw file is kept as it came', async () => {
    await post(asJson(survey!))
    const csv = asCsv([{ ...survey!, ohms: [1, 2, 3] }])
    const headers = { 'content-type': 'text/csv' }
    const sent = await house.ask('field', '/api/uploads', { method: 'POST', headers, body: csv })
    const { id } = (await sent.json()) as { id: string }
    await settle(house, house)
    const { items } = await house.ledger.listRefused(id, { limit: 10 })
    expect(items).toMatchObject([{ row: 2, code: 'survey-conflict', surveyRef: survey!.surveyRef }])
    const parts: Uint8Array[] = []
    for await (const part of world.archive.open((await house.ledger.getUpload(id))!.archiveKey))
      parts.push(part)
    expect(Buffer.concat(parts).toString()).toBe(csv)
  })
})

describe('a survey that somebody set aside', () => {
  it('is never removed: sent again it is answered as received before', async () => {
    await perform(house, { kind: 'upload', surveys: scenario.surveys })
    await settle(house, house)
    const [decision] = scenario.decisions
    await perform(house, { kind: 'decision', decision: { ...decision!, action: 'set-aside' } })
    await settle(house, house)
    const aside = scenario.surveys.find((s) => s.surveyRef === 'T-00-2')!
    expect((await post(asJson(aside))).status).toBe(200)
    expect(await surveysOf('T-00')).toContain('T-00-2')
  })
})

describe('work whose message was lost while the queue was down', () => {
  it('is found by the sweep without anybody starting anything again', async () => {
    let down = true
    const by: Disturbance = {
      ...undisturbed,
      async before({ port }) {
        if (down && port === 'queue') throw Object.assign(new Error('no room'), { code: 'ENOSPC' })
      },
    }
    const shaky = openHouse(world, by)
    expect((await post(asJson(survey!), shaky)).status).toBe(500)
    const recent = await house.ledger.recentSurveys('2000-01-01T00:00:00Z', '2100-01-01T00:00:00Z')
    expect(recent.map((r) => r.electrodeId)).toEqual([survey!.electrodeId])
    expect(await house.ledger.compared(recent)).toEqual([false])
    down = false
    world.clock.advance(180_000)
    await settle(shaky, house)
    expect((await house.ledger.readElectrodeFile(survey!.electrodeId))!.assessment).not.toBeNull()
    shaky.close()
  })
})

describe('news for an engineer', () => {
  it('is told once, and not again after a decision, a repeat of everything and a restart', async () => {
    await perform(house, { kind: 'upload', surveys: scenario.surveys })
    await settle(house, house)
    const told = world.mailed.length
    expect(told).toBeGreaterThan(0)
    await perform(house, { kind: 'decision', decision: scenario.decisions[0]! })
    await perform(house, { kind: 'upload', surveys: scenario.surveys })
    await house.sweep(0)
    await settle(house, house)
    expect(world.mailed).toHaveLength(told)
  })

  it('that was decided while the mail waited is not told', async () => {
    await perform(house, { kind: 'upload', surveys: scenario.surveys })
    for (const name of ['intake', 'compare'] as const) {
      const batch = house.queues[name].receive({ max: 10, visibilityMs: 1, maxReceives: 5 })!
      await house.handlers[name]({
        Records: batch.messages.map((m) => ({
          messageId: m.id,
          body: m.body,
          attributes: { ApproximateReceiveCount: '1' },
        })),
      })
    }
    const { items } = await house.ledger.listFindings({ state: 'open', electrodeId: 'T-00' })
    for (const { id } of items)
      await perform(house, {
        kind: 'decision',
        decision: { findingId: id, action: 'confirm', reason: 'seen by hand' },
      })
    await settle(house, house)
    expect(items.length).toBeGreaterThan(0)
    expect(world.mailed.filter((m) => m.text.includes('T-00'))).toEqual([])
  })
})
