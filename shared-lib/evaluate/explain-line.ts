import type { ElectrodeShape } from '../earth/electrode-shape.ts'
import type { SoilGuess } from '../earth/layered-line.ts'
import { type LineGeometry, type LineModels, lineModels } from './line-models.ts'
import { type LineValues, type Weighed, weighModels } from './weigh-models.ts'

/** What may have happened to a line of readings, each with its share of the belief after the readings are seen. */
export type Explanation =
  | { kind: 'as-recorded'; probability: number; found: Weighed }
  | { kind: 'one-bad'; index: number; probability: number; found: Weighed }
  | { kind: 'two-bad'; first: number; second: number; probability: number; found: Weighed }
  | { kind: 'swapped'; first: number; second: number; probability: number; found: Weighed }
  | { kind: 'other-angle'; angleDeg: number; probability: number; found: Weighed }

/** A reading or two that are not what they should be; the leads lay as recorded. */
export const isSlip = ({ kind }: Explanation): boolean =>
  kind === 'one-bad' || kind === 'two-bad' || kind === 'swapped'

/**
 * Belief beforehand that a survey has one wrong reading, two of them, two exchanged ones, or an angle nobody recorded; and over how wide a range
 * (natural logarithm) a wrong reading may fall. Our own estimates, to be learnt from an operator's reviews.
 */
const ONE_BAD = 0.02
const TWO_BAD = 0.02
const SWAPPED = 0.02
const OTHER_ANGLE = 0.08
const BAD_RANGE_LN = 2.2
/** Two that are both off are mostly off by little, as beside a buried pipe or by a slip of the pen. */
const TWO_BAD_RANGE_LN = 0.7
const ANGLES = [45, 60, 90, 120, 180]

/** Fewer readings than this cannot tell an angle from an ordinary curve. */
const ANGLE_NEEDS = 6
/** Two are given up only where at least four remain. */
const TWO_BAD_NEEDS = 6
/** No reading farther than this from the curve: a slip so small could neither be told from noise nor matter. */
const SLIP_NEEDS = 0.02

/** An explanation this much less likely than the line as recorded (in ln) is not asked for the spread of its models. */
const UNLIKELY = 5

/** All explanations worth naming, most probable first; probabilities add up to one. Empty when no model has an answer. */
export function explainLine(
  data: LineValues,
  geometry: LineGeometry,
  shape: ElectrodeShape,
  soils: readonly SoilGuess[],
  angleRecorded: boolean,
): Explanation[] {
  const models = lineModels(shape, soils, geometry)
  const found = weighModels(models, data)
  const list: Candidate[] = [
    { explanation: { kind: 'as-recorded', probability: 0, found }, log: found.logEvidence },
  ]
  const n = data.value.length
  if (n >= 3 && !found.residuals.every((off) => Math.abs(off) < SLIP_NEEDS))
    addSlips(models, data, found, list)
  if (n >= ANGLE_NEEDS && !angleRecorded)
    for (const angleDeg of ANGLES) {
      const prior = Math.log(OTHER_ANGLE / ANGLES.length)
      const least = found.logEvidence - UNLIKELY - prior
      const turned = weighModels(lineModels(shape, soils, { ...geometry, angleDeg }), data, -1, -1, least)
      list.push({
        explanation: { kind: 'other-angle', angleDeg, probability: 0, found: turned },
        log: turned.logEvidence + prior,
      })
    }
  if (list.length === 1)
    return Number.isFinite(found.logEvidence) ? [{ kind: 'as-recorded', probability: 1, found }] : []
  const usable = list.filter((one) => Number.isFinite(one.log))
  const top = Math.max(...usable.map((one) => one.log))
  const total = usable.reduce((sum, one) => sum + Math.exp(one.log - top), 0)
  return usable
    .map(({ explanation, log }) => ({ ...explanation, probability: Math.exp(log - top) / total }))
    .sort((a, b) => b.probability - a.probability)
}

interface Candidate {
  explanation: Explanation
  log: number
}

function addSlips(
  models: LineModels,
  data: LineValues,
  { residuals, logEvidence }: Weighed,
  list: Candidate[],
): void {
  const n = data.value.length
  const least = logEvidence - UNLIKELY
  const lnBad = (index: number, range: number) => -Math.log(range * Math.max(1e-6, data.value[index]!))
  for (const index of farthest(residuals)) {
    const prior = Math.log(ONE_BAD / n) + lnBad(index, BAD_RANGE_LN)
    const found = weighModels(models, data, index, -1, least - prior)
    list.push({
      explanation: { kind: 'one-bad', index, probability: 0, found },
      log: found.logEvidence + prior,
    })
  }
  const pairs = (n * (n - 1)) / 2
  if (n >= TWO_BAD_NEEDS)
    for (const [first, second] of farthestPairs(residuals)) {
      const prior =
        Math.log(TWO_BAD / pairs) + lnBad(first, TWO_BAD_RANGE_LN) + lnBad(second, TWO_BAD_RANGE_LN)
      const found = weighModels(models, data, first, second, least - prior)
      list.push({
        explanation: { kind: 'two-bad', first, second, probability: 0, found },
        log: found.logEvidence + prior,
      })
    }
  for (const [first, second] of fallingPairs(data.value)) {
    const value = Float64Array.from(data.value)
    value[first] = data.value[second]!
    value[second] = data.value[first]!
    const prior = Math.log(SWAPPED / pairs)
    const found = weighModels(models, { ...data, value }, -1, -1, least - prior)
    list.push({
      explanation: { kind: 'swapped', first, second, probability: 0, found },
      log: found.logEvidence + prior,
    })
  }
}

/** The four readings, or fewer, that lie farthest from the curve, in order: a wrong one is always among them. */
function farthest(residuals: readonly number[]): number[] {
  return residuals
    .map((_, i) => i)
    .sort((a, b) => Math.abs(residuals[b]!) - Math.abs(residuals[a]!))
    .slice(0, 4)
    .sort((a, b) => a - b)
}

function farthestPairs(residuals: readonly number[]): [number, number][] {
  const [a, b, c, d] = farthest(residuals) as [number, number, number, number]
  return [
    [a, b],
    [a, c],
    [a, d],
    [b, c],
    [b, d],
    [c, d],
  ]
}

/** Pairs that stand the wrong way round: exchanging any others could only make the line worse. The six largest falls. */
function fallingPairs(value: ArrayLike<number>): [number, number][] {
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
