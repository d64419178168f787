import {
  DeleteCommand,
  type DynamoDBDocumentClient,
  GetCommand,
  PutCommand,
  QueryCommand,
  UpdateCommand,
} from '@aws-sdk/lib-dynamodb'
import { getMany, isSizeError, writeMany } from './batches.ts'
import type { ItemKey } from './keys.ts'
import { knownRow, type Row } from './rows.ts'
import { storableItem, tooLarge } from './storable.ts'
import { INDEX_ATTRIBUTES, type IndexName } from './table.ts'

/** A condition that must hold for a write: the expression, and the values and names in it. */
interface Condition {
  expression: string
  values?: Record<string, unknown>
  names?: Record<string, string>
}

/** One range of one partition, of the table or of an index. Without an index the read is strong. */
interface Range {
  partition: string
  index?: IndexName
  /** Sort keys that begin with this; or all after this one, or before it; or between both, ends included. At most one of the three. */
  prefix?: string
  after?: string
  before?: string
  between?: [string, string]
  descending?: boolean
  limit?: number
  /** False takes what was written a moment ago as it may be: half the cost. */
  strong?: boolean
}

/** The few things the ledger does with its table. A condition that does not hold is an answer (`false`), everything else throws. */
export interface TableAccess {
  get(key: ItemKey, options?: { strong: boolean }): Promise<Row | null>
  getMany(keys: readonly ItemKey[], options?: { strong: boolean }): Promise<Map<string, Row>>
  put(row: Row, condition?: Condition): Promise<boolean>
  /** False when an item with this key is there already. */
  putNew(row: Row): Promise<boolean>
  /** Sets the attributes that have a value, removes those that are undefined; makes the item when it is not there. */
  update(key: ItemKey, attributes: Record<string, unknown>, condition?: Condition): Promise<boolean>
  delete(key: ItemKey, condition?: Condition): Promise<boolean>
  writeMany(puts: readonly Row[], deletes?: readonly ItemKey[]): Promise<void>
  /** The first `limit` items of a range (of an index: their keys), and whether there may be more. */
  query(range: Range): Promise<{ rows: Row[]; more: boolean }>
  queryAll(range: Range): Promise<Row[]>
}

const NOT_THERE: Condition = { expression: 'attribute_not_exists(pk)' }

/** Is this the table saying that a condition does not hold? */
function conditionFailed(error: unknown): boolean {
  return error instanceof Error && error.name === 'ConditionalCheckFailedException'
}

async function holds(write: Promise<unknown>, item: object): Promise<boolean> {
  try {
    await write
    return true
  } catch (error) {
    if (conditionFailed(error)) return false
    throw isSizeError(error) ? tooLarge(item, undefined, error) : error
  }
}

export function tableAccess(client: DynamoDBDocumentClient, tableName: string): TableAccess {
  const conditionInput = (c?: Condition) => ({
    ...(c ? { ConditionExpression: c.expression } : {}),
    ...(c?.values ? { ExpressionAttributeValues: c.values } : {}),
    ...(c?.names ? { ExpressionAttributeNames: c.names } : {}),
  })

  const put: TableAccess['put'] = async (item, condition) => {
    const Item = storableItem(item)
    return holds(
      client.send(new PutCommand({ TableName: tableName, Item, ...conditionInput(condition) })),
      item,
    )
  }

  const page = async (range: Range, start?: Record<string, unknown>) => {
    const answer = await client.send(
      new QueryCommand({ ...queryInput(tableName, range), ExclusiveStartKey: start }),
    )
    // An index holds keys only: the version is checked when the item itself is read.
    const items = answer.Items ?? []
    return { rows: range.index ? (items as Row[]) : items.map(knownRow), last: answer.LastEvaluatedKey }
  }

  return {
    async get({ pk, sk }, { strong } = { strong: true }) {
      const answer = await client.send(
        new GetCommand({ TableName: tableName, Key: { pk, sk }, ConsistentRead: strong }),
      )
      return answer.Item ? knownRow(answer.Item) : null
    },
    getMany: (keys, options = { strong: true }) => getMany(client, tableName, keys, options),
    put,
    putNew: (item) => put(item, NOT_THERE),
    async update({ pk, sk }, attributes, condition) {
      const clean = storableItem(attributes) as Record<string, unknown>
      const names = Object.keys(attributes)
      const set = names.filter((n) => n in clean)
      const remove = names.filter((n) => !(n in clean))
      const expression = [
        set.length ? `SET ${set.map((n) => `#${names.indexOf(n)} = :${names.indexOf(n)}`).join(', ')}` : '',
        remove.length ? `REMOVE ${remove.map((n) => `#${names.indexOf(n)}`).join(', ')}` : '',
      ].join(' ')
      const values = {
        ...Object.fromEntries(set.map((n) => [`:${names.indexOf(n)}`, clean[n]])),
        ...condition?.values,
      }
      return holds(
        client.send(
          new UpdateCommand({
            TableName: tableName,
            Key: { pk, sk },
            UpdateExpression: expression.trim(),
            ...(condition ? { ConditionExpression: condition.expression } : {}),
            ExpressionAttributeNames: {
              ...Object.fromEntries(names.map((n, i) => [`#${i}`, n])),
              ...condition?.names,
            },
            ...(Object.keys(values).length ? { ExpressionAttributeValues: values } : {}),
          }),
        ),
        { pk, sk },
      )
    },
    delete: ({ pk, sk }, condition) =>
      holds(
        client.send(
          new DeleteCommand({ TableName: tableName, Key: { pk, sk }, ...conditionInput(condition) }),
        ),
        { pk, sk },
      ),
    writeMany: (puts, deletes) => writeMany(client, tableName, puts, deletes),
    async query(range) {
      const { rows, last } = await page(range)
      return { rows, more: last !== undefined }
    },
    async queryAll(range) {
      const all: Row[] = []
      let last: Record<string, unknown> | undefined
      do {
        const next = await page(range, last)
        all.push(...next.rows)
        last = next.last
      } while (last)
      return all
    },
  }
}

function queryInput(tableName: string, range: Range) {
  const [pk, sk] = range.index ? INDEX_ATTRIBUTES[range.index] : ['pk', 'sk']
  const { condition, values } = sortCondition(range)
  return {
    TableName: tableName,
    ...(range.index ? { IndexName: range.index } : { ConsistentRead: range.strong ?? true }),
    KeyConditionExpression: `#p = :p${condition}`,
    ExpressionAttributeNames: { '#p': pk, ...(condition ? { '#s': sk } : {}) },
    ExpressionAttributeValues: { ':p': range.partition, ...values },
    ScanIndexForward: !range.descending,
    ...(range.limit ? { Limit: range.limit } : {}),
  }
}

function sortCondition(range: Range): { condition: string; values: Record<string, string> } {
  if (range.prefix !== undefined)
    return { condition: ' AND begins_with(#s, :a)', values: { ':a': range.prefix } }
  if (range.between)
    return {
      condition: ' AND #s BETWEEN :a AND :b',
      values: { ':a': range.between[0], ':b': range.between[1] },
    }
  if (range.after !== undefined) return { condition: ' AND #s > :a', values: { ':a': range.after } }
  if (range.before !== undefined) return { condition: ' AND #s < :a', values: { ':a': range.before } }
  return { condition: '', values: {} }
}
