import type { Finding } from '../survey/finding.ts'
import type { Calibration, Electrode, Limit } from '../survey/register.ts'
import type { MeasuredAs, Method, Survey } from '../survey/survey.ts'

export type Validity = 'valid' | 'doubtful' | 'invalid'
export type Use = 'acceptance' | 'trend'
export type Conformity = 'conforming' | 'nonconforming' | 'inconclusive' | 'not-assessed'

/** One line of the uncertainty statement (JCGM 100), as a standard uncertainty in ohm. */
export interface UncertaintyPart {
  name: string
  standardOhm: number
}

/** What is in force when a survey was made. The caller picks by date; the judge only reads. */
export interface EvaluationContext {
  electrode: Electrode
  /** Calibration in force at `testedAt`; absent when the instrument or its calibration is not known. */
  calibration?: Calibration
  /** Limits table rows in force at `testedAt`; the register's `limitOhm` is the plain default. */
  limits: Limit[]
  /** Soil resistivity expected at the site, ohm-m, from a four-point survey; absent when none. */
  siteSoilOhmM?: number
  /**
   * The site's soil in two layers, from a four-point survey; absent when none. It takes the place of the usual soils when a line of
   * readings is weighed, and gives the resistance that the electrode should have.
   */
  siteSoil?: SiteSoil
  /** When the survey was handed in, ISO; set only where its own date lies ahead of that. */
  handedInAt?: string
  /** How a value near the limit is decided: by the value alone (`simple`, the default), or only where it is 95 % sure. */
  conformityRule?: ConformityRule
}

type ConformityRule = 'simple' | 'guarded-0.95'

/** Two layers: upper and lower resistivity, ohm-m, depth of the boundary, m, and how well they are known (one standard deviation). */
export interface SiteSoil {
  upperOhmM: number
  lowerOhmM: number
  depthM: number
  /** Relative, e.g. 0.15. */
  relativeUncertainty: number
}

/** The judgement of one survey by itself. Same survey and context give the same evaluation, always. */
export interface Evaluation {
  validity: Validity
  /** One plain sentence for each thing that made it less than valid, or that was looked at and let pass. */
  reasons: string[]
  usableFor: Use[]
  /** Null when invalid or when there is no reading. */
  resistanceOhm: number | null
  /** k = 2, same null rule. */
  expandedUncertaintyOhm: number | null
  uncertaintyParts: UncertaintyPart[]
  /** How `resistanceOhm` was found, e.g. `mean-of-three` or `linear-fit`, and both values for a check by hand. */
  resultBy: string | null
  meanOhm: number | null
  fitOhm: number | null
  /** (max − min)/mean of the readings at 52 to 72 % less two display digits, %. Null with fewer than two. */
  spreadPercent: number | null
  conformity: Conformity
  conformityRule: string
  conformityProbability: number | null
  limitOhm: number | null
  impliedSoilResistivityOhmM: number | null
  /** The current-probe distance that would do for this electrode, m. */
  recommendedCurrentProbeM: number | null
  findings: Finding[]
  /** Cautions that go with the advice given. */
  cautions: string[]
  judgeVersion: string
}

/** A judged survey as printed, answered and stored (contract.md). Extra keys of Evaluation stay in it. */
export interface JudgedSurvey extends Evaluation {
  kind: 'survey'
  surveyRef: string
  electrodeId: string | null
  testedAt: string
  method: Method
  measuredAs: MeasuredAs
}

/** Joins a survey's identity with its evaluation into the record of the contract. */
export function judgedSurvey(survey: Survey, evaluation: Evaluation): JudgedSurvey {
  return {
    kind: 'survey',
    surveyRef: survey.surveyRef,
    electrodeId: survey.electrodeId ?? null,
    testedAt: survey.testedAt,
    method: survey.method,
    measuredAs: survey.measuredAs,
    ...evaluation,
  }
}
