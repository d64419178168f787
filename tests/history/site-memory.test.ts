import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { replaySite } from '../../shared-lib/history/assess-site.ts'
import type { ElectrodeRecord, SiteAssessmentInput } from '../../shared-lib/history/assessment.ts'
import { defaultParameters } from '../../shared-lib/history/parameters.ts'
import { restoreMemory, saveMemory } from '../../shared-lib/history/site-memory.ts'
import { judgeAlone } from '../bench/fleet/judge-fleet.ts'
import { SETTINGS } from '../bench/fleet/setting.ts'
import { simulateFleet } from '../bench/fleet/simulate-fleet.ts'

const fleet = simulateFleet({ ...SETTINGS.half!, sites: 4, years: 12 }, 'memory')
const { sites, calibrations } = judgeAlone({ ...fleet, works: [] })
const records = [...sites.values()]
const MAKER = 'judge-1/default'
const input = (electrodes: ElectrodeRecord[]): SiteAssessmentInput => ({
  electrodes,
  calibrations,
  parameters: defaultParameters,
})

describe('a site judged on from a checkpoint', () => {
  it('finds exactly what a replay from its first test finds, wherever the checkpoint lies', () => {
    fc.assert(
      fc.property(
        fc.nat(records.length - 1),
        fc.double({ min: 0.05, max: 0.95, noNaN: true }),
        (s, share) => {
          const site = records[s]!
          const dates = site.flatMap((r) => r.tests.map((t) => t.testedAtMs)).sort((a, b) => a - b)
          const until = dates[Math.floor(share * dates.length)]!
          const earlier = site.map((r) => ({ ...r, tests: r.tests.filter((t) => t.testedAtMs <= until) }))
          const saved = saveMemory(replaySite(input(earlier)).state, MAKER)!
          const lastDay = saved.throughDay
          // A visit that the checkpoint cuts is judged again from the checkpoint before it.
          fc.pre(!dates.some((d) => d > until && Math.floor(d / 86_400_000) <= lastDay))
          const state = restoreMemory(JSON.parse(JSON.stringify(saved)), MAKER, site)
          const resumed = replaySite(input(site), state)
          const whole = replaySite(input(site))
          for (const { electrode, tests } of site) {
            const id = electrode.electrodeId
            expect(resumed.assessments[id]!.series).toEqual(whole.assessments[id]!.series)
            for (const t of tests.filter((x) => x.testedAtMs > until))
              expect(resumed.assessments[id]!.findings[t.surveyRef]).toEqual(
                whole.assessments[id]!.findings[t.surveyRef],
              )
          }
          expect(saveMemory(resumed.state, MAKER)).toEqual(saveMemory(whole.state, MAKER))
        },
      ),
      { numRuns: 25 },
    )
  })

  it('is refused when another judge or other parameters made it, when an electrode is gone, or when it is not one', () => {
    const site = records[0]!
    const saved = saveMemory(replaySite(input(site)).state, MAKER)
    expect(restoreMemory(saved, 'judge-2/default', site)).toBeNull()
    expect(restoreMemory(saved, MAKER, site.slice(1))).toBeNull()
    expect(restoreMemory({ some: 'thing' }, MAKER, site)).toBeNull()
    expect(restoreMemory(saved, MAKER, site)).not.toBeNull()
  })

  it('does not exist before the first test', () => {
    expect(saveMemory(replaySite(input([])).state, MAKER)).toBeNull()
  })
})
