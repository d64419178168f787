import { mkdtemp, rm } from 'node:fs/promises'
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

/** What each bundle may have, kB minified. */
const MOST_KB: Record<Name, number> = { web: 1500, intake: 1000, compare: 1000, notify: 1000, upkeep: 1000 }

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
  MAILS_A_DAY: '5',
  ESCALATE_URGENT_H: '2',
  ESCALATE_WARNING_DAYS: '7',
  ADOPT_LEARNT: 'no',
}

interface Call {
  what: string
  event: unknown
  /** The status of web's answer; the others answer without one. */
  status?: number
}

/** Calls that need nobody. */
const request = (path: string, query = ''): unknown => ({
  version: '2.0',
  rawPath: path,
  rawQueryString: query,
  headers: { host: 'localhost' },
  isBase64Encoded: false,
  requestContext: {
    requestId: 'one',
    domainName: 'localhost',
    http: { method: 'GET', path, sourceIp: '127.0.0.1' },
  },
})
const HEALTH: Call = { what: 'a health look', event: request('/healthz'), status: 200 }
const NOTHING: Call = { what: 'an empty batch', event: { Records: [] } }
/**
 * What each function answers first, and what the bare handler answers beside it. Web's later ones read what its start leaves out.
 * Compare and upkeep ask the table first, so they have none.
 */
const CALLS: Partial<Record<Name, { ours: Call; bare: Call }[]>> = {
  web: [
    { ours: HEALTH, bare: HEALTH },
    { ours: { what: 'a page', event: request('/sign-in', 'out=yes'), status: 200 }, bare: HEALTH },
    { ours: { what: 'an API route', event: request('/api/sites'), status: 401 }, bare: HEALTH },
  ],
  intake: [{ ours: NOTHING, bare: NOTHING }],
  notify: [{ ours: NOTHING, bare: NOTHING }],
}

async function bareHandler(name: Name, folder: string): Promise<{ folder: string; bytes: number }> {
  const end = name === 'web' ? ROUTER : 'export const handler = async () => ({ batchItemFailures: [] })'
  const words = ['globalThis.used = []', 'const use = (...all) => globalThis.used.push(...all)']
  const contents = [...words, ...CLIENTS[name].map((client) => CLIENT_WORDS[client]), end].join('\n')
  const outdir = join(folder, `bare-${name}`)
  const stdin = { contents, resolveDir: process.cwd(), loader: 'ts' as const }
  const { metafile } = await build({ ...BUNDLE_OPTIONS, absWorkingDir: process.cwd(), stdin, outdir })
  const bytes = Object.values(metafile.outputs).reduce((sum, output) => sum + output.bytes, 0)
  return { folder: outdir, bytes }
}

interface Start {
  import: number
  /** Import and first answer; 0 without a call. */
  answered: number
}

/** Processor time of a new Node process that imports the bundle and, when there is a call, answers it once: from the import on, ms. */
async function start(bundle: string, call?: Call): Promise<Start> {
  const script = `const since = process.cpuUsage()
const ms = () => { const { user, system } = process.cpuUsage(since); return (user + system) / 1000 }
const { handler } = await import(${JSON.stringify(bundle)})
const figures = { import: ms(), answered: 0 }
const call = ${JSON.stringify(call ?? null)}
if (call) {
  const answer = await handler(call.event, {})
  if (answer?.statusCode !== call.status) throw new Error(JSON.stringify(answer))
  figures.answered = ms()
}
process.stdout.write('FIGURES ' + JSON.stringify(figures))`
  const env = Object.entries(SETTINGS).map(([name, value]) => `${name}=${value}`)
  const { said } = await timeCommand('env', [...env, process.execPath, '--input-type=module', '-e', script])
  const figures = /FIGURES (.*)/.exec(said)?.[1]
  if (!figures) throw new Error(`${bundle} told no figures: ${said}`)
  return JSON.parse(figures) as Start
}

/** Both bundles started in turn, so that what else the machine does meets both; medians. */
async function startBoth(ours: string, bare: string, turns: number, calls?: { ours: Call; bare: Call }) {
  const starts: [Start[], Start[]] = [[], []]
  for (let turn = 0; turn < turns; turn++) {
    starts[0].push(await start(ours, calls?.ours))
    starts[1].push(await start(bare, calls?.bare))
  }
  const of = (all: Start[], key: keyof Start) => median(all.map((s) => s[key]))
  return (key: keyof Start) => ({ measured: of(starts[0], key), reference: of(starts[1], key) })
}

/**
 * Size and start of each function's bundle against a bare handler with the same SDK clients and router, both bundled alike, in turn
 * on one machine. Processor time, because wall time tells of the neighbours.
 */
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
        const turns = Math.max(3, TURNS * scale)
        const imports = await startBoth(bundle, join(bare.folder, 'index.mjs'), turns)
        const time = { against: 'a bare handler with the same clients', unit: 'ms', goal: 1.3 }
        rows.push(
          ratioOf({
            ...{ name: `bundle-size-${name}`, what: `${name}: its bundle`, unit: 'kB', goal: 1 },
            ...{ against: 'what it may have', measured: ours[name].bytes / 1000, reference: MOST_KB[name] },
            notes: { bareKb: Math.round(bare.bytes / 1000) },
          }),
          ratioOf({
            ...{ ...time, name: `bundle-import-${name}`, what: `${name}: import` },
            ...imports('import'),
          }),
        )
        for (const calls of CALLS[name] ?? []) {
          const { what } = calls.ours
          const both = await startBoth(bundle, join(bare.folder, 'index.mjs'), turns, calls)
          rows.push(
            ratioOf({
              ...{ ...time, name: `bundle-first-${name}-${what.replaceAll(' ', '-')}` },
              ...{ what: `${name}: import and ${what}`, ...both('answered') },
            }),
          )
        }
      }
      return rows
    } finally {
      await rm(folder, { recursive: true, force: true })
    }
  },
}
