import { getCheaply } from './get-cheaply.ts'
import type { SurveyRecord } from './kept/survey.ts'
import { PREFIX, subjectPk, surveyKey } from './keys.ts'
import type { Ledger } from './ledger.ts'
import { recentPlace } from './recent.ts'
import { type Row, row } from './rows.ts'
import { squeezedSurvey, unsqueezedSurvey } from './squeeze.ts'
import { storableItem } from './storable.ts'
import type { TableAccess } from './table-access.ts'

/** Squeezed, which makes of two or three write units one. Throws `item-too-large` for what would not fit as it is. */
export function surveyRow(record: SurveyRecord): Row {
  const key = surveyKey(record.subject, record.survey.surveyRef)
  const { d } = storableItem({ ...key, d: record })
  return row(key, { z: squeezedSurvey(JSON.stringify(d)), ...recentPlace(record) })
}

/** Up to schema version 2 a survey was kept as it is. */
export const recordOfSurvey = (r: Row): SurveyRecord =>
  r.z === undefined
    ? (r.d as SurveyRecord)
    : (JSON.parse(unsqueezedSurvey(r.z as Uint8Array)) as SurveyRecord)

/** Instants in order of time; text that is no date comes first. */
const byTime = (a: string, b: string): number =>
  (Date.parse(a) || Number.NEGATIVE_INFINITY) - (Date.parse(b) || Number.NEGATIVE_INFINITY) || 0

export const surveysInOrder = (rows: Row[]): SurveyRecord[] =>
  rows
    .map(recordOfSurvey)
    .sort((a, b) => byTime(a.survey.testedAt, b.survey.testedAt) || (a.id < b.id ? -1 : 1))

type SurveysArea = Pick<
  Ledger,
  'putSurvey' | 'putSurveys' | 'getSurvey' | 'getSurveys' | 'surveysThere' | 'listSurveysOf'
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
      const stored = recordOfSurvey(there)
      return { outcome: stored.contentHash === record.contentHash ? 'already-there' : 'conflict', stored }
    },
    putSurveys: (records) => table.writeMany(records.map(surveyRow)),
    async getSurvey(subject, surveyRef) {
      const stored = await table.get(surveyKey(subject, surveyRef))
      return stored && recordOfSurvey(stored)
    },
    async getSurveys(keys, { strong } = { strong: true }) {
      const wanted = keys.map((k) => surveyKey(k.subject, k.surveyRef))
      const found = strong ? await table.getMany(wanted) : await getCheaply(table, wanted)
      return [...found.values()].map(recordOfSurvey)
    },
    async surveysThere(subject) {
      const rows = await table.queryAll({ partition: subjectPk(subject), prefix: PREFIX.survey })
      const bySortKey = new Map(rows.map((r) => [r.sk, r]))
      return {
        count: rows.length,
        withRef(surveyRef) {
          const there = bySortKey.get(surveyKey(subject, surveyRef).sk)
          return there ? recordOfSurvey(there) : null
        },
      }
    },
    async listSurveysOf(subject) {
      return surveysInOrder(await table.queryAll({ partition: subjectPk(subject), prefix: PREFIX.survey }))
    },
  }
}
