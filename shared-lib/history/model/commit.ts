import type { Finding } from '../../survey/finding.ts'
import { rounded } from '../comparison.ts'
import { pointsFor, trendFor } from '../rules/evidence-points.ts'
import { limitForecast } from '../rules/limit-forecast.ts'
import { afterRecordedWork, settlingIn, setUpChanged } from '../rules/notices.ts'
import { seenCorroded } from '../rules/seen-corroded.ts'
import { answeredDoubts } from '../rules/shape-doubts.ts'
import { comparisonFinding } from '../wording.ts'
import type { Beliefs } from './beliefs.ts'
import { iceIsKnown } from './common-mode.ts'
import { type Member, type Pending, pointsOf } from './member.ts'
import { chanceOf, remember, startAfterWork } from './memory.ts'
import { type Naming, nameOf } from './naming.ts'
import { fitFlat, flatBase } from './regression.ts'
import { learnShape, lnKappa } from './shape.ts'
import { comparisonFor, tell } from './tell.ts'
import type { Verdict } from './verdict.ts'
import type { Entry } from './visits.ts'

/** Recorded work before a test: the notice that says whether it helped, and the new baseline. */
export function beginAfterWork(e: Entry, b: Beliefs): Finding[] {
  const m = e.member
  if (!e.work || m.tests.length === 0) return []
  const before = m.tests
    .filter((r) => r.doubt > 0)
    .slice(-5)
    .map((r) => r.sighting.y)
    .sort((x, y) => x - y)
  const level = before.length > 0 ? before[Math.floor(before.length / 2)]! : null
  if (m.priorMean !== null) startAfterWork(m, e.sighting.t, e.work.what, m.priorMean, b)
  return [afterRecordedWork(e.sighting, e.work, level)]
}

/** Tells what a judged test shows and remembers it. The findings in the order in which they came to light. */
export function commit(v: Verdict, b: Beliefs): Finding[] {
  const e = v.entry
  const m = e.member
  const found: Finding[] = []
  const previous = m.tests.at(-1)?.sighting
  const changed = previous ? setUpChanged(e.sighting, previous) : null
  if (changed) found.push(changed)
  const naming = nameOf(v, b)
  const told = naming.raised || naming.hinted ? toldOf(v, naming, b) : null
  if (told) found.push(told)
  if (!naming.raised) found.push(...answeredDoubts(v))
  const settling = told || !v.hasEarlier ? null : settlingIn(e.sighting, v.expected, m.electrode)
  if (settling) found.push(settling)
  const seen = seenCorroded(e.sighting.test)
  if (seen && naming.code !== seen.code) found.push(seen)
  const pendingBefore = m.pending
  const settled = remember(m, {
    sighting: e.sighting,
    posterior: v.posterior,
    outlooks: v.outlooks,
    g: v.g,
    gVar: v.gVar,
    q: v.q,
    peers: v.peers,
    expected: v.expected,
    sd: v.sd,
    hasEarlier: v.hasEarlier,
    newBaseline: e.work !== null,
    ruling: e.ruling,
    excluded: e.excluded || (e.frozen && !iceIsKnown(v.peers)),
    told: naming.raised && told ? { code: naming.code, evidence: told.evidence } : null,
  })
  const confirmed = settled === 'confirmed' && pendingBefore ? confirmation(v, pendingBefore, found) : null
  if (confirmed) found.push(confirmed)
  const sound = chanceOf(v.posterior, 'too-close') + chanceOf(v.posterior, 'out-of-order') < 0.3
  if (sound && !e.excluded && !e.frozen)
    m.shape = learnShape(e.sighting, lnKappa(m.lnG, e.sighting.test.currentProbeM, b), m.shape, b)
  const points = pointsOf(m, e.sighting.t, b)
  if (m.priorMean !== null && points.t.length > 0)
    m.level = fitFlat(flatBase(points, { mean: m.priorMean, variance: m.priorVar }, m.loading, b)).x0
  const forecast = limitForecast(m, e.sighting)
  if (forecast) found.push(forecast)
  return found
}

/** The finding with the points and the plain statistics that a page shows beside it. */
function toldOf(v: Verdict, naming: Naming, b: Beliefs): Finding | null {
  const finding = tell(v, naming, b)
  if (!finding || finding.code === 'settling-in') return finding
  const evidence = {
    ...finding.evidence,
    points: pointsFor(v),
    trend: trendFor(v.entry.member, v.entry.sighting),
  }
  return { ...finding, evidence }
}

/** Of confirmed steps on simulated fleets of four kinds 91 to 94 % were true. */
const CONFIRMED_CHANCE = 0.92

/** The next test shows that a step told before has stayed: said once, with the survey it confirms. */
function confirmation(v: Verdict, pending: Pending, found: readonly Finding[]): Finding | null {
  const code = pending.up ? 'step-rise' : 'step-fall'
  const already = found.some((f) => f.code === code)
  // What was expected before the step, not from the level it has led to.
  const { expectedOhm, expectedRangeOhm, earlier } = pending.told?.evidence ?? {}
  const m = v.entry.member
  const confirms = m.tests[pending.index]?.sighting.test.surveyRef
  if (already || typeof expectedOhm !== 'number' || confirms === undefined) return null
  // With one test before the step nobody knows which of the two levels was the mistake: what was told stands, and is not told twice.
  if (!Array.isArray(earlier) || earlier.length < 2) return null
  const comparison = comparisonFor(v, pending.up ? 'rise' : 'fall')
  const ohm = rounded(comparison.resistanceOhm)
  const way = pending.up ? 'rise' : 'fall'
  const seen = `${ohm} ohm again, where ${expectedOhm} ohm was expected before survey ${confirms}: the ${way} has stayed.`
  const ratio = rounded(comparison.resistanceOhm / expectedOhm)
  const evidence = { confirms, expectedOhm, expectedRangeOhm, earlier, ratio, points: pointsFor(v) }
  return comparisonFinding(code, comparison, CONFIRMED_CHANCE, { seen, evidence })
}

/** An electrode with a short past at least and neighbours, and no sign that something happened. */
export function teachesNoise(v: Verdict): boolean {
  return (
    usableOf(v.entry.member) >= 2 &&
    v.peers >= 2 &&
    v.posterior[0]! > 0.3 &&
    !v.entry.excluded &&
    !v.entry.frozen &&
    v.entry.work === null
  )
}

function usableOf(m: Member): number {
  return m.tests.reduce((n, r) => (r.doubt > 0 ? n + 1 : n), 0)
}
