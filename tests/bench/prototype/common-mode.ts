/** An electrode's word on what its site shares on a visit: how far it stands off its level, over its loading. */
export interface Residual {
  r: number
  variance: number
}

/** One possible common mode, its variance and its weight. */
export interface Mode {
  g: number
  variance: number
  weight: number
}

/** Weighted median, then Student weights with five degrees of freedom. The last of `all` is the prior. */
function robust(all: readonly Residual[], rounds: number) {
  const sorted = [...all].sort((a, b) => a.r - b.r)
  const half = sorted.reduce((s, x) => s + 1 / Math.sqrt(x.variance), 0) / 2
  let run = 0
  let g = sorted[0]!.r
  for (const x of sorted) {
    run += 1 / Math.sqrt(x.variance)
    g = x.r
    if (run >= half) break
  }
  const weight = (x: Residual) => 5 / (4 + (x.r - g) ** 2 / x.variance) / x.variance
  for (let round = 0; round < rounds; round++) {
    let sum = 0
    let sumW = 0
    for (const x of all) {
      sum += weight(x) * x.r
      sumW += weight(x)
    }
    g = sum / sumW
  }
  let sumW = 0
  let spread = 0
  for (const x of all) {
    sumW += weight(x)
    spread += weight(x) * (x.r - g) ** 2
  }
  const inflation = Math.min(4, Math.max(1, spread / Math.max(1, all.length - 1)))
  return { g, sumW, inflation, priorW: weight(all.at(-1)!) }
}

/** What the others of a visit and the season say to one electrode. */
export function modesFor(others: readonly Residual[], prior: Residual): Mode[] {
  if (others.length === 0) return [{ g: prior.r, variance: prior.variance, weight: 1 }]
  const all = [...others, prior]
  const e = robust(all, 5)
  const variance = e.inflation / e.sumW
  if (others.length > 2) return [{ g: e.g, variance, weight: 1 }]
  if (Math.abs(e.g - prior.r) > 3 * Math.sqrt(variance + prior.variance))
    return [
      { g: e.g, variance, weight: 0.5 },
      { g: prior.r, variance: prior.variance, weight: 0.5 },
    ]
  const odd = others.find(
    (k) => Math.abs(k.r - e.g) > 4 * Math.sqrt(k.variance + variance) && Math.abs(k.r - prior.r) < 1.2,
  )
  if (!odd) return [{ g: e.g, variance, weight: 1 }]
  return [
    { g: e.g, variance, weight: 0.8 },
    { g: odd.r, variance: odd.variance, weight: 0.2 },
  ]
}

/** What a group of tests with one instrument says of the site, the prior's share taken off again. */
export function groupMode(group: readonly Residual[], prior: Residual): Residual {
  const all = [...group, prior]
  const e = robust(all, 8)
  const own = e.sumW - e.priorW
  if (own < 1e-6) return { r: prior.r, variance: 1e3 }
  return { r: (e.g * e.sumW - e.priorW * prior.r) / own, variance: e.inflation / own }
}
