import { normalCdf } from './conformity.ts'

/** Where a belief that lies in equal bins is thickest, and how far it reaches. Places and reaches are counted in bins. */

const ROUNDS = 20

/**
 * The middle of what is believed within `reach` of it, found from `from` (Tukey's biweight on the belief): models that lie farther away count
 * nothing, nearer ones by how near they are. A few far ones cannot move it, and a long tail to one side moves it less than the middle.
 */
export function densestPlace(bins: ArrayLike<number>, from: number, reach: number): number {
  let place = from
  for (let round = 0; round < ROUNDS; round++) {
    const first = Math.max(0, Math.ceil(place - reach - 0.5))
    const last = Math.min(bins.length - 1, Math.floor(place + reach - 0.5))
    let sum = 0
    let moment = 0
    for (let bin = first; bin <= last; bin++) {
      const off = (bin + 0.5 - place) / reach
      const near = 1 - off * off
      const weight = bins[bin]! * near * near
      sum += weight
      moment += weight * (bin + 0.5)
    }
    if (!(sum > 0)) return place
    const next = moment / sum
    if (Math.abs(next - place) < 0.02) return next
    place = next
  }
  return place
}

/** What a factor of 2 leaves outside for a normal result. */
const OUTSIDE = 2 * (1 - normalCdf(2))
const STEP = 0.02
/** Chance beyond z, every `STEP` up to 6. */
const BEYOND = Float64Array.from({ length: 301 }, (_, i) => 1 - normalCdf(i * STEP))

function beyond(z: number): number {
  const place = Math.round(Math.abs(z) / STEP)
  const chance = place < BEYOND.length ? BEYOND[place]! : 0
  return z >= 0 ? chance : 1 - chance
}

/** The bins that hold anything, in order, and what lies in them: mostly a quarter of all, and asked for again at every step of the search. */
let filledBin = new Float64Array(0)
let filled = new Float64Array(0)
/** What lies in the filled bins from this one on; one more at the end, 0. */
let fromHere = new Float64Array(0)

/**
 * Half the interval that holds the truth as surely as 2 standard deviations hold a normal result (JCGM 101, 7.7): each bin is so far from
 * the value, its models doubt themselves by `within` (standard deviation, in bins), and `total` is the sum of the bins.
 */
export function halfInterval(farness: ArrayLike<number>, within: number, total: number): number {
  const doubt = Math.max(within, 1e-9)
  const count = keepFilled(farness)
  const outside = OUTSIDE * total
  // Half of what may lie outside is beyond this bin, the other half at most beyond 2.3 standard deviations from there.
  let most = 0
  for (let i = count - 1; i >= 0 && most === 0; i--)
    if (fromHere[i]! > 0.5 * outside) most = filledBin[i]! + 1
  let low = 0
  let lowOutside = total
  let high = most + 2.3 * doubt
  let highOutside = outsideOf(count, high, doubt)
  while (high - low > 0.01 * high + 0.2 * doubt) {
    const middle = 0.5 * (low + high)
    const sum = outsideOf(count, middle, doubt)
    if (sum > outside) {
      low = middle
      lowOutside = sum
    } else {
      high = middle
      highOutside = sum
    }
  }
  return low + ((high - low) * (lowOutside - outside)) / (lowOutside - highOutside || 1)
}

/** Returns how many bins hold anything. */
function keepFilled(farness: ArrayLike<number>): number {
  if (fromHere.length <= farness.length) {
    filledBin = new Float64Array(farness.length)
    filled = new Float64Array(farness.length)
    fromHere = new Float64Array(farness.length + 1)
  }
  let count = 0
  for (let bin = 0; bin < farness.length; bin++) {
    if (!(farness[bin]! > 0)) continue
    filledBin[count] = bin
    filled[count++] = farness[bin]!
  }
  fromHere[count] = 0
  for (let i = count - 1, sum = 0; i >= 0; i--) fromHere[i] = sum += filled[i]!
  return count
}

/** What of the filled bins lies farther out than `half`. */
function outsideOf(count: number, half: number, doubt: number): number {
  // Nearer bins lie wholly within, farther ones wholly outside.
  const first = Math.floor(half - 5 * doubt)
  const last = Math.ceil(half + 5 * doubt)
  let end = count
  while (end > 0 && filledBin[end - 1]! >= last) end--
  let i = 0
  while (i < end && filledBin[i]! < first) i++
  let sum = fromHere[end]!
  for (; i < end; i++) sum += filled[i]! * beyond((half - filledBin[i]! - 0.5) / doubt)
  for (let near = 0; near < end && half + filledBin[near]! < 5 * doubt; near++)
    sum += filled[near]! * beyond((half + filledBin[near]! + 0.5) / doubt)
  return sum
}
