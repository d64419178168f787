import { type Alternative, rounded } from '../comparison.ts'
import { CAUSES, type Cause } from './explanations.ts'
import type { Verdict } from './verdict.ts'

/** Words for what else it could be. */
const EXPLANATION: Record<Cause, (up: boolean) => string> = {
  nothing: () => 'nothing: ordinary scatter, season or weather',
  rise: () => 'part of the earth is lost: a broken conductor or joint',
  fall: () => 'something else is connected (a parallel path), or the earth was improved',
  corrosion: () => 'a slow rise, as corrosion makes',
  decimal: (up) => `the decimal point slipped (ten times too ${up ? 'high' : 'low'})`,
  unit: () => 'the unit was mixed up (a thousand times)',
  repeated: () => 'the earlier sheet was handed in again',
  'wrong-electrode': () => 'the sheet belongs to another electrode of the site',
  'too-close': () => 'the current probe stood too close',
  'out-of-order': () => 'the readings were written in the wrong order',
}

/** Which of two equal stories is the more dangerous to miss. */
const DANGER: Record<Cause, number> = {
  rise: 0,
  fall: 1,
  corrosion: 2,
  'too-close': 3,
  'wrong-electrode': 4,
  unit: 5,
  decimal: 6,
  repeated: 7,
  'out-of-order': 8,
  nothing: 9,
}

/** The likeliest explanations with their chances; of a tenfold jump both, the dangerous one first. */
export function alternativesOf(v: Verdict, named: Cause): Alternative[] {
  const up = v.entry.sighting.y > v.expected
  const rows = CAUSES.map((cause, i) => ({ cause, chance: v.posterior[i]! }))
    .filter((r) => r.cause === named || r.chance >= 0.03 || mustShow(r.cause, named, up))
    .sort((a, b) => b.chance - a.chance)
    .slice(0, 4)
  if (named === 'decimal' || named === 'unit') rows.sort((a, b) => DANGER[a.cause] - DANGER[b.cause])
  return rows.map((r) => ({ explanation: EXPLANATION[r.cause](up), probability: rounded(r.chance, 2) }))
}

/** Ten times up is a slip or a broken earth, ten times down a slip or a parallel path: never one without the other. */
function mustShow(cause: Cause, named: Cause, up: boolean): boolean {
  return (named === 'decimal' || named === 'unit') && cause === (up ? 'rise' : 'fall')
}
