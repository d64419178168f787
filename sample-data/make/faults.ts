/** What goes wrong between the earth and the sheet: each fault takes a sound draft and returns the one handed in. */
import type { Reading } from '../../shared-lib/survey/survey.ts'
import type { Draft } from './draft.ts'
import { practised } from './practice.ts'
import { randomFor } from './random.ts'
import { rounded } from './rounding.ts'
import type { NotMade, SheetEvent } from './story-sheets.ts'
import type { PlannedTest } from './visit.ts'

/** Other drafts a fault may need. */
export interface Neighbours {
  /** The electrode's survey before this one. */
  previous: Draft | undefined
  /** A sound test of another electrode in the same round. */
  soundTestOf(electrodeId: string): Draft | undefined
}

const withReadings = (draft: Draft, readings: Reading[]): Draft => ({
  ...draft,
  survey: { ...draft.survey, readings },
})

function scaled(draft: Draft, factor: number, onlyOne: boolean): Draft {
  return withReadings(
    draft,
    draft.survey.readings.map((reading, i) =>
      reading.resistanceOhm === undefined || (onlyOne && i !== 1)
        ? reading
        : { ...reading, resistanceOhm: slipped(reading.resistanceOhm * factor) },
    ),
  )
}

/** Digits stay as they were; never exactly three decimals, which some readers take for a thousand. */
function slipped(resistanceOhm: number): number {
  const four = rounded(resistanceOhm, 4)
  return rounded(four, 3) === four ? rounded(four, 2) : four
}

/** Readings of the sheet before, line by line: only where the same positions were read. */
function copied(draft: Draft, previous: Draft | undefined): Draft {
  if (!previous || previous.survey.readings.length !== draft.survey.readings.length)
    throw new Error(`no like sheet to copy for ${draft.survey.electrodeId} on day ${draft.day}`)
  return withReadings(draft, previous.survey.readings)
}

function swapped(draft: Draft, other: Draft | undefined): Draft {
  if (!other?.survey.currentProbeM)
    throw new Error(`nothing to take for ${draft.survey.electrodeId} on day ${draft.day}`)
  return {
    ...draft,
    survey: { ...draft.survey, currentProbeM: other.survey.currentProbeM, readings: other.survey.readings },
  }
}

function shuffled(draft: Draft): Draft {
  const values = draft.survey.readings.map((reading) => reading.resistanceOhm)
  const turned = [...values.slice(1), values[0]]
  return withReadings(
    draft,
    draft.survey.readings.map((reading, i) => ({ ...reading, resistanceOhm: turned[i]! })),
  )
}

function badSetUp(draft: Draft, condition: Reading['condition'], all: boolean): Draft {
  const bad = draft.survey.readings.map((reading, i): Reading => {
    if (!all && i !== 0) return reading
    const { resistanceOhm: _lost, ...place } = reading
    return { ...place, condition }
  })
  const words =
    condition === 'interference'
      ? { interferenceV: 9.5 }
      : condition === 'auxiliary-h'
        ? { probeHOhm: 61000 }
        : { probeSOhm: 55000 }
  return { ...withReadings(draft, bad), survey: { ...draft.survey, ...words, readings: bad } }
}

function linkLeft(draft: Draft, record: 'still-open' | 'empty'): Draft {
  const { linkClosedAt: _closed, linkChecked: _checked, restoredBy: _by, ...rest } = draft.survey
  return {
    ...draft,
    survey: { ...rest, ...(record === 'still-open' ? { linkChecked: 'still-open' as const } : {}) },
  }
}

function faulty(
  event: SheetEvent,
  test: PlannedTest,
  neighbours: Neighbours,
): { draft: Draft; detail: string } {
  const sound = practised(test)
  switch (event.kind) {
    case 'slipped-decimal':
      return {
        draft: scaled(sound, event.factor, event.onlyOne ?? false),
        detail: `${event.onlyOne ? 'one reading' : 'all readings'} times ${event.factor}`,
      }
    case 'unit-slip':
      return { draft: scaled(sound, event.factor, false), detail: `all readings times ${event.factor}` }
    case 'repeated-sheet':
      return { draft: copied(sound, neighbours.previous), detail: 'readings of the sheet before' }
    case 'wrong-electrode':
      return {
        draft: swapped(sound, neighbours.soundTestOf(event.takenAt)),
        detail: `taken at ${event.takenAt}`,
      }
    case 'parallel-path':
      return {
        draft: practised(test, { factor: event.factor }),
        detail: `another path left on: times ${event.factor}`,
      }
    case 'close-current-probe': {
      const currentProbeM = Math.round(event.times * test.electrode.longestM)
      return {
        draft: practised(test, { currentProbeM }),
        detail: `current probe at ${currentProbeM} m, ${event.times} times the size`,
      }
    }
    case 'link-not-closed':
      return {
        draft: linkLeft(sound, event.record),
        detail: event.record === 'empty' ? 'no closing time, no check' : 'handed in as still open',
      }
    case 'readings-out-of-order':
      return { draft: shuffled(sound), detail: 'readings moved up by one line' }
    case 'bad-set-up':
      return {
        draft: badSetUp(sound, event.condition, event.all),
        detail: `${event.condition}, ${event.all ? 'all readings' : 'one reading'}`,
      }
  }
}

/** The draft of a test on which that event falls. Throws when the story asks for what cannot be. */
export function withFault(event: SheetEvent, test: PlannedTest, neighbours: Neighbours): Draft {
  const { draft, detail } = faulty(event, test, neighbours)
  return { ...draft, planted: [{ kind: event.kind, detail }] }
}

/** A visit that came to nothing: who, when and why, and no reading. */
export function notMade(event: NotMade, test: PlannedTest): Draft {
  const { survey, trueOhm: _unseen, ...draft } = practised(test)
  const random = randomFor('not-made', event.electrodeId, event.on)
  const { instrumentId, tester, secondPerson, soilState } = survey
  return {
    ...draft,
    planted: [{ kind: 'not-made', detail: event.outcome }],
    survey: {
      electrodeId: event.electrodeId,
      method: survey.method,
      purpose: test.purpose,
      outcome: event.outcome,
      measuredAs: survey.measuredAs,
      readings: [],
      notes: event.notes,
      ...(event.outcome === 'not-found'
        ? { visual: event.electrodeId === 'DEMO-ESK-07' ? ('stolen' as const) : ('not-seen' as const) }
        : {}),
      ...(instrumentId ? { instrumentId } : {}),
      ...(tester ? { tester } : {}),
      ...(secondPerson && random.chance(0.8) ? { secondPerson } : {}),
      ...(soilState ? { soilState } : {}),
    },
  }
}
