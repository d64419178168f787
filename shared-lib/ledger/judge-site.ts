import { assessSite } from '../history/assess-site.ts'
import type { Assessment, Parameters, PriorTest } from '../history/assessment.ts'
import { mergeFindings } from '../history/merge-findings.ts'
import { toPriorTest } from '../history/prior-test.ts'
import { byTestDate, type Settling, settledBy } from '../history/settle.ts'
import { dueOn } from '../plan/due.ts'
import type { Finding } from '../survey/finding.ts'
import type { Calibration } from '../survey/register.ts'
import { findingId } from './finding-id.ts'
import { asCompared } from './finding-rows.ts'
import { rulingDecision, stateAfter } from './finding-state.ts'
import { judgeByBooks } from './judge-record.ts'
import type { ElectrodeFile, FindingItem, SurveyRecord } from './ledger.ts'
import { sameJson } from './same-json.ts'

/** What a comparison changes in one electrode's file, and which findings are news. */
export interface FileJudgement {
  /** False when nothing at all differs from what is stored. */
  changed: boolean
  rejudged: SurveyRecord[]
  putFindings: FindingItem[]
  removeFindings: FindingItem[]
  /** Open findings that were not there before, or have become urgent. */
  news: FindingItem[]
  assessment: Assessment
  lastTestedAt?: string
  dueOn?: string
}

interface JudgedFile {
  file: ElectrodeFile
  surveys: SurveyRecord[]
  rejudged: SurveyRecord[]
  tests: PriorTest[]
}

/** Every survey of a file by itself, by the books in force when it was made. */
function judgeAlone(file: ElectrodeFile, calibrations: Calibration[]): JudgedFile {
  const { siteId } = file.record.electrode
  const books = { versions: file.record.versions, limits: file.limits, calibrations }
  const rejudged: SurveyRecord[] = []
  const surveys = file.surveys.map((stored) => {
    const anew = judgeByBooks(stored.survey, books, stored)
    if (anew.judgedBy === stored.judgedBy && stored.siteId === siteId) return stored
    const next = { ...stored, ...anew, siteId }
    rejudged.push(next)
    return next
  })
  const tests = surveys.map((s) => toPriorTest(s.survey, s.judged, siteId)).sort(byTestDate)
  return { file, surveys, rejudged, tests }
}

/** The finding as the review queue keeps it: open until a decision or a later survey closes it. */
function itemOf(
  file: ElectrodeFile,
  settling: Settling,
  survey: SurveyRecord,
  test: PriorTest,
  finding: Finding,
): FindingItem {
  const { electrode } = file.record
  const ref = survey.survey.surveyRef
  const id = findingId(electrode.electrodeId, ref, finding.code)
  const about = file.decisions.filter((d) => d.findingId === id)
  const decided = stateAfter(about)
  const decision = rulingDecision(about)
  const laterSurveyRef = settledBy(finding, test, settling)
  const closedBy =
    decision && decided === 'closed' ? { decision } : laterSurveyRef ? { laterSurveyRef } : undefined
  return {
    ...finding,
    id,
    state: closedBy ? 'closed' : 'open',
    electrodeId: electrode.electrodeId,
    siteId: electrode.siteId,
    surveyRef: ref,
    testedAt: survey.survey.testedAt,
    openedAt: survey.receivedAt,
    ...(electrode.responsibleEmail ? { responsibleEmail: electrode.responsibleEmail } : {}),
    ...(survey.survey.instrumentId ? { instrumentId: survey.survey.instrumentId } : {}),
    ...(survey.survey.tester ? { tester: survey.survey.tester } : {}),
    ...(closedBy ? { closedBy } : {}),
  }
}

function judgementOf(judged: JudgedFile, assessment: Assessment): FileJudgement {
  const { file, surveys, tests, rejudged } = judged
  const testOf = new Map(tests.map((t) => [t.surveyRef, t]))
  const found = surveys.map((survey) => {
    const compared = assessment.findings[survey.survey.surveyRef] ?? []
    return { survey, findings: mergeFindings(survey.judged.findings, compared) }
  })
  const settling: Settling = {
    tests,
    works: file.works,
    // A quiet hint does not take over from what was told aloud.
    codesOf: new Map(
      found.map(({ survey, findings }) => [
        survey.survey.surveyRef,
        new Set(findings.filter((f) => f.severity !== 'notice').map((f) => f.code)),
      ]),
    ),
  }
  const wanted = new Map<string, FindingItem>()
  for (const { survey, findings } of found) {
    const test = testOf.get(survey.survey.surveyRef)!
    for (const finding of findings) {
      if (finding.severity === 'notice') continue
      const item = itemOf(file, settling, survey, test, finding)
      wanted.set(item.id, item)
    }
  }
  const before = new Map(file.findings.map((f) => [f.id, asCompared(f)]))
  const putFindings = [...wanted.values()].filter((f) => !sameJson(f, before.get(f.id)))
  // What no longer follows from the stored surveys goes; its decisions stay as events.
  const removeFindings = file.findings.filter((f) => !wanted.has(f.id))
  const news = putFindings.filter((f) => {
    const old = before.get(f.id)
    return f.state === 'open' && (!old || (f.severity === 'urgent' && old.severity !== 'urgent'))
  })
  const last = tests.findLast((t) => t.outcome === 'tested')
  const lastTestedAt = last && new Date(last.testedAtMs).toISOString()
  const due = dueOn(file.record.electrode, lastTestedAt)
  const changed =
    rejudged.length + putFindings.length + removeFindings.length > 0 ||
    !sameJson(assessment, file.assessment) ||
    lastTestedAt !== file.record.lastTestedAt ||
    due !== file.record.dueOn
  return {
    changed,
    rejudged,
    putFindings,
    removeFindings,
    news,
    assessment,
    ...(lastTestedAt ? { lastTestedAt } : {}),
    ...(due ? { dueOn: due } : {}),
  }
}

/**
 * Judges the files of one site anew: every survey by itself, then each against the others of its electrode and its site. Pure: the
 * same files give the same answer in the same order, and what it returns is only the difference to what is stored.
 */
export function judgeSite(
  files: ElectrodeFile[],
  calibrations: Calibration[],
  parameters: Parameters,
): FileJudgement[] {
  const judged = files.map((file) => judgeAlone(file, calibrations))
  const assessments = assessSite({
    electrodes: judged.map(({ file, tests }) => ({
      electrode: file.record.electrode,
      tests,
      works: file.works,
      decisions: file.decisions,
    })),
    calibrations,
    parameters,
  })
  return judged.map((j) => judgementOf(j, assessments[j.file.record.electrode.electrodeId]!))
}
