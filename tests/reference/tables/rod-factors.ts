/**
 * [layout, n as the table counts, lambda published, lambda by equal currents, lambda by equal potentials at alpha 0.15].
 * BS 7430, MEMORY, reproduced; n = 12 and more a side low confidence in the second decimal. n counts rods in line, or rods a side of a hollow square.
 */
export const LAMBDA: readonly [string, number, number, number, number][] = [
  ['line', 2, 1, 1.0, 1.0],
  ['line', 3, 1.66, 1.6667, 1.6566],
  ['line', 4, 2.15, 2.1667, 2.1476],
  ['line', 5, 2.54, 2.5667, 2.5405],
  ['line', 6, 2.87, 2.9, 2.8681],
  ['line', 7, 3.15, 3.1857, 3.1493],
  ['line', 8, 3.39, 3.4357, 3.3955],
  ['line', 9, 3.61, 3.6579, 3.6147],
  ['line', 10, 3.81, 3.8579, 3.8121],
  ['hollow-square', 2, 2.71, 2.7071, 2.7071],
  ['hollow-square', 3, 4.51, 4.5283, 4.5138],
  ['hollow-square', 4, 5.48, 5.4953, 5.4808],
  ['hollow-square', 5, 6.13, 6.1495, 6.1367],
  ['hollow-square', 6, 6.63, 6.6432, 6.632],
  ['hollow-square', 7, 7.03, 7.0394, 7.0296],
  ['hollow-square', 8, 7.36, 7.3704, 7.3616],
  ['hollow-square', 9, 7.65, 7.6544, 7.6465],
  ['hollow-square', 10, 7.9, 7.9031, 7.896],
  ['hollow-square', 12, 8.3, 8.3237, 8.3176],
  ['hollow-square', 14, 8.6, 8.6711, 8.6659],
  ['hollow-square', 16, 8.9, 8.967, 8.9624],
  ['hollow-square', 18, 9.2, 9.2248, 9.2207],
  ['hollow-square', 20, 9.4, 9.4531, 9.4495],
]

/**
 * [n, factor F published, F in line and on a circle by moment method (10 ft x 5/8 in)], R = R1 F/n, rods one length apart.
 * IEEE 142 Table 14, FOUND as quoted on a mailing list; the rest COMPUTED. The published value for 24 rods breaks its own trend.
 */
export const IEEE_142_FACTORS: readonly [number, number, number, number | null][] = [
  [2, 1.16, 1.129, null],
  [3, 1.29, 1.221, 1.259],
  [4, 1.36, 1.291, 1.357],
  [8, 1.68, 1.476, 1.598],
  [12, 1.8, 1.592, 1.735],
  [16, 1.92, 1.676, 1.831],
  [20, 2, 1.742, 1.904],
  [24, 2.16, 1.797, 1.963],
]
