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

async function bareTimes(count: number): Promise<number[]> {
  const folder = await temporaryFolder()
  const child = spawn(process.execPath, ['tests/bench/children/bare-route.ts', folder.path], {
    stdio: ['pipe', 'pipe', 'inherit'],
  })
  const [address] = await once(child.stdout, 'data')
  const url = `${String(address).trim()}/api/surveys`
  const headers = { 'content-type': 'application/json' }
  const { timesMs, refused } = await postAtRate(count, PER_SECOND, (nth) =>
    fetch(url, { method: 'POST', headers, body: JSON.stringify(survey(nth)) }),
  )
  child.stdin.end()
  await once(child, 'close')
  await folder.remove()
  if (refused > 0) throw new Error(`the bare route refused ${refused}`)
  return timesMs
}

async function serviceTimes(count: number): Promise<number[]> {
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
  const { timesMs, refused } = await postAtRate(count, PER_SECOND, (nth) =>
    fetch(`${service.url}/api/surveys`, {
      method: 'POST',
      headers: { 'content-type': 'application/json', authorization: `Bearer ${tokens[nth % CREWS]}` },
      body: JSON.stringify(survey(nth)),
    }),
  )
  await service.stop()
  await folder.remove()
  if (refused > 0) throw new Error(`the service refused ${refused}`)
  return timesMs
}

/** One survey handed in, judged and stored, 50 a second, comparisons running beside it, against a bare conditional put. */
export const formPost: Benchmark = {
  name: 'form-post',
  async run(scale) {
    const count = Math.round(PER_SECOND * SECONDS * scale)
    const bare = await bareTimes(count)
    const whole = await serviceTimes(count)
    return [0.5, 0.99].map((p) =>
      ratioOf({
        name: `form-post-p${p * 100}`,
        what: `one survey posted and judged, ${PER_SECOND} a second, ${count} in all, p${p * 100}`,
        against: 'a bare hono route with one conditional put',
        measured: quantile(whole, p),
        reference: quantile(bare, p),
        unit: 'ms',
        goal: 4,
      }),
    )
  },
}
