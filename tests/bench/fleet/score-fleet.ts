import type { Finding } from '../../../shared-lib/survey/finding.ts'
import { QUIET, RIGHT } from './right.ts'
import type { Label, Planted, Truth } from './truth.ts'

/** Shares are in %; `n` says of how many. */
export interface Found {
  n: number
  first: number
  /** Within two surveys, of those that have two (one-off errors have only one). */
  n2: number
  second: number
  named: number
}

export interface FleetScore {
  surveys: number
  /** False alarms per 100 clean surveys: all, by the number of other electrodes in the visit, in a drought, first surveys. */
  falseAll: number
  falseMany: number
  falseFew: number
  falseAlone: number
  falseDrought: number
  falseFirst: number
  events: Partial<Record<Planted, Found>>
  /** Slips on the first survey of an electrode. */
  firstSlips: { decimal: Found; unit: Found }
  /** Corrosion past +20 %: found by the first, second, third survey. */
  corrosion20: { n: number[]; by: number[] }
  instrument: { n: number; within3: number; falsePer100Visits: number }
  /** Sites of which half or more has corroded past +20 %: named by the first, second, third such visit; false per 100 visits. */
  siteDrift: { n: number[]; by: number[]; falsePer100Visits: number }
  /** Mean |stated − observed| over ten bins of probability, and how many findings. */
  calibration: { error: number; n: number }
  loudPer100: number
}

const LASTING: ReadonlySet<Planted> = new Set<Planted>(['break', 'parallel', 'repair'])
const NEEDS_PAST: ReadonlySet<Planted> = new Set<Planted>([
  'break',
  'parallel',
  'repair',
  'copied',
  'parallelOnce',
])

interface SiteVisitTruth {
  day: number
  n: number
  corroded: number
  touched: number
  named: boolean
}

interface Seen {
  t: Truth
  l: Label
}

/** Compares what was found with what was planted. `findingsOf` gives a survey's findings. */
export function scoreFleet(
  truth: readonly Truth[],
  findingsOf: (t: Truth) => readonly Finding[],
): FleetScore {
  const loud = new Map<string, Set<string>>()
  for (const t of truth)
    loud.set(
      t.ref,
      new Set(
        findingsOf(t)
          .filter((f) => f.severity !== 'notice' && !QUIET.has(f.code) && f.code !== 'instrument-bias')
          .map((f) => f.code),
      ),
    )
  const codes = (t: Truth) => loud.get(t.ref)!
  const visitSize = new Map<number, number>()
  for (const t of truth) visitSize.set(t.campaign, (visitSize.get(t.campaign) ?? 0) + 1)
  const others = (t: Truth) => visitSize.get(t.campaign)! - 1
  const clean = truth.filter((t) => t.labels.length === 0 && !t.afterOneOff && !t.worked)
  const falseOf = (of: (t: Truth) => boolean) => {
    const some = clean.filter(of)
    return percent(some.filter((t) => codes(t).size > 0).length, some.length)
  }
  const events = eventsOf(truth)
  return {
    surveys: truth.length,
    falseAll: falseOf(() => true),
    falseMany: falseOf((t) => others(t) >= 5),
    falseFew: falseOf((t) => others(t) > 0 && others(t) < 5),
    falseAlone: falseOf((t) => others(t) === 0),
    falseDrought: falseOf((t) => t.drought),
    falseFirst: falseOf((t) => t.nPrior === 0),
    events: eventScores(events, codes, false),
    firstSlips: {
      decimal: eventScores(events, codes, true).decimal ?? none(),
      unit: eventScores(events, codes, true).unit ?? none(),
    },
    corrosion20: corrosionScore(events, codes),
    instrument: instrumentScore(truth, events, findingsOf),
    siteDrift: siteDriftScore(truth, findingsOf),
    calibration: calibrationOf(truth, findingsOf),
    loudPer100: percent(truth.filter((t) => codes(t).size > 0).length, truth.length),
  }
}

const none = (): Found => ({ n: 0, first: 0, n2: 0, second: 0, named: 0 })

function percent(part: number, of: number): number {
  return of === 0 ? 0 : (100 * part) / of
}

function eventsOf(truth: readonly Truth[]): Map<string, Seen[]> {
  const events = new Map<string, Seen[]>()
  for (const t of truth)
    for (const l of t.labels) {
      const key = `${l.type}:${l.ev}`
      const list = events.get(key)
      if (list) list.push({ t, l })
      else events.set(key, [{ t, l }])
    }
  for (const list of events.values()) list.sort((a, b) => a.t.day - b.t.day || a.l.k - b.l.k)
  return events
}

function eventScores(
  events: ReadonlyMap<string, Seen[]>,
  codes: (t: Truth) => ReadonlySet<string>,
  firstSurveysOnly: boolean,
): Partial<Record<Planted, Found>> {
  const counts: Partial<Record<Planted, Found>> = {}
  for (const [key, seen] of events) {
    const type = key.split(':')[0] as Planted
    if (type === 'instrument' || type === 'corrosion' || type === 'repairRecorded') continue
    const one = seen[0]!
    if (one.l.k !== 0 || (NEEDS_PAST.has(type) && one.t.nPrior < 1)) continue
    if (firstSurveysOnly && one.t.nPrior > 0) continue
    const c = counts[type] ?? none()
    counts[type] = c
    const hit = (i: number) => seen[i] !== undefined && codes(seen[i].t).size > 0
    const right = (i: number) => seen[i] !== undefined && RIGHT[type].some((x) => codes(seen[i]!.t).has(x))
    c.n++
    if (hit(0)) c.first++
    if (LASTING.has(type) && seen.length < 2) continue
    c.n2++
    if (hit(0) || hit(1)) c.second++
    if (right(0) || right(1)) c.named++
  }
  for (const c of Object.values(counts)) {
    c.first = percent(c.first, c.n)
    c.second = percent(c.second, c.n2)
    c.named = percent(c.named, c.n2)
  }
  return counts
}

function corrosionScore(
  events: ReadonlyMap<string, Seen[]>,
  codes: (t: Truth) => ReadonlySet<string>,
): { n: number[]; by: number[] } {
  const n = [0, 0, 0]
  const by = [0, 0, 0]
  for (const [key, seen] of events) {
    if (!key.startsWith('corrosion')) continue
    const past = seen.filter((s) => Math.exp(s.t.rise) - 1 >= 0.2)
    if (past.length === 0 || past[0]!.t.nPrior < 3) continue
    for (let i = 0; i < 3 && past[i]; i++) {
      n[i] = n[i]! + 1
      const until = seen.filter((s) => s.t.day <= past[i]!.t.day)
      if (until.some((s) => RIGHT.corrosion.some((x) => codes(s.t).has(x)))) by[i] = by[i]! + 1
    }
  }
  return { n, by: by.map((x, i) => percent(x, n[i]!)) }
}

function instrumentScore(
  truth: readonly Truth[],
  events: ReadonlyMap<string, Seen[]>,
  findingsOf: (t: Truth) => readonly Finding[],
): FleetScore['instrument'] {
  const flagged = (t: Truth) => findingsOf(t).some((f) => f.code === 'instrument-bias')
  let n = 0
  let within3 = 0
  for (const [key, seen] of events) {
    if (!key.startsWith('instrument')) continue
    n++
    const visits = [...new Set(seen.map((s) => s.t.campaign))].slice(0, 3)
    if (visits.some((v) => seen.some((s) => s.t.campaign === v && flagged(s.t)))) within3++
  }
  const visits = new Map<number, { off: boolean; flagged: boolean }>()
  for (const t of truth) {
    const v = visits.get(t.campaign) ?? { off: false, flagged: false }
    visits.set(t.campaign, v)
    if (t.labels.some((l) => l.type === 'instrument')) v.off = true
    if (flagged(t)) v.flagged = true
  }
  const good = [...visits.values()].filter((v) => !v.off)
  const falsePer100Visits = percent(good.filter((v) => v.flagged).length, good.length)
  return { n, within3: percent(within3, n), falsePer100Visits }
}

function siteDriftScore(
  truth: readonly Truth[],
  findingsOf: (t: Truth) => readonly Finding[],
): FleetScore['siteDrift'] {
  const visits = new Map<string, SiteVisitTruth[]>()
  const siteOf = new Map<string, string>()
  for (const tests of Map.groupBy(truth, (t) => t.campaign).values()) {
    // A visit is of one site: electrodes that were once tested together belong together.
    const site = tests.map((t) => siteOf.get(t.electrode)).find((s) => s !== undefined) ?? tests[0]!.electrode
    for (const t of tests) siteOf.set(t.electrode, site)
    const list = visits.get(site) ?? []
    visits.set(site, list)
    list.push({
      day: tests[0]!.day,
      n: tests.length,
      corroded: tests.filter((t) => t.rise >= Math.log(1.2)).length,
      touched: tests.filter((t) => t.rise >= 0.03).length,
      named: tests.some((t) => findingsOf(t).some((f) => f.code === 'site-drift')),
    })
  }
  const n = [0, 0, 0]
  const by = [0, 0, 0]
  let good = 0
  let wrong = 0
  for (const list of visits.values()) {
    list.sort((a, b) => a.day - b.day)
    for (const v of list)
      if (v.touched < 0.25 * v.n) {
        good++
        if (v.named) wrong++
      }
    const past = list.filter((v) => v.n >= 3 && v.corroded >= 0.5 * v.n)
    for (let i = 0; i < 3 && past[i]; i++) {
      n[i] = n[i]! + 1
      if (list.some((v) => v.named && v.day <= past[i]!.day && v.touched >= 0.25 * v.n)) by[i] = by[i]! + 1
    }
  }
  return { n, by: by.map((x, i) => percent(x, n[i]!)), falsePer100Visits: percent(wrong, good) }
}

function calibrationOf(
  truth: readonly Truth[],
  findingsOf: (t: Truth) => readonly Finding[],
): { error: number; n: number } {
  const bins = Array.from({ length: 10 }, () => ({ n: 0, stated: 0, true: 0 }))
  for (const t of truth)
    for (const f of findingsOf(t)) {
      if (f.probability === null || QUIET.has(f.code) || f.code === 'instrument-bias') continue
      const bin = bins[Math.min(9, Math.floor(f.probability * 10))]!
      bin.n++
      bin.stated += f.probability
      if (t.labels.some((l) => l.type !== 'instrument')) bin.true++
    }
  const n = bins.reduce((a, b) => a + b.n, 0)
  const off = bins.reduce((a, b) => a + Math.abs(b.stated - b.true), 0)
  return { error: n === 0 ? 0 : off / n, n }
}
