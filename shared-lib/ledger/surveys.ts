import { getCheaply } from './get-cheaply.ts'
import { PREFIX, subjectPk, surveyKey } from './keys.ts'
import type { Ledger, SurveyRecord } from './ledger.ts'
import { recentPlace } from './recent.ts'
import { type Row, row } from './rows.ts'
import type { TableAccess } from './table-access.ts'

export const surveyRow = (record: SurveyRecord): Row =>
  row(surveyKey(record.subject, record.survey.surveyRef), { d: record, ...recentPlace(record) })

/** Instants in order of time; text that is no date comes first. */
const byTime = (a: string, b: string): number =>
  (Date.parse(a) || Number.NEGATIVE_INFINITY) - (Date.parse(b) || Number.NEGATIVE_INFINITY) || 0

export const surveysInOrder = (rows: Row[]): SurveyRecord[] =>
  rows
    .map((r) => r.d as SurveyRecord)
    .sort((a, b) => byTime(a.survey.testedAt, b.survey.testedAt) || (a.id < b.id ? -1 : 1))

type SurveysArea = Pick<
  Ledger,
  'putSurvey' | 'putSurveys' | 'getSurvey' | 'getSurveys' | 'surveyHeads' | 'listSurveysOf'
>

/** Surveys, each once and for good under what it is about. */
export function surveysArea(table: TableAccess): SurveysArea {
  return {
    async putSurvey(record) {
      const item = surveyRow(record)
      if (await table.putNew(item)) return { outcome: 'stored', stored: record }
      // Read after the failed condition: the table does not hand back what was in the way.
      const there = await table.get(item)
      if (!there)
        throw new Error(`The survey ${record.id} was in the way and is gone: surveys are never removed.`)
      const stored = there.d as SurveyRecord
      return { outcome: stored.contentHash === record.contentHash ? 'already-there' : 'conflict', stored }
    },
    putSurveys: (records) => table.writeMany(records.map(surveyRow)),
    async getSurvey(subject, surveyRef) {
      const stored = await table.get(surveyKey(subject, surveyRef))
      return stored && (stored.d as SurveyRecord)
    },
    async getSurveys(keys, { strong } = { strong: true }) {
      const wanted = keys.map((k) => surveyKey(k.subject, k.surveyRef))
      const found = strong ? await table.getMany(wanted) : await getCheaply(table, wanted)
      return [...found.values()].map((r) => r.d as SurveyRecord)
    },
    async surveyHeads(subject) {
      const rows = await table.queryAll({
        partition: subjectPk(subject),
        prefix: PREFIX.survey,
        only: ['d.survey.surveyRef', 'd.contentHash', 'd.receivedFrom'],
      })
      return new Map(rows.map((r) => r.d as SurveyRecord).map((d) => [d.survey.surveyRef, d] as const))
    },
    async listSurveysOf(subject) {
      return surveysInOrder(await table.queryAll({ partition: subjectPk(subject), prefix: PREFIX.survey }))
    },
  }
}
