import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Parameters } from '../../shared-lib/history/assessment.ts'
import { DEFAULT_BELIEFS } from '../../shared-lib/history/model/beliefs.ts'
import { defaultParameters } from '../../shared-lib/history/parameters.ts'
import { type House, openHouse, someone } from './house.ts'

const admin = someone('admin')
let house: House
beforeAll(async () => {
  house = await openHouse()
})
afterAll(() => house.close())

const learnt = (version: string, stepRise: number): Parameters => ({
  ...defaultParameters,
  version,
  thresholds: { 'step-rise': stepRise },
  basis: {
    ...{ sites: 3, electrodes: 20, surveys: 400, findingsPer100: 5, numbers: {} },
    decided: { 'step-rise': { confirmed: 20, dismissed: 25 } },
  },
})
const propose = (parameters: Parameters, learntAt: string) =>
  house.deps.ledger.putLearnt({
    ...{ parameters, learntAt, changes: [] },
    counts: { added: 0, removed: 3, graver: 0, milder: 0, chance: 0 },
  })
const thresholdsByVersion = async () => {
  const answer = await house.call(admin, 'GET', '/api/parameters')
  const { items } = (await answer.json()) as { items: { version: string; thresholds: object[] }[] }
  return Object.fromEntries(items.map((i) => [i.version, i.thresholds]))
}

describe('thresholds that decisions have taught', () => {
  it('are shown against those in force, with the decisions behind them, before and after one is adopted', async () => {
    await propose(learnt('taught-1', 0.7), '2026-05-01T00:00:00Z')
    await propose(learnt('taught-2', 0.75), '2026-05-02T00:00:00Z')
    const behind = { code: 'step-rise', confirmed: 20, dismissed: 25 }
    expect(await thresholdsByVersion()).toEqual({
      'taught-1': [{ ...behind, before: DEFAULT_BELIEFS.threshold, after: 0.7 }],
      'taught-2': [{ ...behind, before: DEFAULT_BELIEFS.threshold, after: 0.75 }],
    })
    const adopted = await house.call(admin, 'POST', '/api/parameters/taught-1/adopt')
    expect(adopted.status).toBe(200)
    expect(await thresholdsByVersion()).toEqual({
      'taught-1': [],
      'taught-2': [{ ...behind, before: 0.7, after: 0.75 }],
    })
  })
})
