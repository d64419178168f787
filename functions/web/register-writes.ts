import { everyPage } from '../../shared-lib/ledger/every-page.ts'
import type { WriteOutcome } from '../../shared-lib/ledger/kept/page.ts'
import { sameJson } from '../../shared-lib/ledger/same-json.ts'
import type { Calibration, Electrode, Limit, Work } from '../../shared-lib/survey/register.ts'
import type { WebDeps } from './deps.ts'
import { withNews } from './with-news.ts'

/** How many writes of a bulk load are under way at once. */
const AT_ONCE = 16
/** Electrodes read, marked, written and announced together. */
const CHUNK = 200
/** Up to here each electrode is asked for its held surveys; beyond, the list of all that is held is read once. */
const FEW = 10

export interface WriteTally {
  created: number
  changed: number
  same: number
}

async function inTurns<T>(
  items: readonly T[],
  write: (item: T) => Promise<WriteOutcome>,
): Promise<WriteTally> {
  const tally: WriteTally = { created: 0, changed: 0, same: 0 }
  for (let at = 0; at < items.length; at += AT_ONCE)
    for (const outcome of await Promise.all(items.slice(at, at + AT_ONCE).map(write))) tally[outcome]++
  return tally
}

/** Ids of electrodes that held surveys wait for. */
async function awaited(deps: WebDeps): Promise<Set<string>> {
  const ids = new Set<string>()
  for await (const page of everyPage((from) => deps.ledger.listHeld({ limit: 200, ...from })))
    for (const held of page) ids.add(held.electrodeId)
  return ids
}

/**
 * Writes register words. Only electrodes whose words differ are marked, written and judged anew, so that loading the same register
 * again costs a read. Surveys that were held for one of them are released, also when the electrode itself was there already: an
 * earlier load may have stopped between the two.
 */
export async function writeElectrodes(
  deps: WebDeps,
  electrodes: readonly Electrode[],
  validFrom?: string,
): Promise<WriteTally & { released: number }> {
  const total = { created: 0, changed: 0, same: 0, released: 0 }
  const at = { nowIso: new Date(deps.clock.nowMs()).toISOString(), ...(validFrom ? { validFrom } : {}) }
  for (let start = 0; start < electrodes.length; start += CHUNK) {
    const chunk = electrodes.slice(start, start + CHUNK)
    const stored = await deps.ledger.getElectrodes(chunk.map((e) => e.electrodeId))
    const news = chunk.filter((e) => validFrom || !sameJson(stored.get(e.electrodeId)?.electrode ?? null, e))
    const known = news.map((e) => e.electrodeId).filter((id) => stored.has(id))
    const tally = await withNews(deps, known, () => inTurns(news, (e) => deps.ledger.putElectrode(e, at)))
    total.created += tally.created
    total.changed += tally.changed
    total.same += tally.same + chunk.length - news.length
  }
  const waiting =
    electrodes.length <= FEW ? new Set(electrodes.map((e) => e.electrodeId)) : await awaited(deps)
  for (const { electrodeId } of electrodes)
    if (waiting.delete(electrodeId)) total.released += await deps.desk.releaseHeld(electrodeId)
  return total
}

/** Of these electrodes, those in the register: only they have surveys to judge anew. */
async function registered(
  deps: WebDeps,
  electrodeIds: readonly string[],
): Promise<{ known: string[]; unknown: string[] }> {
  const ids = [...new Set(electrodeIds)]
  const found = await deps.ledger.getElectrodes(ids)
  return { known: ids.filter((id) => found.has(id)), unknown: ids.filter((id) => !found.has(id)) }
}

/** Limits and works may be loaded before the register; electrodes not in it yet are told. */
export async function writeLimits(
  deps: WebDeps,
  limits: readonly Limit[],
): Promise<WriteTally & { unknown: string[] }> {
  const { known, unknown } = await registered(
    deps,
    limits.map((l) => l.electrodeId),
  )
  const tally = await withNews(deps, known, () => inTurns(limits, (l) => deps.ledger.putLimit(l)))
  return { ...tally, unknown }
}

export async function writeWorks(
  deps: WebDeps,
  works: readonly Work[],
): Promise<WriteTally & { unknown: string[] }> {
  const { known, unknown } = await registered(
    deps,
    works.map((w) => w.electrodeId),
  )
  const tally = await withNews(deps, known, () => inTurns(works, (w) => deps.ledger.putWork(w)))
  return { ...tally, unknown }
}

/** A calibration counts for every test since it was made: the electrodes tested with the instrument are judged anew. */
export async function writeCalibrations(
  deps: WebDeps,
  calibrations: readonly Calibration[],
): Promise<WriteTally> {
  const byInstrument = Map.groupBy(calibrations, (k) => k.instrumentId)
  const concerned = async () => {
    const found = new Set<string>()
    for (const [instrumentId, own] of byInstrument) {
      const earliest = own.map((k) => k.calibratedOn).sort()[0]!
      for (const id of await deps.ledger.electrodesOfInstrument(instrumentId, earliest)) found.add(id)
    }
    return [...found]
  }
  const marked = await deps.desk.mark(await concerned())
  const tally = await inTurns(calibrations, (k) => deps.ledger.putCalibration(k))
  // Asked once more: a comparison that has just met the instrument for the first time may have missed the calibration.
  await deps.desk.announce(await concerned(), marked)
  return tally
}
