/** What soils have which resistivity: for naming an implied soil and for the band beyond which no soil can explain a reading. */

interface Soil {
  name: string
  lowOhmM: number
  highOhmM: number
}

/** IEC 60364-5-54 Annex D Table D.54.1 (from memory), shortened to the rows a crew would recognise. */
const SOILS: readonly Soil[] = [
  { name: 'marshy ground', lowOhmM: 1, highOhmM: 30 },
  { name: 'damp peat', lowOhmM: 5, highOhmM: 100 },
  { name: 'humus', lowOhmM: 10, highOhmM: 150 },
  { name: 'alluvium', lowOhmM: 20, highOhmM: 100 },
  { name: 'clayey sand', lowOhmM: 50, highOhmM: 500 },
  { name: 'marl and compacted clay', lowOhmM: 100, highOhmM: 200 },
  { name: 'sand', lowOhmM: 200, highOhmM: 3000 },
  { name: 'stony soil under grass', lowOhmM: 300, highOhmM: 500 },
  { name: 'bare stony soil', lowOhmM: 1500, highOhmM: 3000 },
  { name: 'compact limestone', lowOhmM: 1000, highOhmM: 5000 },
  { name: 'weathered granite or sandstone', lowOhmM: 1500, highOhmM: 10000 },
]

const NARROWEST_FIRST = [...SOILS].sort((a, b) => a.highOhmM / a.lowOhmM - b.highOhmM / b.lowOhmM)

/** The most conductive soil of the tables, ohm-m: marshy ground, salted loam (IEC 60364-5-54, NBS; from memory). */
export const MOST_CONDUCTIVE_SOIL_OHM_M = 1

/** Sea water of 35 g/kg at 20 C, ohm-m (4.8 S/m, UNESCO practical salinity scale; from memory). Ground soaked with it has several times that. */
export const SEA_WATER_OHM_M = 0.21

/** The least conductive, ohm-m: bedrock (IEEE 80 Table 8, from memory); frozen ground reaches 15 000 (IEEE Xplore 6449330, introduction). */
export const LEAST_CONDUCTIVE_SOIL_OHM_M = 10_000
export const LEAST_CONDUCTIVE_FROZEN_OHM_M = 15_000

/** Names of the soils that have this resistivity, at most three, the narrowest ranges first; empty when none has. */
export function soilsLike(soilOhmM: number): string[] {
  return NARROWEST_FIRST.filter((soil) => soilOhmM >= soil.lowOhmM && soilOhmM <= soil.highOhmM)
    .slice(0, 3)
    .map((soil) => soil.name)
}
