import { readFileSync } from 'node:fs'
import { type APIGatewayProxyResult, handle, type LambdaContext, type LambdaEvent } from 'hono/aws-lambda'
import { createDesk } from '../../shared-lib/ledger/hand-in.ts'
import { openLedger } from '../../shared-lib/ledger/open-ledger.ts'
import { setting } from '../../shared-lib/ports/cloud/environment.ts'
import { poolIdentity, poolKeys } from '../../shared-lib/ports/cloud/pool-identity.ts'
import { s3Archive } from '../../shared-lib/ports/cloud/s3-archive.ts'
import { s3DirectUploads } from '../../shared-lib/ports/cloud/s3-direct-uploads.ts'
import { secretSessionKeys } from '../../shared-lib/ports/cloud/session-keys.ts'
import { sqsQueue } from '../../shared-lib/ports/cloud/sqs-queue.ts'
import { surroundings } from '../../shared-lib/ports/cloud/surroundings.ts'
import { correlated } from '../../shared-lib/ports/correlation.ts'
import type { Asset } from './assets.ts'
import { countSurveys } from './count-surveys.ts'
import { createApp } from './create-app.ts'
import { oidcSignIn } from './oidc/oidc-sign-in.ts'

/** web on Lambda, behind the HTTP API. */
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

const app = createApp({
  ...around,
  ledger,
  desk: countSurveys(createDesk({ ...around, ledger, compareQueue }), around.log),
  intakeQueue: sqsQueue(setting(env, 'INTAKE_QUEUE_URL')),
  archive: s3Archive(bucket),
  directUploads: s3DirectUploads(bucket),
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
})

const serve = handle(app)

/** The API's own request id goes on as ours, so that access log, our log, the answer's header and the mail share one id. */
export const handler = (event: LambdaEvent, context?: LambdaContext): Promise<APIGatewayProxyResult> => {
  const { requestId } = event.requestContext as { requestId: string }
  const headers = { ...event.headers, 'x-request-id': requestId }
  return correlated(requestId, () => serve({ ...event, headers } as LambdaEvent, context))
}
