import { assessElectrode } from '../history/assess-electrode.ts'
import type { Assessment, Parameters, PeerTest } from '../history/assessment.ts'
import { mergeFindings } from '../history/merge-findings.ts'
import { toPriorTest } from '../history/prior-test.ts'
import { byTestDate, settledBy } from '../history/settle.ts'
import { dueOn } from '../plan/due.ts'
import type { Calibration } from '../survey/register.ts'
import { findingId } from './finding-id.ts'
import { rulingDecision, stateAfter } from './finding-state.ts'
import { judgeByBooks } from './judge-record.ts'
import type { ElectrodeFile, FindingItem, SurveyRecord } from './ledger.ts'
import { sameJson } from './same-json.ts'

/** What a comparison changes in the ledger, and which findings are news. */
export interface FileJudgement {
  rejudged: SurveyRecord[]
  putFindings: FindingItem[]
  removeFindings: FindingItem[]
  /** Open findings that were not there before, or have become urgent. */
  news: FindingItem[]
  assessment: Assessment
  lastTestedAt?: string
  dueOn?: string
}

/**
 * Judges an electrode's whole file anew: every survey by the books in force, then each against the others. Pure: the same file
 * gives the same answer, so it may be repeated at any time, and what it returns is only the difference to what is stored.
 */
export function judgeFile(
  file: ElectrodeFile,
  calibrations: Calibration[],
  peers: PeerTest[],
  parameters: Parameters,
): FileJudgement {
  const { record, decisions } = file
  const { electrode } = record
  const books = { versions: record.versions, limits: file.limits, calibrations }
  const alone = file.surveys.map((stored) => ({ stored, judged: judgeByBooks(stored.survey, books) }))
  const tests = alone
    .map(({ stored, judged }) => toPriorTest(stored.survey, judged, electrode.siteId))
    .sort(byTestDate)
  const assessment = assessElectrode({
    electrode,
    tests,
    works: file.works,
    decisions,
    peers,
    calibrations,
    parameters,
  })

  const rejudged: SurveyRecord[] = []
  const wanted = new Map<string, FindingItem>()
  for (const { stored, judged } of alone) {
    const ref = stored.survey.surveyRef
    const findings = mergeFindings(judged.findings, assessment.findings[ref] ?? [])
    const next = { ...stored, siteId: electrode.siteId, judged: { ...judged, findings } }
    if (!sameJson(next, stored)) rejudged.push(next)
    const test = tests.find((t) => t.surveyRef === ref)!
    for (const finding of findings) {
      if (finding.severity === 'notice') continue
      const id = findingId(electrode.electrodeId, ref, finding.code)
      const about = decisions.filter((d) => d.findingId === id)
      const later = settledBy(finding.code, test, tests)
      const decided = stateAfter(about)
      const ruling = rulingDecision(about)
      wanted.set(id, {
        ...finding,
        id,
        state: decided === 'closed' || later ? 'closed' : 'open',
        electrodeId: electrode.electrodeId,
        siteId: electrode.siteId,
        surveyRef: ref,
        testedAt: stored.survey.testedAt,
        openedAt: stored.receivedAt,
        ...(electrode.responsibleEmail ? { responsibleEmail: electrode.responsibleEmail } : {}),
        ...(ruling && decided === 'closed'
          ? { closedBy: { decision: ruling } }
          : later
            ? { closedBy: { laterSurveyRef: later } }
            : {}),
      })
    }
  }

  const before = new Map(file.findings.map((f) => [f.id, f]))
  const putFindings = [...wanted.values()].filter((f) => !sameJson(f, before.get(f.id)))
  const news = putFindings.filter((f) => {
    const old = before.get(f.id)
    return f.state === 'open' && (!old || (f.severity === 'urgent' && old.severity !== 'urgent'))
  })
  const lastTestedAt = tests.findLast((t) => t.outcome === 'tested')
  const lastIso = lastTestedAt && new Date(lastTestedAt.testedAtMs).toISOString()
  const due = dueOn(electrode, lastIso)
  return {
    rejudged,
    putFindings,
    // What no longer follows from the stored surveys goes; its decisions stay as events.
    removeFindings: file.findings.filter((f) => !wanted.has(f.id)),
    news,
    assessment,
    ...(lastIso ? { lastTestedAt: lastIso } : {}),
    ...(due ? { dueOn: due } : {}),
  }
}
