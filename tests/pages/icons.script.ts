import { mkdir, writeFile } from 'node:fs/promises'
import { dirname } from 'node:path'
import chromium from '@sparticuz/chromium'
import { chromium as playwright } from 'playwright-core'
import { iconFile, PNG_ICONS } from '../../functions/web/icon-assets.ts'
import { drawIcon } from './draw-icon.ts'

/** Draws the pictures for first screens anew from the SVG: `node tests/pages/icons.script.ts`, after a change of the mark. */
const browser = await playwright.launch({
  executablePath: await chromium.executablePath(),
  args: chromium.args.filter((a) => a !== '--single-process'),
  headless: true,
})
try {
  const page = await browser.newPage()
  await mkdir(dirname(iconFile(PNG_ICONS[0].sizePx)), { recursive: true })
  for (const { sizePx } of PNG_ICONS) {
    const png = await drawIcon(page, sizePx)
    await writeFile(iconFile(sizePx), png)
    console.log(`${iconFile(sizePx)}: ${png.byteLength} bytes`)
  }
} finally {
  await browser.close()
}
