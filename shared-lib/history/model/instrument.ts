/**
 * Has an instrument gone off since its calibration? A change-point problem over what it saw of all sites: before the change
 * no bias, after it one bias from a short list. A daily check on a known resistor enters as a residual of its own, far sharper.
 */

/** One visit by one instrument: its reading of the site less what season and others led to expect, ln R. */
export interface BiasSign {
  day: number
  residual: number
  variance: number
  /** A known resistor was read: no drought can explain that. */
  check?: boolean
}

export interface BiasBelief {
  /** Chance that the instrument is off now. */
  chance: number
  /** Likeliest size of the bias, ln; 0 when none. */
  bias: number
}

/** Biases looked for, ln. Below ten per cent a bias stays hidden in season and weather. */
const BIASES = [-0.32, -0.26, -0.2, -0.15, -0.11, 0.1, 0.14, 0.18, 0.22, 0.26]
/** Changes a year; from simulated fleets, to be learnt. */
const RATE_A_YEAR = 0.06
/** Share of visits at which the whole site is off for a local reason (drought), that is no instrument. */
const LOCAL_SHARE = 0.04
const NEWEST = 24
const OWN_SD = 0.012
const CHECK_SD = 0.025

/** Belief after the signs since the last calibration, oldest first. `calibrationDay` is null when none is known. */
export function instrumentBelief(signs: readonly BiasSign[], calibrationDay: number | null): BiasBelief {
  const used = signs.slice(-NEWEST)
  if (used.length === 0) return { chance: 0, bias: 0 }
  const none = used.map((s) => Math.log(likelihood(s, 0)))
  const terms: { ln: number; bias: number }[] = []
  for (const bias of BIASES) {
    let ratio = 0
    // From the newest sign backwards: the change came before sign i, so i and all after it carry the bias.
    for (let i = used.length - 1; i >= 0; i--) {
      ratio += Math.log(likelihood(used[i]!, bias)) - none[i]!
      const gapDays =
        i > 0 ? Math.max(2, used[i]!.day - used[i - 1]!.day) : firstGapDays(used[0]!.day, calibrationDay)
      terms.push({ ln: Math.log((RATE_A_YEAR * gapDays) / 365.25 / BIASES.length) + ratio, bias })
    }
  }
  const top = Math.max(0, ...terms.map((t) => t.ln))
  let sum = 0
  let weighted = 0
  for (const t of terms) {
    const w = Math.exp(t.ln - top)
    sum += w
    weighted += w * t.bias
  }
  return { chance: sum / (sum + Math.exp(-top)), bias: sum > 0 ? weighted / sum : 0 }
}

function firstGapDays(day: number, calibrationDay: number | null): number {
  return calibrationDay === null ? 200 : Math.min(200, Math.max(10, day - calibrationDay))
}

function likelihood(s: BiasSign, bias: number): number {
  // A bias is one of a list, so what lies between two of them must not look impossible to a sharp check.
  const variance = s.variance + (s.check ? CHECK_SD : OWN_SD) ** 2
  const off = s.residual - bias
  const normal = Math.exp((-0.5 * off * off) / variance) / Math.sqrt(2 * Math.PI * variance)
  if (s.check) return normal + 1e-6
  const local = off > -0.15 && off < 1 ? 0.7 : off >= 1 ? 0.007 : 0.02
  return (1 - LOCAL_SHARE) * normal + LOCAL_SHARE * local + 1e-6
}
