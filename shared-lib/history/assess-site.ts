import type { Finding } from '../survey/finding.ts'
import type { Assessment, ElectrodeRecord, SiteAssessmentInput } from './assessment.ts'
import { rounded } from './comparison.ts'
import { type Beliefs, DEFAULT_BELIEFS } from './model/beliefs.ts'
import type { Residual } from './model/common-mode.ts'
import { type GroupEstimate, judgeRound } from './model/judge-visit.ts'
import { type InstrumentResidual, learnVisit } from './model/learn-visit.ts'
import { type Member, pointsOf } from './model/member.ts'
import { chanceOf, remember, startAfterWork } from './model/memory.ts'
import { nameOf } from './model/naming.ts'
import { fitFlat, flatBase } from './model/regression.ts'
import { priorSeason, seasonAt } from './model/season.ts'
import { learnShape, lnKappa } from './model/shape.ts'
import { learnNoise, newSiteNoise } from './model/site-noise.ts'
import { comparisonFor, tell } from './model/tell.ts'
import type { Verdict } from './model/verdict.ts'
import { type Entry, visitsOf } from './model/visits.ts'
import { summaryOf } from './rules/drift.ts'
import { afterRecordedWork, setUpChanged, siteWideShift } from './rules/notices.ts'
import { seenCorroded } from './rules/seen-corroded.ts'
import { entriesOf } from './site-entries.ts'
import { comparisonFinding } from './wording.ts'

export interface SiteReplay {
  assessments: Record<string, Assessment>
  instruments: InstrumentResidual[]
}

/**
 * Judges every test of every electrode of one site, by test date: each visit from the state before it, then all are
 * remembered. Pure and deterministic; the order of the input cannot be seen. Never throws on data.
 */
export function assessSite(input: SiteAssessmentInput): Record<string, Assessment> {
  return replaySite(input).assessments
}

/** As `assessSite`, with what each instrument saw: the instruments are judged over all sites from these. */
export function replaySite(input: SiteAssessmentInput): SiteReplay {
  const believed: Beliefs = { ...DEFAULT_BELIEFS, ...input.parameters.beliefs }
  const records = [...input.electrodes].sort((x, y) =>
    x.electrode.electrodeId < y.electrode.electrodeId ? -1 : 1,
  )
  const members: Member[] = []
  const entries = entriesOf(records, input.calibrations, members, believed)
  const season = priorSeason(believed)
  const findings = new Map<string, Finding[]>()
  const instruments: InstrumentResidual[] = []
  const noise = newSiteNoise()
  for (const rounds of visitsOf(entries)) {
    const day = rounds[0]![0]!.sighting.day
    const now = seasonAt(season, day)
    const b = { ...believed, noiseSd: believed.noiseSd * Math.sqrt(noise.ratio) }
    const zs: number[] = []
    const residuals: Residual[] = []
    let firstGroups: GroupEstimate[] = []
    for (const [i, round] of rounds.entries()) {
      for (const e of round) if (e.work) beginAfterWork(e, findings, b)
      const judged = judgeRound(round, members, now, residuals, b)
      residuals.push(...judged.residuals)
      for (const v of judged.verdicts) {
        if (teachesNoise(v)) zs.push((v.entry.sighting.y - v.expected) / v.sd)
        commit(v, findings, b)
      }
      if (i === 0) firstGroups = judged.groups
    }
    const siteId = rounds[0]![0]!.member.electrode.siteId
    const lesson = learnVisit(firstGroups, now, season, siteId, b)
    instruments.push(...lesson.instruments)
    const { shift } = lesson
    if (shift)
      for (const e of rounds[0]!)
        add(findings, e, siteWideShift(shift.ln, shift.neighbours, shift.beyondSeason))
    learnNoise(noise, zs)
  }
  return {
    assessments: Object.fromEntries(
      records.map((r) => [r.electrode.electrodeId, assessmentOf(r, members, findings, input)]),
    ),
    instruments,
  }
}

/** An electrode with a short past at least and neighbours, and no sign that something happened. */
function teachesNoise(v: Verdict): boolean {
  const usable = v.entry.member.tests.filter((r) => r.doubt > 0).length
  return usable >= 2 && v.peers >= 2 && v.posterior[0]! > 0.3 && !v.entry.excluded && v.entry.work === null
}

function beginAfterWork(e: Entry, findings: Map<string, Finding[]>, b: Beliefs): void {
  const m = e.member
  const before = m.tests.filter((r) => r.doubt > 0).slice(-5)
  if (m.tests.length > 0) {
    const middle = before.map((r) => r.sighting.y).sort((x, y) => x - y)
    const level = middle.length > 0 ? middle[Math.floor(middle.length / 2)]! : null
    add(findings, e, afterRecordedWork(e.sighting, e.work!, level))
    if (m.priorMean !== null) startAfterWork(m, e.sighting.t, e.work!.what, m.priorMean, b)
  }
}

function add(findings: Map<string, Finding[]>, e: Entry, finding: Finding): void {
  const key = keyOf(e)
  const list = findings.get(key)
  if (list) list.push(finding)
  else findings.set(key, [finding])
}

/** Survey references are unique within an electrode only. */
function keyOf(e: Entry): string {
  return `${e.member.electrode.electrodeId}\n${e.sighting.test.surveyRef}`
}

function commit(v: Verdict, findings: Map<string, Finding[]>, b: Beliefs): void {
  const e = v.entry
  const m = e.member
  const previous = m.tests.at(-1)?.sighting
  const changed = previous ? setUpChanged(e.sighting, previous) : null
  if (changed) add(findings, e, changed)
  const naming = nameOf(v, b)
  if (naming.raised || naming.hinted) {
    const finding = tell(v, naming, b)
    if (finding) add(findings, e, finding)
  }
  const seen = seenCorroded(e.sighting.test)
  if (seen && naming.code !== seen.code) add(findings, e, seen)
  const pendingBefore = m.pending
  const up = e.sighting.y > v.expected
  const comparison = pendingBefore ? comparisonFor(v, up ? 'rise' : 'fall') : null
  const settled = remember(m, {
    sighting: e.sighting,
    posterior: v.posterior,
    outlooks: v.outlooks,
    g: v.g,
    gVar: v.gVar,
    q: v.q,
    expected: v.expected,
    sd: v.sd,
    hasEarlier: v.hasEarlier,
    newBaseline: e.work !== null,
    excluded: e.excluded,
    raised: naming.raised,
    toldCode: naming.raised ? naming.code : null,
  })
  if (settled === 'confirmed' && pendingBefore?.toldCode && comparison)
    confirm(v, pendingBefore, comparison, findings)
  const sound = chanceOf(v.posterior, 'too-close') + chanceOf(v.posterior, 'out-of-order') < 0.3
  if (sound && !e.excluded)
    m.shape = learnShape(e.sighting, lnKappa(m.lnG, e.sighting.test.currentProbeM, b), m.shape, b)
  const points = pointsOf(m, e.sighting.t, b)
  if (m.priorMean !== null && points.t.length > 0)
    m.level = fitFlat(flatBase(points, { mean: m.priorMean, variance: m.priorVar }, m.loading, b)).x0
}

/** Of confirmed steps on simulated fleets of four kinds 91 to 94 % were true. */
const CONFIRMED_CHANCE = 0.92

/** The next test shows that a step told before has stayed: said once, with the survey it confirms. */
function confirm(
  v: Verdict,
  pending: NonNullable<Member['pending']>,
  comparison: ReturnType<typeof comparisonFor>,
  findings: Map<string, Finding[]>,
): void {
  const code = pending.up ? 'step-rise' : 'step-fall'
  const already = findings.get(keyOf(v.entry))?.some((f) => f.code === code)
  if (already) return
  const confirms = v.entry.member.tests[pending.index]?.sighting.test.surveyRef
  // What was expected before the step, not from the level it has led to.
  const first = findings
    .get(`${v.entry.member.electrode.electrodeId}\n${confirms}`)
    ?.find((f) => typeof f.evidence.expectedOhm === 'number')
  if (!first || confirms === undefined) return
  const { expectedOhm, expectedRangeOhm, earlier } = first.evidence
  const ohm = rounded(comparison.resistanceOhm)
  const way = pending.up ? 'rise' : 'fall'
  const seen = `${ohm} ohm again, where ${String(expectedOhm)} ohm was expected before survey ${confirms}: the ${way} has stayed.`
  const evidence = {
    confirms,
    expectedOhm,
    expectedRangeOhm,
    earlier,
    ratio: rounded(comparison.resistanceOhm / Number(expectedOhm)),
  }
  add(findings, v.entry, comparisonFinding(code, comparison, CONFIRMED_CHANCE, { seen, evidence }))
}

function assessmentOf(
  record: ElectrodeRecord,
  members: readonly Member[],
  findings: ReadonlyMap<string, Finding[]>,
  input: SiteAssessmentInput,
): Assessment {
  const id = record.electrode.electrodeId
  const own: Record<string, Finding[]> = {}
  for (const ref of record.tests.map((t) => t.surveyRef).sort()) {
    const list = findings.get(`${id}\n${ref}`)
    if (list) own[ref] = list
  }
  const series = members
    .filter((m) => m.electrode.electrodeId === id)
    .map((m) => {
      const used = m.tests.slice(m.start).filter((r) => r.doubt > 0)
      const points = used.map((r) => ({ test: r.sighting.test, day: r.sighting.day, y: r.sighting.y }))
      return used.length > 0 ? summaryOf(used[0]!.sighting.test.measuredAs, points, m.start > 0) : null
    })
    .filter((s) => s !== null)
    .sort((x, y) => (x.measuredAs < y.measuredAs ? -1 : 1))
  return { findings: own, series, parametersVersion: input.parameters.version }
}
