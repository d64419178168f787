import { gzipSync } from 'node:zlib'
import { createApp } from '../../../functions/web/create-app.ts'
import type { Ledger } from '../../../shared-lib/ledger/ledger.ts'
import { makeFleet } from '../../service/fleet.ts'
import { openHouse, someone } from '../../web-api/house.ts'
import { type Benchmark, quantile, ratioOf } from '../ratio.ts'
import { surveysOf } from './surveys-of-fleet.ts'

const ELECTRODES = 200
const TESTS_EACH = 20
const VISITS = 200
const WARM_UP = 50
const PAGES = {
  home: '/',
  findings: '/findings',
  electrodes: '/electrodes',
  electrode: '/electrodes/T-007',
  sites: '/sites',
  site: '/sites/TS-0',
  due: '/due',
  form: '/surveys/new?electrode=T-007',
}

/** The ledger, with the time during which at least one of its methods is at work. */
function timedLedger(ledger: Ledger): { ledger: Ledger; busyMs(): number } {
  let atWork = 0
  let sinceMs = 0
  let busyMs = 0
  const timed = Object.fromEntries(
    Object.entries(ledger).map(([name, method]) => [
      name,
      async (...args: unknown[]) => {
        if (atWork++ === 0) sinceMs = performance.now()
        try {
          return await (method as (...a: unknown[]) => unknown)(...args)
        } finally {
          if (--atWork === 0) busyMs += performance.now() - sinceMs
        }
      },
    ]),
  )
  return { ledger: timed as unknown as Ledger, busyMs: () => busyMs }
}

/** What a browser fetches with the page: scripts, styles and pictures of this service; each is kept after the first visit. */
const fetchedWith = (html: string): number =>
  new Set(
    [...html.matchAll(/<(?:script|img|link)\b[^>]*?\b(?:src|href)="(\/[^"]+)"/g)]
      .filter(([tag]) => !/rel="(?:canonical|alternate|next|prev)"/.test(tag!))
      .map((m) => m[1]),
  ).size

/** The main pages over a fleet with its findings: time on the server against the time of the store queries in it. */
export const pages: Benchmark = {
  name: 'pages',
  async run(scale) {
    const house = await openHouse()
    try {
      const fleet = makeFleet(Math.max(20, Math.round(ELECTRODES * scale)), TESTS_EACH)
      const admin = someone('admin')
      const csv = { 'Content-Type': 'text/csv' }
      const registered = await house.call(admin, 'POST', '/api/register', fleet.registerCsv, csv)
      if (!registered.ok) throw new Error(await registered.text())
      await surveysOf(house, fleet)
      const timed = timedLedger(house.deps.ledger)
      const app = createApp({ ...house.deps, ledger: timed.ledger })
      const headers = { Authorization: `Bearer ${await house.bearer(admin)}`, Accept: 'text/html' }
      const rows = []
      for (const [name, path] of Object.entries(PAGES)) {
        const whole: number[] = []
        const inStore: number[] = []
        let html = ''
        for (let visit = 0; visit < WARM_UP + VISITS; visit++) {
          const [startMs, busyMs] = [performance.now(), timed.busyMs()]
          const answer = await app.request(path, { headers })
          html = await answer.text()
          if (answer.status !== 200) throw new Error(`${path} answered ${answer.status}`)
          if (visit < WARM_UP) continue
          whole.push(performance.now() - startMs)
          inStore.push(timed.busyMs() - busyMs)
        }
        rows.push(
          ratioOf({
            name: `page-${name}`,
            what: `${path}, p99 on the server`,
            against: 'p99 of its store queries',
            ...{ measured: quantile(whole, 0.99), reference: quantile(inStore, 0.99) },
            ...{ unit: 'ms', goal: 2 },
            notes: { 'bytes gzip': gzipSync(html).byteLength, requests: 1 + fetchedWith(html) },
          }),
        )
      }
      return rows
    } finally {
      await house.close()
    }
  },
}
