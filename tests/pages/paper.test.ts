import jsqr from 'jsqr'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { countFleet } from '../../shared-lib/ledger/count-fleet.ts'
import { everySite } from '../../shared-lib/ledger/every-site.ts'
import { DESKTOP, type Visit, visit } from './browser.ts'
import { fillDemo, shortSurvey } from './demo.ts'
import { type House, NOW_MS, openHouse } from './house.ts'

/** What is printed fits its paper; what a camera reads on it is what was meant. */
const NOW = { nowIso: new Date(NOW_MS).toISOString() }
const LONG_ID = 'DEMO-SUBSTATION-WEST-TRANSFORMER-BAY-14-NEUTRAL-EARTH-ELECTRODE-7'
const PLACE = 'hinter dem Pumpenhaus, zwischen Zaun und Kabelkanal; vor dem Öffnen anrufen '
  .repeat(3)
  .slice(0, 200)
/** Ink from edge to edge that a sheet takes, CSS pixels, lying on its side, less the margins that the page asks for. */
const LYING_WIDTH = { A4: ((297 - 24) / 25.4) * 96, Letter: ((279.4 - 24) / 25.4) * 96 }

let house: House
let there: Visit
beforeAll(async () => {
  house = await openHouse()
  const { ledger, desk } = house.deps
  await fillDemo(house)
  for (let i = 0; i < 40; i++)
    await ledger.putElectrode({ electrodeId: `DEMO-ROW-${i}`, siteId: 'DEMO-NORTH', kind: 'rod' }, NOW)
  await ledger.putElectrode(
    { electrodeId: LONG_ID, siteId: 'DEMO-NORTH', kind: 'tower-footing', locationText: PLACE, limitOhm: 5 },
    NOW,
  )
  await ledger.putElectrode({ electrodeId: 'Erdung Süd/3 & ±ق', siteId: 'DEMO-EAST', kind: 'rod' }, NOW)
  const survey = shortSurvey(`${LONG_ID}-2025`, LONG_ID, '2025-06-01T10:00:00Z', 12)
  await desk.handIn(survey, { via: 'form', by: 'local:field' })
  await house.compare()
  await countFleet(ledger, everySite(ledger), NOW.nowIso)
  there = await visit(house)
}, 60_000)
afterAll(async () => {
  await there.close()
  await house.close()
})

const opened = async (path: string): Promise<Page> => {
  const page = await there.open('quality', { viewport: DESKTOP })
  await page.goto(path)
  return page
}

/** Width and height of each sheet in millimetres, as the file says. */
const sheetsOf = (pdf: Buffer): [number, number][] =>
  [...pdf.toString('latin1').matchAll(/\/MediaBox\s*\[\s*0\s+0\s+([\d.]+)\s+([\d.]+)/g)].map(
    ([, w, h]) => [(Number(w) / 72) * 25.4, (Number(h) / 72) * 25.4] as [number, number],
  )

describe.each(['A4', 'Letter'] as const)('the compliance summary on %s', (format) => {
  it.each(['/sites/DEMO-NORTH/summary', '/sites'])(
    'of %s lies on its side with nothing cut off',
    async (path) => {
      const page = await opened(path)
      const sheets = sheetsOf(await page.pdf({ format }))
      expect(sheets.length).toBeGreaterThan(path === '/sites' ? 0 : 1)
      for (const [width, height] of sheets) expect(width).toBeGreaterThan(height)
      await page.setViewportSize({ width: Math.floor(LYING_WIDTH[format]), height: 700 })
      await page.emulateMedia({ media: 'print' })
      const over = await page.evaluate(() => {
        const { document } = globalThis as unknown as {
          document: { documentElement: { scrollWidth: number; clientWidth: number } }
        }
        const wide = document.documentElement
        return wide.scrollWidth - wide.clientWidth
      })
      expect(over).toBe(0)
      expect(await page.getByRole('navigation').count()).toBe(0)
      for (const words of ['Invented Grid', 'by Demo quality', 'Signed:'])
        expect(await page.getByRole('main').getByText(words).first().isVisible()).toBe(true)
      await page.context().close()
    },
    30_000,
  )
})

/** What a reader of QR codes makes of a picture; null when it finds none. The browser unpacks the picture. */
async function readCode(page: Page, png: Buffer): Promise<string | null> {
  const { data, width, height } = await page.evaluate(async (base64) => {
    const bytes = Uint8Array.from(atob(base64), (c) => c.charCodeAt(0))
    const g = globalThis as unknown as {
      createImageBitmap(blob: Blob): Promise<{ width: number; height: number }>
      OffscreenCanvas: new (w: number, h: number) => { getContext(kind: '2d'): Canvas2d }
    }
    const image = await g.createImageBitmap(new Blob([bytes], { type: 'image/png' }))
    const canvas = new g.OffscreenCanvas(image.width, image.height).getContext('2d')
    canvas.drawImage(image, 0, 0)
    const { data } = canvas.getImageData(0, 0, image.width, image.height)
    return { data: [...data], width: image.width, height: image.height }
  }, png.toString('base64'))
  const read = jsqr as unknown as typeof jsqr.default
  return read(Uint8ClampedArray.from(data), width, height)?.data ?? null
}

interface Canvas2d {
  drawImage(image: object, x: number, y: number): void
  getImageData(x: number, y: number, w: number, h: number): { data: Uint8ClampedArray }
}

describe('the label on a lid', () => {
  it.each(['DEMO-NORTH', 'DEMO-EAST'])(
    'of %s is read by a camera as the address of its electrode',
    async (site) => {
      const page = await opened(`/sites/${site}/labels`)
      await page.emulateMedia({ media: 'print' })
      const labels = page.locator('.label')
      const wanted = (await labels.locator('strong').allTextContents()).slice(0, 2)
      const codes = labels.locator('.code')
      for (const [i, electrodeId] of wanted.entries())
        expect(await readCode(page, await codes.nth(i).screenshot())).toBe(
          `${house.deps.settings.baseUrl}/e/${encodeURIComponent(electrodeId)}`,
        )
      await page.context().close()
    },
    30_000,
  )
})
