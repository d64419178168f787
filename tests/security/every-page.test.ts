import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { ROLES, type Role } from '../../shared-lib/ports/identity.ts'
import { fillDemo } from '../pages/demo.ts'
import { type House, openHouse } from '../pages/house.ts'

let house: House
beforeAll(async () => {
  house = await openHouse()
  await fillDemo(house)
}, 30_000)
afterAll(() => house.close())

interface Seen {
  path: string
  status: number
  type: string
  body: string
  headers: Headers
}

const MOST_PAGES = 35

/** Every page that a person of this role comes to by following links from the start. */
async function crawl(role: Role): Promise<Seen[]> {
  const seen = new Map<string, Seen>()
  const waiting = ['/']
  for (let path = waiting.shift(); path !== undefined && seen.size < MOST_PAGES; path = waiting.shift()) {
    // One of each kind of query is enough: a page of many lists differs only in its rows.
    const key = path.replace(/=[^&]*/g, '=')
    if (seen.has(key)) continue
    const answer = await house.get(role, path)
    const body = await answer.text()
    const type = answer.headers.get('content-type') ?? ''
    seen.set(key, { path, status: answer.status, type, body, headers: answer.headers })
    if (!type.startsWith('text/html')) continue
    for (const [, href] of body.matchAll(/(?:href|src)="(\/[^"#]*)/g))
      waiting.push(href!.replaceAll('&amp;', '&'))
  }
  return [...seen.values()]
}

describe.each(ROLES)('every page that %s comes to by its links', (role) => {
  let pages: Seen[]
  beforeAll(async () => {
    pages = await crawl(role)
  }, 60_000)

  it('is there, and none fails or leads nowhere', () => {
    expect(pages.length).toBeGreaterThan(8)
    // A survey may name an instrument that nobody has told anything of; its page says that in words.
    const wrong = pages.filter(
      (p) => p.status >= 400 && !p.body.includes('neither a calibration nor a check'),
    )
    expect(wrong.map((p) => `${p.path} ${p.status}`)).toEqual([])
  })

  it('allows nothing inline, nothing from elsewhere and no frame, and says its kind', () => {
    for (const { path, headers, type } of pages) {
      const policy = headers.get('content-security-policy') ?? ''
      expect(`${path} ${policy}`).toMatch(/default-src 'none'/)
      expect(`${path} ${policy}`).toMatch(/frame-ancestors 'none'/)
      expect(`${path} ${policy}`).not.toMatch(/unsafe-|\*|https?:/)
      expect(`${path} ${headers.get('x-content-type-options')}`).toBe(`${path} nosniff`)
      expect(headers.get('x-powered-by')).toBeNull()
      expect(headers.get('server')).toBeNull()
      if (type.startsWith('text/html'))
        expect(`${path} ${headers.get('cache-control')}`).toMatch(/ (no-store|private, no-cache)$/)
    }
  })

  it('needs nothing inline: no script, handler or style is written into its markup', () => {
    for (const { path, body, type } of pages.filter((p) => p.type.startsWith('text/html'))) {
      expect(type).toContain('charset=utf-8')
      expect(`${path} ${/<script(?![^>]* src=)[^>]*>/i.exec(body)?.[0]}`).toBe(`${path} undefined`)
      expect(`${path} ${/<[^>]+ on[a-z]+="/i.exec(body)?.[0]}`).toBe(`${path} undefined`)
      expect(`${path} ${/<[^>]+ style="/i.exec(body)?.[0]}`).toBe(`${path} undefined`)
      expect(`${path} ${/javascript:/i.exec(body)?.[0]}`).toBe(`${path} undefined`)
      expect(`${path} ${/(?:src|href)="(?:https?:)?\/\/(?!127)/i.exec(body)?.[0]}`).toBe(`${path} undefined`)
    }
  })
})
