import type { Evaluation } from '../../shared-lib/evaluate/evaluation.ts'
import type { Assessment, Decision } from '../../shared-lib/history/assessment.ts'
import { findingId } from '../../shared-lib/ledger/finding-id.ts'
import type { AssessmentChange } from '../../shared-lib/ledger/kept/electrode.ts'
import type { FindingItem } from '../../shared-lib/ledger/kept/finding.ts'
import type { SurveyRecord } from '../../shared-lib/ledger/kept/survey.ts'
import type { Untold } from '../../shared-lib/ledger/kept/telling.ts'
import type { Upload } from '../../shared-lib/ledger/kept/upload.ts'
import type { Ledger } from '../../shared-lib/ledger/ledger.ts'
import { emptyHistory } from '../../shared-lib/ledger/site-history.ts'
import type { Electrode } from '../../shared-lib/survey/register.ts'

/** Invented items for the ledger's tests; each takes what the test is about and fills in the rest. */

export const NOW = '2026-05-04T10:20:00.000Z'

export const electrode = (electrodeId: string, over: Partial<Electrode> = {}): Electrode => ({
  electrodeId,
  siteId: 'HILL',
  kind: 'rod',
  lengthM: 3,
  limitOhm: 25,
  ...over,
})

const evaluation: Evaluation = {
  validity: 'valid',
  reasons: [],
  usableFor: ['acceptance', 'trend'],
  resistanceOhm: 11.02,
  expandedUncertaintyOhm: 0.48,
  uncertaintyParts: [{ name: 'instrument', standardOhm: 0.2 }],
  resultBy: 'mean-of-three',
  meanOhm: 11.02,
  fitOhm: null,
  spreadPercent: 2.1,
  conformity: 'conforming',
  conformityRule: 'simple',
  conformityProbability: 0.999,
  limitOhm: 25,
  impliedSoilResistivityOhmM: 33.1,
  recommendedCurrentProbeM: 30,
  findings: [],
  cautions: [],
  judgeVersion: '1',
}

export function survey(
  electrodeId: string,
  surveyRef: string,
  over: Partial<SurveyRecord> = {},
): SurveyRecord {
  const testedAt = over.survey?.testedAt ?? '2026-05-01T09:00:00+01:00'
  return {
    id: `${electrodeId}/${surveyRef}`,
    subject: { kind: 'electrode', id: electrodeId },
    siteId: 'HILL',
    survey: {
      surveyRef,
      electrodeId,
      testedAt,
      method: 'fall-of-potential',
      outcome: 'tested',
      measuredAs: 'electrode-alone',
      currentProbeM: 30,
      readings: [
        { potentialProbeM: 15.6, resistanceOhm: 10.9, condition: 'ok' },
        { potentialProbeM: 21.6, condition: 'over-range', atLeastOhm: 2000 },
      ],
    },
    contentHash: `hash of ${surveyRef}`,
    receivedAt: NOW,
    receivedFrom: { via: 'api', by: 'local:field' },
    judgedBy: 'judge 1, books 1',
    judged: {
      kind: 'survey',
      surveyRef,
      electrodeId,
      testedAt,
      method: 'fall-of-potential',
      measuredAs: 'electrode-alone',
      ...structuredClone(evaluation),
    },
    ...over,
  }
}

export function finding(
  electrodeId: string,
  surveyRef: string,
  over: Partial<FindingItem> = {},
): FindingItem {
  const code = over.code ?? 'rising-drift'
  return {
    id: findingId(electrodeId, surveyRef, code),
    code,
    severity: 'warning',
    probability: 0.9,
    message: 'The resistance has risen 40 % in 3 years. Test again in the dry season.',
    advice: ['Look at the connection first.'],
    evidence: { slopePercentPerYear: 12.1, pValue: 1e-140, nothing: null },
    state: 'open',
    electrodeId,
    siteId: 'HILL',
    surveyRef,
    testedAt: '2026-05-01T09:00:00+01:00',
    openedAt: NOW,
    ...over,
  }
}

export const decision = (of: FindingItem, action: Decision['action'], atMs: number): Decision => ({
  decisionId: `${action}-${atMs}`,
  findingId: of.id,
  surveyRef: of.surveyRef,
  code: of.code,
  action,
  reason: 'seen on site',
  decidedBy: 'local:quality',
  decidedAtMs: atMs,
})

export const assessment: Assessment = { findings: {}, series: [], parametersVersion: 'default' }

type Written = Partial<Omit<AssessmentChange, 'assessment'>> & {
  assessment?: Assessment
  lastTestedAt?: string
  dueOn?: string
}

/** Writes an assessment as a comparison does that has just read the site: what is not given says nothing. */
export async function assess(ledger: Ledger, electrodeId: string, over: Written = {}): Promise<boolean> {
  const { electrode: words } = (await ledger.getElectrode(electrodeId))!
  const seen = (await ledger.readSite(words.siteId)).histories.get(electrodeId) ?? null
  const { lastTestedAt, dueOn, ...change } = over
  const { series, parametersVersion } = over.assessment ?? assessment
  return ledger.writeAssessment(electrodeId, {
    ...{ rejudged: [], newFindings: [], putFindings: [], removeFindings: [], assessment, seen },
    history: {
      ...{ ...emptyHistory(words), series, parametersVersion },
      ...(lastTestedAt ? { lastTestedAt } : {}),
      ...(dueOn ? { dueOn } : {}),
    },
    ...change,
  })
}

export const untold = (recipient: string, findingId: string, over: Partial<Untold> = {}): Untold => ({
  recipient,
  findingId,
  electrodeId: 'E-1',
  urgent: false,
  old: false,
  queuedAtMs: 1_000,
  ...over,
})

export const upload = (id: string, over: Partial<Upload> = {}): Upload => ({
  id,
  state: 'received',
  fileName: 'surveys.csv',
  archiveKey: `uploads/${id}`,
  byteLength: 10,
  by: 'local:field',
  role: 'field',
  sites: '*',
  receivedAt: NOW,
  options: {},
  ignoredColumns: [],
  checkpoint: 0,
  rowsRead: 0,
  rowsTotal: null,
  surveysAccepted: 0,
  surveysAlreadyThere: 0,
  surveysHeld: 0,
  surveysRefused: 0,
  rowsRefused: 0,
  ...over,
})
