import type { Random } from '../../../sample-data/make/random.ts'
import type { FleetSetting } from './setting.ts'

/** How a region's soil stands, day by day: ln of resistivity over its usual value, near the surface and deep down. */
export interface RegionSoil {
  shallow: Float64Array
  deep: Float64Array
  /** Added near the surface while the ground is frozen. */
  frost: Float64Array
  /** True where the soil near the surface is far drier than that day of the year usually is. */
  drought: Uint8Array
}

const SHALLOW_MM = 100
const DEEP_MM = 240
const SUMMER_C = 19

/**
 * Soil from random weather: wet and dry spells (a two-state chain whose dry spells sometimes run for months), two buckets that
 * fill with rain and empty by evaporation with the temperature, frost by degree-days. Nothing in it is a sine but the air
 * temperature's yearly mean. Lengths mm of water, temperatures degrees Celsius. An invention, no source.
 */
export function regionSoil(days: number, setting: FleetSetting, random: Random): RegionSoil {
  const shallow = new Float64Array(days)
  const deep = new Float64Array(days)
  const frost = new Float64Array(days)
  const drought = new Uint8Array(days)
  const southern = random.chance(0.2)
  const wetness = random.between(0.8, 1.25)
  let wet = true
  let anomalyC = 0
  let soilC = 10
  let coldSum = 0
  let dryUntil = -1
  let top = 0.7 * SHALLOW_MM
  let bottom = 0.7 * DEEP_MM
  for (let spin = -365; spin < days; spin++) {
    const phase = (2 * Math.PI * (spin - 20 + (southern ? 182 : 0))) / 365.25
    anomalyC = 0.85 * anomalyC + 1.6 * random.normal()
    const airC =
      (SUMMER_C + setting.winterC) / 2 - ((SUMMER_C - setting.winterC) / 2) * Math.cos(phase) + anomalyC
    if (spin > dryUntil && random.chance(1 / 1500)) dryUntil = spin + random.whole(60, 170)
    soilC += (airC - soilC) / 18
    const dry = spin <= dryUntil
    wet = random.chance(wet ? 0.62 : dry ? 0.05 : 0.22)
    const rainMm = wet ? -Math.log(1 - random.next() * 0.9999) * 5.2 * wetness * (dry ? 0.5 : 1) : 0
    const thirstMm = Math.max(0.1, 0.21 * Math.max(0, airC))
    top += rainMm - thirstMm * Math.min(1, (1.3 * top) / SHALLOW_MM)
    const seep = 0.012 * top
    const spill = Math.max(0, top - SHALLOW_MM) + seep
    top = Math.max(4, Math.min(SHALLOW_MM, top) - seep)
    bottom = Math.max(20, Math.min(DEEP_MM, bottom + spill - 0.32 * thirstMm * (bottom / DEEP_MM)))
    coldSum = Math.max(0, Math.min(400, coldSum - airC))
    if (spin < 0) continue
    shallow[spin] = -setting.moistureExponent * Math.log(top / SHALLOW_MM + 0.12) - 0.012 * (soilC - 10)
    deep[spin] = -setting.moistureExponent * Math.log(bottom / DEEP_MM + 0.05)
    frost[spin] = coldSum > 40 ? 0.9 * Math.min(1, (coldSum - 40) / 250) : 0
  }
  centre(shallow)
  centre(deep)
  markDrought(shallow, drought)
  return { shallow, deep, frost, drought }
}

function centre(x: Float64Array): void {
  const mean = x.reduce((a, v) => a + v, 0) / Math.max(1, x.length)
  for (let i = 0; i < x.length; i++) x[i] = x[i]! - mean
}

/** Against the mean of the same fortnight in all years. */
function markDrought(shallow: Float64Array, drought: Uint8Array): void {
  const sums = new Float64Array(27)
  const counts = new Float64Array(27)
  const slot = (d: number) => Math.floor((d % 365.25) / 14)
  shallow.forEach((v, d) => {
    sums[slot(d)] = sums[slot(d)]! + v
    counts[slot(d)] = counts[slot(d)]! + 1
  })
  shallow.forEach((v, d) => {
    if (v - sums[slot(d)]! / counts[slot(d)]! > 0.35) drought[d] = 1
  })
}
