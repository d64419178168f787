import { FIXED, t8, t8Between } from './beliefs.ts'
import type { Mode } from './common-mode.ts'
import type { History } from './electrode.ts'
import { predict } from './regression.ts'

/** One combination of history and common mode, seen from a test. */
export interface View {
  history: History
  mode: Mode
  mean: number
  sd: number
  weight: number
}

export const CLASSES = [
  'nothing',
  'corrosion',
  'up',
  'down',
  'decimal',
  'unit',
  'repeated',
  'wrong-electrode',
  'too-close',
  'out-of-order',
] as const
export type Class = (typeof CLASSES)[number]
export type Weights = Record<Class, number>

export function viewsOf(
  histories: readonly History[],
  modes: readonly Mode[],
  q: number,
  t: number,
  roundingVar: number,
): View[] {
  return histories.flatMap((history) =>
    modes.map((mode) => {
      const p = predict(history.fit, mode.g, q, t)
      const loading = 1 + history.fit.x[1]!
      const variance = p.variance + history.fit.noiseVar + loading ** 2 * mode.variance + roundingVar
      return {
        history,
        mode,
        mean: p.mean,
        sd: FIXED.scale * Math.sqrt(variance),
        weight: history.weight * mode.weight,
      }
    }),
  )
}

/** Density of a value by all views together. */
export function densityOf(views: readonly View[], y: number): number {
  return views.reduce((s, v) => s + v.weight * t8(y, v.mean, v.sd), 0)
}

export interface Facts {
  y: number
  shapes: { normal: number; close: number; order: number }
  dtYears: number
  stepsPossible: boolean
  oneSlip: boolean
  /** Product of the rounding cells when the sheet equals the last one; else null. */
  cells: number | null
}

/** Joint weights of all explanations but the wrong electrode, and of the pending step within up and down. */
export function weigh(views: readonly View[], f: Facts): { weights: Weights; pendingStep: number } {
  const w = Object.fromEntries(CLASSES.map((c) => [c, 0])) as Weights
  const dt = Math.min(3, Math.max(0.02, f.dtYears))
  const { decimal, unit, repeated, wrongElectrode, tooClose, outOfOrder } = FIXED
  const rise = f.stepsPossible ? FIXED.rise * dt : 0
  const fall = f.stepsPossible ? FIXED.fall * dt + FIXED.fallOnce : 0
  const p0 = 1 - decimal - unit - repeated - wrongElectrode - tooClose - outOfOrder - rise - fall
  let pendingStep = 0
  for (const v of views) {
    const normal = v.weight * f.shapes.normal
    const at = (shift: number) => t8(f.y - shift, v.mean, v.sd)
    const own = p0 * normal * at(0)
    const { kind, fit, recent } = v.history
    const size = fit.x[3] ?? 0
    const way: Class = size > 0 ? 'up' : 'down'
    if (kind === 'ramp') w.corrosion += own
    else if (kind === 'pending') {
      w[way] += own
      pendingStep += own
    } else if (kind === 'small' && recent && Math.abs(size) > 0.12) w[way] += own
    else w.nothing += own
    w.up += (rise * normal * t8Between(f.y - 1.85, f.y - 0.18, v.mean, v.sd)) / 1.67
    w.down += (fall * normal * t8Between(f.y + 0.18, f.y + 2.4, v.mean, v.sd)) / 2.22
    const ten = 0.5 * (at(Math.LN10) + at(-Math.LN10))
    w.decimal += decimal * v.weight * (0.7 * ten * f.shapes.normal + (f.oneSlip ? 0.3 * 3 * at(0) : 0))
    w.unit += unit * normal * 0.5 * (at(3 * Math.LN10) + at(-3 * Math.LN10))
    w['too-close'] += tooClose * v.weight * f.shapes.close * t8(f.y, v.mean - 0.07, Math.hypot(v.sd, 0.08))
    w['out-of-order'] += outOfOrder * v.weight * f.shapes.order * at(0)
  }
  if (f.cells !== null) w.repeated = (repeated * 0.98) / Math.max(1e-30, f.cells)
  return { weights: w, pendingStep }
}

/** That the sheet belongs to another electrode of the visit: it fits that one, and that one's fits here. */
export function wrongElectrodeWeight(
  me: { y: number; views: readonly View[]; normalShape: number },
  others: readonly { y: number; views: readonly View[] }[],
): number {
  if (others.length === 0) return 0
  let fits = 0
  let swapped = 0
  for (const q of others) {
    const mine = densityOf(q.views, me.y)
    fits += mine
    swapped += (mine * densityOf(me.views, q.y)) / Math.max(1e-12, densityOf(q.views, q.y))
  }
  const n = others.length
  return FIXED.wrongElectrode * me.normalShape * (0.3 * (fits / n) + 0.7 * Math.min(1e4, swapped / n))
}
