import type { DynamoDBDocumentClient } from '@aws-sdk/lib-dynamodb'
import { columnMapsArea } from './column-maps.ts'
import { standingsArea } from './count-fleet.ts'
import { datedBooksArea } from './dated-books.ts'
import { dueArea } from './due.ts'
import { electrodeBooksArea } from './electrode-books.ts'
import { electrodeFileArea } from './electrode-file.ts'
import { endedSessionsArea } from './ended-sessions.ts'
import { exportsArea } from './exports.ts'
import { feedsArea } from './feeds.ts'
import { findingsArea } from './findings.ts'
import { heldArea } from './held.ts'
import type { Ledger } from './ledger.ts'
import { marksArea } from './marks.ts'
import { parametersArea } from './parameters.ts'
import { recentArea } from './recent.ts'
import { registerArea } from './register.ts'
import { sitesArea } from './sites.ts'
import { surveysArea } from './surveys.ts'
import { tableAccess } from './table-access.ts'
import { tellingArea } from './telling.ts'
import { upgradeArea } from './upgrade.ts'
import { uploadsArea } from './uploads.ts'
import { writeTurnArea } from './write-turn.ts'

/**
 * The ledger over one table (its shape: table.ts). `client` must be one that `documentClient` made, so that numbers come back as
 * they went in. Every method may be repeated; what cannot be done is thrown as a `LedgerError`.
 */
export function createLedger({
  client,
  tableName,
}: {
  client: DynamoDBDocumentClient
  tableName: string
}): Ledger {
  const table = tableAccess(client, tableName)
  const marks = marksArea(table)
  return {
    ...registerArea(table),
    ...electrodeBooksArea(table),
    ...datedBooksArea(table),
    ...surveysArea(table),
    ...parametersArea(table),
    ...recentArea(table),
    ...sitesArea(table),
    ...standingsArea(table),
    ...writeTurnArea(table),
    ...heldArea(table),
    ...electrodeFileArea(table),
    ...marks,
    ...upgradeArea(table, marks.markDue),
    ...findingsArea(table),
    ...tellingArea(table),
    ...uploadsArea(table),
    ...dueArea(table),
    ...columnMapsArea(table),
    ...feedsArea(table),
    ...endedSessionsArea(table),
    ...exportsArea(table),
  }
}
