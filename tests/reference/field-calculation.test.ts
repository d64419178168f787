import { describe, expect, it } from 'vitest'
import { gridConductor, rodConductors } from '../../shared-lib/earth/field/conductors.ts'
import { solveField } from '../../shared-lib/earth/field/field.ts'
import { fieldResistanceOhm } from '../../shared-lib/earth/field/field-resistance.ts'
import { segmentsOf } from '../../shared-lib/earth/field/segments.ts'
import type { Soil } from '../../shared-lib/earth/field/two-layer-soil.ts'
import { rodPlaces } from '../../shared-lib/earth/rod-layout.ts'
import type { Electrode } from '../../shared-lib/survey/register.ts'
import { FROST_FACTORS } from './tables/frost-factors.ts'
import { IEEE_142_FACTORS } from './tables/rod-factors.ts'
import { WORKED_LINES } from './worked-lines.ts'

// Everything here is held against an independent moment method (COMPUTED): another program, its own mesh. Both are thin-wire methods whose
// ends and junctions are cut differently; that costs up to 0.2 %, so 0.5 % is allowed where 1.5 % was asked for.
const WITHIN = 0.005
const uniform = (upperOhmM: number) => ({ upperOhmM, lowerOhmM: null, depthM: null })
const layers = (upper: number, lower: number, depthM: number): Soil => ({
  upperOhmM: upper,
  contrast: (lower - upper) / (lower + upper),
  depthM,
})
const base = { electrodeId: 'E', siteId: 'S' }
const rod = (lengthM: number, more: Partial<Electrode> = {}): Electrode => ({
  ...base,
  kind: 'rod',
  lengthM,
  diameterMm: 16,
  ...more,
})
const near = (found: number | null, published: number, within = WITHIN) =>
  expect(Math.abs(found! / published - 1), `${found} against ${published}`).toBeLessThan(within)

describe('the twelve worked lines', () => {
  const soilOf: Record<string, Soil> = {
    C06: layers(200, 200, 1),
    C07: layers(200, 200, 1),
    C08: layers(200, 200, 1),
    C09: layers(200, 50, 5),
    C10: layers(50, 200, 5),
    C11: layers(2000, 100, 1),
  }
  /** How far from the centre the tape began, m: the near side of the square of rods, the edge of the grid. */
  const startM: Record<string, number> = { C05: 1.5, C06: 10, C07: 10, C08: 10 }
  it.each(WORKED_LINES.map((line) => [line.id, line] as const))(
    '%s: resistance to remote earth and all 13 readings',
    (id, line) => {
      const field = solveField(segmentsOf(line.electrode)!, soilOf[id] ?? layers(100, 100, 1))!
      near(field.resistanceOhm, line.trueOhm)
      const start = startM[id] ?? 0
      const angle = (line.angleDeg * Math.PI) / 180
      for (const [p, ohm] of line.readings) {
        const r = start + p * line.currentProbeM
        const reading = field.readingOhm(
          { x: start + line.currentProbeM, y: 0 },
          { x: r * Math.cos(angle), y: r * Math.sin(angle) },
        )
        near(reading, ohm)
      }
    },
  )
})

describe('frost over rods and wires (section 4)', () => {
  const electrodes: Record<string, Electrode> = {
    'rod 3 m x 16 mm flush': rod(3),
    'rod 6 m x 16 mm flush': rod(6),
    'rod 3 m x 16 mm, top 0.6 m down': rod(3, { burialDepthM: 0.6 }),
    'horizontal wire 20 m x 10 mm at 0.6 m': {
      ...base,
      kind: 'wire',
      lengthM: 20,
      diameterMm: 10,
      burialDepthM: 0.6,
    },
  }
  // A rod of 6 m was cut finer there, and a rod's resistance changes by 0.2 % with the cut: 0.5 % holds for the ratio too.
  it.each(Object.keys(electrodes))('%s: 25 depths and ratios', (name) => {
    const electrode = electrodes[name]!
    const thawed = fieldResistanceOhm(electrode, uniform(100))!
    const rows = FROST_FACTORS.filter(([which]) => which === name)
    expect(rows.length).toBe(25)
    for (const [, depthM, ratio, factor] of rows) {
      const frozen = fieldResistanceOhm(electrode, { upperOhmM: 100 * ratio, lowerOhmM: 100, depthM })
      near(frozen! / thawed, factor)
    }
  })
})

describe('damage (section 9)', () => {
  const whole = fieldResistanceOhm(rod(3), uniform(100))!
  // The short stump of 25 % was cut into fewer pieces there, which reads 1 % higher (a 3 m rod in 5 pieces against 20: 0.7 %).
  it.each([
    ['diameter 90 %', rod(3, { diameterMm: 14.4 }), 1.0168],
    ['diameter 75 %', rod(3, { diameterMm: 12 }), 1.0459],
    ['diameter 50 %', rod(3, { diameterMm: 8 }), 1.1108],
    ['diameter 25 %', rod(3, { diameterMm: 4 }), 1.2216],
    ['length 90 %', rod(2.7), 1.0924],
    ['length 75 %', rod(2.25), 1.2723],
    ['length 50 %', rod(1.5), 1.7802],
    ['length 25 %', rod(0.75), 3.1372],
  ])('a 3 m rod, %s left', (_, left, ratio) => {
    near(fieldResistanceOhm(left, uniform(100))! / whole, ratio, ratio > 3 ? 0.0125 : WITHIN)
  })
  const soil = layers(100, 100, 1)
  const ofRods = (places: { x: number; y: number }[]): number =>
    solveField(rodConductors(places, 0, 3, 0.008, 10), soil)!.resistanceOhm
  it.each([
    [1, 1.2159],
    [2, 1.6633],
    [3, 2.9441],
  ])('%i of four rods on a 3 m square off: times %f (two that are off are neighbours)', (off, ratio) => {
    const places = rodPlaces('hollow-square', 4, 3)
    near(ofRods(places.slice(off)) / ofRods(places), ratio)
  })
  it.each([
    [2, 1.8624],
    [3, 1.433],
    [4, 1.2897],
    [6, 1.1747],
    [8, 1.1253],
  ])('the end rod of %i in line at 6 m off: times %f', (n, ratio) => {
    const places = rodPlaces('line', n, 6)
    near(ofRods(places.slice(1)) / ofRods(places), ratio)
  })
  it('a grid of 20 m with a quarter lost 1.117, half lost 1.3976, its wire thinned to half 1.0253', () => {
    const grid = gridConductor([20, 20], [4, 4], 0.5, 0.005, 3)
    const solved = (segments: typeof grid): number => solveField(segments, soil)!.resistanceOhm
    const all = solved(grid)
    const middle = (s: (typeof grid)[number]) => [(s.from.x + s.to.x) / 2, (s.from.y + s.to.y) / 2] as const
    const quarter = grid.filter((s) => !(middle(s)[0] > 0.01 && middle(s)[1] > 0.01))
    const half = grid.filter((s) => middle(s)[0] < 0.01)
    near(solved(quarter) / all, 1.117)
    near(solved(half) / all, 1.3976)
    near(solved(grid.map((s) => ({ ...s, radiusM: s.radiusM / 2 }))) / all, 1.0253)
  })
})

describe('groups and grids (section 3)', () => {
  it.each(IEEE_142_FACTORS)(
    '%i rods one length apart: factor %f published, %f in line and %s on a circle by moment method',
    (n, published, line, circle) => {
      const soil = layers(100, 100, 1)
      const pieces = n > 12 ? 6 : 10
      const ofRods = (layout: 'line' | 'circle', count: number): number =>
        solveField(rodConductors(rodPlaces(layout, count, 3.048), 0, 3.048, 0.0079375, pieces), soil)!
          .resistanceOhm
      const one = ofRods('line', 1)
      near((n * ofRods('line', n)) / one, line)
      if (circle !== null) near((n * ofRods('circle', n)) / one, circle)
      // NOTE, a known disagreement: the published factors lie 3 to 6 % above the circle's, and 24 rods (2.16) 10 %, which breaks the trend.
      const above = published / (circle ?? line)
      expect(above).toBeGreaterThan(0.995)
      expect(above).toBeLessThan(n === 24 ? 1.11 : 1.06)
    },
  )
  it('26 rods of 10 ft at 20 ft round 100 by 160 ft: 6.05 % of one rod (NOTE: the published chart’s 5.5 % is 9.5 % low)', () => {
    const foot = 0.3048
    const places: { x: number; y: number }[] = []
    for (let i = 0; i <= 8; i++) for (const y of [0, 100]) places.push({ x: i * 20 * foot, y: y * foot })
    for (let j = 1; j < 5; j++) for (const x of [0, 160]) places.push({ x: x * foot, y: j * 20 * foot })
    expect(places.length).toBe(26)
    const soil = layers(100, 100, 1)
    const radius = (0.75 * 0.0254) / 2
    const all = solveField(rodConductors(places, 0, 10 * foot, radius, 6), soil)!.resistanceOhm
    const one = solveField(rodConductors([{ x: 0, y: 0 }], 0, 10 * foot, radius, 6), soil)!.resistanceOhm
    near(all / one, 0.0605, 0.01) // printed to three digits
    expect(0.055 / (all / one)).toBeGreaterThan(0.9)
    expect(0.055 / (all / one)).toBeLessThan(0.92)
  })
  it.each([
    [100, 3.0],
    [200, 2.76],
    [384, 2.59],
  ])(
    '5 by 5 rods one length apart at L/a = %f: K = %f, R = K/25 of one rod (MIL-HDBK-419A Vol I 2.6.2.2 prints 2.8, FOUND)',
    (slender, k) => {
      const places = [0, 1, 2, 3, 4].flatMap((i) => [0, 1, 2, 3, 4].map((j) => ({ x: 3 * i, y: 3 * j })))
      const soil = layers(100, 100, 1)
      const all = solveField(rodConductors(places, 0, 3, 3 / slender, 6), soil)!.resistanceOhm
      const one = solveField(rodConductors([{ x: 0, y: 0 }], 0, 3, 3 / slender, 6), soil)!.resistanceOhm
      near((25 * all) / one, k, 0.01) // printed to three digits
    },
  )
  const B1 = gridConductor([70, 70], [10, 10], 0.5, 0.005, 2)
  const ieee80 = layers(400, 400, 1)
  it('IEEE 80 Annex B.1 without rods: 2.64 ohm by moment method, printed to three digits (published computer value 2.67, MEMORY)', () => {
    near(solveField(B1, ieee80)!.resistanceOhm, 2.64)
  })
  it('B.2 with 20 rods of 7.5 m round the edge: 2.47 ohm (published 2.52, MEMORY)', () => {
    const edge = rodPlaces('hollow-square', 20, 14)
    const found = solveField([...B1, ...rodConductors(edge, 0.5, 7.5, 0.008, 5)], ieee80)!.resistanceOhm
    near(found, 2.47, 0.01) // where the 20 rods stand is not told
  })
  it('B.3 63 by 84 m with 38 rods of 10 m: 2.22 ohm (published 2.28, MEMORY)', () => {
    const grid = gridConductor([84, 63], [12, 9], 0.5, 0.005, 1)
    const edge = Array.from({ length: 38 }, (_, i) => alongEdge((i / 38) * 2 * (84 + 63), 84, 63))
    const found = solveField([...grid, ...rodConductors(edge, 0.5, 10, 0.008, 5)], ieee80)!.resistanceOhm
    near(found, 2.22, 0.015) // where the 38 rods stand is not told
  })
})

/** A place so far along the outline of a rectangle. */
function alongEdge(at: number, long: number, short: number): { x: number; y: number } {
  if (at < long) return { x: at - long / 2, y: -short / 2 }
  if (at < long + short) return { x: long / 2, y: at - long - short / 2 }
  if (at < 2 * long + short) return { x: long / 2 - (at - long - short), y: short / 2 }
  return { x: -long / 2, y: short / 2 - (at - 2 * long - short) }
}

describe('potential on the ground beside a rod (MIL-HDBK-419A Vol I Table 2-7, FOUND)', () => {
  // 1 in rod, 3 ft pace; the table is printed to 0.01 and was made with 1 − asinh(L/p)/(ln(4L/a) − 1), which passes at 0.0075.
  it.each([
    [5, 0.75],
    [10, 0.68],
    [20, 0.61],
    [50, 0.53],
    [100, 0.48],
  ])('%i ft rod: %f of the rod’s potential lies within one pace', (feet, share) => {
    const lengthM = feet * 0.3048
    const field = solveField(rodConductors([{ x: 0, y: 0 }], 0, lengthM, 0.0127, 20), layers(100, 100, 1))!
    // With the current probe out of reach the reading is the potential between rod and pace.
    const reading = field.readingOhm({ x: 1e7, y: 0 }, { x: 3 * 0.3048, y: 0 })
    // NOTE, a known disagreement: the table lets the rod leak evenly. A long one leaks less near its top: up to 0.021 more within the pace.
    const above = reading / field.resistanceOhm - share
    expect(above).toBeGreaterThan(-0.01)
    expect(above).toBeLessThan(feet > 20 ? 0.0225 : 0.01)
    const byHand = 1 - Math.asinh(lengthM / 0.9144) / (Math.log((4 * lengthM) / 0.0127) - 1)
    expect(Math.abs(byHand - share)).toBeLessThan(0.0075)
  })
})
