import type { SurveyRecord } from '../../shared-lib/ledger/kept/survey.ts'
import type { Ledger } from '../../shared-lib/ledger/ledger.ts'
import { inParallel } from '../../shared-lib/ledger/parallel.ts'
import type { Clock } from '../../shared-lib/ports/clock.ts'

interface Stored {
  outcome: 'stored' | 'already-there' | 'conflict'
  /** Where the survey that is kept came from. */
  kept: SurveyRecord['receivedFrom']
}

interface Deps {
  ledger: Ledger
  clock: Clock
  /** Names this run, so that a second hand on the same upload is not taken for it. */
  runId: string
}

/** Fewer surveys of one electrode than this are cheaper one by one: the batch has to look first what is there. */
const WORTH_A_LOOK = 3
const TURN_MS = 40_000
/** With less than this left of the turn nothing more is begun by batch, ms. */
const SAFE_MS = 20_000
const AT_ONCE = 24

/**
 * Stores judged surveys, each once and for good. Those of electrodes with several go by batch, which is five times as fast, where
 * this run can have the turn (see write-turn.ts); all others by single conditional writes. Outcomes in the order of the records.
 */
export async function storeSurveys(deps: Deps, records: readonly SurveyRecord[]): Promise<Stored[]> {
  const outcomes = new Map<SurveyRecord, Stored>()
  const ofElectrodes = records.filter((r) => r.subject.kind === 'electrode')
  const many = [...Map.groupBy(ofElectrodes, (r) => r.subject.id)].filter(
    ([, own]) => own.length >= WORTH_A_LOOK,
  )
  if (many.length > 0) await byBatch(deps, new Map(many), outcomes)
  const left = records.filter((r) => !outcomes.has(r))
  // Two of the same reference in one file must meet each other in the order of the file.
  const inOrder = [...Map.groupBy(left, (r) => r.id).values()]
  await inParallel(inOrder, AT_ONCE, async (same) => {
    for (const record of same) {
      const { outcome, stored } = await deps.ledger.putSurvey(record)
      outcomes.set(record, { outcome, kept: stored.receivedFrom })
    }
  })
  return records.map((r) => outcomes.get(r)!)
}

async function byBatch(
  { ledger, clock, runId }: Deps,
  byElectrode: ReadonlyMap<string, SurveyRecord[]>,
  outcomes: Map<SurveyRecord, Stored>,
): Promise<void> {
  const startMs = clock.nowMs()
  const untilMs = startMs + TURN_MS
  if (!(await ledger.takeWritingTurn(runId, startMs, untilMs))) return
  const ids = [...byElectrode.keys()]
  try {
    await ledger.lockElectrodes(ids, untilMs)
    const fresh: SurveyRecord[] = []
    const found = new Map<SurveyRecord, Stored>()
    await inParallel(ids, AT_ONCE, async (id) => {
      const there = await ledger.surveyHeads({ kind: 'electrode', id })
      for (const record of byElectrode.get(id)!) {
        const { surveyRef } = record.survey
        const kept = there.get(surveyRef)
        if (!kept) {
          fresh.push(record)
          there.set(surveyRef, record)
        }
        const same = !kept || kept.contentHash === record.contentHash
        const outcome = kept ? (same ? 'already-there' : 'conflict') : 'stored'
        found.set(record, { outcome, kept: (kept ?? record).receivedFrom })
      }
    })
    // Too slow to be sure that the turn is still ours: all of these go one by one.
    if (clock.nowMs() > untilMs - SAFE_MS) return
    await ledger.putSurveys(fresh)
    for (const [record, stored] of found) outcomes.set(record, stored)
  } finally {
    await ledger.unlockElectrodes(ids)
    await ledger.endWritingTurn(runId)
  }
}
