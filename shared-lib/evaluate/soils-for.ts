import { COARSE_SOIL_GUESSES, SOIL_GUESSES, type SoilGuess } from '../earth/layered-line.ts'
import type { SiteSoil } from './evaluation.ts'
import { FEW } from './weigh-models.ts'

/** How much a soil survey of the site is believed to hold where this electrode stands. Our own estimate, no source. */
const SITE_SHARE = 0.7
/** Season and the way between the soil survey and the electrode, ln. Our own estimate, no source. */
const SITE_SCATTER = 0.35

const known = new WeakMap<SiteSoil, Map<readonly SoilGuess[], readonly SoilGuess[]>>()

/** The soils that are tried on a line of `readings`: the usual ones, and around what was measured at the site when it was. */
export function soilsFor(readings: number, site?: SiteSoil): readonly SoilGuess[] {
  const usual = readings <= FEW ? COARSE_SOIL_GUESSES : SOIL_GUESSES
  if (!site || !isSoil(site)) return usual
  const ofSite = known.get(site) ?? new Map<readonly SoilGuess[], readonly SoilGuess[]>()
  known.set(site, ofSite)
  const ready = ofSite.get(usual)
  if (ready) return ready
  const fresh = [
    ...usual.map((soil) => ({ ...soil, weight: (1 - SITE_SHARE) * soil.weight })),
    ...aroundSite(site).map((soil) => ({ ...soil, weight: SITE_SHARE * soil.weight })),
  ]
  ofSite.set(usual, fresh)
  return fresh
}

function isSoil({ upperOhmM, lowerOhmM, depthM, relativeUncertainty }: SiteSoil): boolean {
  return [upperOhmM, lowerOhmM, depthM].every((size) => size > 1e-3 && size < 1e6) && relativeUncertainty >= 0
}

/** Nine soils: the ratio of the layers and the depth as measured, and off by their doubt to either side. */
function aroundSite({ upperOhmM, lowerOhmM, depthM, relativeUncertainty }: SiteSoil): SoilGuess[] {
  const doubt = Math.min(1.5, Math.hypot(relativeUncertainty, SITE_SCATTER))
  const sides = [
    [-1.2, 0.25],
    [0, 0.5],
    [1.2, 0.25],
  ] as const
  return sides.flatMap(([ratioOff, ratioWeight]) =>
    sides.map(([depthOff, depthWeight]) => {
      const half = 0.5 * (Math.log(lowerOhmM / upperOhmM) + ratioOff * doubt)
      return {
        // Twentieths, because each contrast has a table of its own.
        contrast: Math.max(-0.95, Math.min(0.95, Math.round(20 * Math.tanh(half)) / 20)),
        depthM: depthM * Math.exp(depthOff * doubt),
        weight: ratioWeight * depthWeight,
        lnUpperOhmM: Math.log(upperOhmM),
        lnUpperDoubt: doubt,
      }
    }),
  )
}
