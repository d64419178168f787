import type { FindingCode } from '../survey/finding.ts'
import {
  CONDITIONS,
  EVENTS,
  LINK_CHECKS,
  MEASURED_AS,
  METHODS,
  OUTCOMES,
  type Reading,
  SOIL_STATES,
  VISUALS,
} from '../survey/survey.ts'
import type { PriorTest } from './assessment.ts'

/**
 * A test in some hundred characters, a list of plain JSON values: for the one small item an electrode that a comparison reads.
 * `restoreTest` gives the same `PriorTest` again, whole, so that it is judged exactly alike.
 */
export type CompactTest = (string | number | null | CompactReading[] | Partial<PriorTest>)[]
type CompactReading = (number | null)[]

/** In this order; a word of a list is kept as its place in the list. What is absent for most comes last, so that rows stay short. */
const COLUMNS: readonly [keyof PriorTest, (readonly string[])?][] = [
  ['surveyRef'],
  ['testedAtMs'],
  ['resistanceOhm'],
  ['expandedUncertaintyOhm'],
  ['limitOhm'],
  ['currentProbeM'],
  ['method', METHODS],
  ['measuredAs', MEASURED_AS],
  ['outcome', OUTCOMES],
  ['validity', ['valid', 'doubtful', 'invalid']],
  ['conformity', ['conforming', 'nonconforming', 'inconclusive', 'not-assessed']],
  ['instrumentId'],
  ['connection', ['3-wire', '4-wire']],
  ['lineDirection'],
  ['soilState', SOIL_STATES],
  ['visual', VISUALS],
  ['linkChecked', LINK_CHECKS],
  ['event', EVENTS],
  ['corrects'],
  ['repeatOf'],
  ['secondDirectionOf'],
]
/** Null is a word of its own for these; for all others it means that the field is absent. */
const NULLABLE: ReadonlySet<string> = new Set(['resistanceOhm', 'expandedUncertaintyOhm', 'limitOhm'])
const KEPT_ELSEWHERE: ReadonlySet<string> = new Set([
  ...COLUMNS.map(([key]) => key),
  ...['electrodeId', 'siteId', 'readings', 'usableForTrend', 'ownCodes'],
])
const READING_KEYS = [
  'potentialProbeM',
  'resistanceOhm',
  'atLeastOhm',
  'probeSpacingM',
  'probeDepthM',
] as const

export function compactTest(t: PriorTest): CompactTest {
  const others = Object.entries(t).filter(([key, v]) => !KEPT_ELSEWHERE.has(key) && v !== undefined)
  const row: CompactTest = [
    t.readings.map(compactReading),
    t.usableForTrend ? 1 : 0,
    ...COLUMNS.map(([key, words]) => {
      const value = t[key] as string | number | null | undefined
      if (value === undefined || value === null) return null
      return words ? words.indexOf(String(value)) : value
    }),
  ]
  // A field that this list does not know yet is kept by its name.
  if (others.length > 0) row.push(Object.fromEntries(others))
  while (row.at(-1) === null) row.pop()
  return row
}

/** The test again; electrode, site and the codes of its own findings are known from where it was stored. */
export function restoreTest(
  row: CompactTest,
  electrodeId: string,
  siteId: string,
  ownCodes: FindingCode[] = [],
): PriorTest {
  const [readings, trend, ...values] = row
  const test: Record<string, unknown> = { electrodeId, siteId }
  for (const [i, [key, words]] of COLUMNS.entries()) {
    const value = values[i] ?? null
    if (value !== null) test[key] = words ? words[Number(value)] : value
    else if (NULLABLE.has(key)) test[key] = null
  }
  return {
    ...(test as unknown as PriorTest),
    usableForTrend: trend === 1,
    readings: (readings as CompactReading[]).map(restoreReading),
    ownCodes,
    ...(values[COLUMNS.length] as Partial<PriorTest> | undefined),
  }
}

/** The numbers of a reading in the order of `READING_KEYS`, then its condition where it is not `ok`; nothing after the last known. */
function compactReading(r: Reading): CompactReading {
  const row: CompactReading = READING_KEYS.map((key) => r[key] ?? null)
  row.push(r.condition === 'ok' ? null : CONDITIONS.indexOf(r.condition))
  while (row.at(-1) === null) row.pop()
  return row
}

function restoreReading(row: CompactReading): Reading {
  const reading: Reading = { condition: CONDITIONS[row[READING_KEYS.length] ?? 0]! }
  for (const [i, key] of READING_KEYS.entries()) {
    const value = row[i] ?? null
    if (value !== null) reading[key] = value
  }
  return reading
}
