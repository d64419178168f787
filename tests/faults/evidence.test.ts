import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'

const ROOT = join(import.meta.dirname, '../..')
const document = readFileSync(join(ROOT, 'DEVELOPERS.md'), 'utf8')

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

describe('each story of failure', () => {
  const readme = readFileSync(join(import.meta.dirname, 'README.md'), 'utf8')
  const [, stories = ''] = readme.split('## Stories of failure')
  const rows = stories
    .split('\n')
    .filter((line) => line.startsWith('| ') && !/^\| (-|what happened)/.test(line))
    .map((line) => line.split('|').map((cell) => cell.trim()))

  it.each(rows.map((row) => [row[1]!, row[3]!]))('has a test that is there: %s', (_, shownBy) => {
    const files = [...shownBy.matchAll(/tests\/[\w/.-]+|\b(?:stories|crash-at-every-step)\b/g)].map(
      ([name]) => (name.startsWith('tests/') ? name : `tests/faults/${name}`),
    )
    expect(files.length).toBeGreaterThan(0)
    const texts = files.map((file) => {
      const path = join(ROOT, `${file}.test.ts`)
      expect([file, existsSync(path)]).toEqual([file, true])
      return readFileSync(path, 'utf8')
    })
    for (const [, name = ''] of shownBy.matchAll(/"([^"]+)"/g)) {
      const words = name.replaceAll('…', '').trim()
      expect([words, texts.some((text) => text.includes(words))]).toEqual([words, true])
    }
  })

  it('of the thirteen is in the list', () => {
    expect(rows).toHaveLength(13)
  })
})
