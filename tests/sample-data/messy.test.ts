import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { electrodesOf } from '../../sample-data/make/electrode.ts'
import { SITES } from '../../sample-data/make/site-list.ts'
import { readBack, SAMPLE } from './read-back.ts'

interface Promised {
  surveyRef: string
  first: number
  last: number
  expected: string
  code: string
}

/** The table of the README: what it says is what is tested. */
const promised: Promised[] = readFileSync(join(SAMPLE, 'README.md'), 'utf8')
  .split('\n')
  .filter((line) => line.startsWith('| DEMO-X-'))
  .map((line) => {
    const [, surveyRef = '', rows = '', expected = '', code = ''] = line.split('|').map((cell) => cell.trim())
    const [first, last = first] = rows.split('-').map(Number)
    return { surveyRef, first: first!, last: last!, expected, code }
  })

const known = new Set(SITES.flatMap(electrodesOf).map((one) => one.register.electrodeId))

describe('messy.csv', () => {
  it('has thirteen surveys in the README table, some of each outcome', () => {
    expect(promised).toHaveLength(13)
    expect(new Set(promised.map((one) => one.expected))).toEqual(new Set(['taken in', 'refused', 'held']))
  })

  it.each(promised)('gives $surveyRef the outcome the README promises: $expected $code', async (one) => {
    const { entries } = await readBack('messy.csv')
    if (one.expected === 'refused') {
      const refusals = entries.flatMap((entry) =>
        entry.kind === 'refused' && entry.row !== null && entry.row >= one.first && entry.row <= one.last
          ? [entry]
          : [],
      )
      expect(refusals.length).toBeGreaterThan(0)
      expect(new Set(refusals.map((entry) => entry.code))).toEqual(new Set([one.code]))
      return
    }
    const taken = entries.flatMap((entry) =>
      entry.kind === 'survey' && entry.survey.surveyRef === one.surveyRef ? [entry] : [],
    )
    expect(taken).toHaveLength(1)
    expect(taken[0]!.rows).toEqual({ first: one.first, last: one.last })
    // Whether a survey is held is decided by the register, not by the file.
    expect(known.has(taken[0]!.survey.electrodeId!)).toBe(one.expected === 'taken in')
  })
})
