import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'

/** Licences that ask for no more than to be named. */
const ALLOWED = new Set([
  'MIT',
  'MIT-0',
  'ISC',
  'Apache-2.0',
  'BSD-2-Clause',
  'BSD-3-Clause',
  '0BSD',
  'BlueOak-1.0.0',
  'CC0-1.0',
  'Unlicense',
  'Zlib',
  'Python-2.0',
])
/** Only for building and testing, never part of what is delivered. */
const ALLOWED_FOR_TOOLS = new Set([...ALLOWED, 'MPL-2.0', 'CC-BY-4.0', 'CC-BY-3.0'])

interface Locked {
  license?: string
  dev?: boolean
  link?: boolean
}

/** Is this SPDX expression met: of `A OR B` one, of `A AND B` both. */
const met = (expression: string, allowed: ReadonlySet<string>): boolean =>
  expression
    .replaceAll(/[()]/g, '')
    .split(' OR ')
    .some((choice) => choice.split(' AND ').every((licence) => allowed.has(licence.trim())))

describe('the licences of all packages', () => {
  it('are on the list of those that ask for no more than to be named; a package without one fails', () => {
    const { packages } = JSON.parse(readFileSync('package-lock.json', 'utf8')) as {
      packages: Record<string, Locked>
    }
    const all = Object.entries(packages).filter(([path, p]) => path !== '' && !p.link)
    expect(all.length).toBeGreaterThan(100)
    const outside = all.filter(([, p]) => !met(p.license ?? 'none', p.dev ? ALLOWED_FOR_TOOLS : ALLOWED))
    expect(outside.map(([path, p]) => `${path}: ${p.license ?? 'none'}`)).toEqual([])
  })
})
