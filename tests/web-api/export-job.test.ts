import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { createApp } from '../../functions/web/create-app.ts'
import { createExporter } from '../../functions/web/exports/create-exporter.ts'
import { newUpload } from '../../shared-lib/ledger/new-upload.ts'
import { s3ExportFiles } from '../../shared-lib/ports/cloud/s3-export-files.ts'
import { s3ExportLinks } from '../../shared-lib/ports/cloud/s3-export-links.ts'
import type { Person } from '../../shared-lib/ports/identity.ts'
import type { OutgoingMessage } from '../../shared-lib/ports/queue.ts'
import { bucketDouble } from '../ports/cloud/bucket-double.ts'
import { type House, NOW_MS, openHouse, rodAt, shortSurvey, someone } from './house.ts'

const admin = someone('admin')
const crew = someone('field', { sites: ['North'] })
const MINUTE_MS = 60_000
const DAY_MS = 24 * 60 * MINUTE_MS

let house: House
let bucket: Awaited<ReturnType<typeof bucketDouble>>
let toExport: OutgoingMessage[]
/** What an answer may hold; the exports of this house are longer. */
let longestAnswerBytes: number
let nowMs = NOW_MS

beforeAll(async () => {
  house = await openHouse()
  bucket = await bucketDouble()
  for (const [id, site, email] of [
    ['N-1', 'North', 'ana@example.org'],
    ['S-1', 'South', 'bo@example.org'],
  ] as const) {
    await house.call(admin, 'PUT', `/api/electrodes/${id}`, rodAt(site, { responsibleEmail: email }))
    // Far above the limit, so that there are findings too.
    await house.call(admin, 'POST', '/api/surveys', shortSurvey(`X-${id}`, id, '2026-04-01T10:00:00Z', 60))
  }
  await house.compare()
  const upload = {
    id: 'refusing',
    state: 'done',
    fileName: 'crew.csv',
    archiveKey: 'uploads/refusing',
    byteLength: 9,
  } as const
  await house.deps.ledger.putUpload(
    newUpload({
      ...upload,
      by: 'local:crew',
      role: 'field',
      sites: '*',
      receivedAt: '2026-05-01T10:00:00Z',
      options: {},
    }),
  )
  const refused = {
    kind: 'refused',
    column: 'resistance_ohm',
    value: '=abc',
    code: 'not-a-number',
  } as const
  const kept = (await house.deps.ledger.getUpload('refusing'))!
  const rows = [2, 3, 4].map((row) => ({ ...refused, row, problem: 'That is no number. Write one.' }))
  await house.deps.ledger.checkpointUpload({ ...kept, checkpoint: 1 }, rows)
}, 30_000)
afterAll(async () => {
  await house.close()
  await bucket.close()
})
beforeEach(async () => {
  // Each test a week later: what the one before asked for is past.
  nowMs += 7 * DAY_MS
  house.setNow(nowMs)
  toExport = []
  longestAnswerBytes = 100
  bucket.objects.clear()
})

interface Job {
  id: string
  state: string
  file: string | null
  failure?: string
  byteLength?: number
}

async function ask(who: Person, path: string, accept = '*/*') {
  const send = async (messages: OutgoingMessage[]) => void toExport.push(...messages)
  const links = s3ExportLinks('archive', bucket.client)
  const app = createApp({ ...house.deps, exports: { longestAnswerBytes, queue: { send }, links } })
  const headers = { Authorization: `Bearer ${await house.bearer(who)}`, Accept: accept }
  return app.request(path, { headers })
}
const askForJob = async (who: Person, path: string): Promise<Job> => {
  const answer = await ask(who, path)
  expect(answer.status).toBe(202)
  return (await answer.json()) as Job
}
const follow = async (who: Person, job: Job) =>
  (await (await ask(who, `/api/exports/${job.id}`)).json()) as Job

/** Runs what waits, as the queue does; gives the failures it was told. */
async function work({
  tries = 1,
  mostBytes = 1e9,
  longestMs = 1e9,
  files = s3ExportFiles('archive', bucket.client),
} = {}) {
  const exporter = createExporter({
    ...{ ledger: house.deps.ledger, files, clock: house.deps.clock, log: () => {} },
    settings: { mostBytes, longestMs, lastTry: 5 },
  })
  const attributes = { ApproximateReceiveCount: String(tries) }
  const Records = toExport.map(({ body }, i) => ({
    messageId: `m${i}`,
    body: JSON.stringify(body),
    attributes,
  }))
  return (await exporter({ Records })).batchItemFailures
}
const fileOf = async (who: Person, job: Job): Promise<string> => {
  const led = await ask(who, `/api/exports/${job.id}/file`)
  expect(led.status).toBe(303)
  return (await fetch(led.headers.get('location')!)).text()
}
/** What one machine streams. */
const streamed = async (who: Person, path: string) => (await house.call(who, 'GET', path)).text()

const SURVEYS = '/api/export/surveys.csv'

describe('an export that is longer than one answer', () => {
  it('is answered whole as long as it fits, to the byte', async () => {
    const whole = await streamed(admin, SURVEYS)
    longestAnswerBytes = Buffer.byteLength(whole)
    expect(await (await ask(admin, SURVEYS)).text()).toBe(whole)
    longestAnswerBytes--
    await askForJob(admin, SURVEYS)
  })

  it.each([
    ['every survey', admin, SURVEYS],
    ['a site', admin, `${SURVEYS}?site=South`],
    ['an electrode', admin, `${SURVEYS}?electrode=N-1`],
    ['what a crew sees', crew, SURVEYS],
    ['what an engineer is named for', someone('engineer', { email: 'bo@example.org' }), SURVEYS],
    ['a table of the register', admin, '/api/export/register.csv'],
    ['what was refused of a file', admin, '/uploads/refusing/refused.csv'],
    ['findings of a site', admin, '/findings.csv?site=North'],
    ['findings as a crew sees them', crew, '/findings.csv'],
  ])('of %s holds what one machine would have streamed, once it is made', async (_, who, path) => {
    const asked = await ask(who, path)
    const job = (await asked.json()) as Job
    expect([asked.status, asked.headers.get('location')]).toEqual([202, `/api/exports/${job.id}`])
    expect(job).toMatchObject({ state: 'waiting', file: null })
    expect((await ask(who, `/api/exports/${job.id}/file`)).status).toBe(404)
    expect(await work()).toEqual([])
    expect(await follow(who, job)).toMatchObject({ state: 'ready', file: `/api/exports/${job.id}/file` })
    // A page of the office asks for a session; its file is made by the same rules as the API's.
    const session = await house.identity.issueSession(who)
    const headers = { Cookie: `stakeline_session=${session.token}` }
    const whole = await (await house.app.request(path, { headers })).text()
    expect(whole.length).toBeGreaterThan(100)
    expect(await fileOf(who, job)).toBe(whole.replace(/^\uFEFF/, ''))
  })

  it('leads a browser to a page that follows it and has the way to the file', async () => {
    const asked = await ask(admin, SURVEYS, 'text/html,application/xhtml+xml')
    expect(asked.status).toBe(303)
    const page = asked.headers.get('location')!
    const text = async () => (await ask(admin, page)).text()
    expect(await text()).toMatch(
      /Waiting to be made.*http-equiv="refresh"|http-equiv="refresh".*Waiting to be made/s,
    )
    await work()
    expect(await text()).toContain(`href="${page}/file"`)
    expect(await text()).not.toContain('http-equiv="refresh"')
    expect((await ask(admin, `${page}/file`)).headers.get('location')).toContain('X-Amz-Expires=60')
  })

  it('is found by who asked for it and by nobody else, nor when they may see less than then', async () => {
    const job = await askForJob(crew, SURVEYS)
    await work()
    const statuses = async (who: Person) =>
      Promise.all(
        [`/api/exports/${job.id}`, `/api/exports/${job.id}/file`, `/exports/${job.id}`].map(
          async (path) => (await ask(who, path)).status,
        ),
      )
    expect(await statuses(crew)).toEqual([200, 303, 200])
    const nothing = [404, 404, 404]
    expect(await statuses(admin)).toEqual(nothing)
    expect(await statuses({ ...crew, id: 'local:colleague' })).toEqual(nothing)
    expect(await statuses({ ...crew, sites: ['South'] })).toEqual(nothing)
    expect(await statuses({ ...crew, role: 'engineer' })).toEqual(nothing)
    expect(await statuses({ ...crew, sites: ['North', 'South'] })).toEqual([200, 303, 200])
    house.setNow(nowMs + 3 * DAY_MS)
    expect(await statuses(crew)).toEqual(nothing)
  })

  it('asked for twice is one job; later it is a new one, and what is past is cleared away', async () => {
    const job = await askForJob(admin, SURVEYS)
    expect((await askForJob(admin, SURVEYS)).id).toBe(job.id)
    expect(toExport.length).toBe(1)
    house.setNow(nowMs + 6 * MINUTE_MS)
    await askForJob(admin, SURVEYS)
    // Its message may be lost: it is sent again, and made once.
    expect(toExport.length).toBe(2)
    await work()
    expect((await askForJob(admin, SURVEYS)).id).toBe(job.id)
    expect((await askForJob(admin, `${SURVEYS}?site=North`)).id).not.toBe(job.id)
    house.setNow(nowMs + 16 * MINUTE_MS)
    expect((await askForJob(admin, SURVEYS)).id).not.toBe(job.id)
    house.setNow(nowMs + 5 * DAY_MS)
    await askForJob(admin, SURVEYS)
    expect((await house.deps.ledger.listExports(admin.id)).length).toBe(1)
  })

  it('is made so often for one person in a day, and others are not held up by it', async () => {
    const one = someone('admin', { id: 'local:loop' })
    const statuses: number[] = []
    for (let i = 0; i < 21; i++) {
      house.setNow(nowMs + i * 20 * MINUTE_MS)
      const answer = await ask(one, SURVEYS)
      statuses.push(answer.status)
      await work()
      toExport = []
    }
    expect(statuses).toEqual([...Array(20).fill(202), 429])
    const refused = await ask(one, SURVEYS)
    expect(Number(refused.headers.get('retry-after'))).toBeGreaterThan(60)
    expect((await ask(one, SURVEYS, 'text/html')).headers.get('content-type')).toContain('text/html')
    expect((await ask(admin, SURVEYS)).status).toBe(202)
  })

  it('that would be too long or take too long is not made, and says what to ask for', async () => {
    for (const bound of [{ mostBytes: 300 }, { longestMs: -1 }]) {
      nowMs += 7 * DAY_MS
      house.setNow(nowMs)
      toExport = []
      const job = await askForJob(admin, SURVEYS)
      expect(await work(bound)).toEqual([])
      const ended = await follow(admin, job)
      expect(ended).toMatchObject({ state: 'failed', file: null })
      expect(ended.failure).toMatch(/one site after the other/)
      expect([...bucket.objects.keys()]).toEqual([])
      // A failure does not stand in the way of the next try.
      expect((await askForJob(admin, SURVEYS)).id).not.toBe(job.id)
    }
  })

  it('is tried again when the bucket fails, and who waits is told after the last try', async () => {
    const files = { put: () => Promise.reject(new Error('the bucket is away')) }
    const job = await askForJob(admin, SURVEYS)
    expect(await work({ files })).toEqual([{ itemIdentifier: 'm0' }])
    expect((await follow(admin, job)).state).toBe('making')
    expect(await work({ files, tries: 5 })).toEqual([{ itemIdentifier: 'm0' }])
    expect(await follow(admin, job)).toMatchObject({
      state: 'failed',
      failure: expect.stringMatching(/again/),
    })
  })

  it('delivered twice stays as it was made', async () => {
    const job = await askForJob(admin, SURVEYS)
    await work()
    const ready = await follow(admin, job)
    expect(await work({ files: { put: () => Promise.reject(new Error('made again')) } })).toEqual([])
    expect(await follow(admin, job)).toEqual(ready)
  })
})
