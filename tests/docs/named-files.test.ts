import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { basename, dirname, join } from 'node:path'
import { describe, expect, it } from 'vitest'

const ROOT = new URL('../..', import.meta.url).pathname
const DOCUMENTS = ['README.md', 'DEVELOPERS.md', 'tests/faults/README.md', 'sample-data/README.md']
const PATHS = /\b(?:tests|functions|cdk|shared-lib|sample-data)\/[\w*./-]*[\w*]/g

/** A file or folder, a file named without its ending, or a `*` at the end that stands for at least one. */
function isThere(path: string): boolean {
  const whole = join(ROOT, path)
  if (existsSync(whole)) return true
  const folder = dirname(whole)
  const begins = basename(whole).replace(/\*$/, '')
  const names = existsSync(folder) ? readdirSync(folder) : []
  return names.some((name) => (path.endsWith('*') ? name.startsWith(begins) : name.startsWith(`${begins}.`)))
}

const scripts = (
  JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8')) as { scripts: Record<string, string> }
).scripts

describe.each(DOCUMENTS)('%s', (document) => {
  const text = readFileSync(join(ROOT, document), 'utf8')
  it('names only files that are there', () => {
    expect([...new Set(text.match(PATHS))].filter((path) => !isThere(path))).toEqual([])
  })
  it('names only commands that are there', () => {
    const named = [...text.matchAll(/\bnpm run ([\w:-]+)/g)].map(([, name]) => name!)
    expect(named.filter((name) => !(name in scripts))).toEqual([])
  })
})
