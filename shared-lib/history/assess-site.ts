import type { Finding } from '../survey/finding.ts'
import type { Assessment, ElectrodeRecord, SiteAssessmentInput } from './assessment.ts'
import type { Beliefs } from './model/beliefs.ts'
import { beginAfterWork, commit, teachesNoise } from './model/commit.ts'
import type { Residual } from './model/common-mode.ts'
import { type GroupEstimate, judgeRound } from './model/judge-visit.ts'
import { type InstrumentResidual, learnVisit } from './model/learn-visit.ts'
import { type Member, sharesSoil } from './model/member.ts'
import { seasonAt } from './model/season.ts'
import { learnNoise } from './model/site-noise.ts'
import { newSiteState, type SiteState } from './model/site-state.ts'
import type { Entry } from './model/visits.ts'
import { visitsOf } from './model/visits.ts'
import { beliefsOf } from './parameters.ts'
import { summaryOf } from './rules/drift.ts'
import { siteWideShift } from './rules/notices.ts'
import { siteDrift } from './rules/site-drift.ts'
import { entriesOf } from './site-entries.ts'

export interface SiteReplay {
  assessments: Record<string, Assessment>
  /** What each instrument saw at each visit: `assessInstruments` judges them over all sites. */
  instruments: InstrumentResidual[]
  /** The state after the last visit; `saveMemory` makes a checkpoint of it. */
  state: SiteState
}

/**
 * Judges every test of every electrode of one site, by test date: each visit from the state before it, then all are
 * remembered. Pure and deterministic; the order of the input cannot be seen. Never throws on data.
 */
export function assessSite(input: SiteAssessmentInput): Record<string, Assessment> {
  return replaySite(input).assessments
}

/**
 * As `assessSite`, with what else the replay learns. `from` is the state after an earlier replay (`restoreMemory`): tests up to
 * its last visit are then not judged again, and only findings of later tests are returned. The state is used up by the call.
 * `series: false` leaves the statistics of the series out, for a caller that wants the findings alone.
 */
export function replaySite(
  input: SiteAssessmentInput,
  from: SiteState | null = null,
  { series = true }: { series?: boolean } = {},
): SiteReplay {
  const believed = beliefsOf(input.parameters)
  const records = [...input.electrodes].sort((x, y) =>
    x.electrode.electrodeId < y.electrode.electrodeId ? -1 : 1,
  )
  const state = from ?? newSiteState(believed)
  const visits = visitsOf(entriesOf(records, input.calibrations, state, believed))
  const findings = new Map<string, Finding[]>()
  const instruments: InstrumentResidual[] = []
  for (const rounds of visits) instruments.push(...judgeVisit(rounds, state, findings, believed))
  return {
    assessments: Object.fromEntries(
      records.map((r) => [
        r.electrode.electrodeId,
        assessmentOf(r, series ? state.members : [], findings, input),
      ]),
    ),
    instruments,
    state,
  }
}

/** Judges one visit, adds what it found, and moves the state on. Returns what its instruments saw. */
function judgeVisit(
  rounds: readonly Entry[][],
  state: SiteState,
  findings: Map<string, Finding[]>,
  believed: Beliefs,
): InstrumentResidual[] {
  const { day } = rounds[0]![0]!.sighting
  const now = seasonAt(state.season, day)
  const b = { ...believed, noiseSd: believed.noiseSd * Math.sqrt(state.noise.ratio) }
  const zs: number[] = []
  const residuals: Residual[] = []
  let firstGroups: GroupEstimate[] = []
  for (const [i, round] of rounds.entries()) {
    for (const e of round) add(findings, e, beginAfterWork(e, b))
    const judged = judgeRound(round, state.members, now, residuals, b)
    residuals.push(...judged.residuals)
    for (const v of judged.verdicts) {
      if (teachesNoise(v)) zs.push((v.entry.sighting.y - v.expected) / v.sd)
      add(findings, v.entry, commit(v, b))
    }
    if (i === 0) firstGroups = judged.groups
  }
  const { siteId } = rounds[0]![0]!.member.electrode
  const lesson = learnVisit(firstGroups, now, state.season, siteId, b)
  const { shift } = lesson
  if (shift) {
    const { ln, neighbours, beyondSeason } = shift
    const inSoil = rounds[0]!.filter((e) => sharesSoil(e.member.key))
    for (const [i, e] of inSoil.entries())
      add(findings, e, [siteWideShift(ln, neighbours, beyondSeason, i === 0)])
  }
  if (lesson.level) state.visits.push({ ...lesson.level, words: residuals })
  for (const { entry, finding } of siteDrift(state, rounds[0]!, lesson.level !== null, b))
    add(findings, entry, [finding])
  learnNoise(state.noise, zs)
  state.lastVisitDay = day
  // Where the site itself is known to go up, it says nothing about an instrument.
  return state.driftToldLn > 0 ? [] : lesson.instruments
}

function add(findings: Map<string, Finding[]>, e: Entry, found: readonly Finding[]): void {
  if (found.length === 0) return
  const key = `${e.member.electrode.electrodeId}\n${e.sighting.test.surveyRef}`
  const list = findings.get(key)
  if (list) list.push(...found)
  else findings.set(key, [...found])
}

function assessmentOf(
  record: ElectrodeRecord,
  members: readonly Member[],
  findings: ReadonlyMap<string, Finding[]>,
  input: SiteAssessmentInput,
): Assessment {
  const id = record.electrode.electrodeId
  const { version } = input.parameters
  const own: Record<string, Finding[]> = {}
  // Survey references are unique within an electrode only.
  for (const ref of record.tests.map((t) => t.surveyRef).sort()) {
    const list = findings.get(`${id}\n${ref}`)
    if (list) own[ref] = list.map((f) => ({ ...f, evidence: { ...f.evidence, parametersVersion: version } }))
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
  return { findings: own, series, parametersVersion: version }
}
