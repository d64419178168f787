import type { Finding, FindingCode } from '../../../shared-lib/survey/finding.ts'
import { type FleetRecords, keyOf } from '../fleet/judge-fleet.ts'
import type { Truth } from '../fleet/truth.ts'
import { FIXED, START } from './beliefs.ts'
import type { Class } from './explanations.ts'
import { learn } from './learning.ts'
import { lnGeometryOf, type Observation, observe } from './observation.ts'
import { type Fleet, replay, type Said } from './replay.ts'

/** What the prototype calls each class; on an electrode's first test a slip is what is not to be believed of it. */
const CODE: Record<Exclude<Class, 'nothing'>, FindingCode> = {
  corrosion: 'rising-drift',
  up: 'step-rise',
  down: 'step-fall',
  decimal: 'decimal-slip',
  unit: 'unit-slip',
  repeated: 'repeated-readings',
  'wrong-electrode': 'wrong-electrode',
  'too-close': 'current-probe-too-close',
  'out-of-order': 'readings-out-of-order',
}

/** The fleet as the prototype takes it: it is told which campaign a survey belongs to. */
function prototypeFleet(fleet: FleetRecords & { truth: readonly Truth[] }): Fleet {
  const campaignOf = new Map(fleet.truth.map((t) => [t.ref, t.campaign]))
  const siteOf = new Map(fleet.electrodes.map((e) => [e.electrodeId, e.siteId]))
  const all: Observation[] = []
  for (const survey of fleet.surveys) {
    const siteId = siteOf.get(survey.electrodeId ?? '')
    const o = siteId === undefined ? null : observe(survey, siteId, campaignOf.get(survey.surveyRef) ?? -1)
    if (o) all.push(o)
  }
  all.sort((a, b) => a.day - b.day)
  const calibrations = new Map<string, number[]>()
  for (const c of fleet.calibrations) {
    const days = [...(calibrations.get(c.instrumentId) ?? []), Date.parse(c.calibratedOn) / 86_400_000]
    calibrations.set(
      c.instrumentId,
      days.sort((a, b) => a - b),
    )
  }
  return {
    campaigns: [...Map.groupBy(all, (o) => `${o.siteId} ${o.campaign}`).values()],
    lnG: new Map(fleet.electrodes.map((e) => [e.electrodeId, lnGeometryOf(e)])),
    siteOf,
    calibrations,
  }
}

/**
 * The prototype's findings by `keyOf`, with the constants of its own table (the published figures of the shared fleets come out
 * with them) or with what it `learns` from these very surveys.
 */
export function judgeByPrototype(
  records: FleetRecords & { truth: readonly Truth[] },
  learns = false,
): Map<string, Finding[]> {
  const fleet = prototypeFleet(records)
  const said = replay(fleet, learns ? learn(fleet) : START)
  const found = new Map<string, Finding[]>()
  for (const s of said) {
    const findings: Finding[] = []
    if (s.p > FIXED.threshold && s.best !== 'nothing') findings.push(findingOf(codeOf(s), s.p))
    if (s.instrumentOff >= 0.5) findings.push(findingOf('instrument-bias', s.instrumentOff))
    if (findings.length > 0) found.set(keyOf(s.o.electrodeId, s.o.ref), findings)
  }
  return found
}

function codeOf(s: Said): FindingCode {
  if (s.best === 'nothing') throw new Error('nothing is no finding')
  const slip = s.best === 'decimal' || s.best === 'unit'
  return slip && !s.hasPast && !s.o.oneSlip ? 'implausible-for-electrode' : CODE[s.best]
}

function findingOf(code: FindingCode, probability: number): Finding {
  return { code, severity: 'warning', probability, message: '', advice: [], evidence: {} }
}
