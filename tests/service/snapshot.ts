import { type DynamoDBDocumentClient, ScanCommand } from '@aws-sdk/lib-dynamodb'
import { openTable } from '../../cdk/local/adapters/table.ts'
import type { Row } from '../../shared-lib/ledger/rows.ts'
import { historyOf } from '../../shared-lib/ledger/site-history.ts'
import { unsqueezed } from '../../shared-lib/ledger/squeeze.ts'
import { recordOfSurvey } from '../../shared-lib/ledger/surveys.ts'

/** What may differ between two histories that must end the same: when and by what way things arrived, and the stamps of marks. */
const ARRIVAL = new Set([
  'receivedAt',
  'ls',
  'os',
  'rev',
  'registerRev',
  'receivedFrom',
  'openedAt',
  'stamp',
  'markedAt',
  'queuedAtMs',
  'uploadId',
  'atIso',
  'messageId',
  // A hint that spares a look for limits; absent says the same at the cost of the look.
  'limits',
])

function withoutArrival(value: unknown, also: ReadonlySet<string>): unknown {
  if (Array.isArray(value)) return value.map((v) => withoutArrival(v, also))
  if (value === null || typeof value !== 'object') return value
  return Object.fromEntries(
    Object.entries(value)
      .filter(([key]) => !ARRIVAL.has(key) && !also.has(key))
      .sort(([a], [b]) => (a < b ? -1 : 1))
      .map(([key, v]) => [key, withoutArrival(v, also)]),
  )
}

/**
 * A short history as it reads. Of the digests of findings only the severity and state are compared: the findings themselves stand
 * beside it, and a digest takes in who decided when.
 */
function historyWithoutDigests(bytes: Uint8Array): unknown {
  const { findings, ...history } = historyOf(unsqueezed(bytes))
  const states = Object.entries(findings).map(([ref, codes]) => [
    ref,
    Object.entries(codes).map(([code, digest]) => [code, digest.slice(0, 2)]),
  ])
  return { ...history, states }
}

/**
 * Everything a table holds about electrodes, surveys, findings and the site's peers: one line an item, sorted. Partitions that
 * `leftOut` names and attributes in `also` are not compared. Tests may scan; the program may not.
 */
export async function itemsKept(
  table: { client: DynamoDBDocumentClient; tableName: string },
  leftOut: RegExp,
  also: ReadonlySet<string> = new Set(),
): Promise<string[]> {
  const lines: string[] = []
  let ExclusiveStartKey: Record<string, unknown> | undefined
  do {
    const page = await table.client.send(new ScanCommand({ TableName: table.tableName, ExclusiveStartKey }))
    for (const item of page.Items ?? []) {
      if (leftOut.test(String(item.pk)) || /^(RC|LK|SC|IF|ST)\b/.test(String(item.pk))) continue
      // Where a survey stands among the recent ones: those of a form have a place, those of an upload have none.
      const isSurvey = String(item.sk).startsWith('SV#')
      if (isSurvey) delete item.lp
      if (isSurvey) item.z = recordOfSurvey(item as Row)
      else if (item.z instanceof Uint8Array) item.z = historyWithoutDigests(item.z)
      lines.push(JSON.stringify(withoutArrival(item, also)))
    }
    ExclusiveStartKey = page.LastEvaluatedKey
  } while (ExclusiveStartKey)
  return lines.sort()
}

/** The same of a stopped service's data folder. Uploads, mail and sessions are the arrival itself and are left out. */
export async function snapshot(dataDir: string, leftOut: RegExp): Promise<string[]> {
  const table = await openTable({ dataDir })
  try {
    return await itemsKept(table, leftOut)
  } finally {
    await table.close()
  }
}
