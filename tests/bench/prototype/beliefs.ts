/** What the prototype learns from a whole fleet; ln ohm. Starting values are those of its own table of constants. */
export interface Learnt {
  noiseSd: number
  seasonCos: number
  seasonSin: number
  /** Spread between sites of the yearly and the half-yearly season. */
  yearSd: number
  halfYearSd: number
  weatherSd: number
  readingSd: number
  shapeOffset: number
}

export const START: Learnt = {
  noiseSd: 0.055,
  seasonCos: -0.124,
  seasonSin: -0.094,
  yearSd: 0.066,
  halfYearSd: 0.04,
  weatherSd: 0.097,
  readingSd: 0.0103,
  shapeOffset: 0.059,
}

/** What it never learns. Rates of one-off errors are a survey, of lasting ones a year. */
export const FIXED = {
  decimal: 0.003,
  unit: 0.0015,
  repeated: 0.004,
  wrongElectrode: 0.005,
  tooClose: 0.005,
  outOfOrder: 0.003,
  fallOnce: 0.003,
  rise: 0.008,
  fall: 0.008,
  corrosion: 0.012,
  instrument: 0.06,
  loadingVar: 0.06,
  lagVar: 0.06,
  loadingLagCorrelation: 0.6,
  noiseShape: 6,
  wanderVar: 8e-5,
  stepSd: 0.7,
  rampSd: 0.08,
  softCut: 2.8,
  scale: 0.88,
  threshold: 0.427,
} as const

/** Student's t with eight degrees of freedom: density of y around m with scale s. */
export function t8(y: number, m: number, s: number): number {
  const d = (y - m) / s
  return 0.3866990209613932 / (s * (1 + (d * d) / 8) ** 4.5)
}

/** Its distribution function, closed form. */
function t8Below(y: number, m: number, s: number): number {
  const theta = Math.atan((y - m) / s / Math.sqrt(8))
  const c2 = Math.cos(theta) ** 2
  return 0.5 + 0.5 * Math.sin(theta) * (1 + c2 / 2 + (3 / 8) * c2 ** 2 + (5 / 16) * c2 ** 3)
}

/** T8(a) − T8(b) for a > b, on the side where both are small. */
export function t8Between(lo: number, hi: number, m: number, s: number): number {
  return lo > m
    ? t8Below(2 * m - lo, m, s) - t8Below(2 * m - hi, m, s)
    : t8Below(hi, m, s) - t8Below(lo, m, s)
}
