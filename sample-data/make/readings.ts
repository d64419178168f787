/** The readings of one test: the curve along the lead, the instrument's gain, the scatter of the ground and the display. */
import type { Reading } from '../../shared-lib/survey/survey.ts'
import type { DemoElectrode } from './electrode.ts'
import { readingRatio } from './kernel.ts'
import type { Random } from './random.ts'
import { displayed, rounded } from './rounding.ts'

export const FULL = [0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9] as const
export const SHORT = [0.52, 0.62, 0.72] as const
export const SLOPE = [0.2, 0.4, 0.6] as const

export interface Measured {
  electrode: DemoElectrode
  /** What a perfect test would read, ohm. */
  resistanceOhm: number
  currentProbeM: number
  fractions: readonly number[]
  leadAngleDeg: number
  /** From the edge of the electrode, so that its centre lies behind the tape's start. */
  fromEdge: boolean
  gain: number
}

/** Scatter of a whole test (stakes, contact, line) and of one reading within it. */
const TEST_SCATTER = 0.018
const READING_SCATTER = 0.007

/** Readings as displayed, nearest probe first. */
export function readingsOf(of: Measured, random: Random): Reading[] {
  const scatter = Math.exp(TEST_SCATTER * random.normal()) * of.gain
  const halfWidthM = of.electrode.longestM / 2
  const setUp = {
    currentProbeM: of.currentProbeM,
    leadAngleDeg: of.leadAngleDeg,
    halfWidthM: of.electrode.register.kind === 'rod' ? 0.2 : halfWidthM / 2,
    centreOffsetM: of.fromEdge ? halfWidthM * 0.6 : 0,
  }
  return of.fractions.map((fraction) => {
    const potentialProbeM = rounded(fraction * of.currentProbeM, 2)
    const ratio = readingRatio(potentialProbeM, of.electrode.hemisphereM, setUp, of.electrode.site.soil)
    const noise = Math.exp(READING_SCATTER * random.normal())
    return {
      potentialProbeM,
      resistanceOhm: Math.max(0.01, displayed(of.resistanceOhm * ratio * scatter * noise)),
      condition: 'ok',
    }
  })
}

/** One reading without a potential probe, as clamps and two-point tests give. */
export function singleReading(resistanceOhm: number, gain: number, random: Random): Reading[] {
  const shown = displayed(resistanceOhm * gain * Math.exp(TEST_SCATTER * random.normal()))
  return [{ resistanceOhm: Math.max(0.01, shown), condition: 'ok' }]
}
