import { describe, expect, it } from 'vitest'
import { causesFirst, type OpenFinding, stepSince } from '../../shared-lib/plan/cause-first.ts'

const open = (code: OpenFinding['code'], surveyRef: string, testedAt: string): OpenFinding => ({
  code,
  surveyRef,
  testedAt,
  message: `${code} seen.`,
  advice: ['Look at it.'],
})

describe('what must be found out before any remedy', () => {
  it('is the open or broken earth first, then the step; each once, by its newest test', () => {
    const causes = causesFirst([
      open('step-rise', 'S-1', '2025-01-01T10:00:00Z'),
      open('electrode-open-suspected', 'S-2', '2025-06-01T10:00:00Z'),
      open('step-rise', 'S-3', '2026-01-01T10:00:00Z'),
    ])
    expect(causes.map(({ code, surveyRef }) => [code, surveyRef])).toEqual([
      ['electrode-open-suspected', 'S-2'],
      ['step-rise', 'S-3'],
    ])
  })
  it('sends to a conductor with its caution, to a sheet of paper without', () => {
    const [step, slip] = causesFirst([
      open('decimal-slip', 'S-1', '2026-01-01T10:00:00Z'),
      open('step-rise', 'S-1', '2026-01-01T10:00:00Z'),
    ])
    expect(step!.cautions.join()).toContain('person in control')
    expect(slip!.cautions).toEqual([])
  })
  it('is nothing where only the limit is passed', () => {
    expect(causesFirst([open('limit-exceeded', 'S-1', '2026-01-01T10:00:00Z')])).toEqual([])
  })
  it('is a step too where a person says what it read before', () => {
    expect(stepSince(20, 29)).toBeNull()
    expect(stepSince(20, 31)!.message).toContain('31.0 ohm against 20.0 ohm')
  })
})
