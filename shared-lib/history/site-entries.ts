import type { Calibration } from '../survey/register.ts'
import type { ElectrodeRecord } from './assessment.ts'
import type { Beliefs } from './model/beliefs.ts'
import { type Member, newMember, sharesSoil } from './model/member.ts'
import { type Sighting, sightingOf } from './model/sighting.ts'
import type { SiteState } from './model/site-state.ts'
import { type Entry, VISIT_DAYS } from './model/visits.ts'
import { inTestOrder, type Rulings, rulingsOf, seriesKey, workBefore } from './timeline.ts'

/** All tests of the site in order of test date, each with its member and the recorded work before it. */
export function entriesOf(
  records: readonly ElectrodeRecord[],
  calibrations: readonly Calibration[],
  state: SiteState,
  b: Beliefs,
): Entry[] {
  const entries: Entry[] = []
  const steps = new Map<string, number>()
  for (const c of calibrations) if (c.resolutionOhm !== undefined) steps.set(c.instrumentId, c.resolutionOhm)
  for (const record of records) {
    const rulings = rulingsOf(record.tests, record.decisions)
    const byKey = new Map<string, { member: Member; last: Sighting | undefined }>()
    for (const test of inTestOrder(record.tests)) {
      if (test.method === 'four-point' || test.method === 'check-resistor') continue
      const sighting = sightingOf(test, steps.get(test.instrumentId ?? '') ?? null)
      if (!sighting) continue
      const key = seriesKey(test)
      if (state.lastVisitDay !== null && sighting.day < state.lastVisitDay + VISIT_DAYS + 1) continue
      let series = byKey.get(key)
      if (!series) {
        const id = record.electrode.electrodeId
        const known = state.members.find((m) => m.electrode.electrodeId === id && m.key === key)
        const member = known ?? newMember(record.electrode, key, b)
        if (!known) state.members.push(member)
        series = { member, last: member.tests.at(-1)?.sighting }
        byKey.set(key, series)
      }
      const entry: Entry = {
        member: series.member,
        sighting,
        work: workBefore(sighting, series.last, record.works, rulings),
        excluded: isExcluded(sighting.test, rulings),
        frozen: sighting.test.soilState === 'frozen' && sharesSoil(key),
        ruling: rulingOf(test.surveyRef, rulings),
      }
      series.last = sighting
      entries.push(entry)
    }
  }
  // Sums over members must not show when each of them was first met.
  state.members.sort((x, y) =>
    `${x.electrode.electrodeId}\n${x.key}` < `${y.electrode.electrodeId}\n${y.key}` ? -1 : 1,
  )
  return entries.sort(
    (x, y) =>
      x.sighting.day - y.sighting.day ||
      (x.sighting.test.surveyRef < y.sighting.test.surveyRef ? -1 : 1) ||
      (x.member.electrode.electrodeId < y.member.electrode.electrodeId ? -1 : 1),
  )
}

function rulingOf(ref: string, rulings: Rulings): Entry['ruling'] {
  if (rulings.standsRefs.has(ref)) return 'stands'
  return rulings.corrosionRefs.has(ref) ? 'corrosion' : null
}

function isExcluded(test: Entry['sighting']['test'], rulings: Rulings): boolean {
  return rulings.outRefs.has(test.surveyRef) || test.validity === 'invalid'
}
