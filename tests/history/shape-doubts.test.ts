import { describe, expect, it } from 'vitest'
import type { PriorTest } from '../../shared-lib/history/assessment.ts'
import { assessOne, inputOf, testOf, yearly } from './examples.ts'

const doubted = (ohm: number, extra: Partial<PriorTest> = {}): PriorTest =>
  testOf('2020-05-03', ohm, { validity: 'doubtful', ownCodes: ['readings-disagree'], ...extra })
const found = (tests: PriorTest[]) => assessOne(inputOf(tests)).findings['T-2020-05-03'] ?? []
const SOUND = yearly(2015, [11, 11.3, 10.8, 11.1, 11.2])

describe('a doubt that a sheet has about its own shape', () => {
  it('is answered where the value and the curve are what earlier tests let expect', () => {
    const [answer] = found([...SOUND, doubted(11.25)])
    expect(answer).toMatchObject({
      code: 'readings-disagree',
      severity: 'notice',
      probability: null,
      evidence: { answersOwnDoubt: true, resistanceOhm: 11.25 },
    })
    expect(answer!.message).toMatch(/11\.3 ohm is what the earlier tests let expect/)
  })

  it('stays where the value is another, where there is too little past, and where nobody doubted', () => {
    const answers = (tests: PriorTest[]) => found(tests).filter((f) => 'answersOwnDoubt' in f.evidence)
    expect(answers([...SOUND, doubted(16)])).toEqual([])
    expect(answers([...SOUND.slice(0, 1), doubted(11.25)])).toEqual([])
    expect(answers([...SOUND, doubted(11.25, { ownCodes: [] })])).toEqual([])
    expect(answers([...SOUND, doubted(11.25, { validity: 'invalid' })])).toEqual([])
  })

  it('stays where the readings climb as they never did here', () => {
    const steep = doubted(11.25)
    steep.readings = [9.6, 11.3, 14.1].map((resistanceOhm, i) => ({
      potentialProbeM: 15.6 + 3 * i,
      resistanceOhm,
      condition: 'ok',
    }))
    expect(found([...SOUND, steep]).map((f) => [f.code, f.severity])).toEqual([
      ['current-probe-too-close', 'warning'],
    ])
  })

  it('about the distance of the current probe is a fact that no earlier test takes away', () => {
    expect(found([...SOUND, doubted(11.25, { ownCodes: ['current-probe-too-close'] })])).toEqual([])
  })
})
