import type { ElectrodeShape } from '../earth/electrode-shape.ts'
import { relativeStrengthM } from '../earth/electrode-shape.ts'
import { LAST_ANGLE_DEG, probeToProbeM } from '../earth/fall-of-potential.ts'
import { factorise } from '../earth/field/linear-system.ts'
import { surfaceKernelPerM } from '../earth/field/two-layer-soil.ts'
import { layerTermPerM, SOIL_GUESSES, type SoilGuess } from '../earth/layered-line.ts'
import { fieldSoil, type LayeredSoil } from '../earth/layered-soil.ts'

export interface Stake {
  percent: number
  distanceM: number
}

/** One way to set the stakes, and what the lay-out by itself leaves in doubt. */
export interface LayOut {
  name: 'short' | 'full' | 'equal-leads' | 'right-angle'
  words: string
  currentProbeM: number
  /** Between the lead to the current probe and that to the potential probe. */
  angleDeg: number
  stakes: Stake[]
  /** Expanded (k = 2), in % of the resistance, by the distances and the soil's layers; the instrument comes on top. */
  doubtPercent: number
}

const SHORT = [52, 62, 72] as const
const FULL = [10, 20, 30, 40, 50, 60, 70, 80, 90] as const

/** Repeatability of a reading in the field, relative. Our own estimate, no source. */
const READING_NOISE = 0.01

/**
 * The ways to set the stakes with the current probe at this distance, the least doubtful first. Doubt: what is left when the readings are put
 * together as well as can be (the weighted mean of least variance) over the soils that may be there, the doubt of the electrode's size and 1 %
 * of noise in each reading. `soil` known narrows them to that soil with its depth within 30 %; unknown, uniform and two-layer soils as
 * `SOIL_GUESSES` weighs them.
 */
export function layOuts(shape: ElectrodeShape, currentProbeM: number, soil: LayeredSoil | null): LayOut[] {
  const guesses = guessesFor(soil)
  const equal = Math.round(LAST_ANGLE_DEG)
  const way = (
    name: LayOut['name'],
    angleDeg: number,
    percents: readonly number[],
    words: string,
  ): LayOut => ({
    name,
    words,
    currentProbeM,
    angleDeg,
    stakes: percents.map((percent) => ({ percent, distanceM: tenth((percent / 100) * currentProbeM) })),
    doubtPercent: doubtOf(shape, guesses, currentProbeM, percents, angleDeg),
  })
  return [
    way('short', 0, SHORT, 'One line, readings at 52, 62 and 72 %.'),
    way(
      'full',
      0,
      FULL,
      'One line, a reading every 10 %: the curve itself shows the soil and corrects the place.',
    ),
    way(
      'equal-leads',
      equal,
      [100],
      `Both probes at the same distance, ${equal} degrees between the leads: in even soil the errors cancel.`,
    ),
    way(
      'right-angle',
      90,
      SHORT,
      'Potential probe at a right angle to the line of the current probe: reads low and is corrected, so the angle must be recorded.',
    ),
  ]
    .filter(({ doubtPercent }) => Number.isFinite(doubtPercent))
    .map((one) => ({ ...one, doubtPercent: Math.min(999, tenth(one.doubtPercent)) }))
    .sort((a, b) => a.doubtPercent - b.doubtPercent)
}

/** Expanded doubt (k = 2), %, of the weighted mean of least variance: 1/(mᵀ C⁻¹ m), m the readings expected over R = 1, C their covariance. */
function doubtOf(
  shape: ElectrodeShape,
  guesses: readonly SoilGuess[],
  currentProbeM: number,
  percents: readonly number[],
  angleDeg: number,
): number {
  const n = percents.length
  const total = guesses.reduce((sum, { weight }) => sum + weight, 0)
  const mean = new Float64Array(n)
  const covariance = percents.map(() => new Float64Array(n))
  const drawn: { weight: number; row: number[] }[] = []
  for (const guess of guesses) {
    const row = percents.map((p) =>
      readingOverR(shape, guess, currentProbeM, (p / 100) * currentProbeM, angleDeg),
    )
    // The electrode's size is known within its doubt: a fall that much steeper, and that much flatter.
    for (const times of [1 - shape.hemisphereDoubt, 1 + shape.hemisphereDoubt])
      drawn.push({ weight: guess.weight / (2 * total), row: row.map((value) => 1 - times * (1 - value)) })
  }
  for (const { weight, row } of drawn) for (let i = 0; i < n; i++) mean[i]! += weight * row[i]!
  for (const { weight, row } of drawn)
    for (let i = 0; i < n; i++)
      for (let j = 0; j < n; j++) covariance[i]![j]! += weight * (row[i]! - mean[i]!) * (row[j]! - mean[j]!)
  for (let i = 0; i < n; i++) covariance[i]![i]! += READING_NOISE ** 2
  const solved = factorise(covariance)?.solve(mean)
  const information = solved?.reduce((sum, value, i) => sum + value * mean[i]!, 0) ?? 0
  return information > 0 ? 200 / Math.sqrt(information) : Number.NaN
}

/** Where on the straight line the reading is right in this soil, % of the distance; null when no place from 30 to 95 % is. */
export function rightPlacePercent(
  shape: ElectrodeShape,
  currentProbeM: number,
  soil: LayeredSoil | null,
): number | null {
  const [guess] = soil === null ? [{ contrast: 0, depthM: 1, weight: 1 }] : guessesFor(soil).slice(1, 2)
  const error = (percent: number): number =>
    readingOverR(shape, guess!, currentProbeM, (percent / 100) * currentProbeM, 0) - 1
  let [low, high] = [30, 95]
  if (!(error(low) < 0 && error(high) > 0)) return null
  for (let i = 0; i < 40; i++) {
    const middle = (low + high) / 2
    if (error(middle) < 0) low = middle
    else high = middle
  }
  return tenth(low)
}

/** Reading over resistance: 1 − K/R (own(x) + own(D) − stake(d)), see `relativeStrengthM`; tape from where it is most often laid. */
function readingOverR(
  shape: ElectrodeShape,
  guess: SoilGuess,
  currentProbeM: number,
  potentialProbeM: number,
  angleDeg: number,
): number {
  const offset = shape.origins.reduce((a, b) => (b.weight > a.weight ? b : a)).offsetM
  const far = currentProbeM + offset
  const x = potentialProbeM + offset
  const between = probeToProbeM(x, far, angleDeg)
  const layer = (r: number): number =>
    guess.contrast === 0
      ? 0
      : knownContrasts.has(guess.contrast)
        ? layerTermPerM(r, guess)
        : surfaceKernelPerM(r, guess.contrast, guess.depthM) - 1 / r
  const own = (r: number): number => shape.surfaceTermPerM(r) + layer(r)
  const strength = relativeStrengthM(shape, guess, (r) => layer(r))
  return 1 - strength * (own(x) + own(far) - 1 / between - layer(between))
}

const knownContrasts = new Set(SOIL_GUESSES.map(({ contrast }) => contrast))

/** Known soil: the depth 30 % less, as stated, 40 % more. */
function guessesFor(soil: LayeredSoil | null): readonly SoilGuess[] {
  if (soil === null) return SOIL_GUESSES
  const layers = fieldSoil(soil)
  if (!layers) return SOIL_GUESSES
  return [0.7, 1, 1.4].map((times) => ({
    contrast: layers.contrast,
    depthM: times * layers.depthM,
    weight: 1 / 3,
  }))
}

/** Distances to a tenth of a metre: nobody sets a stake better. */
export const tenth = (value: number): number => Math.round(value * 10) / 10
