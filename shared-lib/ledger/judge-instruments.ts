import { assessInstruments } from '../history/assess-instruments.ts'
import { replaySite } from '../history/assess-site.ts'
import type { Parameters } from '../history/assessment.ts'
import { type ResistorCheck, resistorCheckOf } from '../history/resistor-check.ts'
import { settledBy } from '../history/settle.ts'
import type { Finding } from '../survey/finding.ts'
import type { Calibration } from '../survey/register.ts'
import { everySite } from './every-site.ts'
import { findingId } from './finding-id.ts'
import { narrowingFacts } from './finding-rows.ts'
import { rulingDecision, stateAfter } from './finding-state.ts'
import type { FindingItem } from './kept/finding.ts'
import type { SurveyRecord } from './kept/survey.ts'
import { siteInput } from './learn-fleet.ts'
import type { Ledger } from './ledger.ts'
import { inParallel } from './parallel.ts'
import { canonicalJson } from './same-json.ts'
import { shortDigest } from './short-digest.ts'
import type { ElectrodeHistory } from './site-history.ts'
import type { Telling } from './tell-news.ts'

type Residual = ReturnType<typeof replaySite>['instruments'][number]
const READ_AT_ONCE = 8

interface Judging extends Telling {
  ledger: Ledger
  parameters: Parameters
}

/** An instrument's finding with what else its item needs. */
interface Wanted {
  id: string
  electrodeId: string
  surveyRef: string
  finding: Finding
  closedBy: FindingItem['closedBy']
}

/**
 * Judges every instrument over all sites, from the short histories and the checks on known resistors, and writes what differs from
 * what it wrote last. A repeat writes nothing. One site at a time is in memory, beside a few numbers a visit.
 */
export async function judgeInstruments(run: Judging): Promise<{ instruments: number; changed: number }> {
  const { ledger } = run
  const residuals: Residual[] = []
  const calibrations = new Map<string, Calibration[]>()
  const histories = new Map<string, ElectrodeHistory>()
  for await (const site of everySite(ledger)) {
    for (const [id, known] of Object.entries(site.header?.calibrations ?? {})) calibrations.set(id, known)
    const { instruments } = replaySite({ ...siteInput(site), parameters: run.parameters })
    residuals.push(...instruments)
  }
  const checks = await checksOf(ledger, [...calibrations.keys()])
  const found = assessInstruments(
    [...calibrations].map(([instrumentId, own]) => ({
      ...{ instrumentId, residuals, calibrations: own, checks },
      parametersVersion: run.parameters.version,
    })),
  )
  await bringHistories(
    ledger,
    found.map((f) => f.electrodeId),
    histories,
  )
  const wanted = found.map(({ electrodeId, surveyRef, finding }): Wanted => {
    const id = findingId(electrodeId, surveyRef, finding.code)
    return {
      id,
      electrodeId,
      surveyRef,
      finding,
      closedBy: closedBy(finding, surveyRef, histories.get(electrodeId)),
    }
  })
  const changed = await writeChanges(run, wanted)
  return { instruments: calibrations.size, changed }
}

async function checksOf(ledger: Ledger, instruments: readonly string[]): Promise<ResistorCheck[]> {
  const surveys = await inParallel(instruments, READ_AT_ONCE, (id) =>
    ledger.listSurveysOf({ kind: 'instrument', id }),
  )
  return surveys.flat().flatMap((s) => resistorCheckOf(s.survey) ?? [])
}

async function bringHistories(
  ledger: Ledger,
  electrodeIds: readonly string[],
  histories: Map<string, ElectrodeHistory>,
): Promise<void> {
  const known = await ledger.getElectrodes([...new Set(electrodeIds)])
  for (const siteId of new Set([...known.values()].map((r) => r.electrode.siteId)))
    for (const [id, { history }] of (await ledger.readSite(siteId)).histories) histories.set(id, history)
}

/** A decision, or the next usable test of the electrode, answers it, as with any other finding about how a test was made. */
function closedBy(
  finding: Finding,
  surveyRef: string,
  history: ElectrodeHistory | undefined,
): FindingItem['closedBy'] {
  const tests = history?.tests.map((t) => t.test) ?? []
  const about = history?.decisions.filter((d) => d.surveyRef === surveyRef && d.code === finding.code) ?? []
  const decision = rulingDecision(about)
  if (decision && stateAfter(about) === 'closed') return { decision }
  const test = tests.find((t) => t.surveyRef === surveyRef)
  const works = history?.works ?? []
  const laterSurveyRef = test ? settledBy(finding, test, { tests, works, codesOf: new Map() }) : null
  return laterSurveyRef ? { laterSurveyRef } : undefined
}

async function writeChanges(
  { ledger, beforeNews, afterNews }: Judging,
  wanted: readonly Wanted[],
): Promise<number> {
  const before = await ledger.getInstrumentFindings()
  const now = Object.fromEntries(
    wanted.map((w) => [w.id, shortDigest(canonicalJson([w.finding, w.closedBy ?? null]))]),
  )
  const differing = wanted.filter((w) => before[w.id] !== now[w.id])
  const gone = Object.keys(before).filter((id) => !(id in now))
  if (differing.length + gone.length === 0) return 0
  const records = await ledger.getSurveys(
    differing.map((w) => ({ subject: { kind: 'electrode', id: w.electrodeId }, surveyRef: w.surveyRef })),
  )
  const recordOf = new Map(records.map((r) => [`${r.subject.id}\n${r.survey.surveyRef}`, r]))
  const known = await ledger.getElectrodes([...new Set(differing.map((w) => w.electrodeId))])
  const items = differing.flatMap((w) => {
    const record = recordOf.get(`${w.electrodeId}\n${w.surveyRef}`)
    const electrode = known.get(w.electrodeId)?.electrode
    return record && electrode ? [itemOf(w, record, electrode)] : []
  })
  const news = items.filter((i) => i.state === 'open' && !(i.id in before))
  if (news.length > 0) await beforeNews(news)
  await ledger.putFindings(items, gone)
  // Last: a crash before this writes the same again.
  await ledger.putInstrumentFindings(now)
  if (news.length > 0) await afterNews(news)
  return items.length + gone.length
}

function itemOf(
  { id, finding, closedBy: closed, electrodeId, surveyRef }: Wanted,
  record: SurveyRecord,
  electrode: { siteId: string; responsibleEmail?: string },
): FindingItem {
  return {
    ...finding,
    id,
    state: closed ? 'closed' : 'open',
    ...{ electrodeId, siteId: electrode.siteId, surveyRef },
    testedAt: record.survey.testedAt,
    openedAt: record.receivedAt,
    ...(electrode.responsibleEmail ? { responsibleEmail: electrode.responsibleEmail } : {}),
    ...narrowingFacts(record.survey),
    ...(closed ? { closedBy: closed } : {}),
  }
}
