import type { Hono } from 'hono'
import { contextInForce } from '../../../../shared-lib/evaluate/in-force.ts'
import type { SurveyRecord } from '../../../../shared-lib/ledger/ledger.ts'
import { seesSite } from '../../../../shared-lib/ports/identity.ts'
import { SEVERITIES } from '../../../../shared-lib/survey/finding.ts'
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
  app.get(
    '/sites/:id/surveys/:ref',
    signedIn(deps, (call) => otherSurvey(call, 'site')),
  )
  app.get(
    '/instruments/:id/surveys/:ref',
    signedIn(deps, (call) => otherSurvey(call, 'instrument')),
  )
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

/** The test record of one survey, to be printed. */
async function printed(call: PageCall): Promise<Response> {
  const { c, deps, person, frame } = call
  const file = await deps.ledger.readElectrodeFile(pathPart(c, 'id'))
  const ref = pathPart(c, 'ref')
  const record = file?.surveys.find((r) => r.survey.surveyRef === ref)
  if (!file || !record) return respondProblem(c, deps, 'not-found')
  const barred = barToRead(person, file.record.electrode)
  if (barred) return respondProblem(c, deps, barred)
  const { instrumentId } = record.survey
  const calibrations = instrumentId ? await deps.ledger.getCalibrations(instrumentId) : []
  const inForce = contextInForce(record.survey, {
    versions: file.record.versions,
    limits: file.limits,
    calibrations,
  })
  const { findingsOf, recordPage } = await office()
  const body = recordPage({
    operatorName: frame.operatorName,
    file,
    record,
    findings: findingsOf(file, record),
    calibration: inForce?.calibration,
    printedAt: new Date(frame.nowMs).toISOString(),
  })
  return respond(c, frame, { title: `Test record ${ref}`, section: paths.electrodes, body })
}

async function otherSurvey(call: PageCall, kind: 'site' | 'instrument'): Promise<Response> {
  const { c, deps, person } = call
  const id = pathPart(c, 'id')
  if (kind === 'site' && !seesSite(person, id)) return respondProblem(c, deps, 'site-not-allowed')
  const record = await deps.ledger.getSurvey({ kind, id }, pathPart(c, 'ref'))
  if (!record) return respondProblem(c, deps, 'not-found')
  const findings = [...record.judged.findings].sort(
    (a, b) => SEVERITIES.indexOf(b.severity) - SEVERITIES.indexOf(a.severity),
  )
  return show(call, record, { findings, comparing: false, mayCorrect: false })
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
