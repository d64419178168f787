import { csvLine } from '../../../../shared-lib/survey/csv-line.ts'
import type { Fleet } from '../../read-fleet.ts'
import { STANDING_WORDS } from '../view/standing-tiles.ts'

/** The sites as CSV, one row a site; a site that was not counted has empty cells. Text that a spreadsheet would run is guarded. */
export function fleetCsv({ rows, countedAt }: Fleet): string {
  const keys = STANDING_WORDS.map(([key]) => key)
  const table = [
    ['site_id', 'electrodes', ...keys.map((key) => key.replaceAll('-', '_')), 'counted_at'],
    ...rows.map(({ siteId, electrodes, counts }) => [
      siteId,
      electrodes,
      ...keys.map((key) => counts?.[key]),
      counts ? countedAt : undefined,
    ]),
  ]
  return `\uFEFF${table.map(csvLine).join('')}`
}
