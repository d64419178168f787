import { DynamoDBClient } from '@aws-sdk/client-dynamodb'
import type { DynamoDBDocumentClient } from '@aws-sdk/lib-dynamodb'
import { documentClient } from '../../shared-lib/ledger/document-client.ts'
import type { Archive } from '../../shared-lib/ports/archive.ts'
import type { Mail } from '../../shared-lib/ports/mail.ts'
import type { Queue } from '../../shared-lib/ports/queue.ts'
import { type Disturbance, type Step, stepNow } from './steps.ts'

async function disturbed<T>(step: Step, by: Disturbance, act: () => Promise<T>): Promise<T> {
  await by.before(step)
  const result = await act()
  await by.after(step)
  return result
}

type Batch = Record<string, unknown[] | { Keys?: unknown[] }>

/** Splits a batch request: what the table takes now, and what it gives back. */
function split(items: Batch, step: Step, by: Disturbance): { now: Batch; later: Batch } {
  const [[table, asked]] = Object.entries(items) as [[string, unknown[] | { Keys?: unknown[] }]]
  const list = Array.isArray(asked) ? asked : (asked.Keys ?? [])
  const count = Math.max(1, by.taken(step, list.length))
  const with_ = (part: unknown[]) => (Array.isArray(asked) ? part : { ...asked, Keys: part })
  return {
    now: { [table]: with_(list.slice(0, count)) },
    later: count >= list.length ? {} : { [table]: with_(list.slice(count)) },
  }
}

/** As many tries as the service's own client has, without the waits between them. */
const patient = (attempts: number) => {
  const token = (count: number) => ({ getRetryCount: () => count, getRetryDelay: () => 0 })
  return {
    mode: 'standard',
    acquireInitialRetryToken: async () => token(0),
    async refreshRetryTokenForRetry(last: { getRetryCount(): number }, info: { errorType: string }) {
      const next = last.getRetryCount() + 1
      if (next >= attempts || info.errorType === 'CLIENT_ERROR') throw new Error('no tries left')
      return token(next)
    },
    recordSuccess: () => {},
  }
}

/** The real SDK client for `endpoint`, disturbed below its retries (so that it retries as it would) and in its batches. */
export function disturbedClient(
  endpoint: string,
  by: Disturbance,
  attempts = 3,
): { client: DynamoDBDocumentClient; destroy(): void } {
  const dynamo = new DynamoDBClient({
    endpoint,
    region: 'local',
    credentials: { accessKeyId: 'local', secretAccessKey: 'local' },
    retryStrategy: patient(attempts) as never,
  })
  const action = (context: { commandName?: string }) =>
    String(context.commandName).replace(/(Item)?Command$/, '')
  dynamo.middlewareStack.add(
    (next, context) => (args) => disturbed(stepNow('table', action(context)), by, () => next(args)),
    { step: 'finalizeRequest', priority: 'low', name: 'disturbed' },
  )
  const client = documentClient(dynamo)
  client.middlewareStack.add(
    (next, context) => async (args) => {
      const input = args.input as { RequestItems?: Batch }
      if (!input.RequestItems) return next(args)
      const { now, later } = split(input.RequestItems, stepNow('table', action(context)), by)
      const answer = await next({ ...args, input: { ...input, RequestItems: now } as never })
      const left = 'BatchGet' === action(context) ? 'UnprocessedKeys' : 'UnprocessedItems'
      const output = answer.output as Record<string, object | undefined>
      if (Object.keys(later).length > 0) output[left] = { ...output[left], ...later }
      return answer
    },
    { step: 'initialize', priority: 'high', name: 'partialBatches' },
  )
  return { client, destroy: () => dynamo.destroy() }
}

export const disturbedQueue = (queue: Queue, name: string, by: Disturbance): Queue => ({
  send: (messages) => disturbed(stepNow('queue', `send to ${name}`), by, () => queue.send(messages)),
})

export const disturbedMail = (mail: Mail, by: Disturbance): Mail => ({
  send: (message) => disturbed(stepNow('mail', 'send'), by, () => mail.send(message)),
})

export const disturbedArchive = (archive: Archive, by: Disturbance): Archive => ({
  put: (key, bytes) => disturbed(stepNow('archive', 'put'), by, () => archive.put(key, bytes)),
  async *open(key) {
    await by.before(stepNow('archive', 'open'))
    yield* archive.open(key)
  },
})
