import { assessSite } from '../history/assess-site.ts'
import type { Assessment, Decision, Parameters } from '../history/assessment.ts'
import { mergeFindings } from '../history/merge-findings.ts'
import { type Settling, settledBy } from '../history/settle.ts'
import { dueOn, earlierDay } from '../plan/due.ts'
import type { Finding } from '../survey/finding.ts'
import type { Calibration } from '../survey/register.ts'
import { rulingDecision, stateAfter } from './finding-state.ts'
import type { FindingState } from './kept/finding.ts'
import { type AskingFinding, retestRequestOf } from './retest-request.ts'
import { canonicalJson } from './same-json.ts'
import { shortDigest } from './short-digest.ts'
import type { ElectrodeHistory, KnownTest, OwnFinding } from './site-history.ts'

/**
 * A finding that belongs into the review queue, as far as the judgement of the site knows it: of a survey's own finding only what
 * the short history keeps (`own`), the words are with the survey.
 */
export interface WantedFinding {
  surveyRef: string
  finding: Finding
  own: OwnFinding | null
  state: FindingState
  closedBy?: { decision: Decision } | { laterSurveyRef: string }
  /** Was not there before, or was less grave: somebody is to be told if it is open. */
  graver: boolean
  /** Is one of this survey and code stored? */
  known: boolean
}

/** What a comparison makes of one electrode. */
export interface ElectrodeJudgement {
  next: ElectrodeHistory
  assessment: Assessment
  /** Does the stored assessment say something else? */
  assessmentChanged: boolean
  /** Those that are not stored as they should be. */
  put: WantedFinding[]
  remove: { surveyRef: string; code: string }[]
}

/** Stands for a stored finding: how grave, open or not, and a digest of all it says. */
const findingDigest = (
  w: Omit<WantedFinding, 'graver' | 'known'>,
  electrode: ElectrodeHistory['electrode'],
): string =>
  `${w.finding.severity === 'urgent' ? 'u' : 'w'}${w.state === 'open' ? 'o' : 'c'}${shortDigest(
    canonicalJson([
      w.own?.digest ?? w.finding,
      w.closedBy ?? null,
      electrode.siteId,
      electrode.responsibleEmail ?? null,
    ]),
  )}`

/** A survey's own finding with the words left out. */
const wordless = (f: OwnFinding): Finding => ({
  code: f.code,
  severity: f.severity,
  probability: f.probability,
  message: '',
  advice: [],
  evidence: {},
})

function wantedOf(
  history: ElectrodeHistory,
  assessment: Assessment,
): Omit<WantedFinding, 'graver' | 'known'>[] {
  const { tests, decisions } = history
  const found = tests.map(({ test, own }) => {
    const bare = new Map(own.map((f) => [wordless(f), f]))
    const merged = mergeFindings([...bare.keys()], assessment.findings[test.surveyRef] ?? [])
    return { test, findings: merged.map((finding) => ({ finding, own: bare.get(finding) ?? null })) }
  })
  const settling: Settling = {
    tests: tests.map((t) => t.test),
    works: history.works,
    // A quiet hint does not take over from what was told aloud.
    codesOf: new Map(
      found.map(({ test, findings }) => [
        test.surveyRef,
        new Set(findings.filter((f) => f.finding.severity !== 'notice').map((f) => f.finding.code)),
      ]),
    ),
  }
  return found.flatMap(({ test, findings }) =>
    findings
      .filter((f) => f.finding.severity !== 'notice')
      .map(({ finding, own }) => {
        const about = decisions.filter((d) => d.surveyRef === test.surveyRef && d.code === finding.code)
        const decision = rulingDecision(about)
        const laterSurveyRef = settledBy(finding, test, settling)
        const closedBy =
          decision && stateAfter(about) === 'closed'
            ? { decision }
            : laterSurveyRef
              ? { laterSurveyRef }
              : undefined
        const state: FindingState = closedBy ? 'closed' : 'open'
        return { surveyRef: test.surveyRef, finding, own, state, ...(closedBy ? { closedBy } : {}) }
      }),
  )
}

function judgementOf(history: ElectrodeHistory, assessment: Assessment): ElectrodeJudgement {
  const put: WantedFinding[] = []
  const findings: ElectrodeHistory['findings'] = {}
  const open: AskingFinding[] = []
  for (const wanted of wantedOf(history, assessment)) {
    const { surveyRef, finding } = wanted
    if (wanted.state === 'open')
      open.push({ surveyRef, code: finding.code, confirms: 'confirms' in finding.evidence })
    const digest = findingDigest(wanted, history.electrode)
    findings[surveyRef] ??= {}
    findings[surveyRef][finding.code] = digest
    const before = history.findings[surveyRef]?.[finding.code]
    if (before === digest) continue
    const graver = !before || (digest[0] === 'u' && before[0] !== 'u')
    put.push({ ...wanted, graver, known: before !== undefined })
  }
  // What no longer follows from the stored surveys goes; its decisions stay as events.
  const remove = Object.entries(history.findings).flatMap(([surveyRef, codes]) =>
    Object.keys(codes)
      .filter((code) => !findings[surveyRef]?.[code])
      .map((code) => ({ surveyRef, code })),
  )
  // A test whose date cannot be right puts nothing off.
  const last = history.tests.findLast(
    ({ test, own }) => test.outcome === 'tested' && !own.some((f) => f.code === 'impossible-date'),
  )?.test
  const lastTestedAt = last && new Date(last.testedAtMs).toISOString()
  const tests = history.tests.map((t) => t.test)
  const retest = retestRequestOf(open, tests, history.decisions)
  const due = earlierDay(dueOn(history.electrode, lastTestedAt), retest?.dueOn)
  const quiet = Object.keys(assessment.findings).length === 0
  const assessmentDigest = quiet ? '' : shortDigest(canonicalJson(assessment.findings))
  const { lastTestedAt: _, dueOn: __, retest: ___, ...rest } = history
  return {
    assessment,
    assessmentChanged: assessmentDigest !== history.assessmentDigest,
    put,
    remove,
    next: {
      ...rest,
      series: assessment.series,
      parametersVersion: assessment.parametersVersion,
      findings,
      assessmentDigest,
      ...(lastTestedAt ? { lastTestedAt } : {}),
      ...(due ? { dueOn: due } : {}),
      ...(retest ? { retest } : {}),
    },
  }
}

/**
 * Judges the electrodes of one site against their own earlier tests and each other's. Pure: the same histories give the same answer,
 * and what it asks to be written is only the difference to what the histories say is stored.
 */
export function judgeSite(
  histories: readonly ElectrodeHistory[],
  calibrations: readonly Calibration[],
  parameters: Parameters,
): ElectrodeJudgement[] {
  const assessments = assessSite({
    electrodes: histories.map(({ electrode, tests, works, decisions }) => ({
      electrode,
      tests: tests.map((t: KnownTest) => t.test),
      works,
      decisions,
    })),
    calibrations: [...calibrations],
    parameters,
  })
  return histories.map((h) => judgementOf(h, assessments[h.electrode.electrodeId]!))
}
