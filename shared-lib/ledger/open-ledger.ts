import { DynamoDBClient } from '@aws-sdk/client-dynamodb'
import type { DynamoDBDocumentClient } from '@aws-sdk/lib-dynamodb'
import { createLedger } from './create-ledger.ts'
import { documentClient } from './document-client.ts'
import { type Leases, leasesOver } from './leases.ts'
import type { Ledger } from './ledger.ts'
import { tableAccess } from './table-access.ts'

/** The ledger over the account's own table, and leases over the same. */
export function openLedger(
  tableName: string,
  client: DynamoDBDocumentClient = documentClient(new DynamoDBClient({ maxAttempts: 5 })),
): { ledger: Ledger; leases: Leases } {
  return {
    ledger: createLedger({ client, tableName }),
    leases: leasesOver(tableAccess(client, tableName)),
  }
}
