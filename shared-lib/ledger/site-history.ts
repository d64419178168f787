import type { Assessment, Decision, PriorTest } from '../history/assessment.ts'
import { type CompactTest, compactTest, restoreTest } from '../history/compact-test.ts'
import { byTestDate } from '../history/settle.ts'
import { FINDING_CODES, type Finding, SEVERITIES } from '../survey/finding.ts'
import type { Electrode, Work } from '../survey/register.ts'
import type { RetestRequest } from './retest.ts'
import { canonicalJson } from './same-json.ts'
import { type TestColumns, testColumns, testsOfColumns } from './test-columns.ts'

/** A finding of a survey's own evaluation, as far as later comparisons ask; `digest` stands for its words and numbers. */
export interface OwnFinding extends Pick<Finding, 'code' | 'severity' | 'probability'> {
  digest: string
}

/** A test with the findings of its own evaluation. */
export interface KnownTest {
  test: PriorTest
  own: OwnFinding[]
}

/**
 * All that a comparison must know of one electrode: what is judged, and digests of what has been written about it so far, so that
 * only differences are written and nothing else has to be read. It follows from what is stored and can always be made again.
 */
export interface ElectrodeHistory {
  electrode: Electrode
  /** In order of test date. */
  tests: KnownTest[]
  /** Revision of the register's words and limits when the electrode was last read as a whole: its tests are judged by it. */
  registerRev?: number
  works: Work[]
  decisions: Decision[]
  series: Assessment['series']
  parametersVersion: string
  /** By survey reference and code: `findingDigest` of each finding in the review queue. */
  findings: Record<string, Record<string, string>>
  /** Of the stored assessment's findings; '' when none is stored. */
  assessmentDigest: string
  lastTestedAt?: string
  /** The next test by the interval, or the retest asked for where that is earlier. */
  dueOn?: string
  retest?: RetestRequest
}

/** Free text of the register that no judgement reads; the rest of the electrode's words goes into its history. */
const NOT_JUDGED = [
  'notes',
  'locationText',
  'hazards',
  'usualLine',
  'tag',
  'limitBasis',
  'connectedTo',
] as const

export function judgedWords(electrode: Electrode): Electrode {
  const words = { ...electrode }
  for (const key of NOT_JUDGED) delete words[key]
  return words
}

export const emptyHistory = (electrode: Electrode): ElectrodeHistory => ({
  electrode: judgedWords(electrode),
  tests: [],
  works: [],
  decisions: [],
  series: [],
  parametersVersion: '',
  findings: {},
  assessmentDigest: '',
})

type ShortOwn = [code: number, severity: number, probability: number | null, digest: string]
/** Tests by field, and the own findings of those that have some, by their place. */
export type ShortTests = [tests: TestColumns, own: [place: number, ShortOwn[]][]]
/** As schema version 2 kept them: test by test, one with own findings as a pair. */
type ShortTestsOfV2 = (CompactTest | [CompactTest, ShortOwn[]])[]

const shortOwn = (f: OwnFinding): ShortOwn => [
  FINDING_CODES.indexOf(f.code),
  SEVERITIES.indexOf(f.severity),
  f.probability,
  f.digest,
]
const longOwn = ([code, severity, probability, digest]: ShortOwn): OwnFinding => ({
  code: FINDING_CODES[code]!,
  severity: SEVERITIES[severity]!,
  probability,
  digest,
})

export const packTests = (tests: readonly KnownTest[]): ShortTests => [
  testColumns(tests.map(({ test }) => compactTest(test))),
  tests.flatMap(({ own }, place) => (own.length > 0 ? [[place, own.map(shortOwn)]] : [])),
]

/** A pair is told from a row by its second part: a row's is a number. */
const isPair = (t: ShortTestsOfV2[number]): t is [CompactTest, ShortOwn[]] => Array.isArray(t[1])
/** What version 2 kept begins with a row, which begins with a list; here it is the count of tests. */
const isOfV2 = (packed: ShortTests | ShortTestsOfV2): packed is ShortTestsOfV2 =>
  packed.length === 0 || Array.isArray((packed[0] as unknown[])[0])

export function unpackTests(
  packed: ShortTests | ShortTestsOfV2,
  electrode: Pick<Electrode, 'electrodeId' | 'siteId'>,
): KnownTest[] {
  const known = (row: CompactTest, shorts: readonly ShortOwn[]): KnownTest => {
    const own = shorts.map(longOwn)
    const codes = own.map((f) => f.code)
    return { test: restoreTest(row, electrode.electrodeId, electrode.siteId, codes), own }
  }
  if (isOfV2(packed)) return packed.map((t) => (isPair(t) ? known(...t) : known(t, [])))
  const [tests, owns] = packed
  const byPlace = new Map(owns)
  return testsOfColumns(tests).map((row, place) => known(row, byPlace.get(place) ?? []))
}

/** Known tests with these added; one of the same reference is replaced. */
export function withTests(known: readonly KnownTest[], added: readonly KnownTest[]): KnownTest[] {
  const byRef = new Map([...known, ...added].map((t) => [t.test.surveyRef, t]))
  return [...byRef.values()].sort((a, b) => byTestDate(a.test, b.test))
}

/** As text: equal histories give equal text. */
export function historyText(h: ElectrodeHistory): string {
  const { tests, ...rest } = h
  return canonicalJson([packTests(tests), rest])
}

export function historyOf(text: string): ElectrodeHistory {
  const [packed, rest] = JSON.parse(text) as [ShortTests, Omit<ElectrodeHistory, 'tests'>]
  return { ...rest, tests: unpackTests(packed, rest.electrode) }
}
