/** The operator's test instruments: calibrations, and the error nobody knows of. */
import type { Calibration } from '../../shared-lib/survey/register.ts'
import { dayOf, isoDay } from './day.ts'
import { randomFor } from './random.ts'

interface Instrument {
  instrumentId: string
  serial: string
  /** Month and day of the yearly calibration. */
  yearly: string
  lastYear: number
  /** A year whose calibration came late, and the day it was made in the end. */
  late?: { year: number; madeOn: string }
  accuracyPercent: number
  accuracyDigits: number
  resolutionOhm: number
  rangeMaxOhm: number
}

const EARTH_TESTER = { accuracyPercent: 2, accuracyDigits: 3, resolutionOhm: 0.01, rangeMaxOhm: 2000 }

export const INSTRUMENTS: readonly Instrument[] = [
  { instrumentId: 'DEMO-M1', serial: 'DEMO-0101', yearly: '01-15', lastYear: 2026, ...EARTH_TESTER },
  {
    instrumentId: 'DEMO-M2',
    serial: 'DEMO-0102',
    yearly: '04-10',
    lastYear: 2026,
    late: { year: 2020, madeOn: '2020-10-20' },
    ...EARTH_TESTER,
  },
  { instrumentId: 'DEMO-M3', serial: 'DEMO-0103', yearly: '02-20', lastYear: 2026, ...EARTH_TESTER },
  { instrumentId: 'DEMO-M4', serial: 'DEMO-0104', yearly: '05-25', lastYear: 2026, ...EARTH_TESTER },
  {
    instrumentId: 'DEMO-M5',
    serial: 'DEMO-0105',
    yearly: '08-12',
    lastYear: 2025,
    ...EARTH_TESTER,
    accuracyPercent: 3,
  },
  {
    instrumentId: 'DEMO-C1',
    serial: 'DEMO-0201',
    yearly: '05-02',
    lastYear: 2025,
    accuracyPercent: 3,
    accuracyDigits: 3,
    resolutionOhm: 0.01,
    rangeMaxOhm: 1200,
  },
  {
    instrumentId: 'DEMO-B1',
    serial: 'DEMO-0301',
    yearly: '03-09',
    lastYear: 2026,
    accuracyPercent: 1,
    accuracyDigits: 2,
    resolutionOhm: 0.01,
    rangeMaxOhm: 20,
  },
]

/** `DEMO-M3` read this much too high from a fall in August 2023 until it was calibrated the next February. */
export const GONE_OFF = {
  instrumentId: 'DEMO-M3',
  from: dayOf('2023-08-21'),
  until: dayOf('2024-02-20'),
  factor: 1.16,
}

const FIRST_YEAR = 2016

function calibratedDays(of: Instrument): number[] {
  const days: number[] = []
  for (let year = FIRST_YEAR; year <= of.lastYear; year++)
    days.push(dayOf(of.late?.year === year ? of.late.madeOn : `${year}-${of.yearly}`))
  return days
}

/** The instruments table, oldest first. */
export function calibrations(): Calibration[] {
  return INSTRUMENTS.flatMap((of) =>
    calibratedDays(of).map((day) => ({
      instrumentId: of.instrumentId,
      calibratedOn: isoDay(day),
      calibrationDueOn: dueOn(day),
      accuracyPercent: of.accuracyPercent,
      accuracyDigits: of.accuracyDigits,
      resolutionOhm: of.resolutionOhm,
      rangeMaxOhm: of.rangeMaxOhm,
      serial: of.serial,
      certificate: `DEMO-CAL-${isoDay(day).slice(0, 4)}-${of.serial.slice(-4)}`,
    })),
  )
}

/** A year less a day after. */
function dueOn(day: number): string {
  return isoDay(day + 365)
}

function calibrationInForce(instrumentId: string, day: number): number | undefined {
  const of = INSTRUMENTS.find((one) => one.instrumentId === instrumentId)
  return of ? calibratedDays(of).findLast((made) => made <= day) : undefined
}

/** True when the last calibration ran out before that day. */
export function isPastDue(instrumentId: string, day: number): boolean {
  const made = calibrationInForce(instrumentId, day)
  return made === undefined || day > made + 365
}

export function isGoneOff(instrumentId: string, day: number): boolean {
  return instrumentId === GONE_OFF.instrumentId && day >= GONE_OFF.from && day < GONE_OFF.until
}

/** Factor of every reading of the instrument on that day: within 1.5 % as a rule. */
export function gainOf(instrumentId: string, day: number): number {
  const usual =
    1 + 0.006 * randomFor('gain', instrumentId, calibrationInForce(instrumentId, day) ?? 0).normal()
  return isGoneOff(instrumentId, day) ? usual * GONE_OFF.factor : usual
}
