import type { Finding } from '../../survey/finding.ts'
import type { PriorTest } from '../assessment.ts'
import { ohms } from '../comparison.ts'

/** `corrosion-suspected` because the tester saw it: eyes need no trend. Null unless `visual` says so. */
export function seenCorroded(test: PriorTest): Finding | null {
  if (test.visual !== 'corroded') return null
  const value = test.resistanceOhm === null ? '' : `, whatever the ${ohms(test.resistanceOhm)} measured`
  return {
    code: 'corrosion-suspected',
    severity: 'warning',
    probability: null,
    message: `The tester saw corrosion at this earth${value}: a good resistance does not show that the conductors are whole. Have the joints and the conductor near the surface looked at.`,
    advice: [
      'Expose and inspect the joints near the surface.',
      'Open no link for this without the person in control of the system: local rules and licensed practice come first.',
    ],
    evidence: { visual: test.visual, resistanceOhm: test.resistanceOhm },
  }
}
