/** What is believed of R after all models have spoken. */
export interface Belief {
  /** The middle of the belief: as much of it lies above as below. Nearer the truth than the mean where a few models lie far off. */
  value: number
  /** Standard deviation within the models. */
  within: number
  /** Half of what reaches from the middle to 95 % of the models: with k = 2 the coverage interval of JCGM 101, 7.7. */
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
  result(): Belief
}

/** A model this much less likely than the best (in ln) cannot be seen in the result. */
const NEGLIGIBLE = 16
const BINS = 128

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
    result: () => summary(size, top),
  }
}

function summary(size: number, top: number): Belief {
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
  const value = low + step * binOfShare(total / 2)
  const reach = Math.max(value - low, high - value) / BINS || 1e-12
  bins.fill(0)
  for (let i = 0; i < size; i++) {
    const bin = Math.floor(Math.abs(values[i]! - value) / reach)
    bins[bin < BINS ? bin : BINS - 1]! += logs[i]!
  }
  return {
    value,
    within: Math.sqrt(variance / total),
    between: 0.5 * reach * binOfShare(0.95 * total),
    logEvidence: top + Math.log(total),
    uniformShare: uniform / total,
    noise: noise / total,
  }
}

/** Where in the bins the weights add up to `wanted`, in bins. */
function binOfShare(wanted: number): number {
  let sum = 0
  let bin = 0
  while (bin < BINS - 1 && sum + bins[bin]! < wanted) sum += bins[bin++]!
  return bin + (bins[bin]! > 0 ? Math.min(1, (wanted - sum) / bins[bin]!) : 0)
}
