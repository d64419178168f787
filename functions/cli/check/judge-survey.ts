import { evaluateSurvey } from '../../../shared-lib/evaluate/evaluate-survey.ts'
import { judgedSurvey, type Validity } from '../../../shared-lib/evaluate/evaluation.ts'
import { contextInForce } from '../../../shared-lib/evaluate/in-force.ts'
import { mergeFindings } from '../../../shared-lib/history/merge-findings.ts'
import { toPriorTest } from '../../../shared-lib/history/prior-test.ts'
import { type ResistorCheck, resistorCheckOf } from '../../../shared-lib/history/resistor-check.ts'
import type { Severity } from '../../../shared-lib/survey/finding.ts'
import { type Survey, subjectOf } from '../../../shared-lib/survey/survey.ts'
import { booksFor, type RegisterBooks } from './books.ts'
import type { CheckRecord } from './record.ts'

export interface ToJudge {
  survey: Survey
  row: number
  /** Name of its file, where there are several. */
  file?: string
}

/** What is kept of a survey once it is judged. Plain data, so that another thread can make it. */
export interface JudgedLine {
  /** Its record of the output as JSON, still without findings against prior tests. */
  line: string
  /** Null for a survey that is held. */
  judged: { validity: Validity; severities: Severity[] } | null
  /** The `PriorTest` as JSON, for a survey of an electrode. */
  test: { siteId: string; electrodeId: string; json: string } | null
  check: ResistorCheck | null
}

/** One survey by itself. Pure: it may run in any thread. */
export function judgeSurvey({ survey, row, file }: ToJudge, register: RegisterBooks): JudgedLine {
  const found = booksFor(survey, register)
  const context = found && contextInForce(survey, found.books, register.readAtMs)
  if (!found || !context) return held(survey, row, file)
  const evaluation = evaluateSurvey(survey, context)
  const record: CheckRecord = judgedSurvey(survey, {
    ...evaluation,
    findings: mergeFindings(evaluation.findings, []),
  })
  const { siteId, electrodeId } = found
  return {
    line: JSON.stringify(record),
    judged: { validity: record.validity, severities: record.findings.map((f) => f.severity) },
    test:
      electrodeId === null
        ? null
        : { siteId, electrodeId, json: JSON.stringify(toPriorTest(survey, evaluation, siteId)) },
    check: resistorCheckOf(survey),
  }
}

function held(survey: Survey, row: number, file: string | undefined): JudgedLine {
  const electrodeId = subjectOf(survey)!.id
  const record: CheckRecord = {
    kind: 'held',
    ...(file === undefined ? {} : { file }),
    row,
    column: 'electrode_id',
    surveyRef: survey.surveyRef,
    electrodeId,
    problem: `The electrode ${electrodeId} is not in the register, so this survey waits. Add the electrode to the register, or correct its id here.`,
  }
  return { line: JSON.stringify(record), judged: null, test: null, check: null }
}
