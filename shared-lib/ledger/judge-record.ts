import { JUDGE_VERSION } from '../evaluate/defaults.ts'
import { evaluateSurvey } from '../evaluate/evaluate-survey.ts'
import { judgedSurvey } from '../evaluate/evaluation.ts'
import { type Books, contextInForce } from '../evaluate/in-force.ts'
import { toPriorTest } from '../history/prior-test.ts'
import { contentHash, surveyId } from '../survey/content-id.ts'
import { type Subject, type Survey, subjectOf } from '../survey/survey.ts'
import type { HeldSurvey, SurveyRecord } from './kept/survey.ts'
import { canonicalJson } from './same-json.ts'
import { shortDigest } from './short-digest.ts'
import type { KnownTest } from './site-history.ts'

/**
 * A survey judged by the books in force when it was made. The books must hold the survey's electrode. With `stored`, its judgement
 * is taken as it is when judge and books are the same as then: most surveys of a long history never change again. `receivedAt` is the
 * instant it was handed in (ISO).
 */
export function judgeByBooks(
  survey: Survey,
  books: Books,
  receivedAt: string,
  stored?: Pick<SurveyRecord, 'judged' | 'judgedBy'>,
): Pick<SurveyRecord, 'judged' | 'judgedBy'> {
  const context = contextInForce(survey, books, Date.parse(receivedAt))
  if (!context) throw new Error(`no register words for electrode ${survey.electrodeId}`)
  const judgedBy = shortDigest(`${JUDGE_VERSION} ${canonicalJson(context)}`)
  if (stored?.judgedBy === judgedBy) return { judged: stored.judged, judgedBy }
  return { judged: judgedSurvey(survey, evaluateSurvey(survey, context)), judgedBy }
}

/** The subject of a survey that has passed the reader; a survey that names none is a bug of the caller. */
export function subjectOrThrow(survey: Survey): Subject {
  const subject = subjectOf(survey)
  if (!subject) throw new Error(`survey ${survey.surveyRef} names no electrode, site or instrument`)
  return subject
}

/** The item to be stored for a survey: identity, content hash, origin and judgement. */
export function recordOf(
  survey: Survey,
  origin: SurveyRecord['receivedFrom'],
  receivedAt: string,
  opened: { siteId: string | null; books: Books; booksAt: string },
): SurveyRecord {
  const subject = subjectOrThrow(survey)
  return {
    id: surveyId(subject, survey.surveyRef),
    subject,
    siteId: opened.siteId,
    survey,
    contentHash: contentHash(survey),
    receivedAt,
    receivedFrom: origin,
    ...judgeByBooks(survey, opened.books, receivedAt),
    booksAt: opened.booksAt,
  }
}

/** The item for a survey whose electrode is not in the register: kept whole until somebody matches it. */
export function heldOf(
  survey: Survey,
  origin: SurveyRecord['receivedFrom'],
  receivedAt: string,
  sites: readonly string[] | '*',
): HeldSurvey {
  const subject = subjectOrThrow(survey)
  return {
    id: surveyId(subject, survey.surveyRef),
    electrodeId: subject.id,
    survey,
    contentHash: contentHash(survey),
    receivedAt,
    receivedFrom: origin,
    ...(sites === '*' ? {} : { sites: [...sites] }),
  }
}

/** What the comparisons to come will know of a stored survey. */
export function knownTestOf(record: SurveyRecord, siteId: string): KnownTest {
  const { survey, judged } = record
  return {
    test: toPriorTest(survey, judged, siteId),
    own: judged.findings.map((f) => ({
      code: f.code,
      severity: f.severity,
      probability: f.probability,
      digest: shortDigest(canonicalJson(f)),
    })),
  }
}
