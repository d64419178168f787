import { once } from 'node:events'
import type { Server } from 'node:http'
import { createRequire } from 'node:module'
import type { AddressInfo } from 'node:net'
import { CreateTableCommand, DynamoDBClient } from '@aws-sdk/client-dynamodb'
import { createCompare } from '../../functions/compare/create-compare.ts'
import type { Asset } from '../../functions/web/assets.ts'
import { createApp } from '../../functions/web/create-app.ts'
import type { Outbox, WebDeps } from '../../functions/web/deps.ts'
import { SESSION_COOKIE } from '../../functions/web/session.ts'
import { defaultParameters } from '../../shared-lib/history/parameters.ts'
import { createLedger } from '../../shared-lib/ledger/create-ledger.ts'
import { documentClient } from '../../shared-lib/ledger/document-client.ts'
import { createDesk } from '../../shared-lib/ledger/hand-in.ts'
import { TABLE_SHAPE } from '../../shared-lib/ledger/table.ts'
import type { Person, Role } from '../../shared-lib/ports/identity.ts'
import { mintToken, verifyToken } from '../../shared-lib/ports/local-tokens.ts'
import type { OutgoingMessage } from '../../shared-lib/ports/queue.ts'

/** The real web app over the real ledger on an embedded table, with a clock that hardly moves; what it queues stays there. */
export interface House {
  app: ReturnType<typeof createApp>
  deps: WebDeps
  uploadsWaiting: string[]
  /** The table itself, and what it was asked so far. */
  table: { client: DynamoDBClient; tableName: string; cost: Cost }
  /** Runs every comparison that is waiting. */
  compare(): Promise<void>
  cookieFor(role: Role, more?: Partial<Person>): Promise<string>
  get(role: Role, path: string, more?: Partial<Person>): Promise<Response>
  post(
    role: Role,
    path: string,
    form: FormData | Record<string, string>,
    more?: Partial<Person>,
  ): Promise<Response>
  close(): Promise<void>
}

export const NOW_MS = Date.parse('2026-05-04T12:00:00Z')
const BASE_URL = 'http://127.0.0.1:4700'

const dynalite = createRequire(import.meta.url)('dynalite') as (options: object) => Server

/** What the table was asked, for tests of cost: requests, and read units as the table counts them. */
interface Cost {
  requests: number
  readUnits: number
}

/** Has every answer say its read units and adds them up. */
function countCost(client: DynamoDBClient): Cost {
  const cost: Cost = { requests: 0, readUnits: 0 }
  const reads = new Set(['QueryCommand', 'GetItemCommand', 'BatchGetItemCommand'])
  client.middlewareStack.add(
    (next, context) => async (args) => {
      if (!reads.has(context.commandName ?? '')) return next(args)
      Object.assign(args.input, { ReturnConsumedCapacity: 'TOTAL' })
      const result = await next(args)
      const { ConsumedCapacity: used } = result.output as {
        ConsumedCapacity?: { CapacityUnits?: number } | { CapacityUnits?: number }[]
      }
      cost.requests++
      for (const one of [used ?? []].flat()) cost.readUnits += one.CapacityUnits ?? 0
      return result
    },
    { step: 'initialize', priority: 'low' },
  )
  return cost
}

async function emptyTable(): Promise<{
  client: DynamoDBClient
  tableName: string
  cost: Cost
  close(): Promise<void>
}> {
  const server = dynalite({ createTableMs: 0, deleteTableMs: 0, updateTableMs: 0 })
  server.listen(0, '127.0.0.1')
  await once(server, 'listening')
  const { port } = server.address() as AddressInfo
  const client = new DynamoDBClient({
    endpoint: `http://127.0.0.1:${port}`,
    region: 'local',
    credentials: { accessKeyId: 'local', secretAccessKey: 'local' },
  })
  const names = new Set([TABLE_SHAPE.partitionKey, TABLE_SHAPE.sortKey])
  for (const index of TABLE_SHAPE.indexes) names.add(index.partitionKey).add(index.sortKey)
  const keys = (partition: string, sort: string) => [
    { AttributeName: partition, KeyType: 'HASH' as const },
    { AttributeName: sort, KeyType: 'RANGE' as const },
  ]
  await client.send(
    new CreateTableCommand({
      TableName: 'pages',
      BillingMode: 'PAY_PER_REQUEST',
      AttributeDefinitions: [...names].map((AttributeName) => ({
        AttributeName,
        AttributeType: 'S' as const,
      })),
      KeySchema: keys(TABLE_SHAPE.partitionKey, TABLE_SHAPE.sortKey),
      GlobalSecondaryIndexes: TABLE_SHAPE.indexes.map((index) => ({
        IndexName: index.name,
        KeySchema: keys(index.partitionKey, index.sortKey),
        Projection:
          index.include.length === 0
            ? { ProjectionType: 'KEYS_ONLY' as const }
            : { ProjectionType: 'INCLUDE' as const, NonKeyAttributes: index.include },
      })),
    }),
  )
  const close = async () => {
    client.destroy()
    server.closeAllConnections()
    server.close()
    await once(server, 'close')
  }
  return { client, tableName: 'pages', cost: countCost(client), close }
}

export async function openHouse(change: { outbox?: Outbox; assets?: readonly Asset[] } = {}): Promise<House> {
  const table = await emptyTable()
  const ledger = createLedger({ client: documentClient(table.client), tableName: table.tableName })
  let nowMs = NOW_MS
  // A millisecond passes between any two looks at the clock, so that decisions have an order.
  const clock = { nowMs: () => nowMs++ }
  const key = crypto.getRandomValues(new Uint8Array(32))
  const newId = () => crypto.randomUUID().replaceAll('-', '')
  const files = new Map<string, Uint8Array>()
  const uploadsWaiting: string[] = []
  const toCompare: OutgoingMessage[] = []
  const deps: WebDeps = {
    ledger,
    desk: createDesk({
      ledger,
      compareQueue: { send: async (messages) => void toCompare.push(...messages) },
      clock,
      newId,
    }),
    intakeQueue: {
      send: async (messages) => {
        uploadsWaiting.push(...messages.map((m) => String(m.body.uploadId)))
      },
    },
    archive: {
      async put(name, bytes) {
        const chunks: Uint8Array[] = []
        for await (const chunk of bytes) chunks.push(chunk)
        const whole = Buffer.concat(chunks)
        files.set(name, whole)
        return whole.byteLength
      },
      async *open(name) {
        yield files.get(name) ?? new Uint8Array()
      },
    },
    identity: {
      verify: (token) => verifyToken(key, token, 'session', clock.nowMs()),
      issueSession: async (person) => ({
        token: await mintToken(key, person, 'session', 3600, clock.nowMs()),
        maxAgeS: 3600,
      }),
    },
    clock,
    newId,
    ...(change.outbox ? { outbox: change.outbox } : {}),
    ...(change.assets ? { assets: change.assets } : {}),
    settings: {
      operatorName: 'Invented Grid',
      baseUrl: BASE_URL,
      maxUploadBytes: 4_000_000,
      secureCookies: false,
      controlRoomPhone: '+00 555 0100',
    },
  }
  const app = createApp(deps)
  const judge = createCompare({
    ledger,
    notifyQueue: { send: async () => {} },
    clock,
    newId,
    parameters: defaultParameters,
    log: (entry) => {
      if (entry.level === 'error') throw new Error(JSON.stringify(entry))
    },
    settings: { fallbackEmail: 'duty@example.org', mailHoldS: 30, oldAfterDays: 30 },
  })
  const cookieFor = async (role: Role, more: Partial<Person> = {}) => {
    const person: Person = { id: `local:${role}`, name: `Demo ${role}`, role, sites: '*', ...more }
    return `${SESSION_COOKIE}=${await mintToken(key, person, 'session', 3600, clock.nowMs())}`
  }
  return {
    app,
    deps,
    table,
    uploadsWaiting,
    cookieFor,
    async get(role, path, more) {
      return app.request(path, { headers: { Cookie: await cookieFor(role, more), Accept: 'text/html' } })
    },
    async post(role, path, form, more) {
      const body = form instanceof FormData ? form : new URLSearchParams(form)
      const headers = { Cookie: await cookieFor(role, more), Accept: 'text/html', Origin: BASE_URL }
      return app.request(path, { method: 'POST', body, headers })
    },
    async compare() {
      for (const { body } of toCompare.splice(0)) {
        const attributes = { ApproximateReceiveCount: '1' }
        await judge({ Records: [{ messageId: newId(), body: JSON.stringify(body), attributes }] })
      }
    },
    close: table.close,
  }
}
