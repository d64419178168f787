import { chanceOfLnOdds, lnOdds } from '../statistics/odds.ts'
import { CAUSES, type Cause } from './explanations.ts'

/**
 * From the model's log odds to those that hold, by cause: a slope and a shift, so that the order of findings stays. Fitted on
 * 245 sites of the project's own simulated operators (ordinary, extreme, rough, lonely, half of a site corroding), checked on
 * others and on fleets of another simulator; part of the parameters' version. Causes that are not here hold as they are.
 */
const HOLDS: Partial<Record<Cause, { slope: number; shift: number }>> = {
  rise: { slope: 0.4, shift: 0.6 },
  fall: { slope: 0.75, shift: 0.3 },
  corrosion: { slope: 0.7, shift: 0.5 },
  'wrong-electrode': { slope: 0.7, shift: 0 },
  repeated: { slope: 0.7, shift: 0.2 },
  'out-of-order': { slope: 0.85, shift: 0 },
}

/**
 * The chance stated with a finding, from that of the explanation named and that of any news: where something else may be
 * true as well, the alternatives say so.
 */
export function statedChance(cause: Cause, news: number, posterior: readonly number[]): number {
  const named = posterior[CAUSES.indexOf(cause)] ?? 0
  const p = Math.min(0.995, Math.max(0.001, named, news))
  const map = HOLDS[cause]
  if (!map) return Math.min(0.99, p)
  return Math.min(0.99, chanceOfLnOdds(map.slope * lnOdds(p) + map.shift))
}
