import { existsSync, readFileSync } from 'node:fs'
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

describe('evidence named by DEVELOPERS.md', () => {
  /** What a cell of evidence names: `tests/a, b` means `tests/b` too; words in brackets explain. */
  const named = (cell: string): string[] =>
    cell
      .replaceAll(/\([^)]*\)/g, '')
      .split(/[;,]/)
      .map((part) => part.trim())
      .filter((part) => /^[\w./-]+$/.test(part) && /[/.]/.test(part))

  const places = (path: string): string[] =>
    ['', 'tests/', 'tests/security/', 'tests/fuzz/', 'functions/web/', 'cdk/local/', 'shared-lib/ports/']
      .map((folder) => join(ROOT, folder + path))
      .flatMap((base) => [base, `${base}.ts`, `${base}.test.ts`, `${base}.script.ts`])

  const rowsOf = (heading: string): string[][] => {
    const [, after = ''] = document.split(`\n## ${heading}`)
    const [section = ''] = after.split('\n## ')
    return section
      .split('\n')
      .filter((line) => line.startsWith('|') && !line.startsWith('| ---'))
      .map((line) => line.split('|').map((cell) => cell.trim()))
      .slice(1)
  }

  it.each(['OWASP ASVS 5', 'What is protected'])('is there, in every row of “%s”', (heading) => {
    const rows = rowsOf(heading).filter((row) => !/^-*$/.test(row[1]!))
    expect(rows.length).toBeGreaterThan(8)
    const missing = rows.flatMap((row) =>
      named(row.at(-2)!).filter((path) => !places(path).some((at) => existsSync(at))),
    )
    expect(missing).toEqual([])
    for (const row of rows) if (row[2] === 'yes') expect([row[1], row.at(-2)]).not.toEqual([row[1], ''])
  })
})
