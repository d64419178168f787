import type { Electrode } from '../survey/register.ts'
import { usable } from './dimensions.ts'

/**
 * The dimension that rules how far out the current probe must go, m: driven depth of a rod, else the electrode's longest dimension.
 * Null when the register does not tell. Common practice, no source.
 */
export function electrodeSizeM(electrode: Electrode): number | null {
  const candidates: (number | undefined)[] = [electrode.diagonalM]
  const area = usable(electrode.areaM2)
  switch (electrode.kind) {
    case 'rod':
      candidates.push(electrode.lengthM)
      break
    case 'rod-group': {
      candidates.push(electrode.lengthM)
      const count = usable(electrode.count)
      const spacing = usable(electrode.spacingM)
      if (electrode.diagonalM === undefined && count && spacing) candidates.push((count - 1) * spacing)
      break
    }
    case 'wire': {
      // A star's arms reach both ways; two make a right angle.
      const arms = Math.round(usable(electrode.count) ?? 1)
      const arm = usable(electrode.lengthM)
      if (arm) candidates.push(arms > 2 ? 2 * arm : arms === 2 ? Math.SQRT2 * arm : arm)
      break
    }
    case 'ring':
      if (area) candidates.push(Math.sqrt((4 * area) / Math.PI))
      else if (electrode.diagonalM === undefined && usable(electrode.lengthM))
        candidates.push(electrode.lengthM! / Math.PI)
      break
    default:
      if (area) candidates.push(Math.sqrt(2 * area))
  }
  const sizes = candidates.map(usable).filter((size) => size !== null)
  return sizes.length ? Math.max(...sizes) : null
}
