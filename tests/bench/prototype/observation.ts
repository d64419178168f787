import { expectedResistance } from '../../../shared-lib/earth/electrode-resistance.ts'
import type { Electrode } from '../../../shared-lib/survey/register.ts'
import type { Survey } from '../../../shared-lib/survey/survey.ts'

/** A survey as the prototype sees it; logarithms of ohm. */
export interface Observation {
  ref: string
  electrodeId: string
  siteId: string
  campaign: number
  instrument: string
  day: number
  /** Years. */
  t: number
  y: number
  /** ln of the readings at 52, 62, 72 % and the variance of each by the display's step. */
  curve: readonly [number, number, number]
  rounding: readonly [number, number, number]
  readings: readonly number[]
  steps: readonly number[]
  probeM: number
  /** One reading of the sheet slipped by about ten. */
  oneSlip: boolean
  worked: boolean
}

const AT = [0.52, 0.62, 0.72] as const

/** ln ohm per ohm-metre by the formula of the register. */
export function lnGeometryOf(electrode: Electrode): number {
  const expected = expectedResistance(electrode, 1)
  return expected && expected.resistanceOhm > 0 ? Math.log(expected.resistanceOhm) : Math.log(0.05)
}

/** Null when there is nothing to read. */
export function observe(survey: Survey, siteId: string, campaign: number): Observation | null {
  const probeM = survey.currentProbeM ?? 60
  const points = survey.readings
    .filter((r) => r.resistanceOhm !== undefined)
    .map((r) => ({ p: (r.potentialProbeM ?? 0.62 * probeM) / probeM, ohm: Math.max(0.01, r.resistanceOhm!) }))
    .sort((a, b) => a.p - b.p)
  if (points.length < 3) return null
  const readings = points.map((x) => x.ohm)
  const short = points.length === 3
  const oneInCurve = short ? false : mendCurve(points)
  const three = AT.map((p, i) => (short ? points[i]!.ohm : between(points, p))) as [number, number, number]
  const curve = three.map(Math.log) as [number, number, number]
  let y = [...curve].sort((a, b) => a - b)[1]!
  const off = short ? curve.findIndex((l) => Math.abs(l - y) > 1.6 && Math.abs(l - y) < 3) : -1
  if (off >= 0) y = (curve[0] + curve[1] + curve[2] - curve[off]!) / 2
  const day = Date.parse(survey.testedAt ?? '') / 86_400_000
  return {
    ref: survey.surveyRef,
    electrodeId: survey.electrodeId ?? '',
    siteId,
    campaign,
    instrument: survey.instrumentId ?? '',
    day,
    t: day / 365.25,
    y,
    curve,
    rounding: three.map((r) => (stepOf(r) / r) ** 2 / 12) as [number, number, number],
    readings,
    steps: readings.map(stepOf),
    probeM,
    oneSlip: oneInCurve || off >= 0,
    worked: survey.event !== undefined && survey.event !== null,
  }
}

function stepOf(ohm: number): number {
  return ohm < 20 ? 0.01 : ohm < 200 ? 0.1 : ohm < 2000 ? 1 : 10
}

/** Replaces an inner reading that stands off both neighbours by about ten; says whether there was one. */
function mendCurve(points: { p: number; ohm: number }[]): boolean {
  for (let i = 1; i < points.length - 1; i++) {
    const a = Math.log(points[i - 1]!.ohm)
    const b = Math.log(points[i + 1]!.ohm)
    const off = Math.abs(Math.log(points[i]!.ohm) - (a + b) / 2)
    if (Math.abs(a - b) >= 0.8 || Math.abs(off - Math.LN10) >= 0.6) continue
    points[i]!.ohm = Math.exp((a + b) / 2)
    return true
  }
  return false
}

function between(points: readonly { p: number; ohm: number }[], p: number): number {
  const i = Math.min(
    points.length - 1,
    Math.max(
      1,
      points.findIndex((x) => x.p >= p),
    ),
  )
  const a = points[i - 1]!
  const b = points[i]!
  return a.ohm + ((b.ohm - a.ohm) * (p - a.p)) / (b.p - a.p)
}
