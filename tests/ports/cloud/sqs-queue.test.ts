import { SQSClient } from '@aws-sdk/client-sqs'
import { afterEach, describe, expect, it } from 'vitest'
import { sqsQueue } from '../../../shared-lib/ports/cloud/sqs-queue.ts'
import { correlated } from '../../../shared-lib/ports/correlation.ts'
import { awsDouble } from './aws-double.ts'

interface Entry {
  Id: string
  MessageBody: string
  MessageGroupId?: string
  MessageDeduplicationId?: string
  DelaySeconds?: number
  MessageAttributes?: Record<string, { StringValue: string }>
}
type Refusal = { Id: string; SenderFault: boolean; Code: string }

let double: Awaited<ReturnType<typeof awsDouble>>
afterEach(() => double.close())

/** A queue that refuses what `refused` says of the nth batch. */
async function queueThat(refused: (entries: Entry[], nth: number) => Refusal[] = () => []) {
  double = await awsDouble(({ body }, nth) => {
    const { Entries } = JSON.parse(body) as { Entries: Entry[] }
    return { json: { Successful: [], Failed: refused(Entries, nth) } }
  })
  return sqsQueue(
    `${double.settings.endpoint}/1/compare.fifo`,
    new SQSClient({ ...double.settings, md5: false }),
  )
}
const batches = () => double.asked.map(({ body }) => (JSON.parse(body) as { Entries: Entry[] }).Entries)
const numbered = (count: number, text = '') =>
  Array.from({ length: count }, (_, n) => ({ body: { n, text } }))
const numbers = (entries: Entry[]) => entries.map((e) => (JSON.parse(e.MessageBody) as { n: number }).n)

describe('an SQS queue', () => {
  it('gets messages in order, ten at a time', async () => {
    await (await queueThat()).send(numbered(23))
    expect(batches().map((b) => b.length)).toEqual([10, 10, 3])
    expect(batches().flatMap(numbers)).toEqual(Array.from({ length: 23 }, (_, n) => n))
  })

  it('gets no batch of more than 256 KB', async () => {
    await (await queueThat()).send(numbered(5, 'x'.repeat(100_000)))
    expect(batches().map((b) => b.length)).toEqual([2, 2, 1])
  })

  it('is not asked for nothing', async () => {
    await (await queueThat()).send([])
    expect(double.asked).toEqual([])
  })

  it('gets group, deduplication id, delay and the correlation id of the work under way', async () => {
    const queue = await queueThat()
    const message = { body: {}, groupId: 'g', deduplicationId: 'd', delayS: 7 }
    await correlated('c-1', () => queue.send([message]))
    expect(batches()[0]![0]).toMatchObject({
      ...{ MessageGroupId: 'g', MessageDeduplicationId: 'd', DelaySeconds: 7 },
      MessageAttributes: { correlationId: { StringValue: 'c-1' } },
    })
  })

  it('gets again only what it could not take for the moment', async () => {
    const busy = { SenderFault: false, Code: 'InternalError' }
    const queue = await queueThat((entries, nth) =>
      nth === 0 ? entries.slice(1, 3).map(({ Id }) => ({ Id, ...busy })) : [],
    )
    await queue.send(numbered(4))
    expect(batches().map(numbers)).toEqual([
      [0, 1, 2, 3],
      [1, 2],
    ])
  })

  it('throws at once for what it refuses for good', async () => {
    const queue = await queueThat(([first]) => [{ Id: first!.Id, SenderFault: true, Code: 'InvalidMessage' }])
    await expect(queue.send(numbered(1))).rejects.toThrow('SQS refuses a message: InvalidMessage.')
    expect(double.asked).toHaveLength(1)
  })
})
