import { describe, expect, it } from 'vitest'
import { evaluateSurvey } from '../../shared-lib/evaluate/evaluate-survey.ts'
import type { Evaluation } from '../../shared-lib/evaluate/evaluation.ts'
import type { FindingCode } from '../../shared-lib/survey/finding.ts'
import { OUTCOMES, type Reading } from '../../shared-lib/survey/survey.ts'
import { CALIBRATION, context, lineSurvey, ROD, SOUND } from './surveys.ts'

const finding = (evaluation: Evaluation, code: FindingCode) =>
  evaluation.findings.find((found) => found.code === code)
const attention = (evaluation: Evaluation) =>
  evaluation.findings.filter((found) => found.severity !== 'notice').map((found) => found.code)

describe('a sound short survey', () => {
  const judged = evaluateSurvey(SOUND, context())
  it('of 10.9, 11.0 and 11.2 ohm at 30 m on a 3 m rod is valid, about 11.0 ohm, and conforms to 25 ohm', () => {
    expect(judged.validity).toBe('valid')
    expect(judged.resistanceOhm).toBeGreaterThan(10.9)
    expect(judged.resistanceOhm).toBeLessThan(11.1)
    expect(judged.conformity).toBe('conforming')
    expect(judged.limitOhm).toBe(25)
    expect(judged.conformityProbability).toBeGreaterThan(0.999)
    expect(judged.usableFor).toEqual(['acceptance', 'trend'])
  })
  it('raises nothing that needs a person', () => {
    expect(attention(judged)).toEqual([])
  })
  it('shows the mean that a crew can check by hand beside the fit, and says which one is the result', () => {
    expect(judged.meanOhm).toBeCloseTo(11.0333, 3)
    expect(judged.fitOhm).not.toBeNull()
    expect(judged.resultBy).toBeTruthy()
  })
  it('lists what the uncertainty is made of, and it adds up with k = 2', () => {
    expect(judged.uncertaintyParts.length).toBeGreaterThan(2)
    const total = 2 * Math.hypot(...judged.uncertaintyParts.map((part) => part.standardOhm))
    expect(judged.expandedUncertaintyOhm).toBeCloseTo(total, 9)
  })
  it('implies the soil: 11 ohm over 0.33493 ohm per ohm-m (Dwight, MEMORY)', () => {
    expect(judged.impliedSoilResistivityOhmM).toBeCloseTo(judged.resistanceOhm! / 0.3349267, 1)
  })
})

describe('safety', () => {
  const over = (count: number): Reading[] =>
    Array.from({ length: count }, (_, i) => ({
      condition: 'over-range',
      potentialProbeM: 5 + i,
      atLeastOhm: 2000,
    }))
  it('every reading over range with good stakes means the earth may be broken, at once, with the bound kept', () => {
    const judged = evaluateSurvey({ ...SOUND, readings: over(3), probeHOhm: 400, probeSOhm: 500 }, context())
    const open = finding(judged, 'electrode-open-suspected')!
    expect(open.severity).toBe('urgent')
    expect(open.evidence.atLeastOhm).toBe(2000)
    expect(judged.validity).toBe('invalid')
    expect(judged.resistanceOhm).toBeNull()
  })
  it('a current circuit that is open is the stake’s fault and no broken earth', () => {
    const readings = over(3).map((reading) => ({ ...reading, condition: 'auxiliary-h' as const }))
    const judged = evaluateSurvey({ ...SOUND, readings }, context())
    expect(finding(judged, 'electrode-open-suspected')).toBeUndefined()
    expect(finding(judged, 'auxiliary-too-resistive')!.severity).toBe('warning')
    expect(judged.validity).toBe('invalid')
  })
  it('a link still open, or opened and never closed, is told at once', () => {
    for (const change of [
      { linkChecked: 'still-open' as const },
      { linkOpenedAt: '2026-05-04T10:00:00+01:00' },
    ])
      expect(finding(evaluateSurvey({ ...SOUND, ...change }, context()), 'earth-left-open')!.severity).toBe(
        'urgent',
      )
  })
  it('a link closed and checked is not', () => {
    const judged = evaluateSurvey(
      {
        ...SOUND,
        linkOpenedAt: '2026-05-04T10:00:00+01:00',
        linkClosedAt: '2026-05-04T11:00:00+01:00',
        linkChecked: 'tight-and-measured',
      },
      context(),
    )
    expect(judged.findings).toEqual([])
  })
  it('a survey that could not be made is still asked whether the earth was closed', () => {
    const judged = evaluateSurvey(
      { ...SOUND, readings: [], outcome: 'link-seized', linkChecked: 'still-open' },
      context(),
    )
    expect(finding(judged, 'earth-left-open')).toBeDefined()
  })
})

describe('signs on the line', () => {
  it('a fall of a few digits passes', () => {
    const judged = evaluateSurvey(lineSurvey(30, { 52: 11.0, 62: 10.98, 72: 11.1 }), context())
    expect(judged.validity).toBe('valid')
    expect(attention(judged)).toEqual([])
  })
  it('a fall of 13 % is doubted: the one reading that does not go with the others is named, and the fall is told', () => {
    const judged = evaluateSurvey(lineSurvey(30, { 52: 12.4, 62: 11.0, 72: 11.2 }), context())
    expect(judged.validity).not.toBe('valid')
    expect(finding(judged, 'reading-unusable')!.evidence.readings).toEqual([1])
    expect(finding(judged, 'readings-out-of-order')!.evidence.readings).toEqual([1, 2])
  })
  it('readings 30 % apart give no value', () => {
    const judged = evaluateSurvey(lineSurvey(30, { 52: 9, 62: 11.0, 72: 12.5 }), context())
    expect(judged.validity).not.toBe('valid')
    expect(attention(judged)).toContain('readings-disagree')
  })
  it('a current probe at 6 times the size is a notice, at 2.5 times doubtful, at 1.4 times invalid', () => {
    const at = (distanceM: number) =>
      evaluateSurvey(lineSurvey(distanceM, { 52: 10.9, 62: 11, 72: 11.2 }), context())
    expect(at(18).validity).toBe('valid')
    expect(finding(at(18), 'current-probe-too-close')!.severity).toBe('notice')
    expect(at(7.5).validity).toBe('doubtful')
    expect(at(4.2).validity).toBe('invalid')
    expect(at(7.5).recommendedCurrentProbeM).toBe(24)
  })
  it('a potential probe beyond the current probe is one unusable reading', () => {
    const judged = evaluateSurvey(lineSurvey(30, { 52: 10.9, 62: 11, 72: 11.2, 120: 13 }), context())
    expect(finding(judged, 'reading-unusable')!.evidence.readings).toEqual([4])
    expect(judged.resistanceOhm).toBeCloseTo(11, 1)
  })
  it('one usable position is invalid, and so is a survey without the distance of its current probe', () => {
    expect(evaluateSurvey(lineSurvey(30, { 62: 11 }), context()).validity).toBe('invalid')
    const { currentProbeM: _, ...without } = SOUND
    expect(evaluateSurvey(without, context()).validity).toBe('invalid')
  })
  it('a value of a few digits of the display is told, and stays valid', () => {
    const judged = evaluateSurvey(
      lineSurvey(30, { 52: 0.11, 62: 0.11, 72: 0.11 }),
      context({ electrode: { ...ROD, kind: 'other' }, calibration: CALIBRATION }),
    )
    expect(judged.validity).toBe('valid')
    expect(finding(judged, 'below-resolution')!.severity).toBe('notice')
    expect(judged.resistanceOhm).not.toBeNull()
  })
  it('a doubt as large as the value leaves no value, only a bound, which still passes a limit far above', () => {
    const judged = evaluateSurvey(
      lineSurvey(300, { 52: 0.02, 62: 0.02, 72: 0.02 }),
      context({ electrode: { ...ROD, kind: 'other' }, calibration: CALIBRATION }),
    )
    expect([judged.validity, judged.resistanceOhm, judged.expandedUncertaintyOhm]).toEqual([
      'doubtful',
      null,
      null,
    ])
    expect([judged.impliedSoilResistivityOhmM, judged.uncertaintyParts]).toEqual([null, []])
    const told = finding(judged, 'below-resolution')!
    expect(told.message).toContain('below what the instrument resolves')
    // 3 digits of 0.01 ohm as a rectangle, with k = 2, are 0.035 ohm by themselves.
    expect(told.evidence.lessThanOhm).toBeGreaterThan(0.02 + 0.034)
    expect(told.evidence.lessThanOhm).toBeLessThan(0.07)
    expect([judged.conformity, judged.usableFor]).toEqual(['conforming', ['acceptance']])
  })
  it('against a limit within that doubt nothing is decided', () => {
    const judged = evaluateSurvey(
      lineSurvey(300, { 52: 0.02, 62: 0.02, 72: 0.02 }),
      context({ electrode: { ...ROD, kind: 'other', limitOhm: 0.03 }, calibration: CALIBRATION }),
    )
    expect([judged.conformity, judged.usableFor]).toEqual(['inconclusive', []])
  })
  it('a finer display resolves such an earth', () => {
    const fine = { ...CALIBRATION, accuracyDigits: 1, resolutionOhm: 0.001 }
    const judged = evaluateSurvey(
      lineSurvey(300, { 52: 0.024, 62: 0.024, 72: 0.024 }),
      context({ electrode: { ...ROD, kind: 'other' }, calibration: fine }),
    )
    expect(judged.validity).toBe('valid')
    expect(finding(judged, 'below-resolution')).toBeUndefined()
    expect(judged.resistanceOhm).toBeCloseTo(0.024, 3)
  })
})

describe('set-up', () => {
  it('an instrument past its date makes the survey doubtful, on the date itself it does not', () => {
    const due = (calibrationDueOn: string) =>
      evaluateSurvey(SOUND, context({ calibration: { ...CALIBRATION, calibrationDueOn } }))
    expect(due('2026-05-02').validity).toBe('doubtful')
    expect(finding(due('2026-05-02'), 'out-of-calibration')!.severity).toBe('warning')
    expect(due('2026-05-04').validity).toBe('valid')
  })
  it('an unknown instrument costs uncertainty: 5 % and 3 digits', () => {
    const known = evaluateSurvey(SOUND, context({ calibration: CALIBRATION }))
    const unknown = evaluateSurvey(SOUND, context())
    expect(unknown.expandedUncertaintyOhm!).toBeGreaterThan(known.expandedUncertaintyOhm!)
  })
  it('a stake of 80 kohm or 12 V of stray voltage is doubtful and adds to the uncertainty', () => {
    const plain = evaluateSurvey(SOUND, context()).expandedUncertaintyOhm!
    const stake = evaluateSurvey({ ...SOUND, probeHOhm: 80_000 }, context())
    const stray = evaluateSurvey({ ...SOUND, interferenceV: 12 }, context())
    expect([stake.validity, stray.validity]).toEqual(['doubtful', 'doubtful'])
    expect(attention(stake)).toEqual(['auxiliary-too-resistive'])
    expect(attention(stray)).toEqual(['interference'])
    expect(stake.expandedUncertaintyOhm!).toBeGreaterThan(plain)
    expect(stray.expandedUncertaintyOhm!).toBeGreaterThan(plain)
  })
  it('not known what was connected: valid for acceptance, not for trend', () => {
    const judged = evaluateSurvey({ ...SOUND, measuredAs: 'not-known' }, context())
    expect(judged.validity).toBe('valid')
    expect(judged.usableFor).toEqual(['acceptance'])
  })
  it('measured connected is another quantity: the register’s limit is not for it', () => {
    const judged = evaluateSurvey({ ...SOUND, measuredAs: 'connected' }, context())
    expect(judged.conformity).toBe('not-assessed')
    expect(finding(judged, 'not-isolated')!.severity).toBe('notice')
    expect(judged.impliedSoilResistivityOhmM).toBeNull()
  })
  it('three wires below 1 ohm ask for the lead', () => {
    const judged = evaluateSurvey(
      lineSurvey(30, { 52: 0.49, 62: 0.5, 72: 0.51 }, { connection: '3-wire' }),
      context({ electrode: { ...ROD, kind: 'other' }, calibration: CALIBRATION }),
    )
    expect(finding(judged, 'lead-effect')!.severity).toBe('warning')
    expect(judged.uncertaintyParts.some((part) => part.name.includes('lead'))).toBe(true)
  })
})

describe('plausible', () => {
  it('0.08 ohm on a 3 m rod is below what any soil gives, 11 kohm above', () => {
    expect(attention(evaluateSurvey(lineSurvey(30, { 52: 0.08, 62: 0.08, 72: 0.08 }), context()))).toContain(
      'below-physical-floor',
    )
    expect(
      attention(evaluateSurvey(lineSurvey(30, { 52: 10900, 62: 11000, 72: 11200 }), context())),
    ).toContain('above-physical-ceiling')
  })
  it('0.2 ohm on a 3 m rod would need mud soaked with sea water: doubtful, and the crew is told what else it may be', () => {
    const judged = evaluateSurvey(lineSurvey(30, { 52: 0.2, 62: 0.2, 72: 0.2 }), context())
    expect(judged.validity).toBe('doubtful')
    const told = finding(judged, 'below-physical-floor')!
    expect([told.severity, told.probability]).toEqual(['notice', null])
    expect(told.message).toContain('something was still connected')
  })
  it('a soil survey of the site that lets expect ten times as much is a reason to look at the tag', () => {
    expect(attention(evaluateSurvey(SOUND, context({ siteSoilOhmM: 330 })))).toContain(
      'implausible-for-electrode',
    )
    expect(attention(evaluateSurvey(SOUND, context({ siteSoilOhmM: 40 })))).toEqual([])
  })
  it('a test before the electrode was there, or a link closed before it was opened, cannot be', () => {
    expect(
      attention(evaluateSurvey(SOUND, context({ electrode: { ...ROD, installedOn: '2026-06-01' } }))),
    ).toEqual(['impossible-date'])
    const link = { linkOpenedAt: '2026-05-04T11:00:00Z', linkClosedAt: '2026-05-04T10:00:00Z' }
    expect(attention(evaluateSurvey({ ...SOUND, ...link }, context()))).toEqual(['impossible-date'])
  })
  it('another site than the register’s is a mismatch', () => {
    expect(attention(evaluateSurvey({ ...SOUND, siteId: 'ELSEWHERE' }, context()))).toEqual([
      'register-mismatch',
    ])
  })
})

describe('limit', () => {
  const limited = (limitOhm: number, change = {}) =>
    evaluateSurvey(
      { ...SOUND, ...change },
      context({ electrode: { ...ROD, limitOhm }, calibration: CALIBRATION }),
    )
  it('11 ohm against 5 does not conform', () => {
    expect(limited(5).conformity).toBe('nonconforming')
    expect(attention(limited(5))).toEqual(['limit-exceeded'])
  })
  it('11 ohm against 11.1 conforms by the simple rule, with a plain word about the doubt', () => {
    const judged = limited(11.1)
    expect(judged.conformity).toBe('conforming')
    expect(judged.conformityRule).toBe('simple')
    expect(finding(judged, 'limit-inconclusive')!.severity).toBe('notice')
    expect(judged.conformityProbability).toBeGreaterThan(0.5)
    expect(judged.conformityProbability).toBeLessThan(0.9)
  })
  it('a doubtful survey near the limit is inconclusive; far from it, it still serves acceptance', () => {
    expect(limited(11.1, { interferenceV: 8 }).conformity).toBe('inconclusive')
    const far = limited(25, { interferenceV: 8 })
    expect(far.conformity).toBe('conforming')
    expect(far.usableFor).toEqual(['acceptance'])
  })
  it('the limits table rules over the register, the strictest first, each for its own quantity', () => {
    const limits = [
      { electrodeId: 'T-1', purpose: 'lightning', limitOhm: 10 },
      { electrodeId: 'T-1', purpose: 'neutral', limitOhm: 4, appliesTo: 'connected' as const },
      { electrodeId: 'T-1', purpose: 'protective', limitOhm: 20, seasonFactor: 1.4 },
    ]
    expect(evaluateSurvey(SOUND, context({ limits })).limitOhm).toBe(10)
    expect(evaluateSurvey({ ...SOUND, measuredAs: 'connected' }, context({ limits })).limitOhm).toBe(4)
  })
})

describe('other methods and outcomes', () => {
  it.each(['clamp-loop', 'selective', 'high-frequency', 'current-injection', 'known-earth'] as const)(
    '%s: the reading is the value',
    (method) => {
      const judged = evaluateSurvey(
        { ...SOUND, method, measuredAs: 'connected', readings: [{ condition: 'ok', resistanceOhm: 3.2 }] },
        context(),
      )
      expect(judged.validity).toBe('valid')
      expect(judged.resistanceOhm).toBe(3.2)
      expect(judged.expandedUncertaintyOhm).toBeGreaterThan(0)
      expect(judged.usableFor).toContain('trend')
    },
  )
  it('two-point takes the leads off and is held against the bonding limit', () => {
    const limits = [{ electrodeId: 'T-1', purpose: 'bonding', limitOhm: 0.2 }]
    const judged = evaluateSurvey(
      {
        ...SOUND,
        method: 'two-point',
        leadResistanceOhm: 0.05,
        readings: [{ condition: 'ok', resistanceOhm: 0.12 }],
      },
      context({ limits, calibration: CALIBRATION }),
    )
    expect(judged.resistanceOhm).toBeCloseTo(0.07, 9)
    expect(judged.limitOhm).toBe(0.2)
    expect(judged.conformity).toBe('conforming')
  })
  it('four-point gives the soil: 2 pi a R', () => {
    const judged = evaluateSurvey(
      { ...SOUND, method: 'four-point', readings: [{ condition: 'ok', probeSpacingM: 2, resistanceOhm: 8 }] },
      context(),
    )
    expect(judged.resistanceOhm).toBeNull()
    expect(judged.impliedSoilResistivityOhmM).toBeCloseTo(2 * Math.PI * 2 * 8, 3)
    expect(judged.conformity).toBe('not-assessed')
  })
  it('an instrument that misses its resistor is told', () => {
    const check = (ohm: number) =>
      evaluateSurvey(
        {
          ...SOUND,
          method: 'check-resistor',
          knownOhm: 10,
          readings: [{ condition: 'ok', resistanceOhm: ohm }],
        },
        context({ calibration: CALIBRATION }),
      )
    expect(attention(check(10.1))).toEqual([])
    expect(attention(check(10.6))).toEqual(['instrument-bias'])
  })
  it.each(OUTCOMES.filter((outcome) => outcome !== 'tested'))('%s is a result without a value', (outcome) => {
    const judged = evaluateSurvey({ ...SOUND, outcome, readings: [] }, context())
    expect(judged.resistanceOhm).toBeNull()
    expect(judged.usableFor).toEqual([])
    expect(judged.conformity).toBe('not-assessed')
    expect(judged.findings).toEqual([])
  })
})
