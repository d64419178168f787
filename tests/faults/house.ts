import type { DynamoDBDocumentClient } from '@aws-sdk/lib-dynamodb'
import type { DurableQueue } from '../../cdk/local/adapters/durable-queue.ts'
import { createCompare } from '../../functions/compare/create-compare.ts'
import { createIntake } from '../../functions/intake/create-intake.ts'
import { createNotify } from '../../functions/notify/create-notify.ts'
import { createUpkeep } from '../../functions/upkeep/create-upkeep.ts'
import { createApp } from '../../functions/web/create-app.ts'
import { createLedger } from '../../shared-lib/ledger/create-ledger.ts'
import { createDesk } from '../../shared-lib/ledger/hand-in.ts'
import type { Ledger } from '../../shared-lib/ledger/ledger.ts'
import { parametersReader } from '../../shared-lib/ledger/parameters.ts'
import type { Person, Role } from '../../shared-lib/ports/identity.ts'
import type { QueueHandler } from '../../shared-lib/ports/queue.ts'
import { disturbedArchive, disturbedClient, disturbedMail, disturbedQueue } from './disturbed-ports.ts'
import { type Disturbance, inNameOf, undisturbed, withNamedMethods } from './steps.ts'
import type { World } from './world.ts'

const BASE_URL = 'http://127.0.0.1:4700'
export type QueueName = 'intake' | 'compare' | 'notify'
export const QUEUE_NAMES: readonly QueueName[] = ['intake', 'compare', 'notify']

/** The whole service as one process would hold it, over a world that outlives it. Nothing runs by itself: `settle` drives it. */
export interface House {
  world: World
  ledger: Ledger
  queues: Record<QueueName, DurableQueue>
  handlers: Record<QueueName, QueueHandler>
  /** The sweep that runs at start-up (0) and every minute. */
  sweep(staleAfterS: number): Promise<void>
  /** A request by somebody with this role, as a program (bearer), a browser (session), or by nobody. */
  ask(
    role: Role,
    path: string,
    init?: RequestInit & { as?: 'bearer' | 'session' | 'none' },
  ): Promise<Response>
  close(): void
}

/** Bearer and session tokens of the tests: the role itself. What tokens must withstand is tested where they are made. */
const personOf = (role: string): Person => ({
  id: `local:${role}`,
  name: `Sample ${role}`,
  role: role as Role,
  sites: '*',
})

export function openHouse(
  world: World,
  by: Disturbance = undisturbed,
  attempts = 3,
  over: (client: DynamoDBDocumentClient) => DynamoDBDocumentClient = (client) => client,
): House {
  const { client, destroy } = disturbedClient(world.endpoint, by, attempts)
  const ledger = withNamedMethods(createLedger({ client: over(client), tableName: world.tableName }))
  const { clock, newId } = world
  const queues = {
    intake: world.queues.queue('intake', { fifo: false }),
    compare: world.queues.queue('compare', { fifo: true }),
    notify: world.queues.queue('notify', { fifo: false }),
  }
  const intakeQueue = disturbedQueue(queues.intake, 'intake', by)
  const compareQueue = disturbedQueue(queues.compare, 'compare', by)
  const notifyQueue = disturbedQueue(queues.notify, 'notify', by)
  const archive = disturbedArchive(world.archive, by)
  const desk = createDesk({ ledger, compareQueue, clock, newId })
  const log = () => {}
  const app = createApp({
    ledger,
    desk,
    intakeQueue,
    archive,
    identity: {
      verify: async (token) => personOf(token),
      issueSession: async (person) => ({ token: person.role, maxAgeS: 3600 }),
    },
    clock,
    newId,
    settings: {
      operatorName: 'Invented Grid',
      baseUrl: BASE_URL,
      maxUploadBytes: 4_000_000,
      secureCookies: false,
    },
  })
  const common = { ledger, clock, log }
  const named =
    (name: string, handler: QueueHandler): QueueHandler =>
    (event) =>
      inNameOf(name, () => handler(event))
  return {
    world,
    ledger,
    queues,
    handlers: {
      intake: named('intake', createIntake({ ...common, archive, compareQueue, newId, chunkSize: 5 })),
      compare: named(
        'compare',
        createCompare({
          ...common,
          newId,
          notifyQueue,
          parameters: parametersReader(ledger),
          settings: { fallbackEmail: 'duty@example.org', mailHoldS: 30, oldAfterDays: 30 },
        }),
      ),
      notify: named(
        'notify',
        createNotify({
          ...common,
          mail: disturbedMail(world.mail, by),
          settings: {
            operatorName: 'Invented Grid',
            baseUrl: BASE_URL,
            mailDomain: 'stakeline.example.org',
            mailHoldS: 30,
            longestHoldS: 600,
            mailsADay: null,
          },
        }),
      ),
    },
    async sweep(staleAfterS) {
      const upkeep = createUpkeep({
        ...common,
        newId,
        desk,
        intakeQueue,
        compareQueue,
        notifyQueue,
        settings: { staleAfterS },
      })
      await inNameOf('upkeep', upkeep)
    },
    ask: (role, path, { as = 'bearer', ...init } = {}) => {
      const headers = new Headers(init.headers)
      if (as === 'bearer') headers.set('Authorization', `Bearer ${role}`)
      else if (as === 'session') {
        headers.set('Cookie', `stakeline_session=${role}`)
        headers.set('Origin', BASE_URL)
        headers.set('Accept', 'text/html')
      }
      return inNameOf('web', async () => app.request(path, { ...init, headers }))
    },
    close: destroy,
  }
}
