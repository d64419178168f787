import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import {
  FULL_RUNS,
  type FullRun,
  figuresTable,
  newestOfEach,
  notNone,
  readRuns,
  withTable,
} from './full-runs.ts'

const run = (change: Partial<FullRun>): FullRun => ({
  at: '2026-01-01T00:00:00Z',
  size: 'full',
  what: 'order',
  command: 'npm run test:faults',
  count: 1,
  bad: { lost: 0 },
  ...change,
})

describe('the table of what full runs measured', () => {
  it('in DEVELOPERS.md is what the records say, and all that must be none is', () => {
    const runs = readRuns(FULL_RUNS)
    const developers = readFileSync(new URL('../../DEVELOPERS.md', import.meta.url), 'utf8')
    expect(withTable(developers, figuresTable(runs))).toBe(developers)
    expect(runs.every((each) => each.size === 'full' && each.count > 0)).toBe(true)
    for (const { what, tree, command } of runs) {
      expect([what, tree]).toEqual([what, expect.stringMatching(/^[0-9a-f]{7,40}$/)])
      expect([what, command]).toEqual([what, expect.stringMatching(/^npm run test:/)])
    }
    expect(notNone(runs)).toEqual([])
  })
  it('has the newest of each kind', () => {
    const runs = newestOfEach([
      run({ count: 2, at: '2026-02-01T00:00:00Z' }),
      run({ count: 1 }),
      run({ what: 'faults', count: 3 }),
    ])
    expect(runs.map(({ what, count }) => [what, count])).toEqual([
      ['faults', 3],
      ['order', 2],
    ])
  })
  it('names what is not none', () => {
    expect(notNone([run({}), run({ what: 'faults', bad: { lost: 0, twice: 1 } })])).toEqual(['faults'])
  })
})
