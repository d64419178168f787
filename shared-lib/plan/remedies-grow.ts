import { usable } from '../earth/dimensions.ts'
import type { LayeredSoil } from '../earth/layered-soil.ts'
import { rodLayoutOf } from '../earth/rod-layout.ts'
import { encasedRodResistanceOhm, rodResistanceOhm, USUAL_ROD_DIAMETER_M } from '../earth/rods.ts'
import type { Electrode } from '../survey/register.ts'
import { type Candidate, changeFactor } from './remedy-candidate.ts'

/** Nobody couples and drives a rod farther than this by hand or light hammer, m. Common practice, no source. */
const DEEPEST_M = 15
const MOST_RODS = 24
/** Treated soil: a cylinder this wide, conducting twenty times better when fresh (bentonite or salts in sandy soil). Common practice, no source. */
const TREATED_ACROSS_M = 0.3
const TREATED_RATIO = 0.05

/** Making a rod, a group or a wire larger. */
export function growRemedies(electrode: Electrode, soil: LayeredSoil): Candidate[] {
  const lengthM = usable(electrode.lengthM)
  if (lengthM === null) return []
  if (electrode.kind === 'wire') return longerWire(electrode, lengthM, soil)
  if (electrode.kind !== 'rod' && electrode.kind !== 'rod-group') return []
  return [
    ...longerRods(electrode, lengthM, soil),
    ...moreRods(electrode, lengthM, soil),
    ...treated(electrode, lengthM, soil),
  ]
}

function longerRods(electrode: Electrode, lengthM: number, soil: LayeredSoil): Candidate[] {
  const count = electrode.kind === 'rod' ? 1 : Math.max(1, Math.round(electrode.count ?? 1))
  return [1.5, 2, 3, 4, 5]
    .map((times) => round(times * lengthM))
    .filter((longer) => longer <= DEEPEST_M)
    .flatMap((longer) => {
      const change = changeFactor(electrode, { ...electrode, lengthM: longer }, soil)
      return change
        ? [
            {
              name: 'longer-rod' as const,
              words: `Drive the ${count === 1 ? 'rod' : `${count} rods`} to ${longer} m with coupled lengths.`,
              ...change,
              newGround: 1,
              metalM: count * (longer - lengthM),
            },
          ]
        : []
    })
}

function moreRods(electrode: Electrode, lengthM: number, soil: LayeredSoil): Candidate[] {
  const count = electrode.kind === 'rod' ? 1 : Math.max(1, Math.round(electrode.count ?? 1))
  // A line can go on; what stands in a square or a circle gets rods beside it.
  if (count > 1 && rodLayoutOf(electrode) !== 'line') return []
  const spacingM = count > 1 ? (usable(electrode.spacingM) ?? lengthM) : 2 * lengthM
  return [2, 3, 4, 6, 8, 12, 16, 24]
    .filter((n) => n > count && n <= MOST_RODS)
    .flatMap((n) => {
      const after: Electrode = { ...electrode, kind: 'rod-group', count: n, spacingM }
      // The whole line is new; a registered span belongs to the old one.
      delete after.diagonalM
      const change = changeFactor(electrode, after, soil)
      return change
        ? [
            {
              name: 'more-rods' as const,
              words: `Add ${n - count} ${n - count === 1 ? 'rod' : 'rods'} of ${round(lengthM)} m to make ${n} in line, ${round(spacingM)} m apart.`,
              ...change,
              newGround: 0.3,
              metalM: (n - count) * (lengthM + spacingM / 2),
            },
          ]
        : []
    })
}

function longerWire(electrode: Electrode, lengthM: number, soil: LayeredSoil): Candidate[] {
  return [1.5, 2, 3].flatMap((times) => {
    const longer = round(times * lengthM)
    const change = changeFactor(electrode, { ...electrode, lengthM: longer }, soil)
    return change
      ? [
          {
            name: 'wire' as const,
            words: `Lengthen the buried wire to ${longer} m.`,
            ...change,
            newGround: 0.3,
            metalM: longer - lengthM,
          },
        ]
      : []
  })
}

/** One rod in treated soil by the formula of a rod in concrete. */
function treated(electrode: Electrode, lengthM: number, soil: LayeredSoil): Candidate[] {
  if (electrode.kind !== 'rod') return []
  const diameterM = (usable(electrode.diameterMm) ?? 1000 * USUAL_ROD_DIAMETER_M) / 1000
  const rho = soil.upperOhmM
  const before = rodResistanceOhm(rho, lengthM, diameterM)
  const after = encasedRodResistanceOhm(rho, TREATED_RATIO * rho, lengthM, diameterM, TREATED_ACROSS_M)
  if (before === null || after === null) return []
  return [
    {
      name: 'treat-soil',
      words: `Set the rod in a column of conductive backfill ${TREATED_ACROSS_M} m across, as deep as the rod.`,
      factor: after / before,
      doubt: 0.2,
      newGround: 0,
      metalM: lengthM,
      basis: 'rod in a cylinder of better soil (form of IEEE 80 for concrete), fresh and full depth',
    },
  ]
}

const round = (value: number): number => Math.round(value * 10) / 10
