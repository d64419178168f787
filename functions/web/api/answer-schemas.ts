import * as z from 'zod'
import { DECISION_ACTIONS } from '../../../shared-lib/history/assessment.ts'
import { FINDING_CODES, SEVERITIES } from '../../../shared-lib/survey/finding.ts'
import { MEASURED_AS, METHODS } from '../../../shared-lib/survey/survey.ts'

/** The shapes the API answers with. The tests check real answers against them, so the description cannot drift from the service. */

const probability = z.number().min(0).max(1).nullable()

const finding = z
  .object({
    code: z.enum(FINDING_CODES),
    severity: z.enum(SEVERITIES),
    probability: probability.describe(
      'Chance that the finding is true, as the tool sees it; an estimate not yet checked at this operator.',
    ),
    message: z.string(),
    advice: z.array(z.string()),
    evidence: z.record(z.string(), z.unknown()),
  })
  .meta({ id: 'Finding' })

const judgedSurvey = z
  .looseObject({
    kind: z.literal('survey'),
    surveyRef: z.string(),
    electrodeId: z.string().nullable(),
    testedAt: z.string(),
    method: z.enum(METHODS),
    measuredAs: z.enum(MEASURED_AS),
    validity: z.enum(['valid', 'doubtful', 'invalid']),
    reasons: z.array(z.string()),
    usableFor: z.array(z.enum(['acceptance', 'trend'])),
    resistanceOhm: z.number().nullable(),
    expandedUncertaintyOhm: z.number().nullable().describe('k = 2'),
    spreadPercent: z.number().nullable(),
    conformity: z.enum(['conforming', 'nonconforming', 'inconclusive', 'not-assessed']),
    conformityRule: z.string(),
    conformityProbability: probability,
    limitOhm: z.number().nullable(),
    impliedSoilResistivityOhmM: z.number().nullable(),
    findings: z.array(finding),
  })
  .meta({ id: 'JudgedSurvey' })

/** What only this service can answer for this survey: a sender that keeps its own copy drops it on this and on nothing else. */
const receipt = z
  .object({
    id: z.string(),
    surveyRef: z.string(),
    contentHash: z.string(),
    receivedAt: z.string(),
  })
  .meta({ id: 'Receipt' })

/** Survey as the electrode's history lists it. */
export const storedSurvey = judgedSurvey.extend({ id: z.string() }).meta({ id: 'StoredSurvey' })

/** Survey as the answer to handing it in. */
export const acceptedSurvey = storedSurvey.extend({ receipt }).meta({ id: 'AcceptedSurvey' })

export const heldSurvey = z
  .object({
    kind: z.literal('held'),
    id: z.string(),
    row: z.number().nullable(),
    column: z.string(),
    surveyRef: z.string(),
    electrodeId: z.string(),
    problem: z.string(),
    receipt,
  })
  .meta({ id: 'HeldSurvey' })

export const decision = z
  .object({
    decisionId: z.string(),
    findingId: z.string(),
    surveyRef: z.string(),
    code: z.enum(FINDING_CODES),
    action: z.enum(DECISION_ACTIONS),
    reason: z.string(),
    decidedBy: z.string(),
    decidedAtMs: z.number(),
  })
  .meta({ id: 'Decision' })

export const findingItem = finding
  .extend({
    id: z.string(),
    state: z.enum(['open', 'closed']),
    electrodeId: z.string(),
    siteId: z.string(),
    surveyRef: z.string(),
    testedAt: z.string(),
    openedAt: z.string(),
    responsibleEmail: z.string().optional(),
    instrumentId: z.string().optional(),
    tester: z.string().optional(),
    ruling: decision.optional().describe('The newest decision, also one that leaves the finding open.'),
    claim: z
      .object({ by: z.string(), name: z.string(), untilMs: z.number() })
      .optional()
      .describe('Who says that they are at it; lapses by itself.'),
    closedBy: z.union([z.object({ decision }), z.object({ laterSurveyRef: z.string() })]).optional(),
  })
  .meta({ id: 'FindingItem' })

export const refusedRow = z
  .object({
    kind: z.literal('refused'),
    row: z
      .number()
      .nullable()
      .describe('As a spreadsheet counts: header = 1. Null when the whole file was refused.'),
    column: z.string().nullable(),
    value: z.string().nullable(),
    code: z.string(),
    problem: z.string(),
    surveyRef: z.string().optional(),
  })
  .meta({ id: 'RefusedRow' })

const seriesSummary = z
  .object({
    measuredAs: z.enum(MEASURED_AS),
    n: z.number(),
    medianOhm: z.number(),
    slopePercentPerYear: z.number().nullable(),
    slopeLowPercentPerYear: z.number().nullable(),
    slopeHighPercentPerYear: z.number().nullable(),
    kendallS: z.number().nullable(),
    pValue: z.number().nullable(),
    baselineFromMs: z.number().nullable(),
  })
  .meta({ id: 'SeriesSummary' })

export const series = z.array(seriesSummary)
