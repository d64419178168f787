import type { Hono } from 'hono'
import { contextInForce } from '../../../../shared-lib/evaluate/in-force.ts'
import { createBooksReader } from '../../../../shared-lib/ledger/books.ts'
import type { SurveyRecord } from '../../../../shared-lib/ledger/kept/survey.ts'
import { seesSite } from '../../../../shared-lib/ports/identity.ts'
import { type Finding, SEVERITIES } from '../../../../shared-lib/survey/finding.ts'
import type { Electrode } from '../../../../shared-lib/survey/register.ts'
import { barToRead } from '../../access.ts'
import type { WebDeps } from '../../deps.ts'
import type { WebEnv } from '../../web-env.ts'
import { office } from '../office.ts'
import { type PageCall, pathPart, queryPart, respond, respondProblem, signedIn } from '../respond.ts'
import { paths } from '../view/paths.ts'
import type { SurveyPageParts } from './survey-page.ts'

/** One survey's page: of an electrode, of a site (soil) or of an instrument (check). */
export function registerSurveys(app: Hono<WebEnv>, deps: WebDeps): void {
  app.get('/electrodes/:id/surveys/:ref', signedIn(deps, electrodeSurvey))
  app.get('/electrodes/:id/surveys/:ref/record', signedIn(deps, printed))
  for (const kind of ['site', 'instrument'] as const) {
    app.get(
      `/${kind}s/:id/surveys/:ref`,
      signedIn(deps, (call) => otherSurvey(call, kind, 'page')),
    )
    app.get(
      `/${kind}s/:id/surveys/:ref/record`,
      signedIn(deps, (call) => otherSurvey(call, kind, 'record')),
    )
  }
}

async function electrodeSurvey(call: PageCall): Promise<Response> {
  const { c, deps, person } = call
  const file = await deps.ledger.readElectrodeFile(pathPart(c, 'id'))
  if (!file) return respondProblem(c, deps, 'not-found')
  const barred = barToRead(person, file.record.electrode)
  if (barred) return respondProblem(c, deps, barred)
  const ref = pathPart(c, 'ref')
  const record = file.surveys.find((r) => r.survey.surveyRef === ref)
  if (!record) return respondProblem(c, deps, 'not-found', `No survey ${ref} of this electrode is stored.`)
  const { findingsOf } = await office()
  return show(call, record, {
    findings: findingsOf(file, record),
    // A test that was not made is not compared with anything.
    comparing: record.survey.outcome === 'tested' && !file.compared.has(ref),
    decisions: file.decisions.filter((d) => d.surveyRef === ref),
    correctedBy: file.surveys.find((r) => r.survey.corrects === ref)?.survey.surveyRef,
    mayCorrect: true,
  })
}

/** The test record of one survey of an electrode, to be printed. */
async function printed(call: PageCall): Promise<Response> {
  const { c, deps, person } = call
  const file = await deps.ledger.readElectrodeFile(pathPart(c, 'id'))
  const ref = pathPart(c, 'ref')
  const record = file?.surveys.find((r) => r.survey.surveyRef === ref)
  if (!file || !record) return respondProblem(c, deps, 'not-found')
  const barred = barToRead(person, file.record.electrode)
  if (barred) return respondProblem(c, deps, barred)
  const { findingsOf } = await office()
  return print(call, record, file.record.electrode, findingsOf(file, record))
}

async function otherSurvey(
  call: PageCall,
  kind: 'site' | 'instrument',
  as: 'page' | 'record',
): Promise<Response> {
  const { c, deps, person } = call
  const id = pathPart(c, 'id')
  if (kind === 'site' && !seesSite(person, id)) return respondProblem(c, deps, 'site-not-allowed')
  const record = await deps.ledger.getSurvey({ kind, id }, pathPart(c, 'ref'))
  if (!record) return respondProblem(c, deps, 'not-found')
  const findings = [...record.judged.findings].sort(
    (a, b) => SEVERITIES.indexOf(b.severity) - SEVERITIES.indexOf(a.severity),
  )
  return as === 'record'
    ? print(call, record, null, findings)
    : show(call, record, { findings, comparing: false, mayCorrect: false })
}

async function print(
  { c, deps, frame }: PageCall,
  record: SurveyRecord,
  electrode: Electrode | null,
  findings: readonly Finding[],
): Promise<Response> {
  const found = await createBooksReader(deps.ledger).booksFor(record.survey)
  const { recordPage } = await office()
  const body = recordPage({
    operatorName: frame.operatorName,
    electrode,
    record,
    findings,
    calibration: found ? contextInForce(record.survey, found.books)?.calibration : undefined,
    printedAt: new Date(frame.nowMs).toISOString(),
  })
  return respond(c, frame, {
    title: `Test record ${record.survey.surveyRef}`,
    section: paths.electrodes,
    body,
  })
}

async function show(
  { c, frame }: PageCall,
  record: SurveyRecord,
  rest: Omit<SurveyPageParts, 'record' | 'received' | 'controlRoomPhone' | 'nowMs'>,
): Promise<Response> {
  const received = queryPart(c, 'received')
  const { surveyPage } = await office()
  const body = surveyPage({
    record,
    ...rest,
    received: received === 'new' || received === 'before' ? received : undefined,
    controlRoomPhone: frame.controlRoomPhone,
    nowMs: frame.nowMs,
  })
  return respond(c, frame, { title: `Survey ${record.survey.surveyRef}`, section: paths.electrodes, body })
}
