import { expectedResistance } from '../../earth/electrode-resistance.ts'
import type { Electrode } from '../../survey/register.ts'
import type { PriorTest } from '../assessment.ts'
import { DAY_MS } from '../days.ts'

/** A test as the model sees it. Logarithms are natural, of ohm. */
export interface Sighting {
  test: PriorTest
  day: number
  /** Years since 1970. */
  t: number
  /** Middle of the three log readings: it does not move when readings are swapped, and one wild reading cannot carry it. */
  y: number
  /** ln R at 52, 62 and 72 %; null when the readings do not reach over these. */
  curve: readonly [number, number, number] | null
  /** Variance of a log reading by the display's step. */
  roundingVar: number
  stepOhm: number
  readingsOhm: readonly number[]
  /** ln of the factor by which one single reading stood off and was left out; null when none did. */
  oneReadingOffLn: number | null
}

/** ln ohm per ohm-metre from the electrode's formula; null when the register does not tell enough. */
export function lnGeometry(electrode: Electrode): number | null {
  const expected = expectedResistance(electrode, 1)
  return expected && expected.resistanceOhm > 0 ? Math.log(expected.resistanceOhm) : null
}

/** The step of a four-digit display at `ohm`: 0.01 below 20, 0.1 below 200, 1 below 2000, else 10 (common practice, no source). */
function displayStepOhm(ohm: number): number {
  if (ohm < 20) return 0.01
  if (ohm < 200) return 0.1
  return ohm < 2000 ? 1 : 10
}

const POSITIONS = [0.52, 0.62, 0.72] as const

/** Null when there is nothing to compare. `resolutionOhm` is the instrument's own step where it is known. */
export function sightingOf(test: PriorTest, resolutionOhm: number | null): Sighting | null {
  if (test.outcome !== 'tested' || !Number.isFinite(test.testedAtMs)) return null
  const day = test.testedAtMs / DAY_MS
  const points: { share: number; ohm: number }[] = []
  for (const r of test.readings) {
    if (r.condition !== 'ok' || r.resistanceOhm === undefined || !(r.resistanceOhm >= 0)) continue
    if (!Number.isFinite(r.resistanceOhm)) continue
    const share = (r.potentialProbeM ?? Number.NaN) / (test.currentProbeM ?? Number.NaN)
    points.push({ share, ohm: Math.max(0.01, r.resistanceOhm) })
  }
  points.sort((a, b) => a.share - b.share || 0)
  const readingsOhm = points.map((p) => p.ohm)
  const shaped = test.method === 'fall-of-potential' ? curveOf(points) : null
  let y = Number.NaN
  let oneReadingOffLn: number | null = null
  let curve = shaped?.curve ?? null
  if (curve) {
    y = median3(curve)
    oneReadingOffLn = shaped!.offLn
    const single = oneReadingOffLn === null ? slipAmongThree(curve, y) : null
    if (single) {
      y = single.othersLn
      oneReadingOffLn = single.offLn
      curve = null
    }
  } else {
    const given = test.resistanceOhm ?? middle(readingsOhm)
    if (given !== null && given > 0 && Number.isFinite(given)) y = Math.log(Math.max(0.001, given))
  }
  if (!Number.isFinite(y)) return null
  const ohm = Math.exp(y)
  const stepOhm = resolutionOhm !== null && resolutionOhm > 0 ? resolutionOhm : displayStepOhm(ohm)
  const roundingVar = Math.min(0.25, (stepOhm / ohm) ** 2 / 12)
  return { test, day, t: day / 365.25, y, curve, roundingVar, stepOhm, readingsOhm, oneReadingOffLn }
}

/** The three log readings, straight between neighbouring readings; null unless they reach from 52 to 72 % or nearly so. */
function curveOf(
  points: { share: number; ohm: number }[],
): { curve: [number, number, number]; offLn: number | null } | null {
  if (points.length < 3 || points.some((p) => !Number.isFinite(p.share))) return null
  const offLn = points.length > 4 ? mendInnerSlip(points) : null
  if (points[0]!.share > 0.53 || points.at(-1)!.share < 0.69) return null
  const at = POSITIONS.map((share) => Math.log(Math.max(0.001, ohmAt(points, share))))
  return { curve: [at[0]!, at[1]!, at[2]!], offLn }
}

function ohmAt(points: readonly { share: number; ohm: number }[], share: number): number {
  let i = points.findIndex((p) => p.share >= share)
  if (i === 0) i = 1
  if (i < 0) i = points.length - 1
  const a = points[i - 1]!
  const b = points[i]!
  if (b.share === a.share) return b.ohm
  return a.ohm + ((share - a.share) / (b.share - a.share)) * (b.ohm - a.ohm)
}

/** In a full curve: an inner reading ten times off two neighbours that agree is replaced by their middle. */
function mendInnerSlip(points: { share: number; ohm: number }[]): number | null {
  for (let i = 1; i + 1 < points.length; i++) {
    const before = Math.log(points[i - 1]!.ohm)
    const after = Math.log(points[i + 1]!.ohm)
    const off = Math.log(points[i]!.ohm) - (before + after) / 2
    if (Math.abs(before - after) < 0.8 && Math.abs(Math.abs(off) - Math.LN10) < 0.6) {
      points[i] = { share: points[i]!.share, ohm: Math.exp((before + after) / 2) }
      return off
    }
  }
  return endSlip(points)
}

/** The first or last reading of a curve, ten times off where the two beside it point to. It says nothing of the middle. */
function endSlip(points: readonly { share: number; ohm: number }[]): number | null {
  const n = points.length
  for (const [end, next, after] of [
    [0, 1, 2],
    [n - 1, n - 2, n - 3],
  ] as const) {
    const beside = Math.log(points[next]!.ohm)
    const slope = beside - Math.log(points[after]!.ohm)
    const off = Math.log(points[end]!.ohm) - beside - slope
    if (Math.abs(slope) < 0.4 && Math.abs(Math.abs(off) - Math.LN10) < 0.5) return off
  }
  return null
}

function slipAmongThree(
  curve: readonly [number, number, number],
  y: number,
): { othersLn: number; offLn: number } | null {
  for (let i = 0; i < 3; i++) {
    const off = Math.abs(curve[i]! - y)
    if (off <= 1.6 || off >= 3) continue
    const othersLn = (curve[(i + 1) % 3]! + curve[(i + 2) % 3]!) / 2
    if (Math.abs(curve[(i + 1) % 3]! - curve[(i + 2) % 3]!) > 0.8) continue
    return { othersLn, offLn: curve[i]! - othersLn }
  }
  return null
}

function median3(a: readonly [number, number, number]): number {
  return Math.max(Math.min(a[0], a[1]), Math.min(Math.max(a[0], a[1]), a[2]))
}

function middle(ohms: readonly number[]): number | null {
  if (ohms.length === 0) return null
  const sorted = [...ohms].sort((a, b) => a - b)
  return sorted[Math.floor((sorted.length - 1) / 2)]!
}
