import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { evaluateSurvey } from '../../shared-lib/evaluate/evaluate-survey.ts'
import type { EvaluationContext } from '../../shared-lib/evaluate/evaluation.ts'
import { FINDING_CODES, SEVERITIES } from '../../shared-lib/survey/finding.ts'
import { ELECTRODE_KINDS } from '../../shared-lib/survey/register.ts'
import {
  CONDITIONS,
  CONNECTIONS,
  LEAD_LAYOUTS,
  LINK_CHECKS,
  MEASURED_AS,
  METHODS,
  OUTCOMES,
  type Survey,
} from '../../shared-lib/survey/survey.ts'

const quantity = fc.oneof(
  fc.constantFrom(0, -1, 1e-9, 0.01, 1, 10, 18, 30, 1e9, 1e300, -1e300),
  fc.double({ min: 0, max: 100, noNaN: true }),
  fc.double({ noNaN: true, noDefaultInfinity: true }),
)
const maybe = <T>(arbitrary: fc.Arbitrary<T>) => fc.option(arbitrary, { nil: undefined })
const date = fc.constantFrom('2026-05-04T10:00:00Z', '2020-01-01', 'no date', '')
const reading = fc.record({
  condition: fc.oneof({ weight: 4, arbitrary: fc.constant('ok' as const) }, fc.constantFrom(...CONDITIONS)),
  potentialProbeM: maybe(quantity),
  resistanceOhm: maybe(quantity),
  atLeastOhm: maybe(quantity),
  probeSpacingM: maybe(quantity),
  probeDepthM: maybe(quantity),
})
const anySurvey = fc.record({
  surveyRef: fc.constant('S'),
  electrodeId: maybe(fc.constant('E')),
  siteId: maybe(fc.constant('X')),
  testedAt: date,
  method: fc.oneof(
    { weight: 3, arbitrary: fc.constant('fall-of-potential' as const) },
    fc.constantFrom(...METHODS),
  ),
  outcome: fc.oneof({ weight: 5, arbitrary: fc.constant('tested' as const) }, fc.constantFrom(...OUTCOMES)),
  measuredAs: fc.constantFrom(...MEASURED_AS),
  currentProbeM: maybe(quantity),
  knownOhm: maybe(quantity),
  leadAngleDeg: maybe(quantity),
  probeHOhm: maybe(quantity),
  probeSOhm: maybe(quantity),
  interferenceV: maybe(quantity),
  connection: maybe(fc.constantFrom(...CONNECTIONS)),
  earthLeadOhm: maybe(quantity),
  leads: maybe(fc.constantFrom(...LEAD_LAYOUTS)),
  leadResistanceOhm: maybe(quantity),
  linkOpenedAt: maybe(date),
  linkClosedAt: maybe(date),
  linkChecked: maybe(fc.constantFrom(...LINK_CHECKS)),
  readings: fc.oneof(
    fc.array(reading, { maxLength: 10 }),
    reading.map((one) => [one, one, one]),
  ),
}) as fc.Arbitrary<Survey>
const anyContext = fc.record({
  electrode: fc.record({
    electrodeId: fc.constant('E'),
    siteId: fc.constant('S'),
    kind: fc.constantFrom(...ELECTRODE_KINDS),
    lengthM: maybe(quantity),
    diameterMm: maybe(quantity),
    diagonalM: maybe(quantity),
    areaM2: maybe(quantity),
    count: maybe(quantity),
    spacingM: maybe(quantity),
    limitOhm: maybe(quantity),
    installedOn: maybe(date),
  }),
  calibration: maybe(
    fc.record({
      instrumentId: fc.constant('I'),
      calibratedOn: date,
      calibrationDueOn: maybe(date),
      accuracyPercent: maybe(quantity),
      accuracyDigits: maybe(quantity),
      resolutionOhm: maybe(quantity),
    }),
  ),
  limits: fc.array(
    fc.record({
      electrodeId: fc.constant('E'),
      purpose: fc.constant('station'),
      limitOhm: quantity,
      seasonFactor: maybe(quantity),
    }),
    { maxLength: 2 },
  ),
  siteSoilOhmM: maybe(quantity),
  siteSoil: maybe(
    fc.record({ upperOhmM: quantity, lowerOhmM: quantity, depthM: quantity, relativeUncertainty: quantity }),
  ),
  conformityRule: maybe(fc.constantFrom('simple', 'guarded-0.95')),
}) as fc.Arbitrary<EvaluationContext>

/** Paths of numbers that JSON cannot carry. */
function badNumbers(value: unknown, path = '$'): string[] {
  if (typeof value === 'number') return Number.isFinite(value) ? [] : [path]
  if (value === null || typeof value !== 'object') return value === undefined ? [path] : []
  return Object.entries(value).flatMap(([key, inner]) => badNumbers(inner, `${path}.${key}`))
}

describe('any survey of the type', () => {
  it('gets an answer: no throw, no NaN, no Infinity, nothing undefined', () => {
    fc.assert(
      fc.property(anySurvey, anyContext, (survey, context) => {
        const judged = evaluateSurvey(survey, context)
        expect(badNumbers(judged)).toEqual([])
        expect(JSON.stringify(judged)).not.toMatch(/NaN|Infinity|undefined/)
        if (judged.validity === 'invalid') {
          expect(judged.resistanceOhm).toBeNull()
          expect(judged.usableFor).toEqual([])
        }
        expect(judged.resistanceOhm === null).toBe(judged.expandedUncertaintyOhm === null)
        for (const found of judged.findings) {
          expect(FINDING_CODES).toContain(found.code)
          expect(SEVERITIES).toContain(found.severity)
          expect(found.message.length).toBeGreaterThan(20)
          expect(found.severity === 'urgent').toBe(
            found.code === 'electrode-open-suspected' || found.code === 'earth-left-open',
          )
        }
      }),
      { numRuns: 2000 },
    )
  })
  it('gets the same answer twice and is left as it was', () => {
    fc.assert(
      fc.property(anySurvey, anyContext, (survey, context) => {
        const before = JSON.stringify([survey, context])
        expect(evaluateSurvey(survey, context)).toEqual(evaluateSurvey(survey, context))
        expect(JSON.stringify([survey, context])).toBe(before)
      }),
      { numRuns: 300 },
    )
  })
})
