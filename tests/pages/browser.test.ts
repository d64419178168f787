import { readFile } from 'node:fs/promises'
import { createRequire } from 'node:module'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { countFleet } from '../../shared-lib/ledger/count-fleet.ts'
import { everySite } from '../../shared-lib/ledger/every-site.ts'
import type { Role } from '../../shared-lib/ports/identity.ts'
import { DESKTOP, PHONE, type Visit, visit } from './browser.ts'
import { fillDemo, shortSurvey } from './demo.ts'
import { type House, NOW_MS, openHouse } from './house.ts'
import { takeInAll } from './take-in.ts'

const axePath = createRequire(import.meta.url).resolve('axe-core/axe.min.js')

let axeSource = ''
let house: House
let there: Visit
let findingPath = ''
let draftPath = ''
let refusedPath = ''
beforeAll(async () => {
  axeSource = await readFile(axePath, 'utf8')
  house = await openHouse({ outbox: { list: async () => [], read: async () => null } })
  await fillDemo(house)
  await countFleet(house.deps.ledger, everySite(house.deps.ledger), new Date(NOW_MS).toISOString())
  await house.deps.desk.handIn(shortSurvey('DEMO-HELD', 'DEMO-R77', '2026-05-01T10:00:00Z', 10), {
    via: 'form',
    by: 'local:field',
  })
  const { items } = await house.deps.ledger.listFindings({ state: 'open', electrodeId: 'DEMO-R1' })
  findingPath = `/findings/${encodeURIComponent(items.find((f) => f.code === 'step-rise')!.id)}`
  await house.deps.ledger.putCalibration({
    instrumentId: 'DEMO-I1',
    calibratedOn: '2026-02-01',
    calibrationDueOn: '2027-02-01',
    accuracyPercent: 2,
  })
  draftPath = await sendFile({ action: 'look' })
  refusedPath = await sendFile({})
  await takeInAll(house)
  there = await visit(house)
}, 60_000)
afterAll(async () => {
  await there.close()
  await house.close()
})

const CREW_FILE = [
  'survey_ref,electrode_id,tested_at,current_probe_m,r52_ohm,r62_ohm,r72_ohm,soil_state,Lorry',
  'B-1,DEMO-R1,2026-04-01T10:00Z,30,10.9,11.0,11.2,moyst,7',
  'B-2,DEMO-R2,2026-04-01T11:00Z,30,14.1,14.3,14.4,moist,7',
].join('\n')

async function sendFile(more: Record<string, string>): Promise<string> {
  const form = new FormData()
  form.set('file', new File([CREW_FILE], 'crew.csv', { type: 'text/csv' }))
  for (const [name, value] of Object.entries(more)) form.set(name, value)
  return (await house.post('quality', '/uploads', form)).headers.get('Location')!
}

/**
 * Rules of WCAG 2.2 A and AA that this page breaks, as axe sees it, with where. Only colours and sizes differ from one theme and
 * screen to another; the other rules ask about markup, which is the same, and are asked once.
 */
async function broken(page: Page, what: 'all' | 'colours and sizes' = 'all'): Promise<string[]> {
  await page.addScriptTag({ content: axeSource })
  return page.evaluate(async (all) => {
    const { axe } = globalThis as unknown as {
      axe: { run(options: object): Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> }
    }
    const tags = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']
    const runOnly = all
      ? { type: 'tag', values: tags }
      : { type: 'rule', values: ['color-contrast', 'target-size', 'link-in-text-block'] }
    const { violations } = await axe.run({ runOnly })
    return violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.html.slice(0, 160)).join(' | ')}`)
  }, what === 'all')
}

const pages: [Role, () => string][] = [
  ['field', () => '/'],
  ['quality', () => '/'],
  ['field', () => '/surveys/new?electrode=DEMO-R1'],
  ['quality', () => '/electrodes'],
  ['quality', () => '/electrodes/DEMO-R1'],
  ['quality', () => '/electrodes/DEMO-R1/surveys/DEMO-R1-2025'],
  ['field', () => '/electrodes/DEMO-R2/surveys/DEMO-R2-OPEN'],
  ['quality', () => '/findings'],
  ['quality', () => findingPath],
  ['quality', () => '/sites/DEMO-NORTH'],
  ['field', () => '/uploads'],
  ['quality', () => '/due?to=2027-05'],
  ['quality', () => '/held'],
  ['quality', () => '/held/DEMO-R77/DEMO-HELD'],
  ['quality', () => '/outbox'],
  ['quality', () => '/findings?group=kind'],
  ['quality', () => '/electrodes/DEMO-R1/surveys/DEMO-R1-2025/record'],
  ['quality', () => '/sites'],
  ['field', () => '/instruments'],
  ['field', () => '/instruments/DEMO-I1'],
  ['quality', () => '/due/calendar'],
  ['admin', () => '/register/electrode?id=DEMO-R1'],
  ['admin', () => '/register/file?table=limits'],
  ['quality', () => '/sites/DEMO-NORTH/summary'],
  ['admin', () => '/register/limit?electrode=DEMO-R1'],
  ['admin', () => '/register/work?electrode=DEMO-R1'],
  ['admin', () => '/register/calibration'],
  ['quality', () => draftPath],
  ['quality', () => refusedPath],
]

describe.each([
  ['light', PHONE],
  ['dark', DESKTOP],
] as const)('in %s colours on a screen %o', (colorScheme, viewport) => {
  it('breaks no accessibility rule and is nowhere wider than the screen', async () => {
    // Only for the checker, which has to be put into the page: every other test runs under the page's own policy.
    // One context a role: opening a fresh one for each page costs more than the check itself.
    const opened = new Map<Role, Page>()
    for (const [role, path] of pages) {
      const page = opened.get(role) ?? (await there.open(role, { viewport, colorScheme, bypassCSP: true }))
      opened.set(role, page)
      await page.goto(path())
      const found = await broken(page, colorScheme === 'light' ? 'all' : 'colours and sizes')
      expect([path(), found]).toEqual([path(), []])
      const wider = await page.locator('html').evaluate((html) => html.scrollWidth - html.clientWidth)
      expect([path(), wider]).toEqual([path(), 0])
    }
    for (const page of opened.values()) await page.context().close()
  }, 120_000)

  it('breaks none in a form with something to mend', async () => {
    const page = await there.open('field', { viewport, colorScheme, bypassCSP: true })
    await page.goto('/surveys/new')
    await page.getByLabel('Resistance (ohm)').first().fill('1,200')
    await page.getByRole('button', { name: 'Hand in' }).click()
    await page.getByRole('heading', { name: /things? to mend/ }).waitFor()
    expect(await broken(page)).toEqual([])
    await page.context().close()
  }, 60_000)
})

describe('a table that is wider than a phone', () => {
  /** Of each table: whether it can be moved sideways inside its frame, and what the frame shows at the right edge before and after. */
  const tables = (page: Page) =>
    page.locator('main table:visible').evaluateAll((all) =>
      all.map((table) => {
        const view = table.ownerDocument.defaultView!
        const frame = table.closest('.scroll')
        const goesOn = frame !== null && frame.scrollWidth > frame.clientWidth
        const shadows = frame ? view.getComputedStyle(frame).backgroundAttachment : ''
        const covered = view.getComputedStyle(table).backgroundColor !== 'rgba(0, 0, 0, 0)'
        const over = table.getBoundingClientRect().right - table.ownerDocument.documentElement.clientWidth
        return {
          name: table.caption?.textContent ?? '',
          goesOn,
          shadows,
          covered,
          over,
          focusable: frame?.tabIndex === 0,
        }
      }),
    )

  it('has a shadow where it goes on, can be moved by keys, and leaves the page itself as wide as the screen', async () => {
    let wide = 0
    const opened = new Map<Role, Page>()
    for (const [role, path] of pages) {
      const page = opened.get(role) ?? (await there.open(role, { viewport: { width: 360, height: 740 } }))
      opened.set(role, page)
      await page.goto(path())
      for (const summary of await page.locator('main details:not([open]) > summary').all())
        if (await summary.isVisible()) await summary.click()
      const wider = await page.locator('html').evaluate((html) => html.scrollWidth - html.clientWidth)
      expect([path(), wider]).toEqual([path(), 0])
      for (const { name, goesOn, shadows, covered, over, focusable } of await tables(page)) {
        if (!goesOn) {
          expect([path(), name, over <= 0]).toEqual([path(), name, true])
          continue
        }
        wide++
        expect([path(), name, shadows, covered, focusable]).toEqual([
          ...[path(), name, 'local, local, scroll, scroll, scroll', false, true],
        ])
      }
    }
    expect(wide).toBeGreaterThan(5)
    for (const page of opened.values()) await page.context().close()
  }, 120_000)
})

describe.each([false, true])('a crew on a phone, scripts allowed: %s', (javaScriptEnabled) => {
  it('hands in a short survey, mends it on the way, and sees the judgement at once', async () => {
    const page = await there.open('field', { viewport: PHONE, javaScriptEnabled })
    await page.goto('/')
    await page.getByRole('link', { name: 'Hand in a survey' }).click()
    await page.getByLabel('Electrode, by its id or tag').fill('100')
    await page.getByLabel('Date and time of the test').fill('2026-05-04T10:20')
    await page.getByLabel('What was connected while measuring').selectOption('electrode-alone')
    await page.getByLabel('Distance of the current probe (m)').fill('30')
    await page.getByRole('button', { name: 'Set the distances' }).click()
    expect(await page.getByText('62 %: potential probe at 18.6 m').isVisible()).toBe(true)
    expect(await page.getByText('behind the pump house').isVisible()).toBe(true)
    for (const [i, ohm] of ['10,9', '1,100', '11,2'].entries())
      await page.getByLabel('Resistance (ohm)').nth(i).fill(ohm)
    // The enter key must never hand in by itself.
    await page.getByLabel('Resistance (ohm)').nth(2).press('Enter')
    await page.getByRole('link', { name: /62 %.*fraction or a thousand/ }).click()
    expect(new URL(page.url()).hash).toBe('#r1-ohm')
    await page.getByLabel('Resistance (ohm)').nth(1).fill('11,0')
    await page.getByRole('button', { name: 'Check without handing in' }).click()
    expect(await page.getByRole('heading', { name: 'Checked, not handed in' }).isVisible()).toBe(true)
    await page.getByRole('button', { name: 'Hand in as it is' }).click()
    expect(page.url()).toMatch(/\/electrodes\/DEMO-R1\/surveys\/F-[A-Z0-9]+\?received=new$/)
    expect(await page.getByText('Conforming').isVisible()).toBe(true)
    await page.goBack()
    await page.getByRole('button', { name: 'Hand in', exact: true }).click()
    expect(await page.getByText('Already received').isVisible()).toBe(true)
    await page.context().close()
  }, 60_000)
})

describe('the field form', () => {
  it('has controls of 44 pixels or more that do not touch', async () => {
    const page = await there.open('field', { viewport: PHONE })
    await page.goto('/surveys/new?electrode=DEMO-R1')
    const boxes = await page
      .locator(
        'main input:visible:not([type=radio]):not([type=checkbox]), main select:visible, main textarea:visible, main button:visible, main .tick',
      )
      .evaluateAll((all) =>
        all
          .filter((e) => !e.classList.contains('first-button'))
          .map((e) => e.getBoundingClientRect())
          .map((r) => ({ top: r.top, bottom: r.bottom, left: r.left, right: r.right })),
      )
    expect(boxes.length).toBeGreaterThan(20)
    expect(boxes.filter((b) => b.bottom - b.top < 44)).toEqual([])
    const touching = boxes.flatMap((a, i) =>
      boxes
        .slice(i + 1)
        .filter((b) => a.left < b.right && b.left < a.right && a.top < b.bottom + 8 && b.top < a.bottom + 8),
    )
    expect(touching).toEqual([])
    await page.context().close()
  }, 30_000)
})

describe('the quality team at a desk', () => {
  it('decides a finding in two actions and undoes it', async () => {
    const page = await there.open('quality', { viewport: DESKTOP, javaScriptEnabled: false })
    await page.goto('/findings?electrode=DEMO-S1')
    await page.getByRole('button', { name: /^Accept / }).click()
    expect(await page.getByText('1 finding: value accepted.').isVisible()).toBe(true)
    expect(await page.locator('tr[data-names]').count()).toBe(0)
    await page.getByRole('button', { name: 'Undo' }).click()
    expect(await page.locator('tr[data-names]').count()).toBe(1)
    await page.context().close()
  }, 30_000)

  it('uploads a file and is led to its progress', async () => {
    const page = await there.open('quality', { viewport: DESKTOP, javaScriptEnabled: false })
    await page.goto('/uploads')
    await page
      .getByLabel(/CSV file/)
      .setInputFiles({ name: 'crew.csv', mimeType: 'text/csv', buffer: Buffer.from('survey_ref\n') })
    await page.getByRole('button', { name: 'Hand in' }).click()
    expect(await page.getByRole('heading', { name: 'crew.csv' }).isVisible()).toBe(true)
    expect(await page.getByText('Received, waiting.').isVisible()).toBe(true)
    await page.context().close()
  }, 30_000)
})

describe('an urgent finding', () => {
  it('fills the first screen of a phone with what to do and whom to phone', async () => {
    const page = await there.open('field', { viewport: PHONE })
    await page.goto('/electrodes/DEMO-R2/surveys/DEMO-R2-OPEN?received=new')
    const box = await page.locator('.alarm').boundingBox()
    expect(box!.height).toBeGreaterThan(PHONE.height * 0.7)
    const phone = page.getByRole('link', { name: '+00 555 0100' })
    expect(await phone.getAttribute('href')).toBe('tel:+005550100')
    expect((await phone.boundingBox())!.y).toBeLessThan(PHONE.height)
    await page.context().close()
  }, 30_000)
})

describe('the test record on paper', () => {
  it.each(['A4', 'Letter'] as const)(
    'is one sheet of %s, without menu and buttons',
    async (format) => {
      const page = await there.open('quality', { viewport: DESKTOP })
      await page.goto('/electrodes/DEMO-R1/surveys/DEMO-R1-2025/record')
      const pdf = (await page.pdf({ format })).toString('latin1')
      expect(pdf.match(/\/Type\s*\/Page\b/g)).toHaveLength(1)
      await page.emulateMedia({ media: 'print' })
      expect(await page.getByRole('navigation').count()).toBe(0)
      expect(await page.locator('.sign').isVisible()).toBe(true)
      await page.context().close()
    },
    30_000,
  )
})
