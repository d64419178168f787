import { JUDGE_VERSION } from '../evaluate/defaults.ts'
import { evaluateSurvey } from '../evaluate/evaluate-survey.ts'
import { judgedSurvey } from '../evaluate/evaluation.ts'
import { type Books, contextInForce } from '../evaluate/in-force.ts'
import { contentHash, surveyId } from '../survey/content-id.ts'
import { sha256Hex } from '../survey/sha256.ts'
import { type Subject, type Survey, subjectOf } from '../survey/survey.ts'
import type { HeldSurvey, PeerEntry, SurveyRecord } from './ledger.ts'
import { canonicalJson } from './same-json.ts'

/**
 * A survey judged by the books in force when it was made. The books must hold the survey's electrode. With `stored`, its judgement
 * is taken as it is when judge and books are the same as then: most surveys of a long history never change again.
 */
export function judgeByBooks(
  survey: Survey,
  books: Books,
  stored?: Pick<SurveyRecord, 'judged' | 'judgedBy'>,
): Pick<SurveyRecord, 'judged' | 'judgedBy'> {
  const context = contextInForce(survey, books)
  if (!context) throw new Error(`no register words for electrode ${survey.electrodeId}`)
  const judgedBy = sha256Hex(`${JUDGE_VERSION} ${canonicalJson(context)}`).slice(0, 16)
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
  siteId: string | null,
  books: Books,
): SurveyRecord {
  const subject = subjectOrThrow(survey)
  return {
    id: surveyId(subject, survey.surveyRef),
    subject,
    siteId,
    survey,
    contentHash: contentHash(survey),
    receivedAt,
    receivedFrom: origin,
    ...judgeByBooks(survey, books),
  }
}

/** The item for a survey whose electrode is not in the register: kept whole until somebody matches it. */
export function heldOf(survey: Survey, origin: SurveyRecord['receivedFrom'], receivedAt: string): HeldSurvey {
  const subject = subjectOrThrow(survey)
  return {
    id: surveyId(subject, survey.surveyRef),
    electrodeId: subject.id,
    survey,
    contentHash: contentHash(survey),
    receivedAt,
    receivedFrom: origin,
  }
}

/** What the site's and the instrument's other tests may know of this one; null for a survey that is not about an electrode. */
export function peerEntryOf(record: SurveyRecord): PeerEntry | null {
  if (record.subject.kind !== 'electrode' || !record.siteId) return null
  const ohm = record.judged.resistanceOhm
  return {
    electrodeId: record.subject.id,
    siteId: record.siteId,
    surveyRef: record.survey.surveyRef,
    testedAt: record.survey.testedAt,
    measuredAs: record.survey.measuredAs,
    ...(record.survey.instrumentId ? { instrumentId: record.survey.instrumentId } : {}),
    lnOhm: ohm !== null && ohm > 0 ? Math.log(ohm) : null,
    validity: record.judged.validity,
  }
}
