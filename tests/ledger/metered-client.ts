import { type DynamoDBDocumentClient, GetCommand } from '@aws-sdk/lib-dynamodb'
import { INDEX_ATTRIBUTES } from '../../shared-lib/ledger/table.ts'

/** Capacity units used so far. */
export interface Used {
  read: number
  write: number
}

type Item = Record<string, unknown>
interface Input extends Item {
  TableName?: string
  Key?: Item
  Item?: Item
  RequestItems?: Record<string, { PutRequest?: { Item: Item }; DeleteRequest?: { Key: Item } }[]>
}
/** Of one query; a read by key is counted by the embedded table also when nothing is there. */
const leastOf = (kind: string, { ConsistentRead }: Input): number =>
  kind !== 'Query' ? 0 : ConsistentRead ? 1 : 0.5

interface Consumed {
  CapacityUnits?: number
}

/**
 * The same client, with every request's capacity added up as the table reports it. The embedded table leaves out what its indexes
 * take, so that is added here by DynamoDB's rule: a row that comes, goes or stays with other projected attributes is one write unit, a
 * row whose key changes is two, and one that stays as it is costs nothing. A query that finds nothing is added too: DynamoDB counts it
 * as the smallest read, the embedded table as none.
 */
export function meteredClient(client: DynamoDBDocumentClient): {
  client: DynamoDBDocumentClient
  used: Used
} {
  const used: Used = { read: 0, write: 0 }
  const keysOf = async (TableName: string, { pk, sk }: Item): Promise<Item> =>
    (await client.send(new GetCommand({ TableName, Key: { pk, sk }, ConsistentRead: true }))).Item ?? {}
  const indexUnits = (before: Item, after: Item) =>
    Object.values(INDEX_ATTRIBUTES).reduce((units, [partition, sort]) => {
      const row = (item: Item) =>
        item[partition] === undefined ? '' : `${String(item[partition])} ${String(item[sort])}`
      const [old, now] = [row(before), row(after)]
      if (old === now) return units
      return units + (old === '' ? 0 : 1) + (now === '' ? 0 : 1)
    }, 0)

  async function send(command: { input: Input; constructor: { name: string } }): Promise<unknown> {
    const { input } = command
    const kind = command.constructor.name.replace('Command', '')
    const touched: { table: string; key: Item }[] = []
    if (kind === 'Put') touched.push({ table: input.TableName!, key: input.Item! })
    if (kind === 'Update' || kind === 'Delete') touched.push({ table: input.TableName!, key: input.Key! })
    if (kind === 'BatchWrite')
      for (const [table, requests] of Object.entries(input.RequestItems!))
        for (const r of requests) touched.push({ table, key: r.PutRequest?.Item ?? r.DeleteRequest!.Key })
    const before = await Promise.all(touched.map((t) => keysOf(t.table, t.key)))
    input.ReturnConsumedCapacity = 'TOTAL'
    const answer = (await client.send(command as never)) as { ConsumedCapacity?: Consumed | Consumed[] }
    const consumed = [answer.ConsumedCapacity ?? []].flat()
    const units = consumed.reduce((sum, c) => sum + (c.CapacityUnits ?? 0), 0)
    if (touched.length === 0) used.read += Math.max(units, leastOf(kind, input))
    else {
      used.write += units
      const after = await Promise.all(touched.map((t) => keysOf(t.table, t.key)))
      for (const [i, old] of before.entries()) used.write += indexUnits(old, after[i]!)
    }
    return answer
  }
  const metered = new Proxy(client, {
    get: (target, name) => (name === 'send' ? send : Reflect.get(target, name)),
  })
  return { client: metered, used }
}
