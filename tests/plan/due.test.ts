import { describe, expect, it } from 'vitest'
import { dueOn } from '../../shared-lib/plan/due.ts'

describe('when the next test is due', () => {
  it('is the last test plus the interval', () => {
    expect(dueOn({ retestMonths: 12 }, '2025-11-25T10:00:00Z')).toBe('2026-11-25')
  })
  it('falls on the last day of a shorter month', () => {
    expect(dueOn({ retestMonths: 1 }, '2026-01-31T10:00:00Z')).toBe('2026-02-28')
  })
  it('counts from the installation while it was never tested', () => {
    expect(dueOn({ retestMonths: 24, installedOn: '2024-06-01' }, undefined)).toBe('2026-06-01')
  })
  it('is unknown without an interval or a date', () => {
    expect(dueOn({ installedOn: '2024-06-01' }, undefined)).toBeUndefined()
    expect(dueOn({ retestMonths: 12 }, undefined)).toBeUndefined()
    expect(dueOn({ retestMonths: 0 }, '2026-01-31T10:00:00Z')).toBeUndefined()
    expect(dueOn({ retestMonths: 12 }, 'not a date')).toBeUndefined()
  })
})
