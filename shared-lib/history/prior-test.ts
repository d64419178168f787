import type { Evaluation } from '../evaluate/evaluation.ts'
import { thinned } from '../evaluate/thinned.ts'
import type { Survey } from '../survey/survey.ts'
import type { PriorTest } from './assessment.ts'

/** Nine significant digits: more than any display shows, and half of what a float takes as text in a long history. */
const brief = (value: number | null): number | null =>
  value === null || !Number.isFinite(value) ? value : Number(value.toPrecision(9))

/** The few numbers of a judged survey that later comparisons need. `siteId` comes from the register. */
export function toPriorTest(survey: Survey, evaluation: Evaluation, siteId: string): PriorTest {
  const test: PriorTest = {
    surveyRef: survey.surveyRef,
    electrodeId: survey.electrodeId ?? '',
    siteId,
    testedAtMs: Date.parse(survey.testedAt),
    method: survey.method,
    measuredAs: survey.measuredAs,
    outcome: survey.outcome,
    validity: evaluation.validity,
    usableForTrend: evaluation.usableFor.includes('trend'),
    resistanceOhm: brief(evaluation.resistanceOhm),
    expandedUncertaintyOhm: brief(evaluation.expandedUncertaintyOhm),
    conformity: evaluation.conformity,
    limitOhm: evaluation.limitOhm,
    // A history of long curves must stay storable.
    readings: [...thinned(survey.readings)],
    ownCodes: evaluation.findings.map((f) => f.code),
  }
  const carried = [
    'currentProbeM',
    'instrumentId',
    'lineDirection',
    'connection',
    'soilState',
    'visual',
    'event',
    'corrects',
    'repeatOf',
    'secondDirectionOf',
    'linkChecked',
  ] as const
  for (const key of carried) if (survey[key] !== undefined) Object.assign(test, { [key]: survey[key] })
  return test
}
