import type { Calibration } from '../survey/register.ts'
import type { ElectrodeRecord } from './assessment.ts'
import type { Beliefs } from './model/beliefs.ts'
import { type Member, newMember } from './model/member.ts'
import { sightingOf } from './model/sighting.ts'
import type { Entry } from './model/visits.ts'
import { inTestOrder, type Rulings, rulingsOf, seriesKey, workBefore } from './timeline.ts'

/** All tests of the site in order of test date, each with its member and the recorded work before it. */
export function entriesOf(
  records: readonly ElectrodeRecord[],
  calibrations: readonly Calibration[],
  members: Member[],
  b: Beliefs,
): Entry[] {
  const entries: Entry[] = []
  const steps = new Map<string, number>()
  for (const c of calibrations) if (c.resolutionOhm !== undefined) steps.set(c.instrumentId, c.resolutionOhm)
  for (const record of records) {
    const rulings = rulingsOf(record.tests, record.decisions)
    const byKey = new Map<string, { member: Member; last: Entry | undefined }>()
    for (const test of inTestOrder(record.tests)) {
      if (test.method === 'four-point' || test.method === 'check-resistor') continue
      const sighting = sightingOf(test, steps.get(test.instrumentId ?? '') ?? null)
      if (!sighting) continue
      const key = seriesKey(test)
      let series = byKey.get(key)
      if (!series) {
        series = { member: newMember(record.electrode, key, b), last: undefined }
        members.push(series.member)
        byKey.set(key, series)
      }
      const entry: Entry = {
        member: series.member,
        sighting,
        work: workBefore(sighting, series.last?.sighting, record.works, rulings),
        excluded: isExcluded(sighting.test, rulings),
      }
      series.last = entry
      entries.push(entry)
    }
  }
  return entries.sort(
    (x, y) =>
      x.sighting.day - y.sighting.day ||
      (x.sighting.test.surveyRef < y.sighting.test.surveyRef ? -1 : 1) ||
      (x.member.electrode.electrodeId < y.member.electrode.electrodeId ? -1 : 1),
  )
}

function isExcluded(test: Entry['sighting']['test'], rulings: Rulings): boolean {
  return rulings.outRefs.has(test.surveyRef) || test.soilState === 'frozen' || test.validity === 'invalid'
}
