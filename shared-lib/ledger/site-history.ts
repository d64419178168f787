import { deflateRawSync, inflateRawSync } from 'node:zlib'
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

/**
 * What every short history has in it, so that it need not be spelt out in each: names of fields and common values, the commonest last.
 * Stored items can only be read with the very text they were written with: another one is another schema version.
 */
const COMMON = new TextEncoder().encode(
  [
    '"latitude":,"longitude":,"timeZone":"Europe/","retestPolicy":"same-month","canBeIsolated":"yes","deputyEmail":"',
    '"burialDepthM":0.5,"areaM2":,"count":,"spacingM":,"diagonalM":,"usualCurrentProbeM":30,"grid","ring","foundation","plate",',
    '"wire","tower-footing","rod-group","decisions":[],"assessmentDigest":"","dueOn":"2027-01-01","electrode":{"diameterMm":16,',
    '"electrodeId":"","installedOn":"2010-01-01","kind":"rod","lengthM":3,"limitOhm":25,"material":"copper","responsibleEmail":',
    '"@example.org","retestMonths":12,"siteId":""},"findings":{"":{"limit-exceeded":"wo","current-probe-too-close":"wc",',
    '"rising-drift":"wo"}},"lastTestedAt":"2026-01-01T10:00:00.000Z","parametersVersion":"default-","series":[{"baselineFromMs":',
    'null,"kendallS":0,"measuredAs":"electrode-alone","not-known","medianOhm":1,"n":20,"pValue":0.,"slopeHighPercentPerYear":0.,',
    '"slopeLowPercentPerYear":-0.,"slopePercentPerYear":0.}],"works":[]}],[[[0.52,1],[0.62,1],[0.72,1]],1,"S-',
  ].join(''),
)

/** Repeating text shrinks to a fifth: twenty tests of an electrode fit well into one kilobyte. */
export const squeezed = (text: string): Uint8Array => deflateRawSync(text, { level: 9, dictionary: COMMON })
export const unsqueezed = (bytes: Uint8Array): string =>
  inflateRawSync(bytes, { dictionary: COMMON }).toString('utf8')
