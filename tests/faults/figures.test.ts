import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { readRecords, tableIn, tableOf, withTable, wrongIn } from './records.ts'

const ROOT = join(import.meta.dirname, '../..')
const document = readFileSync(join(ROOT, 'DEVELOPERS.md'), 'utf8')
const { scripts } = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8')) as {
  scripts: Record<string, string>
}

describe('the figures of the full runs', () => {
  it('stand in DEVELOPERS.md as they are recorded', () => {
    expect(tableIn(document)).toBe(tableOf(readRecords()))
  })

  it('are of full size, dated, of a commit, and name a command that exists', () => {
    const records = readRecords()
    expect(records.length).toBeGreaterThan(0)
    for (const { what, size, at, commit, command, count } of records) {
      expect([what, size]).toEqual([what, 'full'])
      expect([what, Number.isNaN(Date.parse(at)), count > 0]).toEqual([what, false, true])
      expect([what, commit]).toEqual([what, expect.stringMatching(/^[0-9a-f]{7,40}$/)])
      const script = /^npm run ([\w:-]+)/.exec(command)?.[1] ?? ''
      expect([what, Object.hasOwn(scripts, script)]).toEqual([what, true])
    }
  })

  it('show none of what must be none', () => {
    expect(readRecords().filter((record) => wrongIn(record) > 0)).toEqual([])
  })

  it('are put in the place of the table before, and nothing else of the document changes', () => {
    const changed = withTable(document, 'another table')
    expect(tableIn(changed)).toBe('another table')
    expect(withTable(changed, tableOf(readRecords()))).toBe(withTable(document, tableOf(readRecords())))
    expect(() => withTable('no place', '')).toThrow('no place for the table')
  })
})
