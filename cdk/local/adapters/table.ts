import { access, mkdir, rm, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import {
  CreateTableCommand,
  DescribeTableCommand,
  DynamoDBClient,
  ResourceNotFoundException,
} from '@aws-sdk/client-dynamodb'
import type { DynamoDBDocumentClient } from '@aws-sdk/lib-dynamodb'
import { documentClient } from '../../../shared-lib/ledger/document-client.ts'
import { lockFile } from './folder-lock.ts'
import { noSignature } from './no-signature.ts'
import { refreshIndexes } from './refresh-indexes.ts'
import { serveTable } from './serve-table.ts'
import { serveTableApart } from './serve-table-apart.ts'
import { createTableInput } from './table-definition.ts'

export interface OpenTable {
  client: DynamoDBDocumentClient
  tableName: string
  /** Where the table listens: loopback, on a port of its own choice. */
  endpoint: string
  /** After an unclean end, the index rows are refreshed while the table is in use already: how many, when done. 0 otherwise. */
  refreshed: Promise<number>
  /** Waits for what is under way, then closes the files. */
  close(): Promise<void>
}

const TABLE_NAME = 'stakeline'

/**
 * The embedded table: dynalite in this process (`apart`: in a thread of its own, which pays for a service and not for a moment's use)
 * over LevelDB files in `<dataDir>/table`, reached through the real SDK. Makes folder and table when they are not there. What was acknowledged survives `kill -9`: it is in the system's hands before the answer goes
 * out (a power cut may cost the last moments). Throws `FolderInUse` when another process has the folder open.
 */
export async function openTable({
  dataDir,
  apart = false,
}: {
  dataDir: string
  apart?: boolean
}): Promise<OpenTable> {
  const path = join(dataDir, 'table')
  await mkdir(path, { recursive: true })
  // dynalite would end the process on a folder that is in use; so this is asked before.
  const unlock = lockFile(join(dataDir, 'table.lock'))
  const closedWell = join(dataDir, 'table.closed')
  const served = await (apart ? serveTableApart(path) : serveTable(path))
  const { endpoint } = served
  const dynamo = new DynamoDBClient({
    endpoint,
    region: 'local',
    signer: noSignature,
    credentials: { accessKeyId: 'local', secretAccessKey: 'local' },
    maxAttempts: 3,
  })
  let closing = false
  let refreshed: Promise<number> = Promise.resolve(0)
  const close = async () => {
    closing = true
    await refreshed.catch(() => {})
    dynamo.destroy()
    await served.close()
    await writeFile(closedWell, '')
    unlock()
  }
  const client = documentClient(dynamo)
  try {
    const created = await createIfAbsent(dynamo)
    const clean =
      created ||
      (await access(closedWell).then(
        () => true,
        () => false,
      ))
    await rm(closedWell, { force: true })
    if (!clean) refreshed = refreshIndexes(client, TABLE_NAME, () => closing)
    refreshed.catch(() => {})
  } catch (error) {
    await close().catch(() => {})
    throw new Error(`The table in ${path} could not be opened.`, { cause: error })
  }
  return { client, tableName: TABLE_NAME, endpoint, refreshed, close }
}

/** True when the table was not there. */
async function createIfAbsent(dynamo: DynamoDBClient): Promise<boolean> {
  try {
    await dynamo.send(new DescribeTableCommand({ TableName: TABLE_NAME }))
    return false
  } catch (error) {
    if (!(error instanceof ResourceNotFoundException)) throw error
    await dynamo.send(new CreateTableCommand(createTableInput(TABLE_NAME)))
    return true
  }
}
