import { readFileSync } from 'node:fs'
import { type APIGatewayProxyResult, handle, type LambdaContext, type LambdaEvent } from 'hono/aws-lambda'
import type { HandInDesk } from '../../shared-lib/ledger/hand-in.ts'
import { openLedger } from '../../shared-lib/ledger/open-ledger.ts'
import { setting } from '../../shared-lib/ports/cloud/environment.ts'
import { poolIdentity, poolKeys } from '../../shared-lib/ports/cloud/pool-identity.ts'
import { secretSessionKeys } from '../../shared-lib/ports/cloud/session-keys.ts'
import { sqsQueue } from '../../shared-lib/ports/cloud/sqs-queue.ts'
import { surroundings } from '../../shared-lib/ports/cloud/surroundings.ts'
import { correlated } from '../../shared-lib/ports/correlation.ts'
import { onFirstUse } from '../../shared-lib/ports/on-first-use.ts'
import { createFrame } from './app-frame.ts'
import type { Asset } from './assets.ts'
import { countSurveys } from './count-surveys.ts'
import type { WebDeps } from './deps.ts'
import { oidcSignIn } from './oidc/oidc-sign-in.ts'
import { mountPages } from './pages/mount-pages.ts'

/**
 * web on Lambda, behind the HTTP API. A new copy reads only what every page needs; the API, what judges a survey and the way to
 * the bucket are read when they are first asked for.
 */
const { env } = process
const around = surroundings(env)
const { ledger } = openLedger(setting(env, 'TABLE_NAME'))
const bucket = setting(env, 'ARCHIVE_BUCKET')
const compareQueue = sqsQueue(setting(env, 'COMPARE_QUEUE_URL'))

const pool = setting(env, 'USER_POOL_ID')
const pagesClient = setting(env, 'PAGES_CLIENT_ID')
const issuer = `https://cognito-idp.${setting(env, 'AWS_REGION')}.amazonaws.com/${pool}`
// The SDK's own variable for leading calls to AWS elsewhere; the pool's keys and description must follow it.
const endpoint = env.AWS_ENDPOINT_URL ? `${env.AWS_ENDPOINT_URL}/${pool}` : issuer
const sessionKeys = secretSessionKeys(setting(env, 'SESSION_KEY_SECRET'), around.clock.nowMs)

const judging = onFirstUse(async () =>
  (await import('../../shared-lib/ledger/hand-in.ts')).createDesk({ ...around, ledger, compareQueue }),
)
const desk: HandInDesk = {
  handIn: async (...given) => (await judging()).handIn(...given),
  mark: async (...given) => (await judging()).mark(...given),
  announce: async (...given) => (await judging()).announce(...given),
  rejudgeAll: async () => (await judging()).rejudgeAll(),
  releaseHeld: async (...given) => (await judging()).releaseHeld(...given),
}
const inBucket = onFirstUse(async () => (await import('./bucket.ts')).openBucket(bucket))

const deps: WebDeps = {
  ...around,
  ledger,
  desk: countSurveys(desk, around.log),
  intakeQueue: sqsQueue(setting(env, 'INTAKE_QUEUE_URL')),
  archive: {
    put: async (key, bytes) => (await inBucket()).archive.put(key, bytes),
    open: (key) => ({
      async *[Symbol.asyncIterator]() {
        yield* (await inBucket()).archive.open(key)
      },
    }),
  },
  directUploads: { issue: async (ticket, limits) => (await inBucket()).directUploads.issue(ticket, limits) },
  exports: {
    longestAnswerBytes: 4 * 1024 * 1024,
    queue: sqsQueue(setting(env, 'EXPORT_QUEUE_URL')),
    links: { linkTo: async (key, how) => (await inBucket()).exportLinks.linkTo(key, how) },
  },
  identity: poolIdentity({
    issuer,
    jwks: poolKeys(endpoint),
    clientIds: [pagesClient, setting(env, 'PROGRAMS_CLIENT_ID')],
    sessionKeys,
    clock: around.clock,
  }),
  mountSignIn: oidcSignIn({ issuer, endpoint, clientId: pagesClient, sessionKeys, log: around.log }),
  assets: JSON.parse(readFileSync(new URL('./assets.json', import.meta.url), 'utf8')) as Asset[],
  settings: {
    operatorName: setting(env, 'OPERATOR_NAME'),
    baseUrl: setting(env, 'BASE_URL'),
    maxUploadBytes: 4 * 1024 * 1024,
    secureCookies: setting(env, 'BASE_URL').startsWith('https:'),
    ...(env.CONTROL_ROOM_PHONE ? { controlRoomPhone: env.CONTROL_ROOM_PHONE } : {}),
  },
}

const servePages = handle(createFrame(deps, mountPages))
const serveApi = onFirstUse(async () =>
  handle(createFrame(deps, (await import('./api/mount-api.ts')).mountApi)),
)

/** The API's own request id goes on as ours, so that access log, our log, the answer's header and the mail share one id. */
export const handler = (event: LambdaEvent, context?: LambdaContext): Promise<APIGatewayProxyResult> => {
  const { requestId } = event.requestContext as { requestId: string }
  const headers = { ...event.headers, 'x-request-id': requestId }
  const isApi = 'rawPath' in event && event.rawPath.startsWith('/api/')
  return correlated(requestId, async () => {
    const serve = isApi ? await serveApi() : servePages
    return serve({ ...event, headers } as LambdaEvent, context)
  })
}
