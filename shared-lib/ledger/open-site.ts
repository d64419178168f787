import type { SiteSoil } from '../evaluate/evaluation.ts'
import { soilOfSurveys } from '../evaluate/soil-of-surveys.ts'
import type { Calibration } from '../survey/register.ts'
import { booksFingerprint } from './books.ts'
import { judgeByBooks, knownTestOf } from './judge-record.ts'
import type { ElectrodeFile } from './kept/electrode.ts'
import type { DueMark } from './kept/mark.ts'
import type { SiteFile, SiteHeader, StoredHistory } from './kept/site.ts'
import type { SurveyRecord } from './kept/survey.ts'
import type { Ledger } from './ledger.ts'
import { inParallel } from './parallel.ts'
import { sameJson } from './same-json.ts'
import { type ElectrodeHistory, emptyHistory, judgedWords, withTests } from './site-history.ts'

/** An electrode before it is judged anew: what is known of it, and what was read to know it. */
export interface OpenElectrode {
  history: ElectrodeHistory
  seen: StoredHistory | null
  /** Everything about it, where it had to be read; then differences are taken from there and not from digests. */
  file: ElectrodeFile | null
  rejudged: SurveyRecord[]
  /** Surveys at hand, by reference. */
  surveys: Map<string, SurveyRecord>
}

export interface OpenSite {
  siteId: string
  electrodes: OpenElectrode[]
  calibrations: Calibration[]
  /** Electrodes whose short history here is of no use any more: they have gone to another site. */
  gone: string[]
}

/** A survey handed in singly that compare was told of. */
export interface NewSurvey {
  electrodeId: string
  surveyRef: string
}

const READ_AT_ONCE = 8

type SiteLedger = Pick<
  Ledger,
  | 'readSite'
  | 'getManyBooks'
  | 'getSurveys'
  | 'readElectrodeFile'
  | 'listElectrodes'
  | 'listSurveysOf'
  | 'getCalibrations'
  | 'putSiteHeader'
  | 'putInstrumentSite'
>

/**
 * Opens a site for a comparison. The short histories of its electrodes are one query. Beside them only what is new is read; an
 * electrode is read as a whole when its mark says so, when it has no short history yet, or when its books have changed since the
 * new surveys were judged. Null when nothing is new.
 */
export async function openSite(
  ledger: SiteLedger,
  siteId: string,
  marks: readonly DueMark[],
  told: readonly NewSurvey[],
): Promise<OpenSite | null> {
  const site = await ledger.readSite(siteId)
  const unseen = told.filter((n) => {
    const known = site.histories.get(n.electrodeId)?.history.tests
    return !known?.some((t) => t.test.surveyRef === n.surveyRef)
  })
  if (site.header && marks.length === 0 && unseen.length === 0) return null
  const singles = await ledger.getSurveys(
    unseen.map((n) => ({ subject: { kind: 'electrode', id: n.electrodeId }, surveyRef: n.surveyRef })),
    // Should it be judged anew at this moment, then its books differ, and it is read again.
    { strong: false },
  )
  const news = marks.filter((m) => m.news)
  const whole = new Set(marks.filter((m) => !m.news && m.electrodeId !== '').map((m) => m.electrodeId))
  const soilNews = !site.header || marks.some((m) => m.electrodeId === '')
  const soil = soilNews
    ? soilOfSurveys((await ledger.listSurveysOf({ kind: 'site', id: siteId })).map((s) => s.survey))
    : (site.header?.soil ?? null)
  // Every test of the site was judged by the soil that was known then.
  if (site.header && !sameJson(soil, site.header.soil ?? null))
    for (const id of site.histories.keys()) whole.add(id)
  const touched = new Set([...news.map((m) => m.electrodeId), ...singles.map((s) => s.subject.id)])
  const fresh = await freshElectrodes(ledger, siteId, site, news)
  for (const id of site.header ? touched : await electrodesOf(ledger, siteId))
    if (!fresh.has(id) && (!site.header || !site.histories.has(id))) whole.add(id)

  // A mark of an electrode as a whole may come from a calibration: then all are read anew.
  const met = [
    ...Object.keys(site.header?.calibrations ?? {}),
    ...news.flatMap((m) => Object.keys(m.news!.booksAt)),
    ...singles.flatMap((s) => s.survey.instrumentId ?? []),
  ]
  const before = { stored: site.header, soil }
  const header = await withInstruments(ledger, siteId, before, met, whole.size > 0)
  const revOf = (id: string) => (site.histories.get(id)?.history ?? fresh.get(id))?.registerRev
  staleBooks(revOf, header, news, singles, whole)

  const files = await inParallel([...whole], READ_AT_ONCE, (id) => ledger.readElectrodeFile(id))
  const here = files.filter((f) => f !== null && f.record.electrode.siteId === siteId) as ElectrodeFile[]
  const complete = await withInstruments(
    ledger,
    siteId,
    { stored: header, soil },
    here.flatMap((f) => f.surveys.flatMap((s) => s.survey.instrumentId ?? [])),
  )
  const electrodes = new Map<string, OpenElectrode>()
  for (const [id, seen] of site.histories)
    if (!whole.has(id))
      electrodes.set(id, { history: seen.history, seen, file: null, rejudged: [], surveys: new Map() })
  for (const [id, history] of fresh)
    if (!whole.has(id))
      electrodes.set(id, { history, seen: null, file: null, rejudged: [], surveys: new Map() })
  for (const mark of news) {
    const open = electrodes.get(mark.electrodeId)
    if (open) open.history = { ...open.history, tests: withTests(open.history.tests, mark.news!.tests) }
  }
  for (const survey of singles) {
    const open = electrodes.get(survey.subject.id)
    if (!open) continue
    open.surveys.set(survey.survey.surveyRef, survey)
    open.history = {
      ...open.history,
      tests: withTests(open.history.tests, [knownTestOf(survey, siteId)]),
    }
  }
  for (const file of here)
    electrodes.set(
      file.record.electrode.electrodeId,
      openFile(file, complete, site.histories.get(file.record.electrode.electrodeId) ?? null),
    )
  const stay = new Set(here.map((f) => f.record.electrode.electrodeId))
  return {
    siteId,
    electrodes: [...electrodes.values()],
    calibrations: Object.values(complete.calibrations).flat(),
    gone: [...whole].filter((id) => !stay.has(id) && site.histories.has(id)),
  }
}

/**
 * Electrodes without a short history whose first surveys ever are among the news: the news are all there is to know beside the
 * register's words. Whatever came after them has left a mark or a message of its own, also a change of the register.
 */
async function freshElectrodes(
  ledger: SiteLedger,
  siteId: string,
  site: SiteFile,
  news: readonly DueMark[],
): Promise<Map<string, ElectrodeHistory>> {
  const ids = news
    .filter((m) => m.news!.first && !site.histories.has(m.electrodeId))
    .map((m) => m.electrodeId)
  const books = ids.length > 0 ? [...(await ledger.getManyBooks([...new Set(ids)]))] : []
  return new Map(
    books
      .filter(([, { record }]) => record.electrode.siteId === siteId)
      .map(([id, { record, rev }]) => [id, { ...emptyHistory(record.electrode), registerRev: rev }]),
  )
}

/** An electrode read as a whole: each survey judged by the books of today, and the short history made anew from that. */
function openFile(file: ElectrodeFile, header: SiteHeader, seen: StoredHistory | null): OpenElectrode {
  const { electrode } = file.record
  const rejudged: SurveyRecord[] = []
  const surveys = file.surveys.map((stored) => {
    const calibrations = header.calibrations[stored.survey.instrumentId ?? ''] ?? []
    const soil = header.soil ? { siteSoil: header.soil } : {}
    const books = { versions: file.record.versions, limits: file.limits, calibrations, ...soil }
    const anew = judgeByBooks(stored.survey, books, stored.receivedAt, stored)
    if (anew.judgedBy === stored.judgedBy && stored.siteId === electrode.siteId) return stored
    const next = {
      ...stored,
      ...anew,
      siteId: electrode.siteId,
      booksAt: booksFingerprint(file.rev, calibrations, header.soil),
    }
    rejudged.push(next)
    return next
  })
  return {
    history: {
      ...(seen?.history ?? emptyHistory(electrode)),
      registerRev: file.rev,
      electrode: judgedWords(electrode),
      tests: withTests(
        [],
        surveys.map((s) => knownTestOf(s, electrode.siteId)),
      ),
      works: file.works,
      decisions: file.decisions,
      // Differences are taken from the file itself.
      findings: {},
      assessmentDigest: '?',
    },
    seen,
    file,
    rejudged,
    surveys: new Map(surveys.map((s) => [s.survey.surveyRef, s])),
  }
}

/**
 * Adds to `whole` each electrode whose new surveys were judged by other books than its earlier ones. Of a change of the register
 * that came later than both, its own mark tells, which is written after it.
 */
function staleBooks(
  revOf: (electrodeId: string) => number | undefined,
  header: SiteHeader,
  news: readonly DueMark[],
  singles: readonly SurveyRecord[],
  whole: Set<string>,
): void {
  const look = (id: string, instrumentId: string, booksAt: string | undefined) => {
    const rev = revOf(id)
    const calibrations = header.calibrations[instrumentId] ?? []
    if (rev === undefined || booksFingerprint(rev, calibrations, header.soil) !== booksAt) whole.add(id)
  }
  for (const m of news)
    for (const [instrumentId, booksAt] of Object.entries(m.news!.booksAt))
      look(m.electrodeId, instrumentId, booksAt)
  for (const s of singles) look(s.subject.id, s.survey.instrumentId ?? '', s.booksAt)
}

/**
 * The header with the calibrations of these instruments. First it is remembered that the instrument tests here, then its calibrations
 * are read: a calibration that is written now either is seen, or sees this site and has it judged again.
 */
async function withInstruments(
  ledger: SiteLedger,
  siteId: string,
  { stored: header, soil }: { stored: SiteHeader | null; soil: SiteSoil | null },
  instruments: readonly string[],
  anew = false,
): Promise<SiteHeader> {
  const known = header?.calibrations ?? {}
  const wanted = [...new Set(instruments)].filter((id) => id !== '' && (anew || !(id in known)))
  const fresh = wanted.filter((id) => !(id in known))
  await inParallel(fresh, READ_AT_ONCE, (id) => ledger.putInstrumentSite(id, siteId))
  const read = await inParallel(
    wanted,
    READ_AT_ONCE,
    async (id) => [id, await ledger.getCalibrations(id)] as const,
  )
  const calibrations = Object.fromEntries(
    [...Object.entries(known), ...read].sort(([a], [b]) => (a < b ? -1 : a > b ? 1 : 0)),
  )
  const next: SiteHeader = soil ? { calibrations, soil } : { calibrations }
  if (!sameJson(next, header)) await ledger.putSiteHeader(siteId, next)
  return next
}

async function electrodesOf(ledger: SiteLedger, siteId: string): Promise<string[]> {
  const ids: string[] = []
  let cursor: string | undefined
  do {
    const page = await ledger.listElectrodes({ siteId, limit: 200, ...(cursor ? { cursor } : {}) })
    ids.push(...page.items.map((r) => r.electrode.electrodeId))
    cursor = page.next ?? undefined
  } while (cursor)
  return ids
}
