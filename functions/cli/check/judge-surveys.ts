import { hash } from 'node:crypto'
import { evaluateSurvey } from '../../../shared-lib/evaluate/evaluate-survey.ts'
import { judgedSurvey } from '../../../shared-lib/evaluate/evaluation.ts'
import { contextInForce } from '../../../shared-lib/evaluate/in-force.ts'
import { mergeFindings } from '../../../shared-lib/history/merge-findings.ts'
import { toPriorTest } from '../../../shared-lib/history/prior-test.ts'
import { type ResistorCheck, resistorCheckOf } from '../../../shared-lib/history/resistor-check.ts'
import { contentText, surveyIdText } from '../../../shared-lib/survey/content-id.ts'
import { type Refused, refusedAt } from '../../../shared-lib/survey/refused.ts'
import { subjectOf } from '../../../shared-lib/survey/survey.ts'
import type { Spill } from '../files/spill.ts'
import { booksFor, type RegisterBooks } from './books.ts'
import { createColumn } from './column.ts'
import type { CheckRecord } from './record.ts'
import type { SurveyFileSink } from './survey-file.ts'
import { createSurveyIdentity } from './survey-identity.ts'
import { countSurvey, type Tally } from './tally.ts'
import type { TestIndex } from './test-index.ts'

export interface Judging {
  register: RegisterBooks
  /** Names of the survey files, to say where a survey was; told only when there are several. */
  fileNames: readonly string[]
  /** Every record of the output, in order, its findings still without those against prior tests. */
  records: Spill
  tests: Spill
  index: TestIndex
  tally: Tally
  /** Readings of known resistors are put here. */
  checks: ResistorCheck[]
}

/** The first stage: each survey by itself. What it needs of the survey afterwards goes to disk; memory keeps some 60 bytes a survey. */
export function createJudge(run: Judging): SurveyFileSink {
  const { register, fileNames, records, tests, index, tally, checks } = run
  const identity = createSurveyIdentity()
  const rowOf = createColumn(Uint32Array)
  const fileOf = createColumn(Uint32Array)
  let recordCount = 0

  const write = (record: CheckRecord): number => {
    records.append(JSON.stringify(record))
    return recordCount++
  }
  const inFile = (file: number): { file?: string } => (fileNames.length > 1 ? { file: fileNames[file]! } : {})

  /** Several problems of one row are one row refused. */
  let lastRefused = ''
  const count = (at: string): void => {
    if (at !== lastRefused) tally.refusedRows++
    lastRefused = at
  }
  const refuse = (refused: Refused, file: number): void => {
    write({ ...refused, ...inFile(file) })
    count(`${file} ${refused.row}`)
  }

  return {
    refused: refuse,
    refusedInTable(refused, table) {
      write({ ...refused, file: table })
      count(`${table} ${refused.row}`)
    },
    survey({ survey, row, file }) {
      const subject = subjectOf(survey)
      if (!subject) throw new Error(`survey ${survey.surveyRef} names no electrode, site or instrument`)
      const place = rowOf.length
      // As `surveyId` and `contentHash`, by the platform's own SHA-256: in pure JavaScript it costs as much as judging does.
      const id = hash('sha256', surveyIdText(subject, survey.surveyRef))
      const met = identity.meet(id, hash('sha256', contentText(survey)), place)
      if (met.kind === 'same') {
        tally.repeated++
        return
      }
      if (met.kind === 'conflict') {
        const before = `${rowOf.at(met.place)}${fileNames.length > 1 ? ` of ${fileNames[fileOf.at(met.place)]}` : ''}`
        const at = { row, column: 'survey_ref', value: survey.surveyRef, surveyRef: survey.surveyRef }
        refuse(refusedAt(at, 'survey-conflict', { detail: before }), file)
        return
      }
      rowOf.push(row)
      fileOf.push(file)

      const found = booksFor(survey, register)
      const context = found && contextInForce(survey, found.books)
      if (!found || !context) {
        tally.held++
        write({
          kind: 'held',
          ...inFile(file),
          row,
          column: 'electrode_id',
          surveyRef: survey.surveyRef,
          electrodeId: subject.id,
          problem: `The electrode ${subject.id} is not in the register, so this survey waits. Add the electrode to the register, or correct its id here.`,
        })
        return
      }
      const check = resistorCheckOf(survey)
      if (check) checks.push(check)
      const evaluation = evaluateSurvey(survey, context)
      const judged = judgedSurvey(survey, { ...evaluation, findings: mergeFindings(evaluation.findings, []) })
      const record = write(judged)
      countSurvey(tally, judged)
      if (found.electrodeId !== null)
        index.add(found.siteId, found.electrodeId, {
          record,
          place: tests.append(JSON.stringify(toPriorTest(survey, evaluation, found.siteId))),
        })
    },
  }
}
