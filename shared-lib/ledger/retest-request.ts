import type { Decision, PriorTest } from '../history/assessment.ts'
import { byTestDate } from '../history/settle.ts'
import type { FindingCode } from '../survey/finding.ts'
import { rulingDecision } from './finding-state.ts'
import type { RetestRequest } from './retest.ts'

/** An open finding as far as a request asks. */
export interface AskingFinding {
  surveyRef: string
  code: FindingCode
  /** It is itself the answer to an earlier step, and says that the step is real. */
  confirms: boolean
}

const STEPS: ReadonlySet<FindingCode> = new Set<FindingCode>(['step-rise', 'step-fall'])
/** House rule, no source: soon enough that the soil is as it was, late enough to send a crew. */
const WITHIN_DAYS = 14
const STANDS_AFTER_DAYS = 30
const DAY_MS = 86_400_000

const dayOf = (ms: number): string => new Date(ms).toISOString().slice(0, 10)

/** A test that says something about the electrode, whatever it says. */
const isAnswer = (t: PriorTest): boolean =>
  t.outcome === 'tested' && t.resistanceOhm !== null && t.validity !== 'invalid'

/**
 * The retest that the open findings of an electrode ask for, the earliest due where several do; null when none is asked for or a
 * later usable test has answered. Follows from what is stored alone: the order in which it came cannot matter.
 * @param open the electrode's open findings that are no notices
 * @param tests its tests in order of test date
 * @param decisions all decisions about its findings
 */
export function retestRequestOf(
  open: readonly AskingFinding[],
  tests: readonly PriorTest[],
  decisions: readonly Decision[],
): RetestRequest | null {
  const requests = open.flatMap(({ surveyRef, code, confirms }): RetestRequest[] => {
    const test = tests.find((t) => t.surveyRef === surveyRef)
    if (!test) return []
    const ruling = rulingDecision(decisions.filter((d) => d.surveyRef === surveyRef && d.code === code))
    const decided = ruling?.action === 'retest'
    if (!decided && (confirms || !STEPS.has(code))) return []
    // Somebody who asks has seen the tests there were: only one made afterwards answers.
    const askedMs = decided ? Math.max(ruling.decidedAtMs, test.testedAtMs) : test.testedAtMs
    if (tests.some((t) => isAnswer(t) && byTestDate(test, t) < 0 && t.testedAtMs >= askedMs)) return []
    const asked = { askedBy: decided ? ('decision' as const) : ('step' as const), askedOn: dayOf(askedMs) }
    return [
      {
        ...{ reason: code, surveyRef, ...asked },
        dueOn: dayOf(askedMs + WITHIN_DAYS * DAY_MS),
        standsFrom: dayOf(askedMs + STANDS_AFTER_DAYS * DAY_MS),
      },
    ]
  })
  const orderOf = (r: RetestRequest) => `${r.dueOn} ${r.surveyRef} ${r.reason}`
  return requests.sort((a, b) => (orderOf(a) < orderOf(b) ? -1 : 1))[0] ?? null
}
