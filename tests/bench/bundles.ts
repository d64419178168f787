import { mkdir, mkdtemp, rm, stat } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { build } from 'esbuild'
import { BUNDLE_OPTIONS, bundleFunctions } from '../../cdk/bundles/bundle-functions.ts'
import { timeCommand } from './child.ts'
import { type Benchmark, median, type Ratio, ratioOf } from './ratio.ts'

const TURNS = 15
const NAMES = ['web', 'intake', 'compare', 'notify', 'upkeep'] as const
type Name = (typeof NAMES)[number]

/** The SDK clients each function's bundle holds. The bare handler opens them and does nothing else; web's has the router too. */
const CLIENTS: Record<Name, readonly (keyof typeof CLIENT_WORDS)[]> = {
  web: ['table', 'queue', 'bucket', 'post', 'secret'],
  intake: ['table', 'queue', 'bucket'],
  compare: ['table', 'queue'],
  notify: ['table', 'queue', 'mail'],
  upkeep: ['table', 'queue', 'bucket'],
}
const CLIENT_WORDS = {
  table: `import { DynamoDBClient } from '@aws-sdk/client-dynamodb'
import { BatchGetCommand, BatchWriteCommand, DeleteCommand, DynamoDBDocumentClient, GetCommand, PutCommand, QueryCommand, UpdateCommand } from '@aws-sdk/lib-dynamodb'
use(DynamoDBDocumentClient.from(new DynamoDBClient({})), BatchGetCommand, BatchWriteCommand, DeleteCommand, GetCommand, PutCommand, QueryCommand, UpdateCommand)`,
  queue: `import { SendMessageBatchCommand, SQSClient } from '@aws-sdk/client-sqs'
use(new SQSClient(), SendMessageBatchCommand)`,
  bucket: `import { DeleteObjectCommand, GetObjectCommand, PutObjectCommand, S3Client } from '@aws-sdk/client-s3'
use(new S3Client(), DeleteObjectCommand, GetObjectCommand, PutObjectCommand)`,
  post: `import { createPresignedPost } from '@aws-sdk/s3-presigned-post'
use(createPresignedPost)`,
  secret: `import { GetSecretValueCommand, SecretsManagerClient } from '@aws-sdk/client-secrets-manager'
use(new SecretsManagerClient(), GetSecretValueCommand)`,
  mail: `import { SESv2Client, SendEmailCommand } from '@aws-sdk/client-sesv2'
use(new SESv2Client(), SendEmailCommand)`,
} as const
const ROUTER = `import { Hono } from 'hono'
import { handle } from 'hono/aws-lambda'
const app = new Hono()
app.get('/healthz', (c) => c.text('ok'))
export const handler = handle(app)`

/** What each function asks of its environment as it starts; nothing is called at these addresses. */
const SETTINGS = {
  AWS_REGION: 'eu-west-1',
  AWS_ENDPOINT_URL: 'http://127.0.0.1:9',
  AWS_ACCESS_KEY_ID: 'none',
  AWS_SECRET_ACCESS_KEY: 'none',
  TABLE_NAME: 'table',
  ARCHIVE_BUCKET: 'archive',
  INTAKE_QUEUE_URL: 'http://127.0.0.1:9/intake',
  COMPARE_QUEUE_URL: 'http://127.0.0.1:9/compare.fifo',
  NOTIFY_QUEUE_URL: 'http://127.0.0.1:9/notify',
  USER_POOL_ID: 'pool',
  PAGES_CLIENT_ID: 'pages',
  PROGRAMS_CLIENT_ID: 'programs',
  SESSION_KEY_SECRET: 'key',
  BASE_URL: 'http://127.0.0.1:9',
  OPERATOR_NAME: 'An operator',
  FALLBACK_EMAIL: 'engineer@example.org',
  MAIL_FROM: 'stakeline@example.org',
  MAIL_CONFIGURATION_SET: 'set',
  MAIL_HOLD_S: '600',
}

/** One call that needs nobody: a health look for web, an empty batch for intake and notify. Compare and upkeep ask the table first. */
const HEALTH = {
  version: '2.0',
  rawPath: '/healthz',
  rawQueryString: '',
  headers: { host: 'localhost' },
  isBase64Encoded: false,
  requestContext: {
    requestId: 'one',
    domainName: 'localhost',
    http: { method: 'GET', path: '/healthz', sourceIp: '127.0.0.1' },
  },
}
const CALL: Partial<Record<Name, unknown>> = {
  web: HEALTH,
  intake: { Records: [] },
  notify: { Records: [] },
}

async function bareHandler(name: Name, folder: string): Promise<string> {
  const end = name === 'web' ? ROUTER : 'export const handler = async () => ({ batchItemFailures: [] })'
  const words = ['globalThis.used = []', 'const use = (...all) => globalThis.used.push(...all)']
  const contents = [...words, ...CLIENTS[name].map((client) => CLIENT_WORDS[client]), end].join('\n')
  const outdir = join(folder, `bare-${name}`)
  await mkdir(outdir, { recursive: true })
  await build({ ...BUNDLE_OPTIONS, stdin: { contents, resolveDir: process.cwd(), loader: 'ts' }, outdir })
  return join(outdir, 'index.mjs')
}

interface Start {
  importMs: number
  firstAnswerMs: number
}

/** A new Node process that imports the bundle and, when there is a call, answers it once: both from the start of the import, ms. */
async function start(bundle: string, call: unknown): Promise<Start> {
  const script = `const t = performance.now()
const { handler } = await import(${JSON.stringify(bundle)})
const imported = performance.now()
const call = ${JSON.stringify(call ?? null)}
const answer = call && (await handler(call, {}))
if (answer?.statusCode >= 400) throw new Error(JSON.stringify(answer))
process.stdout.write('FIGURES ' + JSON.stringify({ importMs: imported - t, firstAnswerMs: performance.now() - t }))`
  const env = Object.entries(SETTINGS).map(([name, value]) => `${name}=${value}`)
  const { said } = await timeCommand('env', [...env, process.execPath, '--input-type=module', '-e', script])
  const figures = /FIGURES (.*)/.exec(said)?.[1]
  if (!figures) throw new Error(`${bundle} told no figures: ${said}`)
  return JSON.parse(figures) as Start
}

/** Size and start of each function's bundle against a bare handler with the same SDK clients and router, in turn on one machine. */
export const bundles: Benchmark = {
  name: 'bundles',
  async run(scale) {
    const folder = await mkdtemp(join(tmpdir(), 'stakeline-bundles-'))
    try {
      const ours = await bundleFunctions(NAMES, join(folder, 'ours'))
      const rows: Ratio[] = []
      for (const name of NAMES) {
        const bare = await bareHandler(name, folder)
        const bundle = join(ours[name].folder, 'index.mjs')
        const times: [Start[], Start[]] = [[], []]
        for (let turn = 0; turn < Math.max(3, TURNS * scale); turn++) {
          times[0].push(await start(bundle, CALL[name]))
          times[1].push(await start(bare, CALL[name]))
        }
        const [own, plain] = times.map((starts) => ({
          importMs: median(starts.map((s) => s.importMs)),
          firstAnswerMs: median(starts.map((s) => s.firstAnswerMs)),
        })) as [Start, Start]
        const against = 'a bare handler with the same clients'
        rows.push(
          ratioOf({
            ...{ name: `bundle-size-${name}`, what: `${name}: its bundle`, against, unit: 'kB', goal: 1.3 },
            measured: ours[name].bytes / 1000,
            reference: (await stat(bare)).size / 1000,
          }),
          ratioOf({
            ...{ name: `bundle-import-${name}`, what: `${name}: import`, against, unit: 'ms', goal: 1.3 },
            ...{ measured: own.importMs, reference: plain.importMs },
          }),
        )
        if (CALL[name])
          rows.push(
            ratioOf({
              ...{ name: `bundle-first-answer-${name}`, what: `${name}: import and first answer` },
              ...{ against, unit: 'ms', goal: 1.3 },
              ...{ measured: own.firstAnswerMs, reference: plain.firstAnswerMs },
            }),
          )
      }
      return rows
    } finally {
      await rm(folder, { recursive: true, force: true })
    }
  },
}
