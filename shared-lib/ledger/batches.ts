import { setTimeout as sleep } from 'node:timers/promises'
import { BatchGetCommand, BatchWriteCommand, type DynamoDBDocumentClient } from '@aws-sdk/lib-dynamodb'
import type { ItemKey } from './keys.ts'
import { LedgerError } from './ledger-error.ts'
import { chunksOf, inParallel } from './parallel.ts'
import { keyText, knownRow, type Row } from './rows.ts'
import { storableItem, tooLarge } from './storable.ts'

/** DynamoDB's limits on one batch. */
const WRITES_PER_BATCH = 25
const READS_PER_BATCH = 100
const BATCHES_AT_ONCE = 4
const ATTEMPTS = 8

/** Waits before attempt `n` (1, 2, …): anything up to 25 ms doubled each time, at most 2 s, so that many do not come back at once. */
const backOff = (n: number) => sleep(Math.random() * Math.min(2000, 25 * 2 ** n))

const overloaded = (what: string, left: number) =>
  new LedgerError('overloaded', `The table did not take ${left} ${what} after ${ATTEMPTS} attempts.`, {
    left,
  })

/** Puts and deletes, by batch, until the table has taken all. The same key twice: the last put wins, and a put wins over a delete. */
export async function writeMany(
  client: DynamoDBDocumentClient,
  tableName: string,
  puts: readonly Row[],
  deletes: readonly ItemKey[] = [],
): Promise<void> {
  const requests = new Map<string, Record<string, unknown>>()
  for (const { pk, sk } of deletes) requests.set(keyText({ pk, sk }), { DeleteRequest: { Key: { pk, sk } } })
  for (const put of puts) requests.set(keyText(put), { PutRequest: { Item: storableItem(put) } })
  await inParallel(chunksOf([...requests.values()], WRITES_PER_BATCH), BATCHES_AT_ONCE, async (chunk) => {
    let left = chunk
    for (let attempt = 0; left.length > 0; attempt++) {
      if (attempt === ATTEMPTS) throw overloaded('writes', left.length)
      if (attempt > 0) await backOff(attempt)
      const answer = await client
        .send(new BatchWriteCommand({ RequestItems: { [tableName]: left } }))
        .catch((error) => {
          throw isSizeError(error) ? tooLarge({}, undefined, error) : error
        })
      left = answer.UnprocessedItems?.[tableName] ?? []
    }
  })
}

/** Reads many items by key; keys without an item are absent from the map (by `keyText`). */
export async function getMany(
  client: DynamoDBDocumentClient,
  tableName: string,
  keys: readonly ItemKey[],
  options: { strong: boolean },
): Promise<Map<string, Row>> {
  const wanted = new Map(keys.map(({ pk, sk }) => [keyText({ pk, sk }), { pk, sk }]))
  const found = new Map<string, Row>()
  await inParallel(chunksOf([...wanted.values()], READS_PER_BATCH), BATCHES_AT_ONCE, async (chunk) => {
    let left: Record<string, unknown>[] = chunk
    for (let attempt = 0; left.length > 0; attempt++) {
      if (attempt === ATTEMPTS) throw overloaded('reads', left.length)
      const answer = await client.send(
        new BatchGetCommand({
          RequestItems: { [tableName]: { Keys: left, ConsistentRead: options.strong } },
        }),
      )
      const items = answer.Responses?.[tableName] ?? []
      for (const item of items) {
        const known = knownRow(item)
        found.set(keyText(known), known)
      }
      left = answer.UnprocessedKeys?.[tableName]?.Keys ?? []
      // Large answers come in parts without any overload: only an answer without progress is waited for.
      if (items.length > 0) attempt = 0
      else if (left.length > 0) await backOff(attempt + 1)
    }
  })
  return found
}

/** The table's own word that an item is too large: the second net under `storableItem`. */
export const isSizeError = (error: unknown): boolean =>
  error instanceof Error && error.name === 'ValidationException' && /item size/i.test(error.message)
