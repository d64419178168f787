import { usable } from '../earth/dimensions.ts'
import { electrodeSizeM } from '../earth/electrode-size.ts'
import { expectedInSoil } from '../earth/expected-in-soil.ts'
import { cut, ringConductor, rodConductors } from '../earth/field/conductors.ts'
import type { Segment } from '../earth/field/segment.ts'
import { segmentsOf } from '../earth/field/segments.ts'
import type { LayeredSoil } from '../earth/layered-soil.ts'
import { rodLayoutOf } from '../earth/rod-layout.ts'
import { USUAL_ROD_DIAMETER_M } from '../earth/rods.ts'
import { USUAL_BURIAL_DEPTH_M, USUAL_WIRE_DIAMETER_M } from '../earth/wires.ts'
import type { Electrode } from '../survey/register.ts'
import { type Candidate, FIELD_BASIS, FIELD_DOUBT, solvedOhm } from './remedy-candidate.ts'

const WIRE_RADIUS_M = USUAL_WIRE_DIAMETER_M / 2
const ROD_RADIUS_M = USUAL_ROD_DIAMETER_M / 2
const ROD_M = 3

/** Bonding something new to the electrode: a ring round it, a wire away from it, rods beside it. */
export function addRemedies(electrode: Electrode, soil: LayeredSoil): Candidate[] {
  const size = electrodeSizeM(electrode)
  if (size === null) return []
  const own = segmentsOf(electrode)
  const before = own && solvedOhm(own, soil)
  if (!own || !before) return rodsBesideByFormula(electrode, size, soil)
  const joined = (added: Segment[], rest: Pick<Candidate, 'name' | 'words' | 'metalM'>): Candidate[] => {
    const after = solvedOhm([...own, ...added], soil)
    return after === null
      ? []
      : [{ ...rest, factor: after / before, doubt: FIELD_DOUBT, newGround: 0.4, basis: FIELD_BASIS }]
  }
  const z = USUAL_BURIAL_DEPTH_M
  const rods = electrode.kind === 'rod' || electrode.kind === 'rod-group'
  const half = rods && electrode.kind === 'rod' ? 0 : size / 2
  return [
    ...(rods
      ? [2, 4, 8].flatMap((more) => {
          const across = Math.round(2 * half + more)
          return joined(ringConductor(across, z, WIRE_RADIUS_M, 24), {
            name: 'ring',
            words: `Lay a ring of wire ${across} m across round it, ${z} m deep, and bond it.`,
            metalM: Math.PI * across,
          })
        })
      : []),
    ...(electrode.kind === 'wire'
      ? []
      : [10, 20, 40].flatMap((length) =>
          joined(cut({ x: half + 0.5, y: 0, z }, { x: half + 0.5 + length, y: 0, z }, WIRE_RADIUS_M, 24), {
            name: 'wire',
            words: `Bury ${length} m of wire in a straight line away from it, ${z} m deep, and bond it.`,
            metalM: length,
          }),
        )),
    ...(electrode.kind !== 'rod' && !(electrode.kind === 'rod-group' && rodLayoutOf(electrode) === 'line')
      ? [2, 4, 8].flatMap((n) =>
          joined(rodConductors(outside(n, electrode, half), z, ROD_M, ROD_RADIUS_M, 6), {
            name: 'rods-beside',
            words: `Drive ${n} rods of ${ROD_M} m ${electrode.kind === 'wire' ? 'along it' : electrode.kind === 'rod-group' ? `round it, ${ROD_M} m outside` : 'at its edge'}, evenly spread, and bond them.`,
            metalM: n * ROD_M,
          }),
        )
      : []),
  ]
}

/** Places just outside the conductors, so that none coincides with another. */
function outside(n: number, { kind }: Electrode, half: number): { x: number; y: number }[] {
  if (kind === 'wire')
    return Array.from({ length: n }, (_, i) => ({ x: 0.3, y: -half + (2 * half * i) / (n - 1) }))
  const radius = half + (kind === 'rod-group' ? ROD_M : 0.3)
  // Starts at a corner of the grid, whose diagonal is the size.
  return Array.from({ length: n }, (_, i) => {
    const angle = Math.PI / 4 + (2 * Math.PI * i) / n
    const out = kind === 'grid' && i % Math.max(1, n / 4) !== 0 ? radius / Math.SQRT2 : radius
    return { x: out * Math.cos(angle), y: out * Math.sin(angle) }
  })
}

/** Where the field calculation has no picture: two earths in parallel with the potential of one at the other, (R1 R2 − M²)/(R1 + R2 − 2M). */
function rodsBesideByFormula(electrode: Electrode, sizeM: number, soil: LayeredSoil): Candidate[] {
  const first = expectedInSoil(electrode, soil)
  if (!first) return []
  return [2, 4, 8].flatMap((n) => {
    const group: Electrode = {
      electrodeId: '',
      siteId: '',
      kind: 'rod-group',
      lengthM: ROD_M,
      count: n,
      spacingM: 2 * ROD_M,
    }
    const second = expectedInSoil(group, soil)
    const apartM = sizeM / 2 + 2 * ROD_M + ((n - 1) * 2 * ROD_M) / 2
    if (!second || !usable(apartM)) return []
    const between = soil.upperOhmM / (2 * Math.PI * apartM)
    const [a, b] = [first.resistanceOhm, second.resistanceOhm]
    if (between >= Math.min(a, b)) return []
    return [
      {
        name: 'rods-beside' as const,
        words: `Drive ${n} rods of ${ROD_M} m in line, ${2 * ROD_M} m apart, beginning ${2 * ROD_M} m from its edge, and bond them.`,
        factor: (a * b - between ** 2) / (a + b - 2 * between) / a,
        doubt: Math.hypot(first.relativeDoubt, second.relativeDoubt),
        newGround: 0.4,
        metalM: n * 2 * ROD_M,
        basis: 'two earths in parallel with the potential of one at the other (formulas)',
      },
    ]
  })
}
