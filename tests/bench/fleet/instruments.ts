import type { Random } from '../../../sample-data/make/random.ts'
import type { Calibration } from '../../../shared-lib/survey/register.ts'
import type { Numbers } from './planted.ts'
import type { FleetSetting } from './setting.ts'

export interface TrueInstrument {
  id: string
  calibrations: Calibration[]
  /** Constant gain error of the instrument's batch, ln; inside its accuracy. */
  batchLn: number
  /** Times when it was off, each until the calibration after it. */
  off: { ev: number; fromDay: number; untilDay: number; ln: number }[]
}

const DAY_MS = 86_400_000

/** Instruments of a few batches; each is calibrated about once a year and may go off by 10 to 30 % between two calibrations. */
export function makeInstruments(
  count: number,
  days: number,
  startMs: number,
  setting: FleetSetting,
  random: Random,
  numbers: Numbers,
): TrueInstrument[] {
  const batches = Array.from({ length: Math.max(1, Math.ceil(count / 4)) }, () => 0.01 * random.normal())
  return Array.from({ length: count }, (_, i) => {
    const id = `I${i}`
    const calibratedDays: number[] = [-random.whole(5, 300)]
    while (calibratedDays.at(-1)! < days) calibratedDays.push(calibratedDays.at(-1)! + random.whole(330, 420))
    const off = calibratedDays.flatMap((day, k) => {
      const untilDay = calibratedDays[k + 1] ?? days
      if (!random.chance((setting.instrumentRate * (untilDay - day)) / 365.25)) return []
      const ln = Math.log(1 + random.pick([-1, 1]) * random.between(0.1, 0.3))
      return [{ ev: numbers.next++, fromDay: random.between(day, untilDay), untilDay, ln }]
    })
    return {
      id,
      batchLn: batches[i % batches.length]! + 0.004 * random.normal(),
      off,
      calibrations: calibratedDays.map((day) => ({
        instrumentId: id,
        calibratedOn: new Date(startMs + day * DAY_MS).toISOString().slice(0, 10),
        accuracyPercent: 2,
      })),
    }
  })
}
