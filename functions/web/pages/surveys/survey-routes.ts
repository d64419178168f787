import type { Hono } from 'hono'
import type { SurveyRecord } from '../../../../shared-lib/ledger/ledger.ts'
import { seesSite } from '../../../../shared-lib/ports/identity.ts'
import { SEVERITIES } from '../../../../shared-lib/survey/finding.ts'
import { barToRead } from '../../access.ts'
import type { WebDeps } from '../../deps.ts'
import type { WebEnv } from '../../session.ts'
import { findingsOf } from '../electrodes/history-section.ts'
import { type PageCall, pathPart, queryPart, respond, respondProblem, signedIn } from '../respond.ts'
import { paths } from '../view/paths.ts'
import { surveyPage } from './survey-page.ts'

/** One survey's page: of an electrode, of a site (soil) or of an instrument (check). */
export function registerSurveys(app: Hono<WebEnv>, deps: WebDeps): void {
  app.get('/electrodes/:id/surveys/:ref', signedIn(deps, electrodeSurvey))
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
  const mark = await deps.ledger.getMark(file.record.electrode.electrodeId)
  return show(call, record, {
    findings: findingsOf(file, record),
    comparing: mark !== null,
    correctedBy: file.surveys.find((r) => r.survey.corrects === ref)?.survey.surveyRef,
    mayCorrect: true,
  })
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

function show(
  { c, frame }: PageCall,
  record: SurveyRecord,
  rest: Omit<Parameters<typeof surveyPage>[0], 'record' | 'received' | 'controlRoomPhone'>,
): Promise<Response> {
  const received = queryPart(c, 'received')
  const body = surveyPage({
    record,
    ...rest,
    received: received === 'new' || received === 'before' ? received : undefined,
    controlRoomPhone: frame.controlRoomPhone,
  })
  return respond(c, frame, { title: `Survey ${record.survey.surveyRef}`, section: paths.electrodes, body })
}
