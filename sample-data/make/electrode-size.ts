/**
 * Resistance of an electrode in uniform soil of 1 ohm-metre, 1/m, by the usual hand formulas: rods, rings, wires after
 * Dwight 1936; groups with the factor of BS 7430; plates and foundations from their area; grids after Laurent and Niemann.
 * From memory of those documents; for invented data a few per cent do not matter.
 */
import type { Electrode } from '../../shared-lib/survey/register.ts'

const rod = (lengthM: number, diameterM: number) =>
  (Math.log((8 * lengthM) / diameterM) - 1) / (2 * Math.PI * lengthM)

/** n alike, `each` 1/m, `spacingM` apart, with the layout's factor. */
const several = (each: number, n: number, spacingM: number, factor: number) =>
  (each * (1 + factor / (2 * Math.PI * each * spacingM))) / n

/** BS 7430, rods in line, n = 2 to 6. */
const IN_LINE = [1, 1.66, 2.15, 2.54, 2.87]
/** BS 7430, hollow square of four. */
const SQUARE_OF_FOUR = 2.71

const plate = (areaM2: number) => Math.sqrt(Math.PI / areaM2) / 4

export function resistancePerOhmM(of: Electrode): number {
  const lengthM = of.lengthM ?? 1
  const diameterM = (of.diameterMm ?? 10) / 1000
  const areaM2 = of.areaM2 ?? 1
  const acrossM = of.diagonalM ?? 1
  const depthM = of.burialDepthM ?? 0.6
  switch (of.kind) {
    case 'rod':
    case 'other':
      return rod(lengthM, diameterM)
    case 'rod-group': {
      const n = of.count ?? 2
      return several(rod(lengthM, diameterM), n, of.spacingM ?? lengthM, IN_LINE[n - 2] ?? 2.87)
    }
    case 'tower-footing':
      return several(rod(lengthM, diameterM), 4, of.spacingM ?? 6, SQUARE_OF_FOUR)
    case 'ring':
      return (
        (Math.log((8 * acrossM) / diameterM) + Math.log((4 * acrossM) / (2 * depthM))) /
        (2 * Math.PI * Math.PI * acrossM)
      )
    case 'wire': {
      const half = lengthM / 2
      const image = 2 * depthM
      return (
        (Math.log((4 * half) / (diameterM / 2)) + Math.log((4 * half) / image) - 2 + image / (2 * half)) /
        (4 * Math.PI * half)
      )
    }
    case 'plate': {
      const radiusM = Math.sqrt(areaM2 / Math.PI)
      return 1 / (8 * radiusM) + 1 / (4 * Math.PI * 2 * depthM)
    }
    case 'foundation':
      return plate(areaM2) * 0.9
    case 'grid': {
      const wireM = (2 * areaM2) / (of.spacingM ?? 5) + 4 * Math.sqrt(areaM2)
      return plate(areaM2) + 1 / wireM
    }
  }
}

/** Longest dimension of the electrode, m: what the current probe's distance is counted in. */
export function longestM(of: Electrode): number {
  if (of.kind === 'rod' || of.kind === 'other') return of.lengthM ?? 1
  if (of.kind === 'plate') return Math.sqrt(2 * (of.areaM2 ?? 1))
  if (of.kind === 'wire') return of.lengthM ?? 1
  return Math.max(of.diagonalM ?? 0, of.lengthM ?? 0)
}
