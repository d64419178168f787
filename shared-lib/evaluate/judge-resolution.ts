import { DEFAULTS } from './defaults.ts'
import type { UncertaintyPart } from './evaluation.ts'
import type { Verdict } from './verdict.ts'
import { figures, inOhm } from './wording.ts'

/**
 * Few digits of the display make the number itself doubtful. Where the expanded uncertainty (k = 2) of all parts is as large as the value, the
 * instrument does not resolve this earth: true is returned, and only "below so many ohm" can be said, which is enough for a limit far above.
 */
export function judgeResolution(
  valueOhm: number,
  stepOhm: number,
  parts: readonly UncertaintyPart[],
  verdict: Verdict,
): boolean {
  const digits = valueOhm / stepOhm
  if (digits >= DEFAULTS.resolutionDigits) return false
  const expandedOhm = 2 * Math.hypot(...parts.map((part) => part.standardOhm))
  const unresolved = expandedOhm >= valueOhm
  const mostOhm = valueOhm + expandedOhm
  if (unresolved)
    verdict.doubt(
      `Below what the instrument resolves: ${inOhm(valueOhm)} was read, with a doubt of ${inOhm(expandedOhm)}.`,
    )
  verdict.find({
    code: 'below-resolution',
    severity: 'notice',
    // A plain fact about the display, so no chance is claimed.
    probability: null,
    message: unresolved
      ? `${figures(digits, 2)} digits of the display with a doubt of ${inOhm(expandedOhm)}: this earth is below what the instrument resolves, and all that can be said is that it has less than ${inOhm(mostOhm)}. Where its value is needed, use an instrument with a finer display and more test current.`
      : `${inOhm(valueOhm)} is only ${figures(digits, 2)} digits of the display, so the number itself is doubtful. Use a lower range or an instrument with a finer display.`,
    advice: ['Use a lower range.', 'Use an instrument with a finer display and more test current.'],
    evidence: { stepOhm, digits, ...(unresolved && { lessThanOhm: mostOhm, readOhm: valueOhm }) },
  })
  return unresolved
}
