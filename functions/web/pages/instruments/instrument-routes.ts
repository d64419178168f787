import type { Hono } from 'hono'
import { inParallel } from '../../../../shared-lib/ledger/parallel.ts'
import type { WebDeps } from '../../deps.ts'
import type { WebEnv } from '../../web-env.ts'
import { office } from '../office.ts'
import { type PageCall, pathPart, respond, respondProblem, signedIn } from '../respond.ts'
import { paths } from '../view/paths.ts'
import type { Instrument } from './instrument-pages.ts'

const AT_ONCE = 8

/** Instruments with their calibrations and checks; every role sees them, because every crew carries one. */
export function registerInstruments(app: Hono<WebEnv>, deps: WebDeps): void {
  app.get(paths.instruments, signedIn(deps, list))
  app.get('/instruments/:id', signedIn(deps, one))
}

async function read(deps: WebDeps, instrumentId: string): Promise<Instrument> {
  const [calibrations, checks] = await Promise.all([
    deps.ledger.getCalibrations(instrumentId),
    deps.ledger.listSurveysOf({ kind: 'instrument', id: instrumentId }),
  ])
  return {
    instrumentId,
    calibrations: [...calibrations].sort((a, b) => (a.calibratedOn < b.calibratedOn ? 1 : -1)),
    checks: [...checks].sort((a, b) => Date.parse(b.survey.testedAt) - Date.parse(a.survey.testedAt)),
  }
}

async function list({ c, deps, person, frame }: PageCall): Promise<Response> {
  const known = (await deps.ledger.listCalibrations()).map((k) => k.instrumentId)
  const instruments = await inParallel([...new Set(known)].sort(), AT_ONCE, (id) => read(deps, id))
  const { instrumentList } = await office()
  const body = instrumentList({
    instruments,
    nowMs: frame.nowMs,
    mayAdd: person.role === 'admin' && person.sites === '*',
  })
  return respond(c, frame, { title: 'Instruments', section: paths.instruments, body })
}

async function one({ c, deps, person, frame }: PageCall): Promise<Response> {
  const instrument = await read(deps, pathPart(c, 'id'))
  const { instrumentId: id, calibrations, checks } = instrument
  if (calibrations.length + checks.length === 0)
    return respondProblem(
      c,
      deps,
      'not-found',
      `Instrument ${id} has neither a calibration nor a check on a known resistor here. Tests with it are judged with a wider doubt.`,
    )
  const { instrumentPage } = await office()
  const body = instrumentPage({
    ...instrument,
    nowMs: frame.nowMs,
    mayAdd: person.role === 'admin' && person.sites === '*',
  })
  return respond(c, frame, { title: `Instrument ${id}`, section: paths.instruments, body })
}
