import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { CreateTableCommand, DynamoDBClient, waitUntilTableExists } from '@aws-sdk/client-dynamodb'
import type { DynamoDBDocumentClient } from '@aws-sdk/lib-dynamodb'
import { afterAll, beforeAll } from 'vitest'
import { openTable } from '../../cdk/local/adapters/table.ts'
import { createTableInput } from '../../cdk/local/adapters/table-definition.ts'
import { createLedger } from '../../shared-lib/ledger/create-ledger.ts'
import { documentClient } from '../../shared-lib/ledger/document-client.ts'
import type { Ledger } from '../../shared-lib/ledger/ledger.ts'

interface Opened {
  client: DynamoDBDocumentClient
  tableName: string
  close(): Promise<void>
}

/**
 * The ledger that the contract is held against: over dynalite on a port of its own, or, when STAKELINE_TEST_DYNAMODB names an
 * endpoint (`https://…`, or `aws` for the account of the environment), over a fresh table there.
 */
async function open(): Promise<Opened> {
  const elsewhere = process.env.STAKELINE_TEST_DYNAMODB
  if (!elsewhere) {
    const dataDir = await mkdtemp(join(tmpdir(), 'stakeline-ledger-'))
    const table = await openTable({ dataDir })
    return {
      ...table,
      async close() {
        await table.close()
        await rm(dataDir, { recursive: true, force: true })
      },
    }
  }
  const dynamo = new DynamoDBClient(elsewhere === 'aws' ? {} : { endpoint: elsewhere })
  const tableName = `stakeline-contract-${Date.now()}-${process.pid}`
  await dynamo.send(new CreateTableCommand(createTableInput(tableName)))
  await waitUntilTableExists({ client: dynamo, maxWaitTime: 120 }, { TableName: tableName })
  return { client: documentClient(dynamo), tableName, close: async () => dynamo.destroy() }
}

/** Opened once a test file. Call at the top of it. */
export function ledgerUnderTest(): { ledger: Ledger; client: DynamoDBDocumentClient; tableName: string } {
  const under = {} as { ledger: Ledger; client: DynamoDBDocumentClient; tableName: string }
  let opened: Opened
  beforeAll(async () => {
    opened = await open()
    under.client = opened.client
    under.tableName = opened.tableName
    under.ledger = createLedger(opened)
  }, 130_000)
  afterAll(() => opened?.close())
  return under
}
