import type { ElectrodeShape } from '../earth/electrode-shape.ts'
import { COARSE_SOIL_GUESSES, SOIL_GUESSES } from '../earth/layered-line.ts'
import type { Weighed } from './running-average.ts'
import { type LineData, type Variant, weighModels } from './weigh-models.ts'

/** What may have happened to a line of readings, each with its share of the belief after the readings are seen. */
export type Explanation =
  | { kind: 'as-recorded'; probability: number; found: Weighed }
  | { kind: 'one-bad'; index: number; probability: number; found: Weighed }
  | { kind: 'swapped'; first: number; second: number; probability: number; found: Weighed }
  | { kind: 'other-angle'; angleDeg: number; probability: number; found: Weighed }

/**
 * Belief beforehand that a survey has one wrong reading, two exchanged ones, or an angle nobody recorded; and over how wide a range
 * (natural logarithm) a wrong reading may fall. Our own estimates, to be learnt from an operator's reviews.
 */
const ONE_BAD = 0.02
const SWAPPED = 0.02
const OTHER_ANGLE = 0.05
const BAD_RANGE_LN = 2.2
const ANGLES = [45, 60, 90, 120, 180]

/** Fewer readings than this cannot tell an angle from an ordinary curve. */
const ANGLE_NEEDS = 6
/** Up to this many readings the coarse soils do. */
const FEW = 5

/** All explanations worth naming, most probable first; probabilities add up to one. */
export function explainLine(data: LineData, shape: ElectrodeShape, angleRecorded: boolean): Explanation[] {
  const n = data.value.length
  const soils = n <= FEW ? COARSE_SOIL_GUESSES : SOIL_GUESSES
  const variants: Variant[] = [{ kind: 'all' }]
  if (n >= 3) {
    for (let index = 0; index < n; index++) variants.push({ kind: 'without', index })
    for (const [first, second] of fallingPairs(data.value))
      variants.push({ kind: 'exchanged', first, second })
  }
  const list: { explanation: Explanation; log: number }[] = []
  weighModels(data, shape, soils, variants).forEach((found, v) => {
    const variant = variants[v]!
    if (variant.kind === 'all')
      list.push({ explanation: { kind: 'as-recorded', probability: 0, found }, log: found.logEvidence })
    else if (variant.kind === 'without')
      list.push({
        explanation: { kind: 'one-bad', index: variant.index, probability: 0, found },
        log:
          found.logEvidence +
          Math.log(ONE_BAD / n / BAD_RANGE_LN / Math.max(1e-6, data.value[variant.index]!)),
      })
    else
      list.push({
        explanation: { kind: 'swapped', first: variant.first, second: variant.second, probability: 0, found },
        log: found.logEvidence + Math.log(SWAPPED / ((n * (n - 1)) / 2)),
      })
  })
  if (n >= ANGLE_NEEDS && !angleRecorded)
    for (const angleDeg of ANGLES) {
      const [found] = weighModels({ ...data, angleDeg }, shape, soils, [{ kind: 'all' }])
      list.push({
        explanation: { kind: 'other-angle', angleDeg, probability: 0, found: found! },
        log: found!.logEvidence + Math.log(OTHER_ANGLE / ANGLES.length),
      })
    }
  const usable = list.filter((one) => Number.isFinite(one.log))
  const top = Math.max(...usable.map((one) => one.log))
  const total = usable.reduce((sum, one) => sum + Math.exp(one.log - top), 0)
  return usable
    .map(({ explanation, log }) => ({ ...explanation, probability: Math.exp(log - top) / total }))
    .sort((a, b) => b.probability - a.probability)
}

/** Pairs that stand the wrong way round: exchanging any others could only make the line worse. The six largest falls. */
function fallingPairs(value: readonly number[]): [number, number][] {
  const pairs: { pair: [number, number]; fall: number }[] = []
  for (let i = 0; i < value.length; i++)
    for (let j = i + 1; j < value.length; j++) {
      const fall = value[i]! - value[j]!
      if (fall > 0) pairs.push({ pair: [i, j], fall })
    }
  return pairs
    .sort((a, b) => b.fall - a.fall)
    .slice(0, 6)
    .map(({ pair }) => pair)
}
