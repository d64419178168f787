import type { Survey } from '../survey/survey.ts'
import { DEFAULTS } from './defaults.ts'
import type { EvaluationContext, UncertaintyPart } from './evaluation.ts'
import type { Verdict } from './verdict.ts'
import { figures, inOhm } from './wording.ts'

/** The auxiliary stakes: too resistive ones starve the instrument. Returns what they add to the uncertainty. */
export function judgeStakes(survey: Survey, valueOhm: number | null, verdict: Verdict): UncertaintyPart[] {
  const stakes = [
    { name: 'current probe (H)', ohm: survey.probeHOhm, lost: 'auxiliary-h' },
    { name: 'potential probe (S)', ohm: survey.probeSOhm, lost: 'auxiliary-s' },
  ] as const
  const parts: UncertaintyPart[] = []
  for (const { name, ohm, lost } of stakes) {
    const lostReadings = survey.readings.filter((reading) => reading.condition === lost).length
    const high = ohm !== undefined && Number.isFinite(ohm) && ohm > 0 ? ohm : 0
    const beyond = high > DEFAULTS.auxiliaryMaxOhm
    const relative = valueOhm !== null && valueOhm > 0 ? high / valueOhm : 0
    const noticed = relative > DEFAULTS.auxiliaryTimesEarth && high > 1000
    if (!beyond && !noticed && lostReadings === 0) continue
    if (beyond)
      verdict.doubt(`The ${name} has ${figures(high / 1000)} kohm, more than instruments are made for.`)
    if ((beyond || noticed) && valueOhm !== null && valueOhm > 0)
      // From the rated ratio of 100 upward, 1 % for each doubling: common practice, no source.
      parts.push({
        name: `auxiliary stake, ${name}`,
        standardOhm: 0.01 * valueOhm * Math.max(1, Math.log2(relative / DEFAULTS.auxiliaryTimesEarth)),
      })
    verdict.find(
      {
        code: 'auxiliary-too-resistive',
        severity: beyond || lostReadings > 0 ? 'warning' : 'notice',
        probability: lostReadings > 0 ? 0.95 : beyond ? 0.9 : 0.5,
        message:
          lostReadings > 0
            ? `The instrument reported the circuit of the ${name} as open or too resistive at ${lostReadings} of ${survey.readings.length} positions. Check its lead and clamp, then moisten the soil at that stake and drive it deeper.`
            : `The ${name} has ${figures(high)} ohm${valueOhm === null ? '' : ` against an earth of ${inOhm(valueOhm)}`}. Moisten the soil at that stake and read once more; a change of more than a few digits means the stake was the fault.`,
        advice: [
          'Check lead and clamp of that stake.',
          'Moisten the soil at that stake only, never at the earth under test.',
          'Drive it deeper.',
          'Add a second stake in parallel a metre away.',
        ],
        evidence: { stake: name, stakeOhm: ohm, lostReadings, timesEarth: relative || undefined },
      },
      'driving',
    )
  }
  return parts
}

/** Stray voltage on the leads. Returns what it adds to the uncertainty. */
export function judgeInterference(
  survey: Survey,
  valueOhm: number | null,
  verdict: Verdict,
): UncertaintyPart[] {
  const volts = survey.interferenceV !== undefined ? Math.abs(survey.interferenceV) : 0
  const lost = survey.readings.filter((reading) => reading.condition === 'interference').length
  const beyond = volts > DEFAULTS.interferenceMaxV
  if (lost === 0 && !(volts > DEFAULTS.interferenceNoticeV)) return []
  if (beyond)
    verdict.doubt(
      `${figures(volts)} V of stray voltage, more than the 3 V instruments are made for (IEC 61557-5).`,
    )
  verdict.find(
    {
      code: 'interference',
      severity: beyond || lost > 0 ? 'warning' : 'notice',
      probability: beyond || lost > 0 ? 0.9 : 0.4,
      message: `${lost > 0 ? `Stray voltage stopped ${lost} of ${survey.readings.length} readings` : `There are ${figures(volts)} V of stray voltage on the leads`}. Move the leads away from cables or cross them at right angles, twist them, or use another test frequency, then read again.`,
      advice: [
        'Lay the leads at right angles to cables and lines.',
        'Twist or shield the leads.',
        'Change the test frequency if the instrument can.',
        'Repeat when the load is smaller.',
      ],
      evidence: { interferenceV: survey.interferenceV, lostReadings: lost },
    },
    'liveLines',
    'energised',
  )
  return valueOhm !== null && volts > DEFAULTS.interferenceNoticeV
    ? [
        {
          name: 'interference',
          standardOhm: 0.01 * Math.abs(valueOhm) * Math.min(volts / DEFAULTS.interferenceNoticeV, 50),
        },
      ]
    : []
}

/** Leads: three-wire tests add the earth lead, leads side by side couple. Matters for small values only. */
export function judgeLeads(survey: Survey, valueOhm: number | null, verdict: Verdict): UncertaintyPart[] {
  if (valueOhm === null) return []
  const size = Math.abs(valueOhm)
  const parts: UncertaintyPart[] = []
  const leadOhm = survey.earthLeadOhm
  const threeWire = survey.connection === '3-wire' && leadOhm === undefined
  const side = survey.leads === 'side-by-side'
  // 5 m of 1.5 mm² is 0.06 ohm; coupling of leads side by side is taken as large again.
  if (threeWire && size < 10 * DEFAULTS.leadEffectBelowOhm)
    parts.push({ name: 'earth lead (three-wire)', standardOhm: 0.06 / Math.sqrt(3) })
  if (side && size < 10 * DEFAULTS.leadEffectBelowOhm)
    parts.push({ name: 'coupling of leads side by side', standardOhm: 0.06 / Math.sqrt(3) })
  if (size < DEFAULTS.leadEffectBelowOhm && (threeWire || side || survey.connection === undefined))
    verdict.find({
      code: 'lead-effect',
      severity: threeWire || side ? 'warning' : 'notice',
      probability: threeWire || side ? 0.7 : null,
      message: threeWire
        ? `${inOhm(valueOhm)} was measured with three wires, so the lead to the electrode is in it (5 m of 1.5 mm² is 0.06 ohm). Measure the lead and record it, or repeat with four wires.`
        : side
          ? `${inOhm(valueOhm)} was measured with the leads side by side, which couple at this size. Lay them at least a metre apart and repeat.`
          : `At ${inOhm(valueOhm)} the leads count, and the record does not say how they were connected. Record three or four wires, and the resistance of the lead to the electrode.`,
      advice: [
        'Use four wires.',
        'Keep current and potential leads apart.',
        'Measure the lead to the electrode and record it.',
      ],
      evidence: { connection: survey.connection, leads: survey.leads, earthLeadOhm: leadOhm },
    })
  return parts
}

/** The instrument's papers. An instrument past its date may still be right; nobody can say so. */
export function judgeCalibration(survey: Survey, context: EvaluationContext, verdict: Verdict): void {
  const calibration = context.calibration
  if (!calibration) {
    verdict.note('No calibration of the instrument is known: 5 % and 3 digits are taken for it.')
    return
  }
  const due = Date.parse(calibration.calibrationDueOn ?? '')
  const tested = Date.parse(survey.testedAt)
  // A due date is good to the end of its day.
  if (!(tested > due + 86_400_000)) return
  verdict.doubt(
    `Instrument ${calibration.instrumentId} was past its calibration date (${calibration.calibrationDueOn}).`,
  )
  verdict.find({
    code: 'out-of-calibration',
    severity: 'warning',
    probability: 0.95,
    message: `Instrument ${calibration.instrumentId} was due for calibration on ${calibration.calibrationDueOn} and was used on ${survey.testedAt.slice(0, 10)}. Check it against a known resistor now and have it calibrated before it is used again.`,
    advice: ['Check it against a resistor of known value and hand that in.', 'Have it calibrated.'],
    evidence: {
      instrumentId: calibration.instrumentId,
      calibratedOn: calibration.calibratedOn,
      calibrationDueOn: calibration.calibrationDueOn,
      testedAt: survey.testedAt,
    },
  })
}

/** What was connected, and the state of the soil: they decide with what this value may be compared. */
export function judgeConnection(survey: Survey, context: EvaluationContext, verdict: Verdict): void {
  if (survey.soilState === 'frozen')
    verdict.notForTrend('The soil was frozen: the value says little about other seasons.')
  if (survey.measuredAs === 'not-known') {
    verdict.notForTrend(
      'It is not recorded what was connected, so the value is not compared with other tests.',
    )
    return
  }
  if (survey.measuredAs === 'electrode-alone') {
    if (context.electrode.canBeIsolated !== 'no' || survey.method === 'selective') return
    verdict.find(
      {
        code: 'register-mismatch',
        severity: survey.purpose === 'commissioning' ? 'notice' : 'warning',
        probability: 0.6,
        message: `The survey says the electrode was measured alone, and the register says it cannot be isolated. Ask the crew what was connected; open nothing to find out.`,
        advice: ['Ask the crew.', 'Correct the survey or the register.'],
        evidence: { measuredAs: survey.measuredAs, canBeIsolated: context.electrode.canBeIsolated },
      },
      'link',
    )
    return
  }
  if (survey.method !== 'fall-of-potential' && survey.method !== 'slope') return
  verdict.find(
    {
      code: 'not-isolated',
      severity: 'notice',
      probability: 0.95,
      message: `The electrode was measured ${survey.measuredAs === 'connected' ? 'connected' : 'as part of a system'}, so the value is that of everything connected and not of this electrode. It is kept as a quantity of its own and held against limits for connected earths only.`,
      advice: [
        'To know the electrode alone, use a method that leaves the earth closed, or ask the person in control.',
      ],
      evidence: { measuredAs: survey.measuredAs, connectedTo: context.electrode.connectedTo },
    },
    'link',
  )
}
