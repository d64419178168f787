import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { diskArchive } from '../../cdk/local/adapters/disk-archive.ts'
import { localIdentity } from '../../cdk/local/adapters/local-identity.ts'
import { openTable } from '../../cdk/local/adapters/table.ts'
import { createCompare } from '../../functions/compare/create-compare.ts'
import { createApp } from '../../functions/web/create-app.ts'
import type { WebDeps } from '../../functions/web/deps.ts'
import { defaultParameters } from '../../shared-lib/history/parameters.ts'
import { createLedger } from '../../shared-lib/ledger/create-ledger.ts'
import { createDesk } from '../../shared-lib/ledger/hand-in.ts'
import type { Person, Role } from '../../shared-lib/ports/identity.ts'
import type { OutgoingMessage, Queue } from '../../shared-lib/ports/queue.ts'

export const NOW_MS = Date.parse('2026-05-04T12:00:00Z')
export const BASE_URL = 'http://127.0.0.1:4700'

export interface House {
  app: ReturnType<typeof createApp>
  deps: WebDeps
  identity: Awaited<ReturnType<typeof localIdentity>>
  /** Messages that were sent and not taken yet. */
  toCompare: OutgoingMessage[]
  toIntake: OutgoingMessage[]
  setNow(ms: number): void
  bearer(person: Person): Promise<string>
  /** A call by somebody with a bearer token; an object as body goes as JSON. */
  call(
    person: Person | null,
    method: string,
    path: string,
    body?: unknown,
    headers?: Record<string, string>,
  ): Promise<Response>
  /** Runs every comparison that is waiting. */
  compare(): Promise<void>
  close(): Promise<void>
}

export const someone = (role: Role, more: Partial<Person> = {}): Person => ({
  id: `local:${role}`,
  name: `Sample ${role}`,
  role,
  sites: '*',
  ...more,
})

/** The real app over the real ledger, archive and identity of one machine; only what waits in the queues is kept in memory. */
export async function openHouse(settings: Partial<WebDeps['settings']> = {}): Promise<House> {
  const dataDir = await mkdtemp(join(tmpdir(), 'stakeline-web-'))
  const table = await openTable({ dataDir })
  const ledger = createLedger(table)
  let nowMs = NOW_MS
  const clock = { nowMs: () => nowMs }
  const newId = () => crypto.randomUUID().replaceAll('-', '')
  const identity = await localIdentity({ dataDir, clock })
  const toCompare: OutgoingMessage[] = []
  const toIntake: OutgoingMessage[] = []
  const into = (list: OutgoingMessage[]): Queue => ({
    send: async (messages) => {
      list.push(...messages)
    },
  })
  const deps: WebDeps = {
    ledger,
    desk: createDesk({ ledger, compareQueue: into(toCompare), clock, newId }),
    intakeQueue: into(toIntake),
    archive: diskArchive(join(dataDir, 'archive')),
    identity,
    clock,
    newId,
    settings: {
      operatorName: 'Invented Grid',
      baseUrl: BASE_URL,
      maxUploadBytes: 100_000,
      secureCookies: false,
      ...settings,
    },
  }
  const app = createApp(deps)
  const judge = createCompare({
    ledger,
    notifyQueue: into([]),
    clock,
    newId,
    parameters: defaultParameters,
    log: (entry) => {
      if (entry.level === 'error') throw new Error(JSON.stringify(entry))
    },
    settings: { fallbackEmail: 'duty@example.org', mailHoldS: 30, oldAfterDays: 30 },
  })
  const bearer = (person: Person) => identity.mintToken(person, 3600)
  return {
    app,
    deps,
    identity,
    toCompare,
    toIntake,
    setNow: (ms) => {
      nowMs = ms
    },
    bearer,
    async call(person, method, path, body, more) {
      const headers = new Headers(more)
      if (person) headers.set('Authorization', `Bearer ${await bearer(person)}`)
      const isJson = body !== undefined && typeof body !== 'string' && !(body instanceof FormData)
      if (isJson) headers.set('Content-Type', 'application/json')
      const sent = isJson ? JSON.stringify(body) : (body as string | FormData | undefined)
      return app.request(path, { method, headers, ...(sent === undefined ? {} : { body: sent }) })
    },
    async compare() {
      for (const { body } of toCompare.splice(0)) {
        const attributes = { ApproximateReceiveCount: '1' }
        await judge({ Records: [{ messageId: newId(), body: JSON.stringify(body), attributes }] })
      }
    },
    async close() {
      await table.close()
      await rm(dataDir, { recursive: true, force: true, maxRetries: 3 })
    },
  }
}

export const rodAt = (siteId: string, more: Record<string, unknown> = {}) => ({
  siteId,
  kind: 'rod',
  lengthM: 3,
  diameterMm: 16,
  limitOhm: 25,
  responsibleEmail: 'ana@example.org',
  retestMonths: 12,
  ...more,
})

/** A sound short survey of a rod, around `ohm`. */
export const shortSurvey = (surveyRef: string, electrodeId: string, testedAt: string, ohm: number) => ({
  surveyRef,
  electrodeId,
  testedAt,
  method: 'fall-of-potential',
  currentProbeM: 30,
  measuredAs: 'electrode-alone',
  soilState: 'moist',
  readings: [0.985, 1, 1.015].map((lift, i) => ({
    potentialProbeM: [15.6, 18.6, 21.6][i],
    resistanceOhm: Number((ohm * lift).toFixed(2)),
  })),
})
