import { readFile } from 'node:fs/promises'
import { describe, expect, it } from 'vitest'

/**
 * The sections of the collection of check values that have numbers, and where each is tested. Not tested because no code uses it: the
 * monthly series and season factors of section 4, corrosion rates of section 9, the ball bearings of section 10.
 */
const SECTIONS: readonly [number, string, readonly string[]][] = [
  [1, 'Fall of potential, theory', ['fall-of-potential.test.ts', 'fall-of-potential-tables.test.ts']],
  [2, 'Slope method', ['slope-method.test.ts', 'fall-of-potential-tables.test.ts']],
  [
    3,
    'Electrode resistance formulas',
    ['electrode-formulas.test.ts', 'electrodes-and-field.test.ts', 'field-calculation.test.ts'],
  ],
  [4, 'Soil, temperature, season, frost', ['soils-limits-instruments.test.ts', 'field-calculation.test.ts']],
  [
    5,
    'Two-layer soil and Wenner',
    ['soundings.test.ts', 'four-point.test.ts', 'fall-of-potential-tables.test.ts'],
  ],
  [6, 'Acceptance limits', ['soils-limits-instruments.test.ts']],
  [7, 'Instruments, IEC 61557-5', ['soils-limits-instruments.test.ts']],
  [8, 'Survey data sets', ['worked-lines.test.ts', 'soils-limits-instruments.test.ts']],
  [9, 'Corrosion and loss of contact', ['field-calculation.test.ts']],
  [10, 'Uncertainty and decision rules', ['decision-rules.test.ts']],
]

describe('the collection of check values', () => {
  it.each(SECTIONS)('section %i, %s, is tested, with words on provenance', async (_, __, files) => {
    for (const file of files) {
      const text = await readFile(new URL(file, import.meta.url), 'utf8')
      expect(text).toMatch(/\bit(\.each)?\(/)
      expect(text).toMatch(/FOUND|MEMORY|COMPUTED/)
    }
  })
  it('is numbered without a gap', () => {
    expect(SECTIONS.map(([n]) => n)).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9, 10])
  })
})
