import { parseArgs } from 'node:util'
import { measured } from '../faults/measured.ts'
import { csvOf, makeFleet } from '../service/fleet.ts'
import { eventually, startService, temporaryFolder } from '../service/service.ts'
import { snapshot } from '../service/snapshot.ts'
import {
  ask,
  askUntilTaken,
  failures,
  newTally,
  percentile,
  statuses,
  type Tally,
  tokensFor,
} from './clients.ts'
import { growthPerMinute, watch } from './watch.ts'

/**
 * `npm run test:load [-- --crews 200 --uploads 10 --surveys 10000 --reviewers 50 --burst 600 --soak-minutes 20]`: the real service on
 * loopback under load. Prints throughput, times, answers, memory and queue age of each part; exit 1 when a survey is lost or there
 * twice, or a request fails otherwise than by being told when to come back.
 */
const { values } = parseArgs({
  options: {
    crews: { type: 'string', default: '200' },
    uploads: { type: 'string', default: '10' },
    surveys: { type: 'string', default: '1000' },
    reviewers: { type: 'string', default: '50' },
    burst: { type: 'string', default: '600' },
    'soak-minutes': { type: 'string', default: '0.5' },
  },
})
const crews = Number(values.crews)
const uploads = Number(values.uploads)
const surveysEach = Number(values.surveys)
const reviewers = Number(values.reviewers)
const burst = Number(values.burst)
const COMMAND = `npm run test:load -- ${process.argv.slice(2).join(' ')}`.trim()
const soakMs = Number(values['soak-minutes']) * 60_000

const json = { 'content-type': 'application/json' }
const csv = { 'content-type': 'text/csv' }
const TESTS_EACH = 20
const fleets = Array.from({ length: uploads }, (_, u) => {
  const made = makeFleet(Math.max(1, Math.ceil(surveysEach / TESTS_EACH)), TESTS_EACH, u + 1)
  // Ids of their own, so that no two files hold the same survey.
  const own = (text: string) => text.replaceAll('T-', `U${u}-`).replaceAll('TS-', `US${u}-`)
  return {
    header: made.header,
    registerCsv: own(made.registerCsv),
    rows: made.rows.map(own).slice(0, surveysEach),
  }
})
const crewRegister = `electrode_id,site_id,kind,length_m,limit_ohm,responsible_email\n${Array.from(
  { length: crews },
  (_, i) => `C-${i},CS-${Math.floor(i / 10)},rod,3,25,engineer${i % 5}@example.org`,
).join('\n')}\n`
let handedIn = 0
const surveyOf = (crew: number, n: number) => ({
  surveyRef: `C-${crew}-${n}`,
  electrodeId: `C-${crew}`,
  testedAt: new Date(Date.UTC(2020, 0, 1 + n, 10)).toISOString(),
  currentProbeM: 30,
  measuredAs: 'electrode-alone',
  readings: [15.6, 18.6, 21.6].map((potentialProbeM, i) => ({
    potentialProbeM,
    resistanceOhm: Number((10 + (crew % 7) + 0.1 * i + 0.01 * (n % 5)).toFixed(2)),
  })),
})

const folder = await temporaryFolder()
const service = await startService(folder.path)
const seen = watch(service.pid, folder.path)
let bad = 0

function report(what: string, tally: Tally, seconds: number, more = ''): void {
  const p50 = percentile(tally.timesMs, 0.5).toFixed(0)
  const p99 = percentile(tally.timesMs, 0.99).toFixed(0)
  const rss = seen.now().rssMegabytes.at(-1)?.megabytes.toFixed(0)
  const rate = (tally.timesMs.length / seconds).toFixed(0)
  const notes = `${rate} requests/s, p50 ${p50} ms, p99 ${p99} ms, answers ${statuses(tally)}, memory ${rss} MB${more}`
  bad += failures(tally)
  console.log(`${what}: ${notes}`)
  measured({
    what: `load: ${what}`,
    command: COMMAND,
    count: tally.timesMs.length,
    bad: { 'failed otherwise than 503/429 with Retry-After': failures(tally) },
    notes,
  })
}
const timed = async (work: () => Promise<unknown>): Promise<number> => {
  const startMs = performance.now()
  await work()
  return (performance.now() - startMs) / 1000
}
const post = (tally: Tally, token: string, crew: number, n: number) =>
  askUntilTaken(tally, `${service.url}/api/surveys`, token, {
    method: 'POST',
    headers: json,
    body: JSON.stringify(surveyOf(crew, n)),
  })

try {
  const [admin] = await tokensFor(folder.path, 'admin', 1)
  const fieldTokens = await tokensFor(folder.path, 'field', crews)
  for (const body of [crewRegister, ...fleets.map((f) => f.registerCsv)])
    await askUntilTaken(newTally(), `${service.url}/api/register`, admin!, {
      method: 'POST',
      headers: csv,
      body,
    })

  const crewTally = newTally()
  const crewS = await timed(() =>
    Promise.all(
      fieldTokens.map(async (token, crew) => {
        for (let n = 0; n < 3; n++) {
          await post(crewTally, token, crew, n)
          handedIn++
        }
      }),
    ),
  )
  report(`${crews} crews at once, 3 surveys each`, crewTally, crewS)

  const uploadTally = newTally()
  let accepted = 0
  const uploadS = await timed(() =>
    Promise.all(
      fleets.map(async (fleet, u) => {
        const sent = await askUntilTaken(uploadTally, `${service.url}/api/uploads`, fieldTokens[u % crews]!, {
          method: 'POST',
          headers: csv,
          body: csvOf({ ...fleet, rows: fleet.rows }),
        })
        const { id } = (await sent.json()) as { id: string }
        const done = await eventually(
          async () => {
            await new Promise((resolve) => setTimeout(resolve, 500))
            // A service that is busy says so here too: asked again, not given up.
            const answer = await askUntilTaken(newTally(), `${service.url}/api/uploads/${id}`, admin!, {})
            return (await answer.json()) as { state: string; surveysAccepted: number }
          },
          (upload) => upload.state === 'done' || upload.state === 'failed',
          1_800_000,
        )
        accepted += done.surveysAccepted
      }),
    ),
  )
  const inFiles = fleets.reduce((sum, f) => sum + f.rows.length, 0)
  handedIn += inFiles
  report(
    `${uploads} files of ${surveysEach} surveys at once`,
    uploadTally,
    uploadS,
    `, ${(inFiles / uploadS).toFixed(0)} surveys/s stored, accepted ${accepted} of ${inFiles}`,
  )

  const reviewTally = newTally()
  const reviewTokens = await tokensFor(folder.path, 'quality', reviewers)
  const reviewS = await timed(() =>
    Promise.all(
      reviewTokens.map(async (token, i) => {
        for (const path of [
          '/api/findings?limit=50',
          `/api/electrodes/C-${i % crews}`,
          '/api/due?limit=50',
          '/api/sites',
        ])
          for (let n = 0; n < 5; n++) await ask(reviewTally, service.url + path, token)
      }),
    ),
  )
  report(`${reviewers} reviewers reading at once`, reviewTally, reviewS)

  const burstTally = newTally()
  const burstS = await timed(() =>
    Promise.all(
      Array.from({ length: burst }, async (_, i) => {
        const crew = i % crews
        await post(burstTally, fieldTokens[crew]!, crew, 1000 + Math.floor(i / crews))
        handedIn++
      }),
    ),
  )
  const after = newTally()
  for (let n = 0; n < 5; n++) {
    await post(after, fieldTokens[n]!, n, 5000)
    handedIn++
  }
  if (burst > 0)
    report(
      `overload: ${burst} posts in one moment`,
      burstTally,
      burstS,
      `; afterwards answers ${statuses(after)}, p50 ${percentile(after.timesMs, 0.5).toFixed(0)} ms`,
    )
  if (burst > 0 && (burstTally.byStatus.get(503) ?? 0) === 0)
    console.log('  (nobody was turned away: this machine sends more slowly than the service takes in)')

  if (soakMs > 0) {
    const soak = watch(service.pid, folder.path)
    const soakTally = newTally()
    const endMs = Date.now() + soakMs
    let n = 10_000
    const soakS = await timed(async () => {
      while (Date.now() < endMs) {
        const crew = n % crews
        await post(soakTally, fieldTokens[crew]!, crew, n++)
        handedIn++
        await ask(soakTally, `${service.url}/api/findings?limit=20`, reviewTokens[0]!)
        await new Promise((resolve) => setTimeout(resolve, 50))
      }
    })
    const growth = growthPerMinute(soak.stop())
    report(
      `soak of ${(soakMs / 60_000).toFixed(1)} minutes`,
      soakTally,
      soakS,
      `, memory ${growth >= 0 ? '+' : ''}${growth.toFixed(2)} MB/min over the last two thirds`,
    )
  }

  const end = seen.stop()
  console.log(
    `oldest message ${end.oldestMessageS.toFixed(1)} s, most waiting ${end.deepest}, most memory ${Math.max(...end.rssMegabytes.map((p) => p.megabytes)).toFixed(0)} MB`,
  )
  await service.stop()
  const stored = (await snapshot(folder.path, /^(?!E#)/)).filter((line) => line.includes('"sk":"SV#')).length
  const lost = Math.max(0, handedIn - stored)
  const twice = Math.max(0, stored - handedIn)
  console.log(`handed in ${handedIn}, stored ${stored}: lost ${lost}, twice ${twice}; failed requests ${bad}`)
  measured({
    what: 'load: surveys handed in under load',
    command: COMMAND,
    count: handedIn,
    bad: { lost, twice },
    notes: `oldest message ${end.oldestMessageS.toFixed(1)} s`,
  })
  process.exitCode = lost + twice + bad === 0 ? 0 : 1
} finally {
  await service.kill()
  await folder.remove()
}
