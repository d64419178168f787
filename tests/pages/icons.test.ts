import { readFile } from 'node:fs/promises'
import { handle, type LambdaEvent } from 'hono/aws-lambda'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { buildClient } from '../../functions/web/client/build-client.ts'
import { iconFile, PNG_ICONS } from '../../functions/web/icon-assets.ts'
import { type Visit, visit } from './browser.ts'
import { drawIcon } from './draw-icon.ts'
import { type House, openHouse } from './house.ts'

let house: House
let there: Visit
beforeAll(async () => {
  house = await openHouse({ assets: await buildClient() })
  there = await visit(house)
}, 30_000)
afterAll(async () => {
  await there.close()
  await house.close()
})

/** Width and height as the picture's own head says (PNG, IHDR). */
const sizeOf = (png: Buffer) => [png.readUInt32BE(16), png.readUInt32BE(20)]

/** As the HTTP API asks. */
const asked = (path: string) =>
  ({
    version: '2.0',
    rawPath: path,
    rawQueryString: '',
    headers: { host: 'stakeline.example.org', 'accept-encoding': 'gzip, br' },
    requestContext: { domainName: 'stakeline.example.org', http: { method: 'GET', path }, requestId: 'r' },
    isBase64Encoded: false,
  }) as unknown as LambdaEvent

describe.each(PNG_ICONS)('the picture of $sizePx points for the first screen', ({ sizePx, path }) => {
  it('is small, of its size, and served to everybody as it is', async () => {
    const file = await readFile(iconFile(sizePx))
    expect(sizeOf(file)).toEqual([sizePx, sizePx])
    expect(file.byteLength).toBeLessThan(8000)
    const answer = await house.app.request(path)
    expect(answer.headers.get('Content-Type')).toBe('image/png')
    expect(Buffer.from(await answer.arrayBuffer()).equals(file)).toBe(true)
  })

  it('leaves Lambda as base64 of the same bytes', async () => {
    const answer = await handle(house.app)(asked(path))
    expect(answer.isBase64Encoded).toBe(true)
    expect(Buffer.from(answer.body, 'base64').equals(await readFile(iconFile(sizePx)))).toBe(true)
  })

  it('shows the mark as the SVG is now', async () => {
    const page = await there.browser.newPage()
    const now = await drawIcon(page, sizePx)
    const differing = await page.evaluate(
      async ([a, b]) => {
        const g = globalThis as unknown as {
          createImageBitmap(blob: Blob): Promise<{ width: number; height: number }>
          OffscreenCanvas: new (w: number, h: number) => { getContext(kind: '2d'): Canvas2d }
        }
        const pixels = async (base64: string) => {
          const bytes = Uint8Array.from(atob(base64), (c) => c.charCodeAt(0))
          const image = await g.createImageBitmap(new Blob([bytes], { type: 'image/png' }))
          const canvas = new g.OffscreenCanvas(image.width, image.height).getContext('2d')
          canvas.drawImage(image, 0, 0)
          return canvas.getImageData(0, 0, image.width, image.height).data
        }
        const [one, other] = [await pixels(a!), await pixels(b!)]
        return one.filter((value, i) => Math.abs(value - other[i]!) > 64).length / one.length
      },
      [now.toString('base64'), await readFile(iconFile(sizePx), 'base64')],
    )
    // Another browser may draw an edge a little otherwise; another mark differs by far more.
    expect(differing).toBeLessThan(0.005)
    await page.close()
  }, 30_000)
})

interface Canvas2d {
  drawImage(image: object, x: number, y: number): void
  getImageData(x: number, y: number, w: number, h: number): { data: Uint8ClampedArray }
}

describe('the manifest', () => {
  it('names pictures that are there', async () => {
    const manifest = (await (await house.app.request('/manifest.webmanifest')).json()) as {
      icons: { src: string; type: string }[]
    }
    const types = manifest.icons.map(async ({ src }) =>
      (await house.app.request(src)).headers.get('Content-Type'),
    )
    expect(await Promise.all(types)).toEqual(manifest.icons.map((icon) => icon.type))
  })
})
