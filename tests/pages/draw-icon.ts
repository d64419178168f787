import type { Page } from 'playwright-core'
import { ICON } from '../../functions/web/pages/install-assets.ts'

/** The mark as a PNG picture without round corners: the phone cuts its own, and what lies outside would be black. */
export async function drawIcon(page: Page, sizePx: number): Promise<Buffer> {
  const square = ICON.replace(/ rx="\d+"/, '').replace('<svg ', `<svg width="${sizePx}" height="${sizePx}" `)
  await page.setViewportSize({ width: sizePx, height: sizePx })
  await page.setContent(`<!doctype html><style>body{margin:0}svg{display:block}</style>${square}`)
  return page.screenshot()
}
