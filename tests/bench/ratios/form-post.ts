import { spawn } from 'node:child_process'
import { once } from 'node:events'
import { mintToken, readOrMakeKey } from '../../../shared-lib/ports/local-tokens.ts'
import { makeFleet } from '../../service/fleet.ts'
import { startService, temporaryFolder } from '../../service/service.ts'
import { shortSurvey } from '../../web-api/house.ts'
import { postAtRate } from '../post-at-rate.ts'
import { type Benchmark, quantile, ratioOf } from '../ratio.ts'

const PER_SECOND = 50
const SECONDS = 20
const CREWS = 100
const ELECTRODES = 200

const survey = (nth: number) =>
  shortSurvey(
    `B-${nth}`,
    `T-${String(nth % ELECTRODES).padStart(3, '0')}`,
    new Date(Date.UTC(2026, 3, 1, 8, 0, nth)).toISOString(),
    10 + (nth % 7),
  )

/** They take turns, so that neither has the quieter machine. */
const TURNS = 3
/** Posts before those that are measured: until both are warm, and comparisons of the service run beside its hand-ins as they come. */
const LEAD_IN = 150
/** After a turn, until no comparison of the service runs beside the bare route, ms. */
const REST_MS = 4000

/** Something that is posted to: the `nth` survey, and its end. */
interface Posted {
  post(nth: number): Promise<Response>
  end(): Promise<void>
}

const json = { 'content-type': 'application/json' }

async function bareRoute(): Promise<Posted> {
  const folder = await temporaryFolder()
  const child = spawn(process.execPath, ['tests/bench/children/bare-route.ts', folder.path], {
    stdio: ['pipe', 'pipe', 'inherit'],
  })
  const [address] = await once(child.stdout, 'data')
  const url = `${String(address).trim()}/api/surveys`
  return {
    post: (nth) => fetch(url, { method: 'POST', headers: json, body: JSON.stringify(survey(nth)) }),
    async end() {
      child.stdin.end()
      await once(child, 'close')
      await folder.remove()
    },
  }
}

async function wholeService(): Promise<Posted> {
  const folder = await temporaryFolder()
  const service = await startService(folder.path)
  const body = makeFleet(ELECTRODES, 1).registerCsv
  await service.json('admin', '/api/register', {
    method: 'POST',
    headers: { 'content-type': 'text/csv' },
    body,
  })
  const key = await readOrMakeKey(folder.path)
  const tokens = await Promise.all(
    Array.from({ length: CREWS }, (_, nth) => {
      const person = { id: `local:crew-${nth}`, name: `Crew ${nth}`, role: 'field', sites: '*' } as const
      return mintToken(key, person, 'bearer', 3600, Date.now())
    }),
  )
  return {
    post: (nth) =>
      fetch(`${service.url}/api/surveys`, {
        method: 'POST',
        headers: { ...json, authorization: `Bearer ${tokens[nth % CREWS]}` },
        body: JSON.stringify(survey(nth)),
      }),
    async end() {
      await service.stop()
      await folder.remove()
    },
  }
}

/** One survey handed in, judged and stored, 50 a second, comparisons running beside it, against a bare conditional put. */
export const formPost: Benchmark = {
  name: 'form-post',
  async run(scale) {
    const count = Math.round((PER_SECOND * SECONDS * scale) / TURNS) * TURNS
    const both = { bare: await bareRoute(), whole: await wholeService() }
    const times = { bare: [] as number[], whole: [] as number[] }
    try {
      for (let turn = 0; turn < TURNS; turn++)
        for (const which of ['bare', 'whole'] as const) {
          const posts = LEAD_IN + count / TURNS
          const { timesMs, refused } = await postAtRate(posts, PER_SECOND, (nth) =>
            both[which].post(turn * posts + nth),
          )
          if (refused > 0) throw new Error(`${which} refused ${refused}`)
          times[which].push(...timesMs.slice(LEAD_IN))
          await new Promise((resolve) => setTimeout(resolve, REST_MS))
        }
    } finally {
      await both.whole.end()
      await both.bare.end()
    }
    return [0.5, 0.99].map((p) =>
      ratioOf({
        name: `form-post-p${p * 100}`,
        what: `one survey posted and judged, ${PER_SECOND} a second, ${count} in all, p${p * 100}`,
        against: 'a bare hono route with one conditional put',
        measured: quantile(times.whole, p),
        reference: quantile(times.bare, p),
        unit: 'ms',
        goal: 4,
      }),
    )
  },
}
