import { LAST_ANGLE_DEG } from '../earth/fall-of-potential.ts'
import { DEFAULTS } from './defaults.ts'
import type { LineEstimate } from './estimate-line.ts'
import { judgeHiddenAngle, judgeSlip } from './judge-slips.ts'
import { type Line, type LineReading, spreadPercent } from './prepare-line.ts'
import type { Verdict } from './verdict.ts'
import { figures, inMetres, inOhm, inPercent } from './wording.ts'

/** The signs on the curve, several together: the table of defaults, and what the readings themselves say may have happened. */
export function judgeLine(line: Line, estimate: LineEstimate, verdict: Verdict): void {
  judgeLostReadings(line, verdict)
  const slip = judgeSlip(line, estimate, verdict)
  const ordered = slip === 'exchanged' || judgeOrder(line, estimate, slip !== null, verdict)
  judgeCurrentProbe(line, estimate, verdict)
  judgeAngle(line, estimate, verdict)
  judgeHiddenAngle(estimate, verdict)
  judgeSpread(line, estimate, ordered && slip === null, verdict)
}

function judgeLostReadings(line: Line, verdict: Verdict): void {
  const numbers = [...line.impossible, ...line.lost.map((lost) => lost.number)].sort((a, b) => a - b)
  if (numbers.length === 0) return
  const left = line.readings.length
  const positions = new Set(line.readings.map((reading) => reading.potentialProbeM)).size
  if (positions < 2) verdict.refuse(`Only ${positions} usable position${positions === 1 ? '' : 's'} left.`)
  else if (left < 3) verdict.doubt('Only two usable positions left.')
  else verdict.note(`${left} readings are usable, ${numbers.length} are not.`)
  const impossible = line.impossible.length > 0
  verdict.find({
    code: 'reading-unusable',
    severity: positions < 3 || impossible ? 'warning' : 'notice',
    probability: 0.95,
    message: `Reading${numbers.length === 1 ? '' : 's'} ${numbers.join(', ')} cannot be used (${impossible ? 'a distance or value that cannot be' : 'reported by the instrument'}); ${left} are left. Repeat ${numbers.length === 1 ? 'it' : 'them'} before the stakes are pulled.`,
    advice: ['Check distance and value against the field sheet.', 'Repeat those positions.'],
    evidence: { readings: numbers, usable: left },
  })
}

/** Potential rises along the line away from the electrode. Returns whether it does, within what readings wobble. */
function judgeOrder(line: Line, estimate: LineEstimate, slip: boolean, verdict: Verdict): boolean {
  const found = largestFall(line)
  if (!found || !(estimate.meanOhm > 0)) return true
  const { before, after, fallOhm } = found
  const percent = (100 * fallOhm) / estimate.meanOhm
  if (fallOhm <= 3 * line.accuracy.stepOhm || percent <= DEFAULTS.fallPassPercent) return true
  // The largest fall among nine readings that each wobble by 2 % passes 6 % now and then: it must stand out of their own noise.
  const wobblePercent = Math.min(DEFAULTS.fallNeverPassPercent, 400 * estimate.noise)
  const much = percent > Math.max(DEFAULTS.fallDoubtfulPercent, wobblePercent)
  if (much && !slip) verdict.doubt(`The readings fall by ${inPercent(percent)} along the line.`)
  verdict.find({
    code: 'readings-out-of-order',
    severity: much && !slip ? 'warning' : 'notice',
    // Of the larger falls on simulated operators of seven kinds all but none, of the small ones a third, were slips.
    probability: much ? 0.95 : 0.3,
    message: `From ${inMetres(before.potentialProbeM)} to ${inMetres(after.potentialProbeM)} the reading falls from ${inOhm(before.resistanceOhm)} to ${inOhm(after.resistanceOhm)} (${inPercent(percent)}), and along a line it should rise. Repeat these two positions before the stakes are pulled.`,
    advice: [
      'Repeat both positions.',
      'Check that the two were not written the wrong way round.',
      'Look for pipes or cables along the line.',
    ],
    evidence: {
      readings: [before.number, after.number],
      potentialProbeM: [before.potentialProbeM, after.potentialProbeM],
      fallPercent: percent,
    },
  })
  return !much
}

/** The reading that lies farthest below an earlier one, with that earlier one; null when the line never falls. */
function largestFall(line: Line): { before: LineReading; after: LineReading; fallOhm: number } | null {
  let highest = line.readings[0]
  let worst: { before: LineReading; after: LineReading; fallOhm: number } | null = null
  for (const reading of line.readings) {
    const fallOhm = highest!.resistanceOhm - reading.resistanceOhm
    if (fallOhm > (worst?.fallOhm ?? 0)) worst = { before: highest!, after: reading, fallOhm }
    if (reading.resistanceOhm > highest!.resistanceOhm) highest = reading
  }
  return worst
}

function judgeCurrentProbe(line: Line, estimate: LineEstimate, verdict: Verdict): void {
  if (line.sizeM === null) {
    verdict.note(
      "The register does not tell the electrode's size, so the current probe's distance was not judged.",
    )
    return
  }
  const times = line.currentProbeM / line.sizeM
  if (times >= DEFAULTS.probeAdvised) return
  const wantedM = Math.ceil(DEFAULTS.probeAdvised * line.sizeM)
  const doubtPercent =
    (200 * Math.hypot(...estimate.parts.map((part) => part.standardOhm))) / estimate.resistanceOhm
  const unchecked =
    times < DEFAULTS.probeUnchecked && line.readings.length < 5 && doubtPercent > DEFAULTS.probeDoubtPercent
  const seen = `The current probe stood at ${inMetres(line.currentProbeM)}, ${figures(times, 2)} times the electrode's size of ${inMetres(line.sizeM)}`
  // From the edge of a grid the two earths lie half its side farther apart: the last limit counts from the centre.
  const apart = (line.currentProbeM + farthestOrigin(line)) / line.sizeM
  if (apart < DEFAULTS.probeInvalid) verdict.refuse(`${seen}: the two earths are one.`)
  else if (times < DEFAULTS.probeDoubtful) verdict.doubt(`${seen}.`)
  else if (unchecked) verdict.doubt(`${seen}, and nothing else checks the result.`)
  else verdict.note(`${seen}; the uncertainty says what that costs.`)
  const serious = times < DEFAULTS.probeWarned
  const doubted = times < DEFAULTS.probeDoubtful || unchecked
  verdict.find(
    {
      code: 'current-probe-too-close',
      severity: serious ? 'warning' : 'notice',
      // Beyond that the distance is a plain fact about the set-up, and its price stands in the uncertainty: no chance is claimed.
      probability: serious ? 0.9 : null,
      message: doubted
        ? `${seen}. Move it to ${wantedM} m or as far as there is room, and repeat the survey.`
        : `${seen}, and the uncertainty of ${inPercent(doubtPercent)} says what that costs. It stands as it is; where there is room, ${wantedM} m would narrow it.`,
      advice: [
        `Move the current probe to ${wantedM} m.`,
        'Without room, take a full survey every 10 %, which also serves the slope method.',
        'Repeat with the line turned by 90 degrees.',
      ],
      evidence: { currentProbeM: line.currentProbeM, sizeM: line.sizeM, times, wantedM },
    },
    'driving',
    'traffic',
  )
}

/** How far the tape's origin may lie from the electrode's centre, m. */
function farthestOrigin(line: Line): number {
  if (line.distanceFrom === 'centre' || !line.shape) return 0
  return Math.max(...line.shape.origins.map((origin) => origin.offsetM))
}

function judgeAngle(line: Line, estimate: LineEstimate, verdict: Verdict): void {
  if (!line.angleRecorded || line.angleDeg <= LAST_ANGLE_DEG) return
  const large = estimate.angleCorrectionPercent > DEFAULTS.angleCorrectionDoubtfulPercent
  if (large)
    verdict.doubt(
      `The correction for the angle of ${figures(line.angleDeg)} degrees is ${inPercent(estimate.angleCorrectionPercent)}.`,
    )
  else verdict.note(`Corrected for the angle of ${figures(line.angleDeg)} degrees.`)
  verdict.find({
    code: 'no-steady-position',
    severity: large ? 'warning' : 'notice',
    probability: 0.9,
    message: `With ${figures(line.angleDeg)} degrees between the leads no position of the potential probe reads right, and every reading is low; the result is corrected by ${inPercent(estimate.angleCorrectionPercent)}. Lay both leads in one line where there is room and repeat.`,
    advice: ['Lay both leads in one direction.', 'Move the current probe further out.'],
    evidence: { leadAngleDeg: line.angleDeg, correctionPercent: estimate.angleCorrectionPercent },
  })
}

/** How far the readings differ, less what the curve of some ordinary soil explains: a steady rise is no disagreement. */
function judgeSpread(line: Line, estimate: LineEstimate, ordered: boolean, verdict: Verdict): void {
  const spread = spreadPercent(line)
  if (spread === null || spread <= DEFAULTS.spreadFairPercent) return
  const seen = `The readings at 52 to 72 % differ by ${inPercent(spread)}`
  const unexplained = Math.min(spread, estimate.scatterPercent)
  if (unexplained <= DEFAULTS.spreadFairPercent) {
    verdict.note(`${seen} and rise as a curve does; the uncertainty carries it.`)
    return
  }
  const far = line.sizeM === null || line.currentProbeM / line.sizeM >= DEFAULTS.probeUnchecked
  if (unexplained <= DEFAULTS.spreadDoubtfulPercent && far && ordered) {
    verdict.note(`${seen}; the uncertainty carries it.`)
    return
  }
  const agrees = estimate.slopeOhm !== null && Math.abs(estimate.slopeOhm / estimate.resistanceOhm - 1) < 0.1
  if (unexplained > DEFAULTS.spreadInvalidPercent && !agrees) verdict.refuse(`${seen}.`)
  else verdict.doubt(`${seen}.`)
  verdict.find({
    code: 'readings-disagree',
    severity: 'warning',
    // Something was wrong with 97 to 98 % of those on simulated operators of seven kinds.
    probability: 0.95,
    message: `${seen} of their mean ${inOhm(estimate.meanOhm)}, and no curve goes through them. Repeat the readings, then move the current probe further out or turn the line by 90 degrees and compare.`,
    advice: [
      'Repeat the readings.',
      'Move the current probe further out.',
      'Turn the line by 90 degrees and repeat, to show that nothing buried runs along it.',
    ],
    evidence: {
      spreadPercent: spread,
      unexplainedPercent: unexplained,
      meanOhm: estimate.meanOhm,
      slopeOhm: estimate.slopeOhm ?? undefined,
    },
  })
}
