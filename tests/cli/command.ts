import { spawn, spawnSync } from 'node:child_process'
import { existsSync } from 'node:fs'
import { mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { delimiter, join, resolve } from 'node:path'

/** The real command as a child process, and throw-away folders with files for it. */

export const LAUNCHER = resolve('functions/cli/stakeline.mjs')

export interface Ended {
  status: number | null
  signal: NodeJS.Signals | null
  stdout: string
  stderr: string
}

export interface RunOptions {
  input?: string | Uint8Array
  env?: Record<string, string>
  cwd?: string
  node?: string
  launcher?: string
}

/** Runs `stakeline …` to its end. No token, data folder or colour setting of this machine reaches it. */
export async function stakeline(args: readonly string[], options: RunOptions = {}): Promise<Ended> {
  const child = start(args, options)
  const text = { stdout: '', stderr: '' }
  for (const name of ['stdout', 'stderr'] as const)
    child[name].setEncoding('utf8').on('data', (chunk: string) => {
      text[name] += chunk
    })
  // A command that ends before it has read all its input closes the pipe; that is its right.
  child.stdin.on('error', () => {})
  child.stdin.end(options.input ?? '')
  const [status, signal] = await new Promise<[number | null, NodeJS.Signals | null]>((done) =>
    child.on('close', (...end) => done(end)),
  )
  return { status, signal, ...text }
}

/** The same, left running. */
export function start(args: readonly string[], { env, cwd, node, launcher }: RunOptions = {}) {
  const { STAKELINE_TOKEN: _, STAKELINE_DATA: __, NO_COLOR: ___, ...rest } = process.env
  return spawn(node ?? process.execPath, [launcher ?? LAUNCHER, ...args], {
    env: { ...rest, ...env },
    ...(cwd === undefined ? {} : { cwd }),
    stdio: ['pipe', 'pipe', 'pipe'],
  })
}

export interface Folder {
  path: string
  /** Writes a file and returns its path. */
  file(name: string, content: string | Uint8Array): Promise<string>
  remove(): Promise<void>
}

export async function folder(): Promise<Folder> {
  const path = await mkdtemp(join(tmpdir(), 'stakeline-test-'))
  return {
    path,
    async file(name, content) {
      await writeFile(join(path, name), content)
      return join(path, name)
    },
    remove: () => rm(path, { recursive: true, force: true, maxRetries: 5 }),
  }
}

/** A Node of this machine older than the tool needs, or null. */
export function olderNode(): string | null {
  for (const place of (process.env.PATH ?? '').split(delimiter)) {
    const binary = join(place, 'node')
    if (!existsSync(binary)) continue
    const { stdout } = spawnSync(binary, ['-p', 'process.versions.node'], { encoding: 'utf8' })
    const major = Number.parseInt(stdout, 10)
    if (major >= 18 && major < 24) return binary
  }
  return null
}

/** Lines of NDJSON. Throws on anything else, so a stray line on stdout fails the test that reads it. */
export function records(stdout: string): Record<string, unknown>[] {
  if (stdout === '') return []
  if (!stdout.endsWith('\n')) throw new Error('the last line has no end')
  return stdout
    .slice(0, -1)
    .split('\n')
    .map((line) => JSON.parse(line) as Record<string, unknown>)
}
