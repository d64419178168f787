import { hash } from 'node:crypto'
import type { ResistorCheck } from '../../../shared-lib/history/resistor-check.ts'
import { contentText, surveyIdText } from '../../../shared-lib/survey/content-id.ts'
import { type Refused, refusedAt } from '../../../shared-lib/survey/refused.ts'
import { subjectOf } from '../../../shared-lib/survey/survey.ts'
import type { Spill } from '../files/spill.ts'
import { createColumn } from './column.ts'
import type { JudgedLine, ToJudge } from './judge-survey.ts'
import type { CheckRecord } from './record.ts'
import type { SurveyFileSink } from './survey-file.ts'
import { createSurveyIdentity } from './survey-identity.ts'
import { countSurvey, type Tally } from './tally.ts'
import type { TestIndex } from './test-index.ts'

export interface Judging {
  /** Judges these surveys, in this thread or another. */
  judge(surveys: ToJudge[]): JudgedLine[] | Promise<JudgedLine[]>
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

export interface Judge extends SurveyFileSink {
  /** When all that was handed over is judged and put aside. */
  settled(): Promise<void>
}

/** Surveys judged in one go: few enough for memory, enough that handing them over costs little. */
const BATCH = 200
/** Batches under way before reading waits. */
const MOST_UNDER_WAY = 4

/**
 * The first stage: each survey by itself. What it needs of the survey afterwards goes to disk, in the order of the input whoever judges;
 * memory keeps some 60 bytes a survey.
 */
export function createJudge(run: Judging): Judge {
  const { fileNames, records, tests, index, tally, checks } = run
  const identity = createSurveyIdentity()
  const rowOf = createColumn(Uint32Array)
  const fileOf = createColumn(Uint32Array)
  const inFile = (file: number): { file?: string } => (fileNames.length > 1 ? { file: fileNames[file]! } : {})

  /** In the order of the output: a survey to be judged, or a record that is ready. */
  let batch: (ToJudge | string)[] = []
  let underWay = 0
  let before = Promise.resolve()
  let recordCount = 0

  const put = (entry: ToJudge | string): Promise<void> | undefined => {
    batch.push(entry)
    if (batch.length >= BATCH) handOver()
    return underWay > MOST_UNDER_WAY ? before : undefined
  }
  const handOver = (): void => {
    const sent = batch
    batch = []
    underWay++
    const judged = run.judge(sent.filter((entry) => typeof entry !== 'string'))
    before = Promise.all([judged, before]).then(([lines]) => {
      putAside(sent, lines)
      underWay--
    })
    // A failure is thrown to whoever waits, now or at the end.
    before.catch(() => {})
  }
  const putAside = (sent: readonly (ToJudge | string)[], lines: readonly JudgedLine[]): void => {
    let nth = 0
    for (const entry of sent) {
      const record = recordCount++
      if (typeof entry === 'string') {
        records.append(entry)
        continue
      }
      const { line, judged, test, check } = lines[nth++]!
      records.append(line)
      if (judged) countSurvey(tally, judged)
      else tally.held++
      if (check) checks.push(check)
      if (test) index.add(test.siteId, test.electrodeId, { record, place: tests.append(test.json) })
    }
  }

  /** Several problems of one row are one row refused. */
  let lastRefused = ''
  const refuse = (record: CheckRecord, at: string): Promise<void> | undefined => {
    if (at !== lastRefused) tally.refusedRows++
    lastRefused = at
    return put(JSON.stringify(record))
  }

  return {
    refused: (refused, file) => refuse({ ...refused, ...inFile(file) }, `${file} ${refused.row}`),
    refusedInTable: (refused: Refused, table) =>
      refuse({ ...refused, file: table }, `${table} ${refused.row}`),
    survey({ survey, row, file }) {
      const subject = subjectOf(survey)
      if (!subject) throw new Error(`survey ${survey.surveyRef} names no electrode, site or instrument`)
      const place = rowOf.length
      // As `surveyId` and `contentHash`, by the platform's own SHA-256: in pure JavaScript it costs as much as judging does.
      const id = hash('sha256', surveyIdText(subject, survey.surveyRef))
      const met = identity.meet(id, hash('sha256', contentText(survey)), place)
      if (met.kind === 'same') {
        tally.repeated++
        return undefined
      }
      if (met.kind === 'conflict') {
        const earlier = `${rowOf.at(met.place)}${fileNames.length > 1 ? ` of ${fileNames[fileOf.at(met.place)]}` : ''}`
        const at = { row, column: 'survey_ref', value: survey.surveyRef, surveyRef: survey.surveyRef }
        return this.refused(refusedAt(at, 'survey-conflict', { detail: earlier }), file)
      }
      rowOf.push(row)
      fileOf.push(file)
      return put({ survey, row, ...inFile(file) })
    },
    async settled() {
      if (batch.length > 0) handOver()
      await before
    },
  }
}
