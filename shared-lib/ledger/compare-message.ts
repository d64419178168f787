import type { OutgoingMessage, Queue } from '../ports/queue.ts'
import { sha256Hex } from '../survey/sha256.ts'

/** News about a site, for the compare queue: a survey handed in singly, or marks to look for. */
export interface CompareMessage {
  /** '' while the electrode is not in the register. */
  siteId: string
  electrodeId?: string
  surveyRef?: string
  stamp: string
}

/** A text that any queue takes as a group or deduplication id (SQS: at most 128 plain characters). */
const plain = (text: string) => sha256Hex(text).slice(0, 40)

/**
 * The message group is the site: a site's electrodes share soil and season and are judged together, so one hand at a time works on
 * a site. What is said twice with the same stamp is sent once.
 */
export async function sendCompare(compareQueue: Queue, news: readonly CompareMessage[]): Promise<void> {
  const messages = news.map((message): OutgoingMessage => {
    const { siteId, electrodeId = '', surveyRef = '', stamp } = message
    return {
      body: { ...message },
      groupId: plain(`site ${siteId}`),
      deduplicationId: plain([siteId, electrodeId, surveyRef, stamp].join('\n')),
    }
  })
  if (messages.length > 0) await compareQueue.send(messages)
}

/** One message for each site that has marks. */
export async function sendCompareOfMarks(
  compareQueue: Queue,
  marks: readonly { siteId: string; stamp: string }[],
): Promise<void> {
  const bySite = new Map(marks.map((m) => [m.siteId, m]))
  await sendCompare(
    compareQueue,
    [...bySite.values()].map(({ siteId, stamp }) => ({ siteId, stamp })),
  )
}
