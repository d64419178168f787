import { createBooksReader } from '../../../shared-lib/ledger/books.ts'
import type { KeptSurvey } from '../../../shared-lib/ledger/hand-in.ts'
import type { SurveyRecord } from '../../../shared-lib/ledger/kept/survey.ts'
import { parseSurvey, surveySchema } from '../../../shared-lib/survey/schema.ts'
import { problem } from '../problems.ts'
import { barToSurvey, zoneOf } from '../survey-place.ts'
import { acceptedSurvey, heldSurvey } from './answer-schemas.ts'
import { jsonParts } from './json-parts.ts'
import { apiRoute } from './route.ts'

/** A phone that sends what it kept says whose it is: nobody hands in under another name because the phone changed hands. */
const PERSON_HEADER = 'Stakeline-Person'

const receiptOf = (kept: Pick<SurveyRecord, 'id' | 'survey' | 'contentHash' | 'receivedAt'>) => ({
  id: kept.id,
  surveyRef: kept.survey.surveyRef,
  contentHash: kept.contentHash,
  receivedAt: kept.receivedAt,
})

const named = ({ id, survey, receivedAt }: KeptSurvey) => ({
  id,
  surveyRef: survey.surveyRef,
  electrodeId: survey.electrodeId ?? null,
  testedAt: survey.testedAt,
  receivedAt,
})

const handIn = apiRoute({
  method: 'post',
  path: '/api/surveys',
  summary: 'Hand in one survey; its evaluation is the answer',
  uncheckedJson: surveySchema.meta({ id: 'Survey' }),
  answers: {
    200: { description: 'The same survey was handed in before; nothing was added', schema: acceptedSurvey },
    201: {
      description: 'Stored and judged. Findings against earlier tests follow within seconds',
      schema: acceptedSurvey,
    },
    202: { description: 'Held: the electrode is not in the register yet', schema: heldSurvey },
  },
  problems: ['other-person', 'other-content', 'not-as-described'],
  async handle({ c, deps, person, body }) {
    const madeBy = c.req.header(PERSON_HEADER)
    if (madeBy !== undefined && madeBy !== encodeURIComponent(person.id)) return problem(c, 'other-person')
    const books = createBooksReader(deps.ledger)
    const timeZone = await zoneOf(deps, body, books)
    const read = parseSurvey(body, { timeZone })
    if (!read.ok) return problem(c, 'not-as-described', { errors: jsonParts(read.problems) })
    const { survey } = read
    const barred = await barToSurvey(deps, person, survey, books)
    if (barred) return problem(c, barred)
    const done = await deps.desk.handIn(
      survey,
      {
        via: c.get('signedInBy') === 'session' ? 'form' : 'api',
        by: person.id,
      },
      person.sites,
      books,
    )
    switch (done.kind) {
      case 'stored':
      case 'already-there':
        return c.json(
          { id: done.record.id, ...done.record.judged, receipt: receiptOf(done.record) },
          done.kind === 'stored' ? 201 : 200,
        )
      case 'held':
        return c.json(
          {
            kind: 'held',
            id: done.held.id,
            row: null,
            column: 'electrode_id',
            surveyRef: survey.surveyRef,
            electrodeId: done.held.electrodeId,
            problem: `Electrode "${done.held.electrodeId}" is not in the register. The survey is kept and judged as soon as the electrode is registered; check the id.`,
            receipt: receiptOf(done.held),
          },
          202,
        )
      case 'conflict': {
        const { stored } = done
        return problem(c, 'other-content', {
          detail: `Survey ${survey.surveyRef} tested at ${survey.testedAt} has other content than survey ${stored.survey.surveyRef} tested at ${stored.survey.testedAt}, received ${stored.receivedAt}. The stored one stays. Hand a correction in under a new surveyRef and name the old one in "corrects".`,
          extra: {
            stored: named(stored),
            handedIn: {
              id: done.id,
              surveyRef: survey.surveyRef,
              electrodeId: survey.electrodeId ?? null,
              testedAt: survey.testedAt,
            },
          },
        })
      }
    }
  },
})

export const surveyRoutes = [handIn]
