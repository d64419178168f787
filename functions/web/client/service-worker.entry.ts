/**
 * Opens the form without a network. The cache carries the version of the app in its name: a new version fills a cache of its own
 * first, and only when every file is in it does it take over and drop the old one. The pages it keeps are the empty form and
 * the list of this phone: never anybody's data.
 */

declare const PRECACHE: string[]
declare const APP_VERSION: string

interface ExtendableEvent extends Event {
  waitUntil(work: Promise<unknown>): void
}
interface FetchEvent extends ExtendableEvent {
  request: Request
  respondWith(answer: Promise<Response>): void
}
interface Worker {
  addEventListener(type: 'install' | 'activate', listener: (event: ExtendableEvent) => void): void
  addEventListener(type: 'fetch', listener: (event: FetchEvent) => void): void
  skipWaiting(): Promise<void>
  clients: { claim(): Promise<void> }
  location: Location
}
const worker = self as unknown as Worker

const PREFIX = 'stakeline-'
const CACHE = PREFIX + APP_VERSION
const FORM = '/surveys/new'
const PHONE = '/on-this-phone'
const SLOWEST_PAGE_MS = 4000

worker.addEventListener('install', (event) => {
  event.waitUntil(fill().then(() => worker.skipWaiting()))
})

async function fill(): Promise<void> {
  const cache = await caches.open(CACHE)
  await cache.addAll(PRECACHE)
  await keepPages(cache)
}

async function keepPages(cache: Cache): Promise<void> {
  for (const page of [FORM, PHONE]) {
    const answer = await fetch(page, { credentials: 'same-origin', cache: 'reload' })
    // Led to the sign-in page, or a stranger's answer: not complete, so the old version stays and this one is tried again later.
    if (!isOurPage(answer) || answer.redirected) throw new Error(`${page} could not be kept`)
    await cache.put(page, answer)
  }
}

worker.addEventListener('activate', (event) => {
  event.waitUntil(
    (async () => {
      for (const name of await caches.keys())
        if (name.startsWith(PREFIX) && name !== CACHE) await caches.delete(name)
      await worker.clients.claim()
    })(),
  )
})

worker.addEventListener('fetch', (event) => {
  const { request } = event
  const url = new URL(request.url)
  if (request.method !== 'GET' || url.origin !== worker.location.origin) return
  if (request.mode === 'navigate') event.respondWith(openPage(event, url))
  else if (PRECACHE.includes(url.pathname + url.search)) event.respondWith(keptFile(request))
})

async function keptFile(request: Request): Promise<Response> {
  const cache = await caches.open(CACHE)
  return (await cache.match(request)) ?? fetch(request)
}

/** The network first; where it fails, is slow or lies, the kept page. */
async function openPage(event: FetchEvent, url: URL): Promise<Response> {
  const { request } = event
  const isForm = url.pathname === FORM || url.pathname.startsWith('/e/')
  const cache = await caches.open(CACHE)
  const kept = await cache.match(isForm ? FORM : PHONE)
  try {
    const slowest = kept && (isForm || url.pathname === '/' || url.pathname === PHONE)
    const answer = await fetch(request, slowest ? { signal: AbortSignal.timeout(SLOWEST_PAGE_MS) } : {})
    // The phone has changed hands: the kept pages say whose they are, so they are fetched anew for who is signed in now.
    if (kept && ownerOf(answer) !== null && ownerOf(answer) !== ownerOf(kept))
      event.waitUntil(keepPages(cache).catch(() => undefined))
    if (answer.type === 'opaqueredirect' || isOurPage(answer) || !kept) return answer
    return kept
  } catch (error) {
    if (kept) return kept
    throw error
  }
}

/** Whose page it is; null for a page for nobody, or not of ours. */
function ownerOf(answer: Response): string | null {
  const owner = answer.headers.get('Stakeline-Page')
  return owner === '-' ? null : owner
}

/** Every page of the service says so; a captive portal's does not. */
function isOurPage(answer: Response): boolean {
  return answer.headers.has('Stakeline-Page')
}
