import { describe, expect, it } from 'vitest'
import { createRowCounts } from '../../shared-lib/survey/row-counts.ts'

describe('the rows of each survey', () => {
  it('are counted exactly for many references, also such as differ by one character', () => {
    const counts = createRowCounts()
    const refs = Array.from({ length: 50_000 }, (_, i) => `S-${i}`)
    for (const ref of refs) for (let i = 0; i <= ref.length % 3; i++) counts.add(ref)
    expect(counts.size).toBe(refs.length)
    for (const ref of refs) expect(counts.get(ref)).toBe((ref.length % 3) + 1)
    expect(counts.get('S-x')).toBe(0)
  })

  it('are kept under whole numbers that never repeat among a hundred thousand references', () => {
    const { key } = createRowCounts()
    const keys = Array.from({ length: 100_000 }, (_, i) => key(`2026/${i}/A`))
    expect(new Set(keys).size).toBe(keys.length)
    for (const each of keys) expect(Number.isSafeInteger(each) && each > 0).toBe(true)
  })
})
