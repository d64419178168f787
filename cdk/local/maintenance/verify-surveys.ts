import type { Difference } from '../../../functions/cli/one-machine.ts'
import type { Books } from '../../../shared-lib/evaluate/in-force.ts'
import { createBooksReader } from '../../../shared-lib/ledger/books.ts'
import { judgeByBooks } from '../../../shared-lib/ledger/judge-record.ts'
import type { SurveyRecord } from '../../../shared-lib/ledger/kept/survey.ts'
import type { Ledger } from '../../../shared-lib/ledger/ledger.ts'
import { sameJson } from '../../../shared-lib/ledger/same-json.ts'
import { contentHash } from '../../../shared-lib/survey/content-id.ts'
import type { Subject } from '../../../shared-lib/survey/survey.ts'

/** As the table gives it back: what is undefined is not there. */
const stored = (value: unknown): unknown => JSON.parse(JSON.stringify(value))

/** One stored survey judged anew by itself. Returns the record as it should be. */
export function verifySurvey(
  record: SurveyRecord,
  books: Books,
  tell: (difference: Difference) => void,
): SurveyRecord {
  const at = { kind: 'difference' as const, subject: record.subject.id, surveyRef: record.survey.surveyRef }
  if (contentHash(record.survey) !== record.contentHash)
    tell({ ...at, what: 'content', problem: 'the stored survey is not the one that was handed in.' })
  const anew = judgeByBooks(record.survey, books, record.receivedAt)
  const differing = Object.keys({ ...record.judged, ...anew.judged }).filter((key) => {
    const [is, shall] = [record.judged, anew.judged].map(
      (j) => (j as unknown as Record<string, unknown>)[key],
    )
    return !sameJson(stored(is ?? null), stored(shall ?? null))
  })
  if (differing.length > 0)
    tell({
      ...at,
      what: 'survey',
      problem: `the stored evaluation is not what follows from the survey: ${differing.join(', ')}.`,
    })
  return { ...record, ...anew }
}

/** The surveys of a site or an instrument, which no electrode's assessment reads. Returns how many. */
export async function verifySurveysOf(
  ledger: Ledger,
  subject: Subject,
  tell: (difference: Difference) => void,
): Promise<number> {
  const records = await ledger.listSurveysOf(subject)
  const reader = createBooksReader(ledger)
  for (const record of records) {
    const found = await reader.booksFor(record.survey)
    if (found) verifySurvey(record, found.books, tell)
  }
  return records.length
}
