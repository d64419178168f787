import type { Beliefs } from './beliefs.ts'
import { formulaSpeaks, type Member } from './member.ts'
import type { LevelPrior } from './regression.ts'
import { siteSoil } from './soil.ts'

/** ln soil that a new electrode of the same visit points to. */
export interface SoilNews {
  id: string
  x: number
}

/** Prior of an electrode's level: what came before the baseline, else its formula and the site's soil. */
export function levelPrior(
  m: Member,
  members: readonly Member[],
  soilNews: readonly SoilNews[],
  b: Beliefs,
): LevelPrior {
  if (m.priorMean !== null) return { mean: m.priorMean, variance: m.priorVar }
  const own = m.electrode.electrodeId
  const levels = members
    .filter((o) => o.electrode.electrodeId !== own && o.level !== null && o.lnG !== null)
    .map((o) => o.level! - o.lnG!)
  for (const x of soilNews) if (x.id !== own) levels.push(x.x)
  const soil = siteSoil(levels, b)
  const prior = !formulaSpeaks(m.key)
    ? // A bond may have a hundredth of an ohm, a loop hundreds: the first test is taken as it comes.
      { mean: 0, variance: 3 ** 2 }
    : m.lnG === null
      ? { mean: Math.log(15), variance: 1.5 ** 2 }
      : { mean: m.lnG + soil.mean, variance: b.geometrySd ** 2 + soil.variance }
  m.priorMean = prior.mean
  m.priorVar = prior.variance
  return prior
}
