import type { Asset } from '../assets.ts'

/** Our own mark: an earth rod in the ground with two stakes beside it, growing smaller with distance. */
export const ICON = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 512 512"><rect width="512" height="512" rx="96" fill="#0a5160"/><g fill="none" stroke="#fff" stroke-linecap="round"><path stroke-width="20" d="M92 214h328"/><path stroke-width="40" d="M150 122v290"/><path stroke-width="26" d="M276 168v130M382 168v90"/><path stroke-width="12" stroke-dasharray="2 24" d="M150 122q116-70 232 46"/></g></svg>`

const MANIFEST = {
  name: 'stakeline field form',
  short_name: 'stakeline',
  description: 'Earth electrode surveys, handed in from the field.',
  id: '/',
  start_url: '/',
  scope: '/',
  display: 'standalone',
  lang: 'en-GB',
  background_color: '#f6f5f1',
  theme_color: '#0a5160',
  icons: [
    { src: '/assets/icon.svg', sizes: 'any', type: 'image/svg+xml', purpose: 'any' },
    { src: '/assets/icon.svg', sizes: 'any', type: 'image/svg+xml', purpose: 'maskable' },
    // For first screens that take no SVG; without round corners, so each may cut them as it likes.
    { src: '/assets/icon-192.png', sizes: '192x192', type: 'image/png', purpose: 'any maskable' },
    { src: '/assets/icon-512.png', sizes: '512x512', type: 'image/png', purpose: 'any maskable' },
  ],
  shortcuts: [{ name: 'Hand in a survey', url: '/surveys/new' }],
}

export const MANIFEST_PATH = '/manifest.webmanifest'
export const ICON_PATH = '/assets/icon.svg'

/** What lets a phone put the service on its first screen. A changed file is fetched anew once a day. */
export const INSTALL_ASSETS: readonly Asset[] = [
  {
    path: MANIFEST_PATH,
    contentType: 'application/manifest+json',
    body: JSON.stringify(MANIFEST),
    cacheControl: 'public, max-age=86400',
  },
  {
    path: ICON_PATH,
    contentType: 'image/svg+xml',
    body: ICON,
    cacheControl: 'public, max-age=86400',
  },
]
