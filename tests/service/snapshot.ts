import { ScanCommand } from '@aws-sdk/lib-dynamodb'
import { openTable } from '../../cdk/local/adapters/table.ts'

/** What may differ between two histories that must end the same: when and by what way things arrived, and the stamps of marks. */
const ARRIVAL = new Set([
  'receivedAt',
  'ls',
  'os',
  'rev',
  'receivedFrom',
  'openedAt',
  'stamp',
  'markedAt',
  'queuedAtMs',
  'uploadId',
  'atIso',
  'messageId',
])

function withoutArrival(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(withoutArrival)
  if (value === null || typeof value !== 'object') return value
  return Object.fromEntries(
    Object.entries(value)
      .filter(([key]) => !ARRIVAL.has(key))
      .sort(([a], [b]) => (a < b ? -1 : 1))
      .map(([key, v]) => [key, withoutArrival(v)]),
  )
}

/**
 * Everything a stopped service has kept about electrodes, surveys, findings and the site's peers: one line an item, sorted.
 * Uploads, mail and sessions are the arrival itself and are left out. Tests may scan; the program may not.
 */
export async function snapshot(dataDir: string, leftOut: RegExp): Promise<string[]> {
  const table = await openTable({ dataDir })
  try {
    const lines: string[] = []
    let ExclusiveStartKey: Record<string, unknown> | undefined
    do {
      const page = await table.client.send(new ScanCommand({ TableName: table.tableName, ExclusiveStartKey }))
      for (const item of page.Items ?? []) {
        if (leftOut.test(String(item.pk))) continue
        lines.push(JSON.stringify(withoutArrival(item)))
      }
      ExclusiveStartKey = page.LastEvaluatedKey
    } while (ExclusiveStartKey)
    return lines.sort()
  } finally {
    await table.close()
  }
}
