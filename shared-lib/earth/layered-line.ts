/**
 * How the potential falls along the line over two-layer soil, fast enough to try some hundred soils on one survey.
 * Distances in metres; potentials times 2 pi/(rho1 I), 1/m.
 */

/** A two-layer soil to be tried: contrast k = (lower − upper)/(lower + upper), depth of the upper layer, and its weight beforehand. */
export interface SoilGuess {
  contrast: number
  depthM: number
  weight: number
  /** The upper layer's resistivity where it is known, natural logarithm of ohm-m, and how far off that may be. */
  lnUpperOhmM?: number
  lnUpperDoubt?: number
}

/**
 * Contrasts of 1:1.7 up to 1:19 with their weights. Soil over rock, the case that reads low, is the commonest large contrast: it counts
 * double. Our own estimate, no source.
 */
const CONTRASTS: readonly (readonly [number, number])[] = [
  [-0.9, 1],
  [-0.75, 1],
  [-0.5, 1],
  [-0.25, 1],
  [0.25, 1],
  [0.5, 1],
  [0.75, 1],
  [0.9, 2],
]
/** The same in five steps, as much as a handful of readings can tell apart: a contrast left out gave its weight to its neighbours. */
const COARSE_CONTRASTS: typeof CONTRASTS = [
  [-0.9, 1.5],
  [-0.5, 2.5],
  [0.4, 2],
  [0.75, 1],
  [0.9, 2],
]
/** Depths in half octaves with their weights: most published two-layer soils change at 1 to 8 m. Our own estimate, no source. */
const DEPTHS_M: readonly (readonly [number, number])[] = [
  [0.5, 0.6],
  [0.7, 0.8],
  [1, 1],
  [1.4, 1],
  [2, 1],
  [2.8, 1],
  [4, 1],
  [5.6, 1],
  [8, 0.8],
  [11, 0.6],
  [16, 0.4],
  [25, 0.2],
]
/** How much of the belief goes to uniform soil before a reading is seen. Our own estimate, no source. */
const UNIFORM_SHARE = 0.65

function guesses(contrasts: typeof CONTRASTS, depths: typeof DEPTHS_M): SoilGuess[] {
  const total =
    depths.reduce((sum, [, weight]) => sum + weight, 0) *
    contrasts.reduce((sum, [, weight]) => sum + weight, 0)
  return [
    { contrast: 0, depthM: 1, weight: UNIFORM_SHARE },
    ...contrasts.flatMap(([contrast, often]) =>
      depths.map(([depthM, weight]) => ({
        contrast,
        depthM,
        weight: ((1 - UNIFORM_SHARE) * often * weight) / total,
      })),
    ),
  ]
}

/** Uniform soil and every contrast at every depth; weights add up to one. */
export const SOIL_GUESSES: readonly SoilGuess[] = guesses(CONTRASTS, DEPTHS_M)

/** Fewer contrasts and octaves only, for a handful of readings. */
export const COARSE_SOIL_GUESSES: readonly SoilGuess[] = guesses(
  COARSE_CONTRASTS,
  DEPTHS_M.filter((_, i) => i % 2 === 0),
)

const FIRST_LN = Math.log(1e-3)
const STEP_LN = 0.08
const STEPS = 210
const tables = new Map<number, Float64Array>()

/** 2 sum kⁿ/sqrt(u² + 4n²), tabulated once for each contrast over ln u. */
function tableFor(contrast: number): Float64Array {
  const known = tables.get(contrast)
  if (known) return known
  const table = new Float64Array(STEPS + 1)
  const terms = Math.min(400, Math.ceil(Math.log(1e-6) / Math.log(Math.abs(contrast))))
  for (let i = 0; i <= STEPS; i++) {
    const squared = Math.exp(2 * (FIRST_LN + i * STEP_LN))
    let power = 1
    for (let n = 1; n <= terms; n++) {
      power *= contrast
      table[i]! += (2 * power) / Math.sqrt(squared + 4 * n * n)
    }
  }
  tables.set(contrast, table)
  return table
}

/**
 * What the lower layer adds to 1/r at the surface, 1/m, for each distance into `into`: 2 sum kⁿ/sqrt(r² + (2nh)²) (Sunde; IEEE 81, from
 * memory). `lnDistances` are their logarithms, taken once for many soils. Interpolated within 0.1 % of its size; beyond the table its limits,
 * −ln(1−k)/h near by and 2k/(1−k)/r far away.
 */
export function layerTermsPerM(
  distancesM: ArrayLike<number>,
  lnDistances: ArrayLike<number>,
  { contrast, depthM }: Pick<SoilGuess, 'contrast' | 'depthM'>,
  into: Float64Array,
): void {
  if (contrast === 0) {
    into.fill(0)
    return
  }
  const table = tableFor(contrast)
  const start = Math.log(depthM) + FIRST_LN
  for (let j = 0; j < distancesM.length; j++) {
    const place = (lnDistances[j]! - start) / STEP_LN
    if (place >= STEPS) into[j] = (2 * contrast) / ((1 - contrast) * distancesM[j]!)
    else if (!(place > 0)) into[j] = table[0]! / depthM
    else {
      const i = Math.floor(place)
      const low = table[i]!
      into[j] = (low + (place - i) * (table[i + 1]! - low)) / depthM
    }
  }
}

/** The same for one distance. */
export function layerTermPerM(distanceM: number, soil: Pick<SoilGuess, 'contrast' | 'depthM'>): number {
  const into = new Float64Array(1)
  layerTermsPerM([distanceM], [Math.log(distanceM)], soil, into)
  return into[0]!
}
