import { randomUUID } from 'node:crypto'
import { once } from 'node:events'
import type { AddressInfo } from 'node:net'
import { join } from 'node:path'
import { CreateTableCommand, DeleteTableCommand, DynamoDBClient } from '@aws-sdk/client-dynamodb'
import dynalite from 'dynalite'
import { diskArchive } from '../../cdk/local/adapters/disk-archive.ts'
import { outboxMail } from '../../cdk/local/adapters/outbox-mail.ts'
import { openQueues } from '../../cdk/local/adapters/queues.ts'
import { openTable } from '../../cdk/local/adapters/table.ts'
import { createTableInput } from '../../cdk/local/adapters/table-definition.ts'
import { documentClient } from '../../shared-lib/ledger/document-client.ts'
import type { Archive } from '../../shared-lib/ports/archive.ts'
import type { Mail, OutgoingMail } from '../../shared-lib/ports/mail.ts'
import { itemsKept } from '../service/snapshot.ts'

/** What outlives a process: the table, the queues, the archive, what was mailed, the time. One a run; nothing is disturbed here. */
export interface World {
  endpoint: string
  tableName: string
  queues: ReturnType<typeof openQueues>
  archive: Archive
  mail: Mail
  mailed: OutgoingMail[]
  clock: { nowMs(): number; advance(ms: number): void }
  newId(): string
  /** What must be the same however it arrived: items of electrodes, surveys, findings and peers, without arrival times. */
  kept(): Promise<string[]>
  /** A world in memory is gone after this. */
  close(): Promise<void>
}

const START_MS = Date.parse('2026-05-04T12:00:00Z')
/** Uploads, news, when it was mailed, and marks are the arrival itself. */
const ARRIVAL_ITSELF = /^(U|UR|UT|TD|TO|TM|MK)#/
/** A decision's own time and id, and the keys made of them. */
const OF_DECISIONS = new Set(['decidedAtMs', 'decisionId', 'ruledBy'])

export interface Worlds {
  open(): Promise<World>
  close(): Promise<void>
}

/** One embedded table server in memory for many worlds, each with a table of its own. */
export async function makeWorlds(): Promise<Worlds> {
  const server = dynalite({ createTableMs: 0, deleteTableMs: 0, updateTableMs: 0 })
  server.listen(0, '127.0.0.1')
  await once(server, 'listening')
  const endpoint = `http://127.0.0.1:${(server.address() as AddressInfo).port}`
  const dynamo = new DynamoDBClient({
    endpoint,
    region: 'local',
    credentials: { accessKeyId: 'local', secretAccessKey: 'local' },
  })
  let opened = 0
  return {
    async open() {
      const tableName = `world-${++opened}`
      await dynamo.send(new CreateTableCommand(createTableInput(tableName)))
      return inMemory({ endpoint, tableName, client: documentClient(dynamo) })
    },
    async close() {
      dynamo.destroy()
      server.closeAllConnections()
      server.close()
      await once(server, 'close')
    },
  }
}

interface Parts {
  table: { endpoint: string; tableName: string; client: ReturnType<typeof documentClient> }
  queuesPath: string
  archive: Archive
  mail: Mail
  startMs: number
  newId(): string
}

function worldOver({ table, queuesPath, archive, mail, startMs, newId }: Parts): World {
  let nowMs = startMs
  const clock = {
    nowMs: () => nowMs,
    advance: (ms: number) => {
      nowMs += ms
    },
  }
  const mailed: OutgoingMail[] = []
  const queues = openQueues({ path: queuesPath, clock })
  return {
    endpoint: table.endpoint,
    tableName: table.tableName,
    queues,
    clock,
    mailed,
    newId,
    archive,
    mail: {
      async send(message) {
        await mail.send(message)
        mailed.push(message)
      },
    },
    async kept() {
      const lines = await itemsKept(table, ARRIVAL_ITSELF, OF_DECISIONS)
      // A decision's key ends in its id, which is a different one in every run.
      return lines.map((line) => line.replaceAll(/("DC#[^"#]*#)[^"]*"/g, '$1…"')).sort()
    },
    close: async () => queues.close(),
  }
}

function inMemory(table: Parts['table']): World {
  const files = new Map<string, Uint8Array>()
  let ids = 0
  const world = worldOver({
    table,
    queuesPath: ':memory:',
    startMs: START_MS,
    newId: () => `id-${String(++ids).padStart(19, '0')}`,
    mail: { send: async () => {} },
    archive: {
      async put(key, bytes) {
        const parts: Uint8Array[] = []
        for await (const part of bytes) parts.push(part)
        files.set(key, Buffer.concat(parts))
        return files.get(key)!.byteLength
      },
      async *open(key) {
        const file = files.get(key)
        if (!file) throw new Error(`nothing is archived under ${key}`)
        yield file
      },
    },
  })
  return {
    ...world,
    async close() {
      await world.close()
      await table.client.send(new DeleteTableCommand({ TableName: table.tableName }))
    },
  }
}

/** A world in a data folder, of the adapters of one machine; each life of the process is an hour after the last. */
export async function openOnDisk(
  dataDir: string,
  life: number,
): Promise<World & { closeAll(): Promise<void> }> {
  const table = await openTable({ dataDir })
  const world = worldOver({
    table,
    queuesPath: join(dataDir, 'queues.sqlite'),
    startMs: START_MS + life * 3_600_000,
    newId: () => randomUUID(),
    archive: diskArchive(join(dataDir, 'archive')),
    mail: outboxMail({
      folder: join(dataDir, 'outbox'),
      from: { name: 'stakeline', address: 'stakeline@example.org' },
    }),
  })
  return {
    ...world,
    async closeAll() {
      await world.close()
      await table.close()
    },
  }
}
