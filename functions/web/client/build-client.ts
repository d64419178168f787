import { createHash } from 'node:crypto'
import { readdir } from 'node:fs/promises'
import { basename, join } from 'node:path'
import { build } from 'esbuild'
import type { Asset } from '../assets.ts'
import { iconAssets } from '../icon-assets.ts'
import { INSTALL_ASSETS } from '../pages/install-assets.ts'
import { FIELD_SHEET } from '../pages/styles/stylesheet.ts'

/**
 * How to add a browser script
 *
 * 1. Write `functions/web/client/<name>.entry.ts` (a folder beside it for what it imports). It may import the pure folders of
 *    shared-lib, page templates that touch no Node (`pages/view/*`, not layout), `idb`. Anything that needs Node fails the build.
 * 2. Name it on a page: `respond(c, frame, { …, scripts: ['<name>'] })`. The page then gets
 *    `<script type="module" src="/assets/<name>-HASH.js">` and a policy that lets it run and fetch from this service; other pages
 *    keep the policy without scripts. No inline script, no inline style, no `eval`: read data from `data-` attributes or fetch it.
 * 3. The page must do all its work without the script: `deps.assets` may be absent, and then no page has one.
 * 4. Types: the folder has its own tsconfig with the DOM (`npx tsc --noEmit -p functions/web/client`).
 *
 * Each entry is one file with all it imports: one file compresses far better than the same code in shared pieces. So a page names
 * one entry, and what is needed on another page only is an entry of its own, not a lazy import. `service-worker.entry.ts` is
 * special: served as `/sw.js`, not hashed, with the list of everything the field form needs for its first use built in.
 */

const ENTRY = /^(.+)\.entry\.ts$/
const SERVICE_WORKER = 'service-worker'
/** The scripts that the service worker keeps for use without a network; other pages need the network anyway. */
const KEPT_OFFLINE = ['field', 'phone-list']
const FOR_EVER = 'public, max-age=31536000, immutable'

const COMMON = {
  bundle: true,
  minify: true,
  format: 'esm',
  platform: 'browser',
  target: 'es2022',
  charset: 'utf8',
  legalComments: 'none',
  write: false,
  logLevel: 'silent',
} as const

/**
 * Bundles every entry of this folder with esbuild and adds the manifest and the icon. Takes well under a second; nothing is
 * written to disk. The same sources give the same addresses.
 * @throws when a script does not compile or needs something a browser has not
 */
export async function buildClient(folder = import.meta.dirname): Promise<Asset[]> {
  const names = (await readdir(folder)).flatMap((file) => ENTRY.exec(file)?.[1] ?? []).sort()
  const pages = names.filter((name) => name !== SERVICE_WORKER)
  const built = await build({
    ...COMMON,
    entryPoints: pages.map((name) => ({ in: join(folder, `${name}.entry.ts`), out: name })),
    outdir: '/assets',
    entryNames: '[name]-[hash]',
  })
  const scripts = built.outputFiles.map((file): Asset & { entry: string } => ({
    path: `/assets/${basename(file.path)}`,
    contentType: 'text/javascript; charset=utf-8',
    body: file.text,
    cacheControl: FOR_EVER,
    entry: basename(file.path).replace(/-[^-]*$/, ''),
  }))
  // Pictures for the first screen are fetched by whoever puts the service there, not kept by every phone.
  const assets = [...scripts, ...INSTALL_ASSETS, ...(await iconAssets())]
  if (!names.includes(SERVICE_WORKER)) return assets
  const kept = scripts.filter((s) => KEPT_OFFLINE.includes(s.entry)).map((s) => s.path)
  const precache = [FIELD_SHEET.href, ...kept, ...INSTALL_ASSETS.map((a) => a.path)]
  return [...assets, await serviceWorker(join(folder, `${SERVICE_WORKER}.entry.ts`), precache)]
}

/** The worker knows its version: a hash over what it keeps, so a changed file anywhere is another version of the app. */
async function serviceWorker(entry: string, precache: string[]): Promise<Asset> {
  const version = createHash('sha256').update(precache.join('\n')).digest('hex').slice(0, 12)
  const { outputFiles } = await build({
    ...COMMON,
    entryPoints: [entry],
    define: { PRECACHE: JSON.stringify(precache), APP_VERSION: JSON.stringify(version) },
  })
  return {
    path: '/sw.js',
    contentType: 'text/javascript; charset=utf-8',
    body: outputFiles[0]!.text,
    cacheControl: 'no-cache',
  }
}
