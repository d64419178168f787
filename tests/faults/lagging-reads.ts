import { type DynamoDBDocumentClient, GetCommand } from '@aws-sdk/lib-dynamodb'

type Item = Record<string, unknown>
type Requests = { PutRequest?: { Item: Item }; DeleteRequest?: { Key: Item } }[]
interface Command {
  input: {
    TableName?: string
    Key?: Item
    Item?: Item
    ConsistentRead?: boolean
    RequestItems?: Record<string, Requests | { Keys: Item[]; ConsistentRead?: boolean }>
  }
  constructor: { name: string }
}
const keyOf = ({ pk, sk }: Item): string => `${pk}\n${sk}`

/**
 * The same client, whose reads by key that are not strong lag behind: the first of each item after its write, wherever `lags` says
 * so, gives what was there before, as another copy of the table may for a moment. The embedded table has one copy and never lags.
 */
export function laggingReads(
  client: DynamoDBDocumentClient,
  lags: () => boolean,
): { client: DynamoDBDocumentClient; lagged(): number } {
  const before = new Map<string, Item | undefined>()
  let lagged = 0
  const old = (key: Item): { item: Item | undefined } | null => {
    if (!before.has(keyOf(key)) || !lags()) return null
    const item = before.get(keyOf(key))
    before.delete(keyOf(key))
    lagged++
    return { item }
  }
  const remember = async (TableName: string, { pk, sk }: Item) => {
    const answer = await client.send(new GetCommand({ TableName, Key: { pk, sk }, ConsistentRead: true }))
    before.set(keyOf({ pk, sk }), answer.Item)
  }

  async function send(command: Command): Promise<unknown> {
    const { input } = command
    const kind = command.constructor.name.replace('Command', '')
    if (kind === 'Put' || kind === 'Update' || kind === 'Delete')
      await remember(input.TableName!, (input.Key ?? input.Item)!)
    if (kind === 'BatchWrite')
      for (const [table, requests] of Object.entries(input.RequestItems!))
        for (const r of requests as Requests)
          await remember(table, (r.PutRequest?.Item ?? r.DeleteRequest?.Key)!)
    const answer = (await client.send(command as never)) as Item
    if (kind === 'Get' && !input.ConsistentRead) {
      const was = old(input.Key!)
      return was ? { ...answer, Item: was.item } : answer
    }
    if (kind === 'BatchGet') {
      const responses = answer.Responses as Record<string, Item[]>
      for (const [table, asked] of Object.entries(input.RequestItems!)) {
        const { Keys, ConsistentRead } = asked as { Keys: Item[]; ConsistentRead?: boolean }
        if (ConsistentRead) continue
        for (const key of Keys) {
          const was = old(key)
          if (!was) continue
          const others = responses[table]!.filter((item) => keyOf(item) !== keyOf(key))
          responses[table] = was.item ? [...others, was.item] : others
        }
      }
    }
    return answer
  }
  return {
    client: new Proxy(client, {
      get: (target, name) => (name === 'send' ? send : Reflect.get(target, name)),
    }),
    lagged: () => lagged,
  }
}
