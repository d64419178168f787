import { describe, expect, it } from 'vitest'
import { handleBatch } from '../../shared-lib/ports/handle-batch.ts'
import type { QueueEvent } from '../../shared-lib/ports/queue.ts'

const quiet = () => {}
const event = (...records: [id: string, body: string, group?: string][]): QueueEvent => ({
  Records: records.map(([messageId, body, group]) => ({
    messageId,
    body,
    attributes: { ApproximateReceiveCount: '1', ...(group ? { MessageGroupId: group } : {}) },
  })),
})
const failIfBad = async (body: unknown) => {
  if ((body as { bad?: boolean }).bad) throw new Error('bad')
}

describe('a batch of messages', () => {
  it('returns only the ones that failed when there are no groups', async () => {
    const answer = await handleBatch(event(['1', '{}'], ['2', '{"bad":true}'], ['3', '{}']), failIfBad, quiet)
    expect(answer.batchItemFailures).toEqual([{ itemIdentifier: '2' }])
  })

  it('stops a group at its first failure and lets other groups go on', async () => {
    const handled: string[] = []
    const answer = await handleBatch(
      event(['1', '{}', 'A'], ['2', '{"bad":true}', 'A'], ['3', '{}', 'B'], ['4', '{}', 'A']),
      async (body, record) => {
        await failIfBad(body)
        handled.push(record.messageId)
      },
      quiet,
    )
    expect(answer.batchItemFailures).toEqual([{ itemIdentifier: '2' }, { itemIdentifier: '4' }])
    expect(handled).toEqual(['1', '3'])
  })

  it('returns a body that is not JSON, so that it ends where a person sees it', async () => {
    const answer = await handleBatch(event(['1', 'not json']), failIfBad, quiet)
    expect(answer.batchItemFailures).toEqual([{ itemIdentifier: '1' }])
  })
})
