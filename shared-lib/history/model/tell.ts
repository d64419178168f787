import type { Finding, FindingCode } from '../../survey/finding.ts'
import { type Comparison, dayText, rounded, times } from '../comparison.ts'
import { settlingIn, setUpChanges } from '../rules/notices.ts'
import { repeatedFinding } from '../rules/repeated-readings.ts'
import { comparisonFinding } from '../wording.ts'
import { alternativesOf } from './alternatives.ts'
import type { Beliefs } from './beliefs.ts'
import type { Cause } from './explanations.ts'
import { sharesSoil } from './member.ts'
import type { Naming } from './naming.ts'
import { statedChance } from './probability-map.ts'
import { honestChance } from './repetition.ts'
import type { Verdict } from './verdict.ts'

/** The numbers behind a verdict. */
export function comparisonFor(v: Verdict, named: Cause): Comparison {
  const s = v.entry.sighting
  const m = v.entry.member
  return {
    resistanceOhm: s.test.resistanceOhm ?? Math.exp(s.y),
    expectedOhm: Math.exp(v.expected),
    expectedLowOhm: Math.exp(v.expected - 2 * v.sd),
    expectedHighOhm: Math.exp(v.expected + 2 * v.sd),
    ratio: Math.exp(s.y - v.expected),
    earlier: m.tests
      .filter((r) => r.doubt > 0)
      .slice(-8)
      .map((r) => ({
        surveyRef: r.sighting.test.surveyRef,
        testedAt: dayText(r.sighting.test.testedAtMs),
        resistanceOhm: rounded(Math.exp(r.sighting.y), 4),
      })),
    sharedShiftPercent: v.peers > 0 ? (Math.exp(v.g) - 1) * 100 : null,
    neighbours: v.peers,
    alternatives: [...alternativesOf(v, named), ...setUpAlternative(v)],
  }
}

/** A change of set-up comes before any step: it is shown beside the others, though nobody can put a chance on it. */
function setUpAlternative(v: Verdict): Comparison['alternatives'] {
  const previous = v.entry.member.tests.at(-1)?.sighting
  const changes = previous ? setUpChanges(v.entry.sighting, previous) : []
  if (changes.length === 0) return []
  return [
    {
      explanation: `it was measured in another way than last time (${changes.join(', ')})`,
      probability: null,
    },
  ]
}

/** What is likely enough to be shown with the survey, and not to send anybody out. */
const HINT = {
  severity: 'notice',
  todo: 'It may well be season or scatter: nothing to do now, look at it again at the next test.',
} as const

const FROZEN_TODO =
  'The ground was frozen, which alone may do this: treat it as real until a test after the thaw, and plan that test.'
const BOND_HINT = { todo: 'It may be scatter of a few milliohm: look at it again at the next test.' }
const BOND_ADVICE = [
  'Clean and tighten both ends of the bond, and look along it for a broken strand.',
  'Measure it again with the lead resistance taken off.',
  'Open no bond for this without the person in control of the system: local rules and licensed practice come first.',
]
const BOND_RISE = {
  advice: BOND_ADVICE,
  todo: 'Look at both ends of the bond and measure it again; a bond has no season that could explain it.',
}

/** A bond is mended with a spanner, not by another line of stakes. */
const BOND_WORDS: Partial<Record<FindingCode, { advice: string[]; todo: string }>> = {
  'step-rise': BOND_RISE,
  'rising-drift': BOND_RISE,
  'corrosion-suspected': BOND_RISE,
  'improvement-unexplained': {
    advice: BOND_ADVICE,
    todo: 'Record the work if there was any; otherwise check that the lead resistance was taken off once, not twice.',
  },
}

/** The finding for a raised verdict; null when something quieter says it better. */
export function tell(v: Verdict, naming: Naming, b: Beliefs): Finding | null {
  const s = v.entry.sighting
  const probability = statedChance(naming.cause, naming.news, v.posterior)
  const c = comparisonFor(v, naming.cause)
  if (naming.cause === 'fall' && s.test.validity !== 'invalid') {
    const settling = settlingIn({ test: s.test, day: s.day, y: s.y }, v.expected, v.entry.member.electrode)
    if (settling) return settling
  }
  const bond = !sharesSoil(v.entry.member.key)
  if (naming.hinted)
    return comparisonFinding(naming.code, c, probability, bond ? { ...HINT, ...BOND_HINT } : HINT)
  if (bond && naming.code in BOND_WORDS)
    return comparisonFinding(naming.code, c, probability, BOND_WORDS[naming.code]!)
  switch (naming.code) {
    case 'repeated-readings': {
      const same = v.entry.member.tests.findLast((r) => r.sighting.test.surveyRef === v.repeats)
      if (!same) return null
      return repeatedFinding(s, { test: same.sighting.test }, honestChance(v, b), probability)
    }
    case 'current-probe-too-close':
    case 'readings-out-of-order':
      return shapeFinding(naming.code, v, c, probability)
    case 'decimal-slip':
      return s.oneReadingOffLn === null
        ? comparisonFinding('decimal-slip', c, probability)
        : comparisonFinding('decimal-slip', c, probability, {
            seen: `One reading stands off the others of this survey by ${times(Math.exp(Math.abs(s.oneReadingOffLn)))} (${s.readingsOhm.join(', ')} ohm): either a probe or lead was loose there, or the decimal point slipped.`,
            evidence: { oneReadingRatio: Math.exp(s.oneReadingOffLn), readingsOhm: s.readingsOhm },
          })
    case 'wrong-electrode':
      return comparisonFinding('wrong-electrode', c, probability, {
        evidence: { fitsElectrode: v.mixedUpWith },
        ...(v.mixedUpWith
          ? {
              seen: `${rounded(c.resistanceOhm)} ohm is not what this electrode showed before (${rounded(c.expectedOhm)} ohm expected), but it fits ${v.mixedUpWith} of the same site.`,
            }
          : {}),
      })
    case 'step-rise':
      if (v.entry.frozen)
        return comparisonFinding('step-rise', c, probability, {
          todo: FROZEN_TODO,
          ...(c.ratio >= 6 ? { severity: 'urgent' } : {}),
        })
      return comparisonFinding('step-rise', c, probability, c.ratio >= 3 ? { severity: 'urgent' } : {})
    default:
      return comparisonFinding(naming.code, c, probability)
  }
}

function shapeFinding(
  code: 'current-probe-too-close' | 'readings-out-of-order',
  v: Verdict,
  c: Comparison,
  probability: number,
): Finding {
  const readings = v.entry.sighting.readingsOhm.join(', ')
  const close = code === 'current-probe-too-close'
  return {
    code,
    severity: 'warning',
    probability: rounded(probability, 2),
    message: close
      ? `The readings (${readings} ohm) climb more steeply than this electrode's do, as when the current probe stands too close. Move the current probe further out and repeat the test.`
      : `The readings (${readings} ohm) would fit this electrode in another order. Check the sheet for swapped positions, or repeat the test.`,
    advice: close
      ? ['Move the current probe to at least eight times the size of the electrode and repeat.']
      : ['Compare the record with the paper sheet or the instrument memory.'],
    evidence: { readingsOhm: v.entry.sighting.readingsOhm, alternatives: c.alternatives },
  }
}
