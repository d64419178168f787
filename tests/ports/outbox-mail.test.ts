import { mkdtempSync, readdirSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { simpleParser } from 'mailparser'
import { describe, expect, it, onTestFinished } from 'vitest'
import { outboxMail } from '../../cdk/local/adapters/outbox-mail.ts'
import type { OutgoingMail } from '../../shared-lib/ports/mail.ts'

function prepared() {
  const folder = join(mkdtempSync(join(tmpdir(), 'stakeline-mail-')), 'outbox')
  onTestFinished(() => rmSync(join(folder, '..'), { recursive: true, force: true }))
  return {
    folder,
    outbox: outboxMail({ folder, from: { name: 'stakeline', address: 'stakeline@example.org' } }),
  }
}
const mail = (over: Partial<OutgoingMail> = {}): OutgoingMail => ({
  messageId: '<one@example.org>',
  to: 'engineer@example.org',
  subject: 'E-7 at Hügel 3: 31.4 Ω is over its limit',
  text: 'Résistance 31.4 Ω.\nTest again.',
  html: '<p>Résistance 31.4 Ω.</p>',
  atMs: Date.UTC(2026, 4, 4, 10, 20),
  ...over,
})

describe('the outbox', () => {
  it('keeps a mail as a mail program reads it', async () => {
    const { outbox } = prepared()
    await outbox.send(mail({ inReplyTo: '<zero@example.org>' }))
    const [listed] = await outbox.list()
    expect(listed).toMatchObject({
      to: 'engineer@example.org',
      subject: mail().subject,
      sentAtMs: mail().atMs,
    })
    const read = await simpleParser((await outbox.read(listed!.id))!)
    expect(read).toMatchObject({
      messageId: '<one@example.org>',
      inReplyTo: '<zero@example.org>',
      subject: mail().subject,
      date: new Date(mail().atMs),
    })
    expect(read.text?.trim()).toBe(mail().text)
    expect(read.html).toContain('31.4 Ω')
    expect(read.from?.value).toEqual([{ name: 'stakeline', address: 'stakeline@example.org' }])
  })

  it('has one file for a message sent twice', async () => {
    const { outbox, folder } = prepared()
    await outbox.send(mail())
    await outbox.send(mail({ text: 'sent again after a crash' }))
    expect(await outbox.list()).toHaveLength(1)
    expect(readdirSync(folder).filter((f) => f.endsWith('.eml'))).toHaveLength(1)
  })

  it('lists the newest first, and nothing when nothing was sent', async () => {
    const { outbox } = prepared()
    expect(await outbox.list()).toEqual([])
    for (const n of [2, 1, 3])
      await outbox.send(mail({ messageId: `<${n}@example.org>`, subject: `${n}`, atMs: n }))
    expect((await outbox.list()).map((m) => m.subject)).toEqual(['3', '2', '1'])
  })

  it('reads nothing but its own mails', async () => {
    const { outbox } = prepared()
    await outbox.send(mail())
    for (const id of ['', '../secret', 'f'.repeat(32), '/etc/passwd', 'x'])
      expect(await outbox.read(id)).toBeNull()
  })

  it.each([
    ['a line break in the address', mail({ to: 'a@example.org\r\nBcc: b@example.org' })],
    ['a second address', mail({ to: 'a@example.org, b@example.org' })],
    ['a line break in the subject', mail({ subject: 'x\r\nBcc: b@example.org' })],
    ['a line break in the message id', mail({ messageId: '<x@example.org>\r\nBcc: b@example.org' })],
  ])('lets %s add no recipient and no header', async (_what, evil) => {
    const { outbox } = prepared()
    await outbox.send(evil)
    const [listed] = await outbox.list()
    const read = await simpleParser((await outbox.read(listed!.id))!)
    expect(read.bcc).toBeUndefined()
    const to = [read.to ?? []].flat().flatMap((t) => t.value)
    expect(to.length).toBeLessThanOrEqual(1)
    expect(to[0]?.address).not.toBe('b@example.org')
  })
})
