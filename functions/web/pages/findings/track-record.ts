import { SAID_TRUE } from '../../../../shared-lib/history/learn/decided-findings.ts'
import type { FindingItem } from '../../../../shared-lib/ledger/kept/finding.ts'
import type { Ledger } from '../../../../shared-lib/ledger/ledger.ts'

/** Decided findings from which on a chance is held against what was decided here (some 300: practice, no source). */
const ENOUGH_DECIDED = 300

const READ_AT_ONCE = 200
const MOST_READ = 1000
/** Counting again for every page would read hundreds of items; a few minutes old is new enough. */
const KEPT_MS = 10 * 60_000

/** What decisions said about the findings of one range of chances. */
interface Band {
  from: number
  to: number
  decided: number
  foundTrue: number
}
export interface TrackRecord {
  decided: number
  bands: Band[]
}

const EDGES = [0, 0.5, 0.8, 0.95, 1.0001]

/**
 * Chances against decisions, from the findings that were closed by one. To set a survey aside confirms a finding about the record and says
 * nothing of one about the earth, so it is left out, as are a retest and an undone decision.
 */
export function trackRecordOf(closed: readonly FindingItem[]): TrackRecord {
  const bands = EDGES.slice(1).map((to, i): Band => ({ from: EDGES[i]!, to, decided: 0, foundTrue: 0 }))
  let decided = 0
  for (const { closedBy, probability } of closed) {
    const verdict = closedBy && 'decision' in closedBy ? SAID_TRUE[closedBy.decision.action] : undefined
    if (verdict === undefined) continue
    decided++
    const band = bands.find((b) => probability !== null && probability >= b.from && probability < b.to)
    if (!band) continue
    band.decided++
    if (verdict) band.foundTrue++
  }
  return { decided, bands }
}

const kept = new WeakMap<object, { atMs: number; record: TrackRecord }>()

/** The record of this operator, at most a thousand findings back. */
export async function trackRecord(ledger: Pick<Ledger, 'listFindings'>, nowMs: number): Promise<TrackRecord> {
  const before = kept.get(ledger)
  if (before && nowMs - before.atMs < KEPT_MS) return before.record
  const closed: FindingItem[] = []
  let cursor: string | null | undefined
  while (cursor !== null && closed.length < MOST_READ) {
    const page = await ledger.listFindings({
      state: 'closed',
      limit: READ_AT_ONCE,
      ...(cursor ? { cursor } : {}),
    })
    closed.push(...page.items)
    cursor = page.next
  }
  const record = trackRecordOf(closed)
  kept.set(ledger, { atMs: nowMs, record })
  return record
}

/** How far a chance can be believed, in one sentence. */
export function recordWords({ decided, bands }: TrackRecord, probability: number): string {
  if (decided < ENOUGH_DECIDED)
    return `An estimate, not yet checked here: that takes some ${ENOUGH_DECIDED} decisions, and ${decided === 0 ? 'none has' : `${decided} ${decided === 1 ? 'has' : 'have'}`} been made.`
  const band = bands.find((b) => probability >= b.from && probability < b.to)
  if (!band || band.decided === 0) return 'None with a like chance was decided here yet.'
  const range = `${Math.round(band.from * 100)} to ${Math.min(100, Math.round(band.to * 100))} %`
  return `Of ${band.decided} decided here with a chance of ${range}, ${band.foundTrue} were found to be so.`
}
