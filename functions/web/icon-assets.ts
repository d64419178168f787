import { readFile } from 'node:fs/promises'
import { join } from 'node:path'
import type { Asset } from './assets.ts'

/** Where each size is fetched from. A phone that takes no SVG looks for the first by itself, without a link on any page. */
export const PNG_ICONS = [
  { sizePx: 180, path: '/apple-touch-icon.png' },
  { sizePx: 192, path: '/assets/icon-192.png' },
  { sizePx: 512, path: '/assets/icon-512.png' },
] as const

export const iconFile = (sizePx: number): string => join(import.meta.dirname, 'icons', `icon-${sizePx}.png`)

/** The mark as pictures, drawn from the SVG by `tests/pages/icons.script.ts`. */
export function iconAssets(): Promise<Asset[]> {
  return Promise.all(
    PNG_ICONS.map(async ({ sizePx, path }) => ({
      path,
      contentType: 'image/png',
      body: await readFile(iconFile(sizePx), 'base64'),
      encoding: 'base64' as const,
      cacheControl: 'public, max-age=86400',
    })),
  )
}
