import type { Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest'
import { SESSION_COOKIE } from '../../functions/web/session.ts'
import {
  type FieldVisit,
  finish,
  handIn,
  kept,
  openField,
  openForm,
  ready,
  typeReadings,
} from './field-visit.ts'

let there: FieldVisit
beforeAll(async () => {
  there = await openField()
}, 60_000)
afterAll(() => there.close())
afterEach(async () => {
  there.network('good')
  there.replace('/sw.js', null)
  for (const context of there.browser.contexts()) await context.close()
})

const keptForm = (page: Page) =>
  page.evaluate(async () => {
    const { caches } = globalThis as unknown as {
      caches: { match(path: string): Promise<{ text(): Promise<string> } | undefined> }
    }
    return (await (await caches.match('/surveys/new'))?.text()) ?? ''
  })
const LONG = { timeout: 10_000 }
const where = (page: Page) => page.locator('#where-it-is .state')
const stored = (ref: string) => there.house.deps.ledger.getSurvey({ kind: 'electrode', id: 'DEMO-R1' }, ref)
const refOf = (page: Page) => new URL(page.url()).searchParams.get('draft') ?? ''

describe('without a network', () => {
  it('the form opens with the register, judges, keeps the survey, and sends it when the network is back', async () => {
    const first = await openForm(there)
    await kept(first)
    there.network('dead')
    const page = await first.context().newPage()
    await page.goto('/surveys/new?electrode=DEMO-R1')
    await ready(page)
    expect(await page.getByText('behind the pump house').first().isVisible()).toBe(true)
    await typeReadings(page)
    await finish(page)
    expect(await page.locator('#so-far').getByText('Conforming').isVisible()).toBe(true)
    await handIn(page)
    await where(page).getByText('ON THIS PHONE, not sent').waitFor()
    await page.getByText('No connection. Kept here').waitFor()
    const ref = refOf(page)
    expect(await stored(ref)).toBeNull()
    await page.goto('/')
    await page.getByRole('heading', { name: 'On this phone' }).waitFor()
    await page.getByText('No connection. Kept here').waitFor()
    there.network('good')
    // The phone tries by itself too: when that comes first the button is gone, and the survey must be there all the same.
    await page
      .getByRole('button', { name: 'Send now' })
      .first()
      .click({ timeout: 3000 })
      .catch(() => {})
    await page.getByText(`RECEIVED no. ${ref}`).waitFor()
    expect((await stored(ref))?.survey.readings.map((r) => r.resistanceOhm)).toEqual([10.9, 11, 11.2])
  })

  it('a label’s link opens the form for its electrode', async () => {
    const first = await openForm(there)
    await kept(first)
    there.network('dead')
    const page = await first.context().newPage()
    await page.goto('/e/DEMO-R1')
    await ready(page)
    expect(await page.getByLabel('Electrode, by its id or tag').inputValue()).toBe('DEMO-R1')
  })
})

describe('a survey that waits while the page stays open', () => {
  const seen = (page: Page) => page.evaluate(() => (globalThis as unknown as { news: string[] }).news)
  const noteNews = (page: Page) =>
    page.evaluate(() => {
      const { news, addEventListener } = Object.assign(globalThis, { news: [] as string[] }) as unknown as {
        news: string[]
        addEventListener(name: string, heard: () => void): void
      }
      addEventListener('online', () => news.push('online'))
    })

  it('is sent by itself when the page was opened without a network, though the browser never says that it is back', async () => {
    const first = await openForm(there)
    await kept(first)
    const context = first.context()
    const page = await context.newPage()
    await context.setOffline(true)
    await page.goto('/surveys/new?electrode=DEMO-R1')
    await ready(page)
    await noteNews(page)
    // Why: this page’s browser process believes in a network all along, so nothing changes for it later.
    expect(await page.evaluate('navigator.onLine')).toBe(true)
    await typeReadings(page)
    await finish(page)
    await handIn(page)
    await page.getByText('No connection. Kept here').waitFor()
    await context.setOffline(false)
    await page.getByText(`RECEIVED no. ${refOf(page)}`).waitFor()
    expect(await seen(page)).toEqual([])
    expect(await stored(refOf(page))).not.toBeNull()
  })

  it.each(['focus', 'pageshow', 'online', 'visibilitychange'])(
    'is tried again at once by “%s”, with no timer to help',
    async (news) => {
      const page = await openForm(there)
      await typeReadings(page)
      await finish(page)
      await page.getByText('Saved on this phone').waitFor()
      there.network('dead')
      await page.evaluate(() => {
        const scope = globalThis as unknown as { setTimeout: (work: () => void, ms?: number) => number }
        const before = scope.setTimeout
        scope.setTimeout = (work, ms = 0) => (ms < 1000 ? before(work, ms) : 0)
      })
      await handIn(page)
      await page.getByText('No connection. Kept here').waitFor()
      there.network('good')
      await page.evaluate((name) => {
        const { document, dispatchEvent, Event } = globalThis as unknown as {
          document: { dispatchEvent(event: unknown): void }
          dispatchEvent(event: unknown): void
          Event: new (name: string) => unknown
        }
        if (name === 'visibilitychange') document.dispatchEvent(new Event(name))
        else dispatchEvent(new Event(name))
      }, news)
      await page.getByText(`RECEIVED no. ${refOf(page)}`).waitFor()
    },
  )
})

describe('the form on a phone’s first screen', () => {
  it('can be put there: the browser has nothing against it', async () => {
    const page = await openForm(there)
    await kept(page)
    const devtools = await page.context().newCDPSession(page)
    const { installabilityErrors } = await devtools.send('Page.getInstallabilityErrors')
    // A test's context is a private window, where nothing can be installed.
    expect(installabilityErrors.map((e) => e.errorId).filter((id) => id !== 'in-incognito')).toEqual([])
    const { errors, data } = await devtools.send('Page.getAppManifest')
    expect(errors).toEqual([])
    expect(JSON.parse(data ?? '{}')).toMatchObject({ start_url: '/', display: 'standalone' })
  })
})

describe('a network that lies', () => {
  it('answers 200 with its own page, and the survey stays on the phone until the service itself has it', async () => {
    const page = await openForm(there)
    await kept(page)
    await typeReadings(page)
    await finish(page)
    there.network('portal')
    await handIn(page)
    await page.getByText('did not come from the service').waitFor()
    expect(await where(page).textContent()).toContain('ON THIS PHONE, not sent')
    const ref = refOf(page)
    // The page of the portal is not shown in place of ours either.
    await page.goto('/surveys/new')
    await ready(page)
    there.network('good')
    await page.goto('/on-this-phone')
    await page.getByText(`RECEIVED no. ${ref}`).waitFor()
    expect(await stored(ref)).not.toBeNull()
  })

  it('takes the survey but loses the answer: sent again it is the same survey', async () => {
    const page = await openForm(there)
    await typeReadings(page)
    await finish(page)
    there.network('busy')
    await handIn(page)
    await page.getByText('The service did not answer (502)').waitFor()
    const ref = refOf(page)
    there.network('good')
    await page.goto('/on-this-phone')
    await page.getByText(`RECEIVED no. ${ref}`).waitFor()
    const tries = there.sent.filter((s) => s.surveyRef === ref)
    expect(tries.length).toBeGreaterThan(1)
    expect(new Set(tries.map((s) => JSON.stringify(s))).size).toBe(1)
  })
})

describe('a slow network', () => {
  it('does not keep the form waiting, and a tab killed while sending loses nothing', async () => {
    const first = await openForm(there)
    await kept(first)
    const context = first.context()
    there.network('slow')
    const page = await context.newPage()
    await page.goto('/surveys/new?electrode=DEMO-R1')
    await ready(page)
    await typeReadings(page)
    await finish(page)
    await handIn(page)
    await where(page).getByText('SENDING').waitFor()
    const ref = refOf(page)
    await page.close()
    await first.close()
    there.network('good')
    const again = await context.newPage()
    await again.goto('/on-this-phone')
    await again.getByText(`RECEIVED no. ${ref}`).waitFor()
    expect(await stored(ref)).not.toBeNull()
  })
})

describe('another person on the same phone', () => {
  it('neither sends nor loses what the first one made', async () => {
    const page = await openForm(there)
    await kept(page)
    await typeReadings(page)
    await finish(page)
    there.network('dead')
    await handIn(page)
    await where(page).getByText('ON THIS PHONE, not sent').waitFor()
    await page.getByText('No connection. Kept here').waitFor()
    const ref = refOf(page)
    there.network('good')
    const [, cookie = ''] = (await there.house.cookieFor('quality')).split('=')
    await page.context().addCookies([{ name: SESSION_COOKIE, value: cookie, url: there.url }])
    await page.goto('/on-this-phone')
    await page.getByText('Of somebody else (1)').waitFor()
    expect(await stored(ref)).toBeNull()
    // What opens without a network from now on is for who is signed in now.
    await expect.poll(() => keptForm(page), LONG).toContain('data-person="local:quality"')
    there.network('dead')
    await page.goto('/surveys/new')
    expect(await page.locator('body').getAttribute('data-person')).toBe('local:quality')
    there.network('good')
    const [, again = ''] = (await there.house.cookieFor('field')).split('=')
    await page.context().addCookies([{ name: SESSION_COOKIE, value: again, url: there.url }])
    await page.goto('/on-this-phone')
    await page.getByText(`RECEIVED no. ${ref}`).waitFor()
  })
})

describe('a new version of the app', () => {
  const caches = (page: Page) =>
    page.evaluate(() => (globalThis as unknown as { caches: { keys(): Promise<string[]> } }).caches.keys())
  const update = (page: Page) =>
    page.evaluate(async () => {
      const { navigator } = globalThis as unknown as {
        navigator: {
          serviceWorker: { getRegistration(): Promise<{ update(): Promise<unknown> } | undefined> }
        }
      }
      await (await navigator.serviceWorker.getRegistration())?.update()
    })
  const worker = () => there.house.deps.assets!.find((a) => a.path === '/sw.js')!.body

  it('takes over only when it is complete, drops the old cache then, and keeps what was typed', async () => {
    const page = await openForm(there)
    await kept(page)
    await typeReadings(page, ['10.9'])
    await page.getByText('Saved on this phone').waitFor()
    const [old = ''] = await caches(page)
    const version = old.replace('stakeline-', '')
    const withMissing = worker()
      .replaceAll(version, 'incomplete00')
      .replace('"/manifest.webmanifest"', '"/assets/not-there.js","/manifest.webmanifest"')
    there.replace('/sw.js', withMissing)
    await update(page)
    await page.waitForFunction(
      async () => {
        const { navigator } = globalThis as unknown as {
          navigator: { serviceWorker: { getRegistration(): Promise<{ installing: unknown } | undefined> } }
        }
        return (await navigator.serviceWorker.getRegistration())?.installing === null
      },
      undefined,
      { timeout: 10_000 },
    )
    expect(await caches(page)).toContain(old)
    there.replace('/sw.js', worker().replaceAll(version, 'complete0000'))
    await update(page)
    await page.waitForFunction(async () => {
      const { caches } = globalThis as unknown as { caches: { keys(): Promise<string[]> } }
      return (await caches.keys()).join() === 'stakeline-complete0000'
    })
    there.network('dead')
    await page.reload()
    await ready(page)
    expect(await page.locator('#r0-ohm').inputValue()).toBe('10.9')
  })
})
