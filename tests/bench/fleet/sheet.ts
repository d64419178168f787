import type { Random } from '../../../sample-data/make/random.ts'
import type { Reading } from '../../../shared-lib/survey/survey.ts'
import type { TrueElectrode } from './electrodes.ts'
import type { FleetSetting } from './setting.ts'

const SHORT = [0.52, 0.62, 0.72]
const FULL = [0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9]

/** A four-digit display. */
export function shown(ohm: number): number {
  const step = ohm < 20 ? 0.01 : ohm < 200 ? 0.1 : ohm < 2000 ? 1 : 10
  return Number((Math.round(ohm / step) * step).toFixed(2))
}

/**
 * What the sheet shows for a resistance of `exp(lnR)`: the hemisphere's curve, a ground that is not the same everywhere along the
 * line (a slow wave of the electrode's own), and each reading's own scatter.
 */
export function readSheet(
  e: TrueElectrode,
  lnR: number,
  bend: number,
  setting: FleetSetting,
  random: Random,
): Reading[] {
  const wave = 0.004 * random.normal()
  return (e.fullCurve ? FULL : SHORT).map((p) => {
    const phi = Math.max(0.02, 1 + bend * (1 / (1 - p) - 1 / p - 1))
    const ln = lnR + Math.log(phi) + wave * Math.sin(6 * p) + setting.readingSd * random.normal()
    return {
      potentialProbeM: Math.round(p * e.currentProbeM * 100) / 100,
      resistanceOhm: shown(Math.exp(ln)),
      condition: 'ok' as const,
    }
  })
}
