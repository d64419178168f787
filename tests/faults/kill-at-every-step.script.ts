import { spawn } from 'node:child_process'
import { once } from 'node:events'
import { mkdtemp, readFile, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { type CrashPoint, crashPointName, crashPoints } from './crash.ts'
import { measured } from './measured.ts'

/**
 * `node tests/faults/kill-at-every-step.script.ts [MOST]`: the crash scenario over the adapters of one machine (table, queues,
 * archive and outbox on disk) in a process that is ended by `kill -9` at each named step of each handler, then gone on with by a
 * second process. Prints what was compared; exit 1 when any end differs from the end without a kill.
 */
const CHILD = fileURLToPath(new URL('./kill-child.ts', import.meta.url))
const most = Number(process.argv[2] ?? Number.POSITIVE_INFINITY)

async function live(folder: string, life: number, point?: CrashPoint): Promise<'killed' | 'ended'> {
  const args = ['--disable-warning=ExperimentalWarning', CHILD, folder]
  const child = spawn(process.execPath, [...args, String(life), ...(point ? [JSON.stringify(point)] : [])], {
    stdio: ['ignore', 'ignore', 'pipe'],
  })
  let said = ''
  child.stderr.on('data', (chunk) => {
    said += String(chunk)
  })
  const [code, signal] = (await once(child, 'exit')) as [number | null, string | null]
  if (signal === 'SIGKILL') return 'killed'
  if (code !== 0)
    throw new Error(
      `the child ended with ${code} (${point ? crashPointName(point) : `life ${life}`}):\n${said.slice(-3000)}`,
    )
  return 'ended'
}

async function inFolder<T>(work: (path: string) => Promise<T>): Promise<T> {
  const path = await mkdtemp(join(tmpdir(), 'stakeline-kill-'))
  try {
    return await work(path)
  } finally {
    await rm(path, { recursive: true, force: true, maxRetries: 5 })
  }
}

const read = async (folder: string, name: string) => readFile(join(folder, name), 'utf8')
const { plain, points } = await inFolder(async (folder) => {
  await live(folder, 0)
  const seen = new Map(JSON.parse(await read(folder, 'steps.json')) as [string, number][])
  return { plain: await read(folder, 'kept.json'), points: crashPoints(seen) }
})

const differing: string[] = []
let killed = 0
const tried = points.filter((_, i) => i % Math.max(1, Math.ceil(points.length / most)) === 0)
for (const point of tried)
  await inFolder(async (folder) => {
    if ((await live(folder, 0, point)) === 'killed') {
      killed++
      await live(folder, 1).catch((cause) => {
        throw new Error(`the life after "${crashPointName(point)}" failed`, { cause })
      })
    }
    if ((await read(folder, 'kept.json')) !== plain) differing.push(crashPointName(point))
  })
console.log(
  `${killed} kills at ${tried.length} of ${points.length} points (${new Set(points.map((p) => p.step)).size} named steps); ` +
    `${JSON.parse(plain).length} items kept; ${differing.length} ends differ${differing.length > 0 ? `:\n${differing.join('\n')}` : ''}`,
)
measured({
  what: 'kill -9 at a named step, everything on disk',
  command: 'npm run test:kill-steps',
  count: killed,
  bad: { 'ending otherwise': differing.length },
})
process.exit(differing.length === 0 ? 0 : 1)
