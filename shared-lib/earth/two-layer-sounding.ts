import { apparentRatio } from './four-point.ts'
import { type LayeredSoil, soilFrom } from './layered-soil.ts'
import { bestTwoLayers, type LogPoint } from './two-layer-search.ts'

/** One place of a four-point sounding: see `apparentResistivityOhmM` for the two spacings. */
export interface SoundingPoint {
  spacingM: number
  /** Between the two potential stakes, m; absent = `spacingM` (Wenner). */
  potentialSpacingM?: number
  apparentOhmM: number
  /** How much it counts; absent = 1. */
  weight?: number
}

export interface SoilFit {
  soil: LayeredSoil
  /** Standard uncertainties of the logarithms, so about relative ones; lower and depth null in uniform soil. */
  upperDoubt: number
  lowerDoubt: number | null
  depthDoubt: number | null
  /** Root mean square of the relative misfit. */
  misfit: number
  /** How many readings it rests on. */
  readings: number
  /** One plain sentence: why one layer or two. */
  why: string
}

/** Relative noise of a four-point reading expected beforehand, and how many readings that belief is worth. Our own estimate, no source. */
const NOISE = 0.05
const NOISE_READINGS = 4
/** Soil that nobody looked at, below or above the spacings: relative. Our own estimate, no source. */
const UNSEEN_DOUBT = 0.4

/**
 * The soil of one layer or two that explains four-point readings best: least squares of ln rho over Sunde's series, started from a grid of
 * contrasts and depths so that no false bottom is taken (the search of Seedher and Arora 1992 with other arithmetic). Two layers only from
 * three different spacings on, and only where they explain more than noise would: an information criterion (Schwarz, with two more for each
 * unknown) in which 5 % noise is worth four readings beforehand. Resistivities in ohm-m, depth in m. Readings that are not positive and
 * finite are left out; null when none is left.
 */
export function fitSoil(readings: readonly SoundingPoint[]): SoilFit | null {
  const points = readings.flatMap(logPoint)
  if (points.length === 0) return null
  const n = points.length
  const weight = points.reduce((sum, point) => sum + point.weight, 0)
  const mean = points.reduce((sum, point) => sum + point.weight * point.lnOhmM, 0) / weight
  const flat = points.reduce((sum, point) => sum + point.weight * (point.lnOhmM - mean) ** 2, 0)
  const spacings = new Set(points.map((point) => Math.round(1000 * Math.log(point.spacingM)))).size
  const prior = NOISE_READINGS * NOISE ** 2
  const one = (why: string, unseen: number): SoilFit => ({
    soil: { upperOhmM: Math.exp(mean), lowerOhmM: null, depthM: null },
    upperDoubt: Math.hypot(Math.sqrt((flat + prior) / (weight + NOISE_READINGS - 1) / weight), unseen),
    lowerDoubt: null,
    depthDoubt: null,
    misfit: Math.sqrt(flat / weight),
    readings: n,
    why,
  })
  if (spacings < 3)
    return one(
      `${spacings === 1 ? 'One spacing shows' : 'Two spacings show'} one resistivity and cannot tell layers: three or more would.`,
      spacings === 1 ? UNSEEN_DOUBT : UNSEEN_DOUBT / 2,
    )
  const cost = (squares: number, unknowns: number): number =>
    (weight + NOISE_READINGS) * Math.log1p(squares / prior) + unknowns * (Math.log(n) + 2)
  const two = bestTwoLayers(points)
  if (!two || cost(flat, 1) <= cost(two.squares, 3))
    return one(
      `One layer explains the ${n} readings within ${percent(Math.sqrt(flat / weight))}; a second would not explain them better than chance.`,
      0,
    )
  const noise = Math.sqrt((two.misfitSquares + prior) / Math.max(1, weight - 3 + NOISE_READINGS))
  // Three readings fit three unknowns whatever they are: nothing checks them.
  const [upper, lower, depth] = two.doubts(spacings === 3 ? 2 * noise : noise)
  const misfit = Math.sqrt(two.misfitSquares / weight)
  return {
    soil: soilFrom(Math.exp(two.lnUpper), Math.exp(two.lnUpper + two.lnRatio), Math.exp(two.lnDepth)),
    upperDoubt: upper,
    lowerDoubt: lower,
    depthDoubt: depth,
    misfit,
    readings: n,
    why: `Two layers explain the ${n} readings within ${percent(misfit)}; one layer leaves ${percent(Math.sqrt(flat / weight))}.`,
  }
}

/** Apparent resistivity, ohm-m, that this soil would show at a spacing (m). Null for a spacing or a soil that cannot be. */
export function apparentOf(soil: LayeredSoil, spacingM: number, potentialSpacingM = spacingM): number | null {
  const { upperOhmM, lowerOhmM, depthM } = soil
  if (!(spacingM > 0 && potentialSpacingM > 0 && upperOhmM > 0)) return null
  if (lowerOhmM === null || depthM === null) return upperOhmM
  const contrast = (lowerOhmM - upperOhmM) / (lowerOhmM + upperOhmM)
  const value = upperOhmM * apparentRatio(spacingM, contrast, depthM, potentialSpacingM)
  return Number.isFinite(value) && value > 0 ? value : null
}

function logPoint(point: SoundingPoint): LogPoint[] {
  const { spacingM, potentialSpacingM = spacingM, apparentOhmM, weight = 1 } = point
  const sound = [spacingM, potentialSpacingM, apparentOhmM].every((value) => value > 1e-3 && value < 1e9)
  return sound && weight > 0 && weight <= 1
    ? [{ spacingM, potentialSpacingM, lnOhmM: Math.log(apparentOhmM), weight }]
    : []
}

const percent = (share: number): string => `${(100 * share).toFixed(share < 0.1 ? 1 : 0)} %`
