import { type EvidencePoint, readEvidence } from '../../shared-lib/history/evidence.ts'
import type { FindingItem } from '../../shared-lib/ledger/kept/finding.ts'

/** One row of the values table of a mail: this test and those it was compared with. */
export interface ValueRow {
  day: string
  resistanceOhm: number
  /** Expected before it was read, 95 %; absent where nothing could be expected. */
  expectedOhm?: [lowOhm: number, highOhm: number]
  note: '' | 'this test' | 'not counted'
}

/** More rows than this tell nothing at a glance; the page has all of them. */
const MOST_ROWS = 8
const BARS = '▁▂▃▄▅▆▇█'

/** The earlier values a finding rests on and its own, oldest first, at most {@link MOST_ROWS}; empty where it compares nothing. */
export function valueRows(finding: FindingItem): ValueRow[] {
  const e = readEvidence(finding.evidence)
  const rows = e.points ? e.points.map((p) => rowOf(p, finding.surveyRef)) : fromEarlier(finding)
  return rows.length < 2 ? [] : rows.slice(-MOST_ROWS)
}

function rowOf(p: EvidencePoint, hereRef: string): ValueRow {
  return {
    day: p.testedAt,
    resistanceOhm: p.resistanceOhm,
    ...(p.lowOhm === undefined || p.highOhm === undefined ? {} : { expectedOhm: [p.lowOhm, p.highOhm] }),
    note: p.surveyRef === hereRef ? 'this test' : p.used ? '' : 'not counted',
  }
}

function fromEarlier(finding: FindingItem): ValueRow[] {
  const { earlier = [], resistanceOhm, expectedRangeOhm } = readEvidence(finding.evidence)
  if (typeof resistanceOhm !== 'number') return []
  const before = earlier.map((t): ValueRow => ({ day: t.testedAt, resistanceOhm: t.resistanceOhm, note: '' }))
  const here: ValueRow = {
    day: finding.testedAt.slice(0, 10),
    resistanceOhm,
    ...(expectedRangeOhm ? { expectedOhm: expectedRangeOhm } : {}),
    note: 'this test',
  }
  return [...before.sort((a, b) => (a.day < b.day ? -1 : 1)), here]
}

/**
 * A line of bars for positive values, the lowest bar for the least and the highest for the greatest, on a logarithmic scale, because
 * a resistance is judged by ratios. Values within 2 % of each other are all drawn in the middle: what is level looks level.
 */
export function sparkline(values: readonly number[]): string {
  const logs = values.map(Math.log)
  const [low, high] = [Math.min(...logs), Math.max(...logs)]
  const level = high - low < 0.02
  return logs
    .map((x) => BARS[level ? 3 : Math.round(((x - low) / (high - low)) * (BARS.length - 1))]!)
    .join('')
}
