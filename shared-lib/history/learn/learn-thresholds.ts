import type { FindingCode } from '../../survey/finding.ts'
import type { LearningBasis, Parameters } from '../assessment.ts'
import { DEFAULT_BELIEFS } from '../model/beliefs.ts'
import { chanceOfLnOdds, lnOdds } from '../statistics/odds.ts'
import type { DecidedFinding } from './decided-findings.ts'

/** From how many decisions about a code on it is looked at, and how many the default is worth against them. */
const FEWEST = 20
const WORTH = 30
/** Share of decisions that are mistaken (a belief, no source). */
const MISTAKEN = 0.05
/** Above the highest nobody would hear of a true one; below the lowest nobody has ever decided anything. */
const HIGHEST = 0.9
const LOWEST_OF_DEFAULT = 0.8

export interface LearntThresholds {
  thresholds: NonNullable<Parameters['thresholds']>
  decided: NonNullable<LearningBasis['decided']>
}

/**
 * From which chance on each code is raised, from what was decided about it: where fewer are confirmed than the stated chances
 * promised, the code has to be surer, by the same ratio of odds, shrunk to the default. A code with few decisions keeps it.
 */
export function thresholdsFrom(decided: readonly DecidedFinding[]): LearntThresholds {
  const learnt: LearntThresholds = { thresholds: {}, decided: {} }
  const byCode = [...Map.groupBy(decided, (d) => d.code)].sort(([a], [b]) => (a < b ? -1 : 1))
  for (const [code, list] of byCode) {
    const confirmed = list.filter((d) => d.confirmed).length
    learnt.decided[code] = { confirmed, dismissed: list.length - confirmed }
    if (list.length < FEWEST) continue
    const stated = list.reduce((a, d) => a + d.stated, 0) / list.length
    const promised = MISTAKEN + (1 - 2 * MISTAKEN) * stated
    const seen = (confirmed + WORTH * promised) / (list.length + WORTH)
    const usual = defaultThreshold(code)
    const raised = chanceOfLnOdds(lnOdds(usual) + lnOdds(promised) - lnOdds(seen))
    learnt.thresholds[code] = Number(
      Math.min(HIGHEST, Math.max(LOWEST_OF_DEFAULT * usual, raised)).toPrecision(3),
    )
  }
  return learnt
}

/** From which chance on a code is raised where nothing was learnt about it. */
function defaultThreshold(code: FindingCode): number {
  return code === 'implausible-for-electrode' ? DEFAULT_BELIEFS.firstThreshold : DEFAULT_BELIEFS.threshold
}

/** How a code's threshold differs between two sets of parameters, with the decisions behind it. */
export interface ThresholdChange {
  code: FindingCode
  before: number
  after: number
  confirmed: number
  dismissed: number
}

/** The codes whose threshold adopting `next` would change, by name. */
export function thresholdChanges(inForce: Parameters, next: Parameters): ThresholdChange[] {
  const of = (p: Parameters, code: FindingCode) => p.thresholds?.[code] ?? defaultThreshold(code)
  const codes = new Set(Object.keys({ ...inForce.thresholds, ...next.thresholds }) as FindingCode[])
  return [...codes].sort().flatMap((code) => {
    const [before, after] = [of(inForce, code), of(next, code)]
    const { confirmed = 0, dismissed = 0 } = next.basis?.decided?.[code] ?? {}
    return before === after ? [] : [{ code, before, after, confirmed, dismissed }]
  })
}
