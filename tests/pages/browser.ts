import { once } from 'node:events'
import type { AddressInfo } from 'node:net'
import { serve } from '@hono/node-server'
import chromium from '@sparticuz/chromium'
import { type Browser, type BrowserContextOptions, type Page, chromium as playwright } from 'playwright-core'
import { SESSION_COOKIE } from '../../functions/web/session.ts'
import type { Role } from '../../shared-lib/ports/identity.ts'
import type { House } from './house.ts'

export const PHONE = { width: 390, height: 844 }
export const DESKTOP = { width: 1280, height: 900 }

/** The house on a loopback port, and a real browser to look at it with. */
export interface Visit {
  url: string
  browser: Browser
  /** A page of a fresh context, signed in as the role. */
  open(role: Role, options?: BrowserContextOptions): Promise<Page>
  close(): Promise<void>
}

export async function visit(house: House): Promise<Visit> {
  const server = serve({ fetch: house.app.fetch, port: 0, hostname: '127.0.0.1' })
  if (!server.listening) await once(server, 'listening')
  const url = `http://127.0.0.1:${(server.address() as AddressInfo).port}`
  const browser = await playwright.launch({
    executablePath: await chromium.executablePath(),
    // One process for everything ends with its first context; `disable-web-security` would hide what our policy forbids.
    args: chromium.args.filter((a) => a !== '--single-process' && a !== '--disable-web-security'),
    headless: true,
  })
  return {
    url,
    browser,
    async open(role, options = {}) {
      const context = await browser.newContext({ baseURL: url, locale: 'en-GB', ...options })
      const [name = SESSION_COOKIE, value = ''] = (await house.cookieFor(role)).split('=')
      await context.addCookies([{ name, value, url }])
      return context.newPage()
    },
    async close() {
      await browser.close()
      server.close()
      if ('closeAllConnections' in server) server.closeAllConnections()
    },
  }
}
