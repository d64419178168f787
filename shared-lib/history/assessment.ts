import type { Conformity, Validity } from '../evaluate/evaluation.ts'
import type { Finding, FindingCode } from '../survey/finding.ts'
import type { Calibration, Electrode, Work } from '../survey/register.ts'
import type { MeasuredAs, Method, Outcome, Reading, Survey } from '../survey/survey.ts'
import type { Beliefs } from './model/beliefs.ts'

/**
 * The door of the history judgement: everything known about one site goes in, all findings for all its surveys come out.
 * Pure, deterministic, and by test date: the order of arrival cannot be seen from inside.
 */

/** The few numbers of a judged survey that a comparison needs. */
export interface PriorTest {
  surveyRef: string
  electrodeId: string
  siteId: string
  testedAtMs: number
  method: Method
  measuredAs: MeasuredAs
  outcome: Outcome
  validity: Validity
  usableForTrend: boolean
  resistanceOhm: number | null
  expandedUncertaintyOhm: number | null
  conformity: Conformity
  limitOhm: number | null
  currentProbeM?: number
  readings: Reading[]
  instrumentId?: string
  lineDirection?: string
  connection?: Survey['connection']
  soilState?: Survey['soilState']
  visual?: Survey['visual']
  event?: Survey['event']
  corrects?: string
  repeatOf?: string
  secondDirectionOf?: string
  linkChecked?: Survey['linkChecked']
  /** Findings of the survey's own evaluation, by code: history need not repeat them. */
  ownCodes: FindingCode[]
}

export const DECISION_ACTIONS = ['accept', 'set-aside', 'retest', 'confirm', 'repaired', 'reopen'] as const
export type DecisionAction = (typeof DECISION_ACTIONS)[number]

/** One decision about one finding. Append-only; the newest by `decidedAtMs` (then id) rules; `reopen` undoes. */
export interface Decision {
  decisionId: string
  findingId: string
  surveyRef: string
  code: FindingCode
  action: DecisionAction
  reason: string
  decidedBy: string
  decidedAtMs: number
}

/** What the parameters rest on, kept with them. */
export interface LearningBasis {
  sites: number
  electrodes: number
  surveys: number
  /** Surveys with a finding that is no notice, per 100, under the parameters before: a watch on beliefs that have become wrong. */
  findingsPer100: number
  /** How many numbers stand behind each learnt belief. */
  numbers: Partial<Record<keyof Beliefs, number>>
  /** What was decided about findings, by code; absent where nobody has decided anything. */
  decided?: Partial<Record<FindingCode, { confirmed: number; dismissed: number }>>
}

/** What the fleet has taught, versioned. The first storey uses the defaults. */
export interface Parameters {
  version: string
  /** Survey-to-survey noise of ln R. */
  noiseLn: number
  /** Half-width of the ordinary season in ln R. */
  seasonLn: number
  /** Whatever else has been learnt, over the model's defaults. */
  beliefs?: Partial<Beliefs>
  /** From which chance on a code is raised, where decisions have taught it. */
  thresholds?: Partial<Record<FindingCode, number>>
  /** What they were learnt from; absent for the defaults. */
  basis?: LearningBasis
}

/** One electrode of a site with all that is known of it. */
export interface ElectrodeRecord {
  electrode: Electrode
  /** Any order. */
  tests: PriorTest[]
  works: Work[]
  decisions: Decision[]
}

/** Everything known of one site: its electrodes share soil and season, so the site is what is judged and judged again. */
export interface SiteAssessmentInput {
  electrodes: ElectrodeRecord[]
  calibrations: Calibration[]
  parameters: Parameters
  asOfMs?: number
}

/** Plain statistics shown beside the findings, because auditors know them. One a `measuredAs` series. */
export interface SeriesSummary {
  measuredAs: MeasuredAs
  n: number
  medianOhm: number
  /** Theil-Sen slope of ln R in % a year, with its 95 % interval; null with fewer than 4 tests. */
  slopePercentPerYear: number | null
  slopeLowPercentPerYear: number | null
  slopeHighPercentPerYear: number | null
  /** Mann-Kendall, two-sided, ties and continuity corrected. */
  kendallS: number | null
  pValue: number | null
  /** Tests before this instant belong to an earlier baseline. */
  baselineFromMs: number | null
  /** Tests that stand out of the baseline by Rosner's test (5 %), of 15 tests or more; absent when none does. */
  outlierRefs?: string[]
}

export interface Assessment {
  /** Findings against prior tests and limits, keyed by surveyRef; surveys without one are absent. */
  findings: Record<string, Finding[]>
  series: SeriesSummary[]
  parametersVersion: string
}
