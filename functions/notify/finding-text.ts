import type { FindingItem } from '../../shared-lib/ledger/kept/finding.ts'
import { FINDING_TITLES } from '../../shared-lib/survey/finding-words.ts'
import { number } from '../../shared-lib/survey/number-words.ts'
import { sparkline, type ValueRow, valueRows } from './earlier-values.ts'
import { alternativesLine, cautionLine, chanceNote, factRows } from './mail-words.ts'

/** One finding in plain text: what is seen and what to do, what else it could be, the values as a table and as one line of bars. */
export function findingText(f: FindingItem, link: string): string {
  const rows = valueRows(f)
  const also = alternativesLine(f)
  const caution = cautionLine(f)
  return [
    `${f.electrodeId} (site ${f.siteId}), tested ${f.testedAt.slice(0, 10)}, survey ${f.surveyRef}`,
    `${FINDING_TITLES[f.code]}${chanceNote(f)}`,
    f.message,
    ...(also === null ? [] : [also]),
    ...f.advice.map((a, i) => `${i + 1}. ${a}`),
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
      number(r.resistanceOhm),
      r.expectedOhm ? r.expectedOhm.map((bound) => number(bound)).join(' to ') : '',
      r.note,
    ]),
  ]
  const widths = [0, 1, 2].map((c) => Math.max(...cells.map((row) => row[c]!.length)))
  const lines = cells.map(([day, value, expected, note]) =>
    `  ${day!.padEnd(widths[0]!)}  ${value!.padStart(widths[1]!)}  ${expected!.padEnd(widths[2]!)}  ${note}`.trimEnd(),
  )
  return [...lines, `  oldest to newest: ${sparkline(rows.map((r) => r.resistanceOhm))}`]
}
