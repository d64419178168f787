import type { FindingItem } from '../../shared-lib/ledger/kept/finding.ts'
import { sparkline, type ValueRow, valueRows } from './earlier-values.ts'
import { alternativesLine, cautionLine, chanceNote, factRows, plainNumber, titleOf } from './mail-words.ts'

/** One finding in plain text: what is seen and what to do, what else it could be, the values as a table and as one line of bars. */
export function findingText(f: FindingItem, link: string): string {
  const rows = valueRows(f)
  const also = alternativesLine(f)
  const caution = cautionLine(f)
  return [
    `${f.electrodeId} (site ${f.siteId}), tested ${f.testedAt.slice(0, 10)}, survey ${f.surveyRef}`,
    `${titleOf(f.code)}${chanceNote(f)}`,
    f.message,
    ...(also === null ? [] : [also]),
    ...f.advice.map((a) => `- ${a}`),
    ...(caution === null ? [] : [`Caution: ${caution}`]),
    ...(rows.length === 0 ? [] : textTable(rows)),
    ...factRows(f, rows.length > 0).map(([name, value]) => `  ${name}: ${value}`),
    `Why, with the plot: ${link}`,
  ].join('\n')
}

/** Columns lined up with spaces, as a fixed-width mail shows them. */
function textTable(rows: readonly ValueRow[]): string[] {
  const cells = [
    ['tested', 'ohm', 'expected', ''],
    ...rows.map((r) => [
      r.day,
      plainNumber(r.resistanceOhm),
      r.expectedOhm ? r.expectedOhm.map(plainNumber).join(' to ') : '',
      r.note,
    ]),
  ]
  const widths = [0, 1, 2].map((c) => Math.max(...cells.map((row) => row[c]!.length)))
  const lines = cells.map(([day, value, expected, note]) =>
    `  ${day!.padEnd(widths[0]!)}  ${value!.padStart(widths[1]!)}  ${expected!.padEnd(widths[2]!)}  ${note}`.trimEnd(),
  )
  return [...lines, `  oldest to newest: ${sparkline(rows.map((r) => r.resistanceOhm))}`]
}
