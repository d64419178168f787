import { randomBytes } from 'node:crypto'
import { once } from 'node:events'
import { mkdir } from 'node:fs/promises'
import type { AddressInfo } from 'node:net'
import { join } from 'node:path'
import { createAdaptorServer } from '@hono/node-server'
import { createCompare } from '../../functions/compare/create-compare.ts'
import { createIntake } from '../../functions/intake/create-intake.ts'
import { createNotify } from '../../functions/notify/create-notify.ts'
import { createNightly } from '../../functions/upkeep/create-nightly.ts'
import { createUpkeep } from '../../functions/upkeep/create-upkeep.ts'
import { createDiscardDrafts } from '../../functions/upkeep/discard-drafts.ts'
import { buildClient } from '../../functions/web/client/build-client.ts'
import { createApp } from '../../functions/web/create-app.ts'
import { ONE_MACHINE_LIMITS } from '../../functions/web/limits/limits.ts'
import { createPressure } from '../../functions/web/limits/pressure.ts'
import { createLedger } from '../../shared-lib/ledger/create-ledger.ts'
import { createDesk } from '../../shared-lib/ledger/hand-in.ts'
import { parametersReader } from '../../shared-lib/ledger/parameters.ts'
import { describe, type Log } from '../../shared-lib/ports/handle-batch.ts'
import { type Person, ROLES, type Role } from '../../shared-lib/ports/identity.ts'
import { diskArchive } from './adapters/disk-archive.ts'
import { localIdentity } from './adapters/local-identity.ts'
import { watchLoopDelay } from './adapters/loop-delay.ts'
import { outboxMail } from './adapters/outbox-mail.ts'
import { openQueues } from './adapters/queues.ts'
import { runQueue } from './adapters/run-queue.ts'
import { openTable } from './adapters/table.ts'
import type { LocalSettings } from './settings.ts'

export interface LocalService {
  url: string
  /** One sign-in link a role, good for 30 days. */
  signInLinks: Record<Role, string>
  adminToken: string
  /** Ends gracefully: no new requests, work in hand finished, files closed. */
  stop(): Promise<void>
}

const MEGABYTE = 1024 * 1024
const LINK_LIFE_S = 30 * 86_400
const SWEEP_EVERY_MS = 60_000
const QUIET_MS = 3000
const DAY_MS = 86_400_000
/** As on SQS: a message that failed this often needs a person. */
const MAX_RECEIVES = 5
/** A site is compared when no request is under way, and after this time at the latest. */
const COMPARE_WAITS_MS = 200
/**
 * Comparisons begin when nobody has handed anything in for a moment, and after some time at the latest: what many crews hand in about
 * one site comes together and is answered by one comparison, which costs more than the hand-in itself.
 */
const QUIET_BEFORE_COMPARE_MS = 100
const LONGEST_BEFORE_COMPARE_MS = 2000
const COMPARE_BATCH = 200

const localPerson = (role: Role): Person => ({
  id: `local:${role}`,
  name: `${role} (this machine)`,
  role,
  sites: '*',
})

/**
 * The whole service in this process: the same app and handlers as in the cloud over the embedded table, a durable queue, the disk
 * and an outbox folder. Binds to 127.0.0.1 only.
 */
export async function startLocal(settings: LocalSettings, log: Log): Promise<LocalService> {
  const { dataDir } = settings
  await mkdir(dataDir, { recursive: true })
  const clock = { nowMs: () => Date.now() }
  const loop = watchLoopDelay()
  const pressure = createPressure(clock, loop.loopDelayMs)
  const newId = () => randomBytes(16).toString('base64url')
  const table = await openTable({ dataDir, apart: true })
  table.refreshed.catch((error) =>
    log({ level: 'error', message: 'index refresh failed', error: describe(error) }),
  )
  const ledger = createLedger(table)
  const queues = openQueues({ path: join(dataDir, 'queues.sqlite'), clock })
  const intakeQueue = queues.queue('intake', { fifo: false })
  const compareQueue = queues.queue('compare', { fifo: true })
  const notifyQueue = queues.queue('notify', { fifo: false })
  const archive = diskArchive(join(dataDir, 'archive'))
  const outbox = outboxMail({
    folder: join(dataDir, 'outbox'),
    from: { name: 'stakeline', address: 'stakeline@example.org' },
  })
  const identity = await localIdentity({ dataDir, clock })
  const desk = createDesk({ ledger, compareQueue, clock, newId })

  const assets = await buildClient()

  // The address is part of mail and pages, and the port may be chosen by the system: listen first, answer when all is there.
  const server = createAdaptorServer({ fetch: (request: Request, env: object) => app.fetch(request, env) })
  server.listen(settings.port, '127.0.0.1')
  await once(server, 'listening')
  const url = `http://127.0.0.1:${(server.address() as AddressInfo).port}`
  const app = createApp({
    ledger,
    desk,
    intakeQueue,
    archive,
    identity,
    clock,
    newId,
    log,
    outbox,
    assets,
    pressure,
    settings: {
      operatorName: settings.operatorName,
      baseUrl: url,
      maxUploadBytes: 4 * MEGABYTE,
      secureCookies: false,
      limits: ONE_MACHINE_LIMITS,
      ...(settings.controlRoomPhone ? { controlRoomPhone: settings.controlRoomPhone } : {}),
    },
  })

  const { mailHoldS, fallbackEmail, operatorName } = settings
  const upkeep = (staleAfterS: number) =>
    createUpkeep({
      ledger,
      desk,
      newId,
      intakeQueue,
      compareQueue,
      notifyQueue,
      clock,
      log,
      settings: { staleAfterS },
    })
  const nightly = createNightly({
    ...{ ledger, notifyQueue, compareQueue, clock, newId, log },
    settings: {
      ...{ fallbackEmail, mailHoldS, oldAfterDays: 30, adoptLearnt: settings.adoptParameters },
      ...{ urgentAfterH: settings.escalateUrgentH, warningAfterDays: settings.escalateWarningDays },
    },
  })
  // On one machine the instruments are judged and the fleet is counted whenever comparisons have come to rest; it teaches once a day.
  let comparedAtMs: number | null = clock.nowMs()
  const noticing: Log = (entry) => {
    if (entry.message === 'compared') comparedAtMs = clock.nowMs()
    log(entry)
  }
  const whenQuiet = async () => {
    if (comparedAtMs === null || clock.nowMs() - comparedAtMs < QUIET_MS) return
    comparedAtMs = null
    await nightly.instruments()
    await nightly.count()
  }
  const often = setInterval(
    () =>
      void whenQuiet().catch((error) =>
        log({
          level: 'error',
          message: 'instruments or fleet were left as they were',
          error: describe(error),
        }),
      ),
    QUIET_MS,
  )
  const discardDrafts = createDiscardDrafts({ ledger, archive, clock, log })
  const tidy = () =>
    discardDrafts().catch((error) =>
      log({ level: 'error', message: 'drafts were not removed', error: describe(error) }),
    )
  const daily = setInterval(() => {
    void nightly
      .count()
      .then(nightly.learn)
      .catch((error) => log({ level: 'error', message: 'nothing was learnt', error: describe(error) }))
    void tidy()
    passOn('warning')
  }, DAY_MS)
  const passOn = (what: 'urgent' | 'warning') =>
    void nightly
      .escalate(what)
      .catch((error) => log({ level: 'error', message: 'nobody was asked next', error: describe(error) }))
  const halfHourly = setInterval(() => passOn('urgent'), DAY_MS / 48)
  const common = { batchSize: 5, visibilityS: 30, maxReceives: MAX_RECEIVES, log }
  const runs = [
    runQueue({
      ...common,
      queue: intakeQueue,
      batchSize: 1,
      concurrency: 2,
      handler: createIntake({ ledger, archive, compareQueue, clock, newId, log }),
    }),
    runQueue({
      ...common,
      queue: compareQueue,
      batchSize: COMPARE_BATCH,
      concurrency: 2,
      myTurn: () => pressure.whenQuiet(QUIET_BEFORE_COMPARE_MS, LONGEST_BEFORE_COMPARE_MS),
      handler: createCompare({
        myTurn: () => pressure.whenIdle(COMPARE_WAITS_MS),
        ledger,
        notifyQueue,
        clock,
        newId,
        parameters: parametersReader(ledger),
        log: noticing,
        settings: { fallbackEmail, mailHoldS, oldAfterDays: 30 },
      }),
    }),
    runQueue({
      ...common,
      queue: notifyQueue,
      // One hand: two at once for one engineer would tell the same news twice.
      concurrency: 1,
      handler: createNotify({
        ledger,
        mail: outbox,
        clock,
        log,
        settings: {
          operatorName,
          baseUrl: url,
          mailDomain: 'stakeline.example.org',
          mailHoldS,
          longestHoldS: 600,
          mailsADay: settings.mailsADay,
        },
      }),
    }),
  ]
  const sweep = (staleAfterS: number) =>
    upkeep(staleAfterS)().catch((error) =>
      log({ level: 'error', message: 'the sweep failed', error: describe(error) }),
    )
  void sweep(0)
    .then(tidy)
    .then(() => {
      passOn('urgent')
      passOn('warning')
    })
  const timer = setInterval(() => void sweep(120), SWEEP_EVERY_MS)

  const links = await Promise.all(
    ROLES.map(async (role) => {
      const token = await identity.mintSignIn(localPerson(role), LINK_LIFE_S)
      return [role, `${url}/sign-in?token=${token}`] as const
    }),
  )
  return {
    url,
    signInLinks: Object.fromEntries(links) as Record<Role, string>,
    adminToken: await identity.mintToken(localPerson('admin'), 3600),
    async stop() {
      for (const each of [timer, often, halfHourly, daily]) clearInterval(each)
      await new Promise((done) => {
        server.close(done)
        if ('closeAllConnections' in server) server.closeAllConnections()
      })
      await Promise.all(runs.map((run) => run.stop()))
      queues.close()
      loop.stop()
      await table.close()
    },
  }
}
