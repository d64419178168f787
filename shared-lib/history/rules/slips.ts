import type { Finding } from '../../survey/finding.ts'
import type { Comparison } from '../comparison.ts'
import { times } from '../comparison.ts'
import type { Observation } from '../observation.ts'
import { comparisonFinding } from '../wording.ts'

const LN10 = Math.log(10)
const LN1000 = Math.log(1000)

/** The other reading of a tenfold jump, the dangerous one first: it may be the earth and not the pen. */
export function slipAlternatives(up: boolean): Comparison['alternatives'] {
  return [
    {
      explanation: up
        ? 'the earth is broken or badly corroded'
        : 'something else was still connected (a parallel path)',
      probability: null,
    },
    { explanation: 'a slip of the decimal point or the unit', probability: null },
  ]
}

/** `decimal-slip` or `unit-slip` when the value stands off the expected one by ten or a thousand within the doubt; else null. */
export function slipFinding(current: Observation, c: Comparison, sd: number): Finding | null {
  const off = Math.log(c.ratio)
  const withAlternatives = { ...c, alternatives: slipAlternatives(off > 0) }
  if (Math.abs(Math.abs(off) - LN1000) < Math.min(1.2, 4 * sd + 0.2))
    return comparisonFinding('unit-slip', withAlternatives, null)
  if (current.oneReadingOffLn !== null) return oneReadingSlip(current, withAlternatives)
  if (Math.abs(Math.abs(off) - LN10) < Math.min(0.6, 3 * sd + 0.05))
    return comparisonFinding('decimal-slip', withAlternatives, null)
  return null
}

/** One reading ten times off the others of its own sheet needs no earlier test. */
export function oneReadingSlip(current: Observation, c: Comparison): Finding | null {
  const off = current.oneReadingOffLn
  if (off === null || Math.abs(Math.abs(off) - LN10) > 0.7) return null
  return comparisonFinding('decimal-slip', c, null, {
    seen: `One reading stands off the others of this survey by ${times(Math.exp(Math.abs(off)))} (${current.readingsOhm.join(', ')} ohm): either a probe or lead was loose there, or the decimal point slipped.`,
    evidence: { oneReadingRatio: Math.exp(off), readingsOhm: current.readingsOhm },
  })
}
