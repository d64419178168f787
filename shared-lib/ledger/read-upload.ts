import type { Archive } from '../ports/archive.ts'
import { parseColumnMap } from '../survey/column-map.ts'
import type { FilePlan, ReadOptions } from '../survey/file-plan.ts'
import { readSurveys } from '../survey/read-surveys.ts'
import { scanSurveyFile } from '../survey/scan.ts'
import type { OpenSource } from '../survey/source.ts'
import type { Survey } from '../survey/survey.ts'
import type { RefusedRow, Upload } from './kept/upload.ts'
import type { Ledger } from './ledger.ts'

/** One thing of a file to deal with: a survey, or the refused cells of one. */
export type UploadEntry =
  | { kind: 'survey'; survey: Survey; firstRow: number; lastRow: number }
  | { kind: 'refused'; refused: RefusedRow[]; lastRow: number }

export type UploadReading =
  | { kind: 'refused'; refused: RefusedRow }
  | {
      kind: 'ok'
      rowsTotal: number
      ignoredColumns: string[]
      /** How the file is written, as the first look settled it. */
      plan: FilePlan
      entries: AsyncIterable<UploadEntry>
    }

/** The reading options kept with an upload, as the readers take them. */
export function declaredOptions(options: Record<string, unknown>): ReadOptions {
  const { decimalSign, datePattern, columnMap } = options
  const map = columnMap === undefined ? undefined : parseColumnMap(columnMap)
  return {
    ...(decimalSign === '.' || decimalSign === ',' ? { decimalSign } : {}),
    ...(typeof datePattern === 'string' ? { datePattern } : {}),
    ...(map?.ok ? { columnMap: map.map } : {}),
  }
}

type ZoneLedger = Pick<Ledger, 'getElectrodes' | 'listElectrodes'>

/**
 * The zones of the electrodes whose times carry no offset. The file is read once only to hear which are asked for: the answer
 * must be there before a time is understood, and asking for every electrode of the register would grow with the fleet.
 */
async function zonesAskedFor(
  open: OpenSource,
  plan: FilePlan,
  options: ReadOptions,
  ledger: ZoneLedger,
): Promise<Pick<ReadOptions, 'timeZoneOf' | 'timeZoneOfSite'>> {
  const asked = new Set<string>()
  const askedSites = new Set<string>()
  const listen: ReadOptions = {
    ...options,
    timeZoneOf: (electrodeId) => {
      asked.add(electrodeId)
      return undefined
    },
    timeZoneOfSite: (siteId) => {
      askedSites.add(siteId)
      return undefined
    },
  }
  for await (const _ of readSurveys(open, plan, listen)) {
    // Only the question counts.
  }
  const zones = new Map<string, string>()
  for (const [id, { electrode }] of await ledger.getElectrodes([...asked]))
    if (electrode.timeZone) zones.set(id, electrode.timeZone)
  const ofSites = new Map<string, string | undefined>()
  for (const siteId of askedSites) ofSites.set(siteId, await zoneOfSite(ledger, siteId))
  return { timeZoneOf: (id) => zones.get(id), timeZoneOfSite: (id) => ofSites.get(id) }
}

/** The zone of the site's first electrode (by id) that has one. */
async function zoneOfSite(
  ledger: Pick<Ledger, 'listElectrodes'>,
  siteId: string,
): Promise<string | undefined> {
  const { items } = await ledger.listElectrodes({ siteId, limit: 200 })
  return items.find((r) => r.electrode.timeZone)?.electrode.timeZone
}

/** Several refused cells of one survey come one after another: they are one entry, so that surveys can be counted. */
async function* grouped(entries: ReturnType<typeof readSurveys>): AsyncGenerator<UploadEntry> {
  let open: RefusedRow[] = []
  const close = function* (): Generator<UploadEntry> {
    if (open.length > 0) yield { kind: 'refused', refused: open, lastRow: open.at(-1)!.row ?? 0 }
    open = []
  }
  for await (const entry of entries) {
    if (entry.kind === 'refused') {
      const same = entry.surveyRef !== undefined && entry.surveyRef === open.at(-1)?.surveyRef
      if (!same) yield* close()
      open.push(entry)
      continue
    }
    yield* close()
    yield { kind: 'survey', survey: entry.survey, firstRow: entry.rows.first, lastRow: entry.rows.last }
  }
  yield* close()
}

/** An archived upload as entries in the order of the file, the same at every reading; or why the whole file is refused. */
export async function readUpload(
  upload: Pick<Upload, 'archiveKey' | 'options'>,
  archive: Archive,
  ledger: ZoneLedger,
): Promise<UploadReading> {
  const open: OpenSource = () => archive.open(upload.archiveKey)
  const options = declaredOptions(upload.options)
  const scanned = await scanSurveyFile(open, options)
  if (!scanned.ok) return { kind: 'refused', refused: scanned.refused }
  const { plan } = scanned
  const zones = await zonesAskedFor(open, plan, options, ledger)
  const reading = { ...options, ...zones }
  return {
    kind: 'ok',
    rowsTotal: plan.rows,
    ignoredColumns: plan.unknownColumns,
    plan,
    entries: grouped(readSurveys(open, plan, reading)),
  }
}
