import type { SurveyRecord } from '../../shared-lib/ledger/kept/survey.ts'
import type { Ledger } from '../../shared-lib/ledger/ledger.ts'
import { inParallel } from '../../shared-lib/ledger/parallel.ts'
import type { Clock } from '../../shared-lib/ports/clock.ts'
import type { Subject } from '../../shared-lib/survey/survey.ts'

interface Stored {
  outcome: 'stored' | 'already-there' | 'conflict'
  /** Where the survey that is kept came from. */
  kept: SurveyRecord['receivedFrom']
  /** There was no survey of its electrode before this run. */
  first?: true
}

/** A survey to be judged and stored: judging waits for its turn, so that it goes on while the table writes the ones before. */
export interface ToStore {
  subject: Subject
  surveyRef: string
  /** The same at every call. */
  judged(): SurveyRecord
}

interface Deps {
  ledger: Ledger
  clock: Clock
  /** Names this run, so that a second hand on the same upload is not taken for it. */
  runId: string
}

/** Fewer surveys of one electrode than this are cheaper one by one: the batch has to look first what is there. */
const WORTH_A_LOOK = 3
/** Surveys of one turn, about: hand-ins of their electrodes wait for its end. */
const TURN_SURVEYS = 1000
const TURN_MS = 40_000
/** With less than this left of the turn nothing more is begun by batch, ms. */
const SAFE_MS = 20_000
const AT_ONCE = 24
const ELECTRODES_AT_ONCE = 8
/** As many as the table takes in one request. */
const BATCH = 25

/**
 * Judges and stores surveys, each once and for good. Those of electrodes with several go by batch, which is five times as fast, where
 * this run can have the turn (see write-turn.ts); all others by single conditional writes. Outcomes in the order of the surveys.
 */
export async function storeSurveys(deps: Deps, surveys: readonly ToStore[]): Promise<Stored[]> {
  const outcomes = new Map<ToStore, Stored>()
  const ofElectrodes = surveys.filter((s) => s.subject.kind === 'electrode')
  const many = [...Map.groupBy(ofElectrodes, (s) => s.subject.id)].filter(
    ([, own]) => own.length >= WORTH_A_LOOK,
  )
  for (const turn of turnsOf(many)) await byBatch(deps, turn, outcomes)
  const left = surveys.filter((s) => !outcomes.has(s))
  // Two of the same reference in one file must meet each other in the order of the file.
  const inOrder = [...Map.groupBy(left, (s) => s.judged().id).values()]
  await inParallel(inOrder, AT_ONCE, async (same) => {
    for (const survey of same) {
      const { outcome, stored } = await deps.ledger.putSurvey(survey.judged())
      outcomes.set(survey, { outcome, kept: stored.receivedFrom })
    }
  })
  return surveys.map((s) => outcomes.get(s)!)
}

type OfElectrode = [electrodeId: string, own: ToStore[]]

function turnsOf(electrodes: readonly OfElectrode[]): OfElectrode[][] {
  const turns: OfElectrode[][] = []
  let room = 0
  for (const each of electrodes) {
    if (room <= 0) {
      turns.push([])
      room = TURN_SURVEYS
    }
    turns.at(-1)!.push(each)
    room -= each[1].length
  }
  return turns
}

async function byBatch(
  { ledger, clock, runId }: Deps,
  electrodes: readonly OfElectrode[],
  outcomes: Map<ToStore, Stored>,
): Promise<void> {
  const nowMs = clock.nowMs()
  const untilMs = nowMs + TURN_MS
  const electrodeIds = electrodes.map(([id]) => id)
  if (!(await ledger.takeWritingTurn(runId, { nowMs, untilMs, electrodeIds }))) return
  const found = new Map<ToStore, Stored>()
  const fresh: SurveyRecord[] = []
  let late = false
  const write = async (records: SurveyRecord[]) => {
    // Too slow to be sure that the turn is still ours: all of these go one by one.
    late ||= clock.nowMs() > untilMs - SAFE_MS
    if (!late) await ledger.putSurveys(records)
  }
  try {
    await inParallel(electrodes, ELECTRODES_AT_ONCE, async ([id, own]) => {
      const there = await ledger.surveysThere({ kind: 'electrode', id })
      const added = new Map<string, SurveyRecord>()
      for (const survey of own) {
        const record = survey.judged()
        const kept = added.get(survey.surveyRef) ?? there.withRef(survey.surveyRef)
        if (!kept) {
          fresh.push(record)
          added.set(survey.surveyRef, record)
        }
        const same = !kept || kept.contentHash === record.contentHash
        const outcome = kept ? (same ? 'already-there' : 'conflict') : 'stored'
        const first = there.count === 0 ? { first: true as const } : {}
        found.set(survey, { outcome, kept: (kept ?? record).receivedFrom, ...first })
      }
      while (fresh.length >= BATCH) await write(fresh.splice(0, BATCH))
    })
    await write(fresh)
    if (late) return
    for (const [survey, stored] of found) outcomes.set(survey, stored)
  } finally {
    await ledger.endWritingTurn(runId)
  }
}
