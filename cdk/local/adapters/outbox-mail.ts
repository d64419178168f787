import { createHash } from 'node:crypto'
import { readdir, readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { createTransport } from 'nodemailer'
import type { Outbox } from '../../../functions/web/deps.ts'
import type { Mail, OutgoingMail } from '../../../shared-lib/ports/mail.ts'
import { writeAtomically } from './atomic-file.ts'

interface OutboxSettings {
  folder: string
  /** Who the mails are from. */
  from: { name: string; address: string }
}

const ID = /^[a-f0-9]{32}$/

/** The file name of a mail: the same message id is the same file, so that a repeat changes nothing. */
const idOf = (messageId: string): string => createHash('sha256').update(messageId).digest('hex').slice(0, 32)

/**
 * Mail on one machine: one `.eml` file a message, made by nodemailer as it would leave the house; beside it a small `.json` with
 * what the outbox lists. The `.eml` is written first, so a listed mail can be read.
 */
export function outboxMail({ folder, from }: OutboxSettings): Mail & Outbox {
  const transport = createTransport({ streamTransport: true, buffer: true, newline: 'windows' })

  async function compose(mail: OutgoingMail): Promise<Buffer> {
    const sent = await transport.sendMail({
      from,
      // As one address, never as a list: a comma in the register adds nobody.
      to: { name: '', address: mail.to },
      subject: mail.subject,
      text: mail.text,
      html: mail.html,
      messageId: mail.messageId,
      date: new Date(mail.atMs),
      ...(mail.inReplyTo === undefined ? {} : { inReplyTo: mail.inReplyTo, references: [mail.inReplyTo] }),
      disableFileAccess: true,
      disableUrlAccess: true,
    })
    return sent.message as Buffer
  }

  return {
    async send(mail) {
      const id = idOf(mail.messageId)
      await writeAtomically(join(folder, `${id}.eml`), [await compose(mail)])
      const listed = { id, to: mail.to, subject: mail.subject, sentAtMs: mail.atMs }
      await writeAtomically(join(folder, `${id}.json`), [Buffer.from(JSON.stringify(listed))])
    },

    async list() {
      const names = await readdir(folder).catch(absentIsEmpty)
      const entries = await Promise.all(
        names
          .filter((name) => name.endsWith('.json') && ID.test(name.slice(0, -5)))
          .map(async (name) => JSON.parse(await readFile(join(folder, name), 'utf8'))),
      )
      return (entries as Awaited<ReturnType<Outbox['list']>>).sort(
        (a, b) => b.sentAtMs - a.sentAtMs || (a.id < b.id ? -1 : 1),
      )
    },

    async read(id) {
      if (!ID.test(id)) return null
      return readFile(join(folder, `${id}.eml`), 'utf8').catch((error) => {
        if (error.code === 'ENOENT') return null
        throw error
      })
    },
  }
}

function absentIsEmpty(error: NodeJS.ErrnoException): string[] {
  if (error.code === 'ENOENT') return []
  throw error
}
