import { gzipSync } from 'node:zlib'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { buildClient } from '../../functions/web/client/build-client.ts'
import { fillDemo } from './demo.ts'
import { type House, openHouse } from './house.ts'

/** Kilobytes of 1,000 bytes, as a network counts. */
const MOST_BYTES = 60_000

let house: House
beforeAll(async () => {
  house = await openHouse({ assets: await buildClient() })
  await fillDemo(house)
}, 30_000)
afterAll(() => house.close())

/** As every browser of the last years asks over a secure connection. */
const BROWSER = { 'Accept-Encoding': 'gzip, deflate, br' }

/** Everything a first visit loads, as it travels: the page, what it names, and what its scripts import. */
async function firstUse(path: string): Promise<Map<string, number>> {
  const weights = new Map<string, number>()
  const headers = { Cookie: await house.cookieFor('field'), Accept: 'text/html' }
  const load = async (address: string): Promise<void> => {
    if (weights.has(address)) return
    const answer = await house.app.request(address, { headers: { ...headers, ...BROWSER } })
    expect([address, answer.status]).toEqual([address, 200])
    const bytes = new Uint8Array(await answer.arrayBuffer())
    // A page is made anew each time and packed by what stands before the service; gzip is the least that does.
    const isPage = answer.headers.get('Content-Encoding') === null
    weights.set(address, isPage ? gzipSync(bytes, { level: 9 }).byteLength : bytes.byteLength)
    const text = await (await house.app.request(address, { headers })).text()
    const named = address.endsWith('.js')
      ? [...text.matchAll(/(?:from|import)\s*"(?:\.\/|\/assets\/)([^"]+)"/g)].map((m) => `/assets/${m[1]}`)
      : [...text.matchAll(/(?:<script[^>]* src|<link[^>]* href)="([^"]+)"/g)].map((m) => m[1]!)
    for (const next of named) await load(next)
  }
  await load(path)
  await load('/sw.js')
  return weights
}

describe('the field form', () => {
  it('weighs at most 60 kB compressed with everything it needs for its first use', async () => {
    const weights = await firstUse('/surveys/new?electrode=DEMO-R1')
    const kinds = [
      '/surveys/new',
      '/assets/field.css',
      '/assets/field-',
      '/sw.js',
      '/manifest',
      '/assets/icon',
    ]
    for (const kind of kinds)
      expect([kind, [...weights.keys()].some((address) => address.startsWith(kind))]).toEqual([kind, true])
    const total = [...weights.values()].reduce((sum, bytes) => sum + bytes, 0)
    if (process.env.WEIGHTS) console.table([...weights, ['together', total]])
    expect(total).toBeLessThanOrEqual(MOST_BYTES)
  })

  it('is drawn without a script: every script is a module, fetched after the page', async () => {
    const page = await (await house.get('field', '/surveys/new')).text()
    const scripts = [...page.matchAll(/<script[^>]*>/g)].map((m) => m[0])
    expect(scripts.length).toBe(1)
    for (const script of scripts) expect(script).toContain('type="module"')
  })

  it('runs files of this service and nothing inline', async () => {
    const answer = await house.get('field', '/surveys/new')
    const policy = answer.headers.get('Content-Security-Policy') ?? ''
    expect(policy).toContain("script-src 'self'")
    expect(policy).not.toContain('unsafe')
    expect(await answer.text()).not.toMatch(/\sstyle="|\son[a-z]+="|<script(?![^>]* src=)/)
    const elsewhere = await house.get('field', '/electrodes')
    expect(elsewhere.headers.get('Content-Security-Policy')).not.toContain('script-src')
  })

  it('has no script where none was built, and is the same form', async () => {
    const bare = await openHouse()
    try {
      const page = await (await bare.get('field', '/surveys/new')).text()
      expect(page).not.toContain('<script')
      expect(page).toContain('id="survey-form"')
    } finally {
      await bare.close()
    }
  })
})

describe('what is built for the browser', () => {
  it('has the same addresses for the same sources, so that what was fetched once stays good', async () => {
    const paths = (await buildClient()).map((a) => a.path)
    expect(paths).toEqual(house.deps.assets!.map((a) => a.path))
    expect(paths).toContain('/sw.js')
  })

  it('is served to anybody, signed in or not, with its own lifetime', async () => {
    for (const asset of house.deps.assets!) {
      const answer = await house.app.request(asset.path)
      expect([asset.path, answer.status]).toEqual([asset.path, 200])
      const hashed = /-[A-Z0-9]{8}\.js$/.test(asset.path)
      expect([asset.path, answer.headers.get('Cache-Control')?.includes('immutable')]).toEqual([
        asset.path,
        hashed,
      ])
    }
  })
})

describe('labels for the lids of a site', () => {
  it('show one code and the same words in print for each electrode, and the link leads to its form', async () => {
    expect(await (await house.get('field', '/sites/DEMO-NORTH')).text()).toContain(
      'href="/sites/DEMO-NORTH/labels"',
    )
    const page = await (await house.get('field', '/sites/DEMO-NORTH/labels')).text()
    const labels = [...page.matchAll(/<li class="label">[\s\S]*?<\/li>/g)].map((m) => m[0])
    expect(labels.length).toBe(3)
    for (const label of labels) expect(label.match(/<svg/g)).toHaveLength(1)
    expect(labels.find((l) => l.includes('DEMO-R1'))).toContain('Tag 100')
    expect(new Set(labels.map((l) => /<path[^>]*d="([^"]+)"/.exec(l)?.[1])).size).toBe(3)
    const opened = await house.get('field', '/e/DEMO-R1')
    expect([opened.status, opened.headers.get('Location')]).toEqual([303, '/surveys/new?electrode=DEMO-R1'])
  })

  it('are for people of the site', async () => {
    const answer = await house.get('field', '/sites/DEMO-NORTH/labels', { sites: ['DEMO-SOUTH'] })
    expect(answer.status).toBe(403)
  })
})
