import { densestPlace, halfInterval } from './belief-shape.ts'

/** What is believed of R after all models have spoken. */
export interface Belief {
  /** Where the belief is thickest: nearer the truth than its mean or its median where some models lie far off to one side. */
  value: number
  /** Standard deviation within the models. */
  within: number
  /** What the models' differing adds to `within`, so that both together with k = 2 are the coverage interval of JCGM 101, 7.7. */
  between: number
  /** ln of the evidence, for comparing explanations of the same readings; −Infinity when no model had an answer. */
  logEvidence: number
  /** Share of the belief that is left to uniform soil. */
  uniformShare: number
  /** Mean relative noise of one reading. */
  noise: number
}

interface OpenBelief {
  /** A model's answer with the logarithm of its weight; `uniform` is 1 for uniform soil. */
  add(log: number, value: number, variance: number, uniform: number, noise: number): void
  /** What is believed. With less evidence than `leastEvidence` nobody will ask how far the models differ, and `between` stays 0. */
  result(leastEvidence?: number): Belief
}

/** A model this much less likely than the best (in ln) cannot be seen in the result. */
const NEGLIGIBLE = 16
const BINS = 128
/** As a share of the value: models farther from it than this do not move it. Chosen on simulated surveys, where 4 to 12 % do alike. */
const REACH = 0.07

// Scratch, used again from call to call: one belief is open at a time, and nothing here awaits.
let logs = new Float64Array(0)
let values = new Float64Array(0)
let variances = new Float64Array(0)
let uniforms = new Float64Array(0)
let noises = new Float64Array(0)
const bins = new Float64Array(BINS)

/** Opens a belief for at most `most` models; the one opened before is closed by it. */
export function openBelief(most: number): OpenBelief {
  if (logs.length < most) {
    logs = new Float64Array(most)
    values = new Float64Array(most)
    variances = new Float64Array(most)
    uniforms = new Float64Array(most)
    noises = new Float64Array(most)
  }
  let top = Number.NEGATIVE_INFINITY
  let size = 0
  return {
    add(log, value, variance, uniform, noise) {
      if (!(log > top - NEGLIGIBLE)) return
      if (log > top) top = log
      logs[size] = log
      values[size] = value
      variances[size] = variance
      uniforms[size] = uniform
      noises[size] = noise
      size++
    },
    result: (leastEvidence = Number.NEGATIVE_INFINITY) => summary(size, top, leastEvidence),
  }
}

function summary(size: number, top: number, leastEvidence: number): Belief {
  let total = 0
  let low = Number.POSITIVE_INFINITY
  let high = Number.NEGATIVE_INFINITY
  let variance = 0
  let uniform = 0
  let noise = 0
  for (let i = 0; i < size; i++) {
    const log = logs[i]! - top
    const weight = log > -NEGLIGIBLE ? Math.exp(log) : 0
    // From here on the weight itself.
    logs[i] = weight
    if (weight === 0) continue
    total += weight
    variance += weight * variances[i]!
    uniform += weight * uniforms[i]!
    noise += weight * noises[i]!
    if (values[i]! < low) low = values[i]!
    if (values[i]! > high) high = values[i]!
  }
  const step = (high - low) / BINS || 1e-12
  bins.fill(0)
  for (let i = 0; i < size; i++) {
    const bin = Math.floor((values[i]! - low) / step)
    bins[bin < 0 ? 0 : bin < BINS ? bin : BINS - 1]! += logs[i]!
  }
  const median = low + step * binOfShare(total / 2)
  const reachBins = (REACH * Math.abs(median)) / step
  const value = reachBins > 1 ? low + step * densestPlace(bins, (median - low) / step, reachBins) : median
  const within = Math.sqrt(variance / total)
  const logEvidence = top + Math.log(total)
  return {
    value,
    within,
    between: logEvidence < leastEvidence ? 0 : betweenModels(size, value, within, total, low, high),
    logEvidence,
    uniformShare: uniform / total,
    noise: noise / total,
  }
}

function betweenModels(
  size: number,
  value: number,
  within: number,
  total: number,
  low: number,
  high: number,
): number {
  const reach = Math.max(value - low, high - value) / BINS || 1e-12
  bins.fill(0)
  for (let i = 0; i < size; i++) {
    const bin = Math.floor(Math.abs(values[i]! - value) / reach)
    bins[bin < BINS ? bin : BINS - 1]! += logs[i]!
  }
  const half = 0.5 * reach * halfInterval(bins, within / reach, total)
  return Math.sqrt(Math.max(0, half * half - within * within))
}

/** Where in the bins the weights add up to `wanted`, in bins. */
function binOfShare(wanted: number): number {
  let sum = 0
  let bin = 0
  while (bin < BINS - 1 && sum + bins[bin]! < wanted) sum += bins[bin++]!
  return bin + (bins[bin]! > 0 ? Math.min(1, (wanted - sum) / bins[bin]!) : 0)
}
