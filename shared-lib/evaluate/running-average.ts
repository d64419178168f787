/** Result of an average over models. */
export interface Weighed {
  /** Mean of R and its standard deviations within and between the models, in the units of the values. */
  value: number
  within: number
  between: number
  /** ln of the evidence, for comparing explanations of the same readings; −Infinity when no model had an answer. */
  logEvidence: number
  /** Share of the belief that is left to uniform soil. */
  uniformShare: number
  /** Mean relative noise of one reading. */
  noise: number
}

/** An average that takes one model after the other, weights given as logarithms. */
export interface Average {
  add(logWeight: number, value: number, variance: number, uniform: boolean, noise: number): void
  result(): Weighed
}

/** A model this much less likely than the best so far (in ln) cannot be seen in the result. */
const NEGLIGIBLE = 25

export function newAverage(): Average {
  let top = Number.NEGATIVE_INFINITY
  let total = 0
  let sum = 0
  let squares = 0
  let variances = 0
  let uniforms = 0
  let noises = 0
  return {
    add(logWeight, value, variance, uniform, noise) {
      if (!(logWeight > top - NEGLIGIBLE) || logWeight === Number.POSITIVE_INFINITY) return
      if (logWeight > top) {
        const shrink = Math.exp(top - logWeight)
        total *= shrink
        sum *= shrink
        squares *= shrink
        variances *= shrink
        uniforms *= shrink
        noises *= shrink
        top = logWeight
      }
      const weight = Math.exp(logWeight - top)
      // About 1, where the values lie, so that the squares do not cancel.
      const off = value - 1
      total += weight
      sum += weight * off
      squares += weight * off * off
      variances += weight * variance
      if (uniform) uniforms += weight
      noises += weight * noise
    },
    result() {
      const mean = sum / total
      return {
        value: 1 + mean,
        within: Math.sqrt(variances / total),
        between: Math.sqrt(Math.max(0, squares / total - mean * mean)),
        logEvidence: top + Math.log(total),
        uniformShare: uniforms / total,
        noise: noises / total,
      }
    },
  }
}
