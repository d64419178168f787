import { mkdtemp, readFile, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import fc from 'fast-check'
import { simpleParser } from 'mailparser'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { outboxMail } from '../../cdk/local/adapters/outbox-mail.ts'
import { readElectrodes } from '../../shared-lib/survey/read-register.ts'
import { fuzz } from './fuzz.ts'
import { nastyText } from './nasty.ts'

let folder: string
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'stakeline-mail-'))
})
afterAll(() => rm(folder, { recursive: true, force: true }))

const piece = fc.constantFrom(
  'ana',
  'bo',
  '@',
  'example.org',
  ',',
  ';',
  ' ',
  '<',
  '>',
  '"',
  '(',
  ')',
  ':',
  '\r\n',
  'Bcc: ',
  '\u202e',
  'ü',
  '.',
  '..',
  '%0a',
)
const address = fc.oneof(
  fc.array(piece, { maxLength: 8 }).map((p) => p.join('')),
  nastyText,
  fc.emailAddress(),
)

describe('an address in the register', () => {
  it('is refused, or leads to a mail with that one recipient and no header that came with it', async () => {
    let sent = 0
    await fuzz(
      'mail-address',
      fc.record({ to: address, subject: nastyText }),
      async ({ to, subject }) => {
        const cell = `"${to.replaceAll('"', '""')}"`
        const { items } = await readElectrodes(
          `electrode_id,site_id,kind,responsible_email\nE-1,North,rod,${cell}\n`,
        )
        const taken = items[0]?.responsibleEmail
        if (taken === undefined) return
        sent++
        const outbox = outboxMail({ folder, from: { name: 'stakeline', address: 'stakeline@example.org' } })
        const mail = { messageId: 'm@example.org', to: taken, subject, text: 'x', html: 'x', atMs: 0 }
        await outbox.send(mail)
        const [listed] = await outbox.list()
        const raw = await readFile(join(folder, `${listed!.id}.eml`))
        const parsed = await simpleParser(raw)
        expect([parsed.cc, parsed.bcc]).toEqual([undefined, undefined])
        const to_ = Array.isArray(parsed.to) ? parsed.to : [parsed.to]
        expect(to_.flatMap((t) => t?.value ?? []).length).toBeLessThanOrEqual(1)
        // The headers are those that mail of ours has, whatever the subject holds.
        const names = [...parsed.headers.keys()]
        for (const name of names)
          expect(['from', 'to', 'subject', 'message-id', 'date', 'mime-version', 'content-type']).toContain(
            name,
          )
      },
      0.2,
    )
    expect(sent).toBeGreaterThan(0)
  }, 3_600_000)
})
