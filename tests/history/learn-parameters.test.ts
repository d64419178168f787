import { describe, expect, it } from 'vitest'
import { assessSite } from '../../shared-lib/history/assess-site.ts'
import { diffAssessments } from '../../shared-lib/history/learn/diff-assessments.ts'
import { learnParameters } from '../../shared-lib/history/learn/learn-parameters.ts'
import { beliefsOf, defaultParameters } from '../../shared-lib/history/parameters.ts'
import { parseParameters } from '../../shared-lib/history/parse-parameters.ts'
import { judgeAlone } from '../bench/fleet/judge-fleet.ts'
import { SETTINGS } from '../bench/fleet/setting.ts'
import { simulateFleet } from '../bench/fleet/simulate-fleet.ts'

function sitesOf(noiseSd: number, sites: number) {
  const fleet = simulateFleet({ ...SETTINGS.ordinary!, noiseSd, sites, years: 10 }, 'learn')
  const alone = judgeAlone({ ...fleet, works: [] })
  return [...alone.sites.values()].map((electrodes) => ({ electrodes, calibrations: alone.calibrations }))
}
const careful = sitesOf(0.03, 20)

describe('parameters learnt from an operator', () => {
  it('tell careful crews from rough ones', async () => {
    const low = await learnParameters(careful)
    const high = await learnParameters(sitesOf(0.09, 20))
    expect(low.noiseLn).toBeLessThan(0.055)
    expect(high.noiseLn).toBeGreaterThan(0.07)
    expect(low.basis).toMatchObject({ sites: 20, surveys: expect.any(Number) })
    expect(low.basis.numbers.noiseSd).toBeGreaterThan(100)
  })

  it('are the same for the same sites in any order, under a name that is theirs alone', async () => {
    const forth = await learnParameters(careful)
    const back = await learnParameters([...careful].reverse())
    expect(back.version).toBe(forth.version)
    expect(back.beliefs).toEqual(forth.beliefs)
    expect((await learnParameters(careful.slice(0, 12))).version).not.toBe(forth.version)
  })

  it('stay at the defaults where there is nothing to learn from, and near them where there is little', async () => {
    const nothing = await learnParameters([])
    expect(nothing.noiseLn).toBe(defaultParameters.noiseLn)
    const little = await learnParameters(careful.slice(0, 1))
    expect(Math.abs(little.noiseLn / 0.055 - 1)).toBeLessThan(0.35)
  })

  it('are read back as they were written, and name what is wrong in them', async () => {
    const learnt = await learnParameters(careful)
    expect(parseParameters(JSON.parse(JSON.stringify(learnt)))).toEqual({ ok: true, parameters: learnt })
    const odd = parseParameters({ ...learnt, beliefs: { noiseSd: -1 } })
    expect(odd).toMatchObject({ ok: false, reason: expect.stringMatching(/beliefs\.noiseSd/) })
    expect(parseParameters({ ...learnt, beliefs: { unheardOf: 1 } }).ok).toBe(false)
    expect(parseParameters('default').ok).toBe(false)
  })

  it('let the two plain numbers speak where nothing finer was learnt', () => {
    expect(beliefsOf({ version: 'x', noiseLn: 0.08, seasonLn: 0.5 })).toMatchObject({
      noiseSd: 0.08,
      seasonSd: 2 * beliefsOf(defaultParameters).seasonSd,
    })
  })
})

describe('what new parameters would change', () => {
  const judged = (noiseLn: number, version: string) =>
    Object.assign(
      {},
      ...careful.map((s) => assessSite({ ...s, parameters: { version, noiseLn, seasonLn: 0.25 } })),
    )
  it('is listed by electrode, survey and code, and nothing when nothing changes', () => {
    const before = judged(0.12, 'a')
    expect(diffAssessments(before, judged(0.12, 'b'))).toEqual([])
    const changes = diffAssessments(before, judged(0.02, 'b'))
    expect(changes.some((c) => c.change === 'added' && c.before === null)).toBe(true)
    const again = diffAssessments(judged(0.02, 'b'), before)
    expect(again.filter((c) => c.change === 'removed').length).toBe(
      changes.filter((c) => c.change === 'added').length,
    )
  })

  it('is traced to the version that made each finding', () => {
    const all = Object.values(judged(0.03, 'learnt-7')) as ReturnType<typeof assessSite>[string][]
    const versions = all.flatMap((a) =>
      Object.values(a.findings)
        .flat()
        .map((f) => f.evidence.parametersVersion),
    )
    expect(new Set(versions)).toEqual(new Set(['learnt-7']))
  })
})
