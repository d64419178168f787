import { DEFAULTS } from './defaults.ts'
import type { LineEstimate } from './estimate-line.ts'
import { isSlip } from './explain-line.ts'
import { powerOfTen } from './power-of-ten.ts'
import type { Line, LineReading } from './prepare-line.ts'
import type { Verdict } from './verdict.ts'
import { inMetres, inOhm } from './wording.ts'

/** One wrong reading, or two exchanged ones, explain the line about as well as the line as recorded. Returns which. */
export function judgeSlip(
  line: Line,
  estimate: LineEstimate,
  verdict: Verdict,
): 'exchanged' | 'one-bad' | null {
  const slips = estimate.explanations.filter(isSlip)
  const probability = slips.reduce((sum, one) => sum + one.probability, 0)
  const slip = slips[0]
  if (!slip || probability < DEFAULTS.slipFrom || slip.kind === 'as-recorded' || slip.kind === 'other-angle')
    return null
  const readings = line.readings
  const exchanged = slip.kind === 'swapped'
  const concerned = (slip.kind === 'one-bad' ? [slip.index] : [slip.first, slip.second]).map(
    (i) => readings[i]!,
  )
  const numbers = concerned.map((reading) => reading.number)
  const left = readings.length - concerned.length
  const listed = concerned
    .map((reading) => `${inOhm(reading.resistanceOhm)} at ${inMetres(reading.potentialProbeM)}`)
    .join(' and ')
  verdict.doubt(
    exchanged
      ? `Readings ${numbers.join(' and ')} seem to be exchanged.`
      : `Reading ${numbers.join(' and ')} does not go with the others; ${left} are left.`,
  )
  verdict.find({
    code: exchanged ? 'readings-out-of-order' : 'reading-unusable',
    severity: 'warning',
    probability,
    message: exchanged
      ? `${listed} seem to be exchanged: the other way round the line is as it should be. Repeat these positions, or correct the record from the field sheet.`
      : `${listed} ${numbers.length > 1 ? 'do' : 'does'} not go with the other readings, which agree among themselves${tenfold(concerned, readings)}. Repeat ${numbers.length > 1 ? 'these positions' : 'this position'} before the stakes are pulled.`,
    advice: [
      'Repeat the position.',
      'Compare with the field sheet.',
      'Look for a pipe or a cable beside that position.',
    ],
    evidence: {
      readings: numbers,
      potentialProbeM: concerned.map((reading) => reading.potentialProbeM),
      resistanceOhm: concerned.map((reading) => reading.resistanceOhm),
      usable: left,
    },
  })
  return exchanged ? 'exchanged' : 'one-bad'
}

/** What a person at the stakes would think of first, when one reading is ten, a hundred or a thousand times the others. */
function tenfold([one, ...more]: LineReading[], readings: readonly LineReading[]): string {
  if (!one || more.length > 0) return ''
  const others = readings.filter((reading) => reading !== one).map((reading) => reading.resistanceOhm)
  const power = powerOfTen(one.resistanceOhm, others)
  if (power === null) return ''
  const times = power > 1 ? `${power} times` : `1/${Math.round(1 / power)} of`
  return `; it is ${times} theirs, as with a slip of the decimal sign or the unit`
}

/** The curve is that of leads lying at an angle which nobody recorded, or of bare metal beside the line: flat, and low. */
export function judgeHiddenAngle(estimate: LineEstimate, verdict: Verdict): void {
  const angles = estimate.explanations.filter((one) => one.kind === 'other-angle')
  const probability = angles.reduce((sum, one) => sum + one.probability, 0)
  if (probability < DEFAULTS.angleFrom) return
  verdict.doubt(
    'The curve does not rise towards the current probe as it does when both leads lie in one line.',
  )
  verdict.find({
    code: 'no-steady-position',
    severity: probability < DEFAULTS.angleWarnedFrom ? 'notice' : 'warning',
    probability,
    message: `The readings stay flat towards the current probe, as with leads at an angle (about ${angles[0]!.angleDeg} degrees) or bare metal beside the line; all readings would then be low, which the result of ${inOhm(estimate.resistanceOhm)} and its uncertainty allow for in part. Record the angle if there was one, else lay both leads in one line, turned by 90 degrees, and repeat.`,
    advice: [
      'Record the angle between the leads if they did not lie in one line.',
      'Repeat with both leads in one line, turned by 90 degrees.',
      'Look for pipes, cables or fences along the line.',
    ],
    evidence: {
      likelyAngleDeg: angles[0]!.angleDeg,
      meanOhm: estimate.meanOhm,
      correctedOhm: estimate.resistanceOhm,
    },
  })
}
