import { readFile } from 'node:fs/promises'
import type { IncomingMessage } from 'node:http'
import { createRequire } from 'node:module'
import type { BrowserContextOptions, Page } from 'playwright-core'
import { buildClient } from '../../functions/web/client/build-client.ts'
import type { Role } from '../../shared-lib/ports/identity.ts'
import { type Visit, visit } from './browser.ts'
import { fillDemo } from './demo.ts'
import { type House, openHouse } from './house.ts'

/** What the network between phone and service does. `portal` answers everything with a page of its own and 200. */
type Network = 'good' | 'dead' | 'portal' | 'busy' | 'slow'

export interface FieldVisit extends Visit {
  house: House
  network(now: Network): void
  /** Puts another file in the place of one of ours, or takes the replacement away. */
  replace(path: string, body: string | null): void
  /** Surveys handed in as JSON, as they arrived. */
  sent: { surveyRef: string }[]
}

/** Longer than the phone waits for a page. */
const SLOW_MS = 7000
const PORTAL = '<!doctype html><title>Free wireless</title><h1>Agree to our terms</h1>'

/** The demo house with the browser scripts, behind a network that can fail and lie. */
export async function openField(): Promise<FieldVisit> {
  const house = await openHouse({ assets: await buildClient() })
  await fillDemo(house)
  let network: Network = 'good'
  const replaced = new Map<string, string>()
  const sent: { surveyRef: string }[] = []
  const answer = async (request: Request, env: { incoming: IncomingMessage }): Promise<Response> => {
    if (network === 'dead') {
      env.incoming.socket.destroy()
      return new Response(null, { status: 503 })
    }
    if (network === 'slow') await new Promise((done) => setTimeout(done, SLOW_MS))
    if (network === 'portal') return new Response(PORTAL, { headers: { 'Content-Type': 'text/html' } })
    const { pathname } = new URL(request.url)
    const other = replaced.get(pathname)
    if (other !== undefined) return new Response(other, { headers: { 'Content-Type': 'text/javascript' } })
    if (pathname === '/api/surveys') {
      sent.push((await request.clone().json()) as { surveyRef: string })
      if (network === 'busy') return new Response('upstream', { status: 502 })
    }
    return house.app.fetch(request)
  }
  const there = await visit({ ...house, app: { fetch: answer } as unknown as House['app'] })
  return {
    ...there,
    async open(role, options) {
      const page = await there.open(role, options)
      // A step that does not come says which, long before the test as a whole gives up.
      page.context().setDefaultTimeout(15_000)
      return page
    },
    house,
    sent,
    network(now) {
      network = now
    },
    replace(path, body) {
      if (body === null) replaced.delete(path)
      else replaced.set(path, body)
    },
    async close() {
      await there.close()
      await house.close()
    },
  }
}

export const SMALL_PHONE = { width: 360, height: 740 }

/** A page of the form whose scripts have taken over. */
export async function openForm(
  there: Visit,
  path = '/surveys/new?electrode=DEMO-R1',
  options: BrowserContextOptions & { role?: Role } = {},
): Promise<Page> {
  const { role = 'field', ...rest } = options
  const page = await there.open(role, { viewport: SMALL_PHONE, ...rest })
  await page.goto(path)
  await ready(page)
  return page
}

export async function ready(page: Page): Promise<void> {
  await page.locator('.field-bar .next').filter({ hasText: /./ }).waitFor()
}

/** Distance and three readings of a sound short survey. */
export async function typeReadings(page: Page, ohms = ['10.9', '11.0', '11.2']): Promise<void> {
  await page.getByLabel('Distance of the current probe').fill('30')
  for (const [i, ohm] of ohms.entries()) await page.locator(`#r${i}-ohm`).fill(ohm)
}

/** The rest of a survey whose link was never opened. */
export async function finish(page: Page): Promise<void> {
  await page.getByLabel('What was connected while measuring').selectOption('electrode-alone')
  await page.getByLabel('Never opened').check()
}

export const handIn = (page: Page) =>
  page.locator('.field-bar').getByRole('button', { name: 'Hand in' }).click()

/** The worker runs and keeps everything the form needs. */
export async function kept(page: Page): Promise<void> {
  await page.evaluate(async () => {
    const { navigator } = globalThis as unknown as {
      navigator: { serviceWorker: { ready: Promise<unknown> } }
    }
    await navigator.serviceWorker.ready
  })
  // The register follows the page by itself.
  await page.waitForFunction(async () => {
    const { indexedDB } = globalThis as unknown as {
      indexedDB: { open(name: string): { onsuccess: () => void; result: KeptStore } }
    }
    const opened = indexedDB.open('stakeline')
    return new Promise((done) => {
      opened.onsuccess = () => {
        const count = opened.result.transaction('books').objectStore('books').count()
        count.onsuccess = () => {
          opened.result.close()
          done(count.result >= 2)
        }
      }
    })
  })
}

interface KeptStore {
  transaction(name: string): {
    objectStore(name: string): { count(): { onsuccess: () => void; result: number } }
  }
  close(): void
}

const axePath = createRequire(import.meta.url).resolve('axe-core/axe.min.js')

/** Rules of WCAG 2.2 A and AA that axe finds broken on this page, with where. Needs `bypassCSP`. */
export async function broken(page: Page): Promise<string[]> {
  await page.addScriptTag({ content: await readFile(axePath, 'utf8') })
  return page.evaluate(async () => {
    const { axe } = globalThis as unknown as {
      axe: { run(options: object): Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> }
    }
    const tags = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']
    const { violations } = await axe.run({ runOnly: { type: 'tag', values: tags } })
    return violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.html.slice(0, 160)).join(' | ')}`)
  })
}
