import type { OutgoingMessage } from '../ports/queue.ts'

/** News about one electrode, for the compare queue: one group an electrode, so that it is judged by one hand at a time. */
export interface CompareMessage {
  electrodeId: string
  stamp: string
}

export function compareMessage(electrodeId: string, stamp: string): OutgoingMessage {
  const body: CompareMessage = { electrodeId, stamp }
  return { body: { ...body }, groupId: electrodeId, deduplicationId: `${electrodeId}#${stamp}` }
}
