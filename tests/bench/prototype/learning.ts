import { type Learnt, START } from './beliefs.ts'
import type { Observation } from './observation.ts'
import { type Fleet, replay } from './replay.ts'
import { huber, madOf, medianOf } from './robust.ts'
import { harmonics } from './season.ts'
import { shapeOffsetSeen } from './shape.ts'

/** What a fleet teaches without any labels; a value that it cannot teach stays as it was. */
export function learn(fleet: Fleet, start: Learnt = START): Learnt {
  const l: Learnt = { ...start }
  const keep = (key: keyof Learnt, value: number, least = -10) => {
    if (Number.isFinite(value)) l[key] = Math.max(least, value)
  }
  keep('noiseSd', (1.03 * madOf(surveyChanges(fleet))) / Math.SQRT2, 0.01)
  learnSeasons(fleet, l, keep)
  const all = fleet.campaigns.flat()
  keep(
    'shapeOffset',
    medianOf(
      all.flatMap((o) => {
        const seen = shapeOffsetSeen(o, fleet.lnG.get(o.electrodeId)!)
        return seen === null ? [] : [seen]
      }),
    ),
  )
  keep('readingSd', madOf(curveChanges(all)) / 2, 0.002)
  for (let pass = 0; pass < 2; pass++) {
    const z = replay(fleet, l)
      .filter((s) => s.nPast >= 6 && s.peers >= 4 && s.p < 0.5)
      .map((s) => s.z)
    if (z.length >= 200) l.noiseSd *= madOf(z)
  }
  return l
}

function byElectrode(all: readonly Observation[]): Map<string, Observation[]> {
  return Map.groupBy(all, (o) => o.electrodeId)
}

/** Changes from one campaign to the next among electrodes that share both, less their median. */
function surveyChanges(fleet: Fleet): number[] {
  const previous = new Map<Observation, Observation>()
  for (const list of byElectrode(fleet.campaigns.flat()).values())
    list.forEach((o, i) => {
      if (i > 0) previous.set(o, list[i - 1]!)
    })
  const out: number[] = []
  for (const campaign of fleet.campaigns) {
    const withPast = campaign.filter((o) => previous.has(o))
    const groups = Map.groupBy(withPast, (o) => {
      const b = previous.get(o)!
      return `${b.campaign} ${o.instrument} ${b.instrument}`
    })
    for (const group of groups.values()) {
      if (group.length < 5) continue
      const d = group.map((o) => o.y - previous.get(o)!.y)
      const m = medianOf(d)
      if (Math.abs(m) > 0.12) continue
      for (const x of d) out.push((x - m) * Math.sqrt(d.length / (d.length - 1)))
    }
  }
  return out
}

function curveChanges(all: readonly Observation[]): number[] {
  const out: number[] = []
  for (const list of byElectrode(all).values())
    for (let i = 1; i < list.length; i++) {
      const a = list[i - 1]!
      const b = list[i]!
      if (a.probeM === b.probeM) out.push(b.curve[0] - b.curve[1] - (a.curve[0] - a.curve[1]))
    }
  return out
}

/** Season of the fleet, its spread between sites, and the weather. */
function learnSeasons(
  fleet: Fleet,
  l: Learnt,
  keep: (key: keyof Learnt, value: number, least?: number) => void,
): void {
  const middle = new Map<string, number>()
  for (const [id, list] of byElectrode(fleet.campaigns.flat()))
    if (list.length >= 6) middle.set(id, medianOf(list.map((o) => o.y)))
  const effects: { site: string; day: number; x: number }[] = []
  for (const campaign of fleet.campaigns) {
    const off = campaign.filter((o) => middle.has(o.electrodeId)).map((o) => o.y - middle.get(o.electrodeId)!)
    if (off.length >= 3) effects.push({ site: campaign[0]!.siteId, day: campaign[0]!.day, x: medianOf(off) })
  }
  if (effects.length < 12) return
  const rows = effects.map((e) => harmonics(e.day).slice(0, 3))
  const [, c, s] = huber(
    rows,
    effects.map((e) => e.x),
    [0, 0, 0],
    6,
    1e-6,
  ).beta
  keep('seasonCos', c!)
  keep('seasonSin', s!)
  const year: number[] = []
  const half: number[] = []
  const weather: number[] = []
  for (const list of Map.groupBy(effects, (e) => e.site).values()) {
    const n = list.length
    if (n < 12) continue
    const left = list.map(
      (e) => e.x - l.seasonCos * harmonics(e.day)[1]! - l.seasonSin * harmonics(e.day)[2]!,
    )
    const found = huber(
      list.map((e) => harmonics(e.day)),
      left,
      [1e-6, 0.5, 0.5, 1, 1],
      4,
      0.03,
    )
    year.push(found.beta[1]!, found.beta[2]!)
    half.push(found.beta[3]!, found.beta[4]!)
    for (const r of found.residuals) weather.push(r * Math.sqrt(n / Math.max(3, n - 4.2)))
  }
  keep('yearSd', madOf(year), 0.01)
  keep('halfYearSd', madOf(half), 0.01)
  keep('weatherSd', madOf(weather), 0.015)
}
