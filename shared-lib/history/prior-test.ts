import type { Evaluation } from '../evaluate/evaluation.ts'
import type { Reading, Survey } from '../survey/survey.ts'
import type { PriorTest } from './assessment.ts'

/** Nine significant digits: more than any display shows, and half of what a float takes as text in a long history. */
const brief = (value: number | null): number | null =>
  value === null || !Number.isFinite(value) ? value : Number(value.toPrecision(9))

/** Curves of more readings are thinned: comparisons read the middle of the line, and a history of long ones must stay storable. */
const MOST_READINGS = 40

function fewOf(readings: readonly Reading[]): Reading[] {
  if (readings.length <= MOST_READINGS) return [...readings]
  const step = readings.length / MOST_READINGS
  return Array.from({ length: MOST_READINGS }, (_, i) => readings[Math.floor(i * step)]!)
}

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
    readings: fewOf(survey.readings),
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
