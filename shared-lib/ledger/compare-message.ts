import type { OutgoingMessage, Queue } from '../ports/queue.ts'
import { sha256Hex } from '../survey/sha256.ts'
import type { Ledger } from './ledger.ts'

/** News about one electrode, for the compare queue. */
export interface CompareMessage {
  electrodeId: string
  stamp: string
}

/** A text that any queue takes as a group or deduplication id (SQS: at most 128 plain characters). */
const plain = (text: string) => sha256Hex(text).slice(0, 40)

function compareMessage(siteId: string, { electrodeId, stamp }: CompareMessage): OutgoingMessage {
  return {
    body: { electrodeId, stamp },
    groupId: plain(siteId),
    deduplicationId: plain(`${electrodeId}\n${stamp}`),
  }
}

/**
 * One message for each marked electrode. The message group is its site: a site's electrodes share soil and season and are judged
 * together, so one hand at a time works on a site. An electrode that is not registered (yet) is a group by itself.
 */
export async function sendCompare(
  ledger: Pick<Ledger, 'getElectrodes'>,
  compareQueue: Queue,
  marks: readonly CompareMessage[],
): Promise<void> {
  if (marks.length === 0) return
  const known = await ledger.getElectrodes(marks.map((m) => m.electrodeId))
  await compareQueue.send(
    marks.map((m) => compareMessage(known.get(m.electrodeId)?.electrode.siteId ?? `? ${m.electrodeId}`, m)),
  )
}
