import type { Survey } from '../survey/survey.ts'
import { type AppliedLimit, limitsFor } from './choose-limit.ts'
import { conformityProbability } from './conformity.ts'
import type { Conformity, EvaluationContext } from './evaluation.ts'
import type { Verdict } from './verdict.ts'
import { inOhm, inPercent } from './wording.ts'

export interface LimitJudgement {
  conformity: Conformity
  conformityRule: string
  conformityProbability: number | null
  limitOhm: number | null
  /** The value decides against the limit whatever the doubt, so even a doubtful survey serves acceptance. */
  decided: boolean
}

/** A decision at the limit is sure when its one-sided probability (JCGM 106, 7.2 and 8.3.2) reaches this: 1.645 standard uncertainties. */
const SURE = 0.95

/** How a value near the limit is decided where nobody asked for another rule. */
export const USUAL_RULE = 'simple'

/**
 * Holds the value against every limit that applies and reports the strictest. Rule `simple`, the default: a valid survey is decided by the
 * value alone, the probability beside it; a doubtful one only where that is sure, else it is inconclusive. Rule `guarded-0.95`: only what
 * is sure either way is decided. No limit or no value: not assessed.
 */
export function judgeLimit(
  survey: Survey,
  context: EvaluationContext,
  valueOhm: number | null,
  expandedOhm: number | null,
  verdict: Verdict,
): LimitJudgement {
  const limits = limitsFor(survey, context)
  const limit = limits[0]
  const rule = context.conformityRule ?? USUAL_RULE
  const open: LimitJudgement = {
    conformity: 'not-assessed',
    conformityRule: rule,
    conformityProbability: null,
    limitOhm: limit?.limitOhm ?? null,
    decided: false,
  }
  if (!limit || valueOhm === null || expandedOhm === null) return open
  const probability = conformityProbability(valueOhm, expandedOhm / 2, limit.limitOhm)
  const inside = probability === null || (probability > 1 - SURE && probability < SURE)
  const passes = valueOhm <= limit.limitOhm
  const conformity: Conformity =
    inside && (verdict.validity() === 'doubtful' || rule === 'guarded-0.95')
      ? 'inconclusive'
      : passes
        ? 'conforming'
        : 'nonconforming'
  report({ limits, limit, rule, valueOhm, expandedOhm, conformity, inside, probability }, verdict)
  return { ...open, conformity, conformityProbability: probability, decided: !inside }
}

interface Decided {
  limits: AppliedLimit[]
  limit: AppliedLimit
  rule: string
  valueOhm: number
  expandedOhm: number
  conformity: Conformity
  inside: boolean
  probability: number | null
}

function report(decided: Decided, verdict: Verdict): void {
  const { limits, limit, rule, valueOhm, expandedOhm, conformity, inside, probability } = decided
  const season =
    limit.seasonFactor === 1
      ? ''
      : ` (${inOhm(limit.statedOhm)} with the season factor ${limit.seasonFactor})`
  const named = `the limit of ${inOhm(limit.limitOhm)}${season}${limit.purpose === 'register' ? '' : ` for ${limit.purpose}`}`
  const evidence = {
    resistanceOhm: valueOhm,
    expandedUncertaintyOhm: expandedOhm,
    limitOhm: limit.limitOhm,
    conformityProbability: probability ?? undefined,
    rule,
    basis: limit.basis ?? undefined,
    limits: limits.map(({ purpose, limitOhm }) => ({ purpose, limitOhm, passes: valueOhm <= limitOhm })),
  }
  if (conformity === 'nonconforming')
    verdict.find(
      {
        code: 'limit-exceeded',
        severity: 'warning',
        probability: probability === null ? null : 1 - probability,
        message: `${inOhm(valueOhm)} is above ${named}. Look for a loose or corroded connection first, then plan what brings it down; open nothing without the person in control.`,
        advice: [
          'Check the visible connections.',
          'Repeat the survey with the current probe further out.',
          'Plan a longer electrode, or more of them in parallel; treated soil comes last.',
        ],
        evidence,
      },
      'link',
    )
  if (inside)
    verdict.find({
      code: 'limit-inconclusive',
      severity: conformity === 'inconclusive' ? 'warning' : 'notice',
      // The chance of conforming is in the sentence; that it cannot be said is no matter of chance.
      probability: null,
      message: `${inOhm(valueOhm)} ± ${inOhm(expandedOhm)} has ${named} within its doubt (chance of conforming ${inPercent(100 * (probability ?? 0.5))}). Repeat with a full survey and the current probe further out to narrow it.`,
      advice: [
        'Take a full survey every 10 %.',
        'Move the current probe further out.',
        'Use an instrument of better accuracy.',
      ],
      evidence,
    })
}
