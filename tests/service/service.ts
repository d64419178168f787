import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { createInterface } from 'node:readline'
import type { Role } from '../../shared-lib/ports/identity.ts'
import { mintToken, readOrMakeKey } from '../../shared-lib/ports/local-tokens.ts'

/** The real one-machine service as a child process, reached over loopback HTTP like any client would. */
export interface Service {
  url: string
  pid: number
  dataDir: string
  fetch(role: Role, path: string, init?: RequestInit): Promise<Response>
  /** The body as JSON; throws with the body's text when the status is not 2xx. */
  json<T>(role: Role, path: string, init?: RequestInit): Promise<T>
  /** kill -9: no warning, no clean-up. */
  kill(): Promise<void>
  /** SIGTERM and wait. */
  stop(): Promise<void>
}

const READY = /stakeline is at (http:\/\/127\.0\.0\.1:\d+)/

export async function temporaryFolder(): Promise<{ path: string; remove(): Promise<void> }> {
  const path = await mkdtemp(join(tmpdir(), 'stakeline-test-'))
  return { path, remove: () => rm(path, { recursive: true, force: true, maxRetries: 5 }) }
}

async function untilReady(child: ChildProcess): Promise<string> {
  const said: string[] = []
  child.stderr?.on('data', (chunk) => said.push(String(chunk)))
  const lines = createInterface({ input: child.stdout! })
  const exited = once(child, 'exit').then(() => {
    throw new Error(`the service ended before it was ready:\n${said.join('')}`)
  })
  const ready = (async () => {
    for await (const line of lines) {
      said.push(`${line}\n`)
      const found = READY.exec(line)
      if (found) return found[1]!
    }
    throw new Error(`the service closed its output before it was ready:\n${said.join('')}`)
  })()
  exited.catch(() => {})
  return Promise.race([ready, exited])
}

export async function startService(dataDir: string, env: Record<string, string> = {}): Promise<Service> {
  const child = spawn(process.execPath, ['--disable-warning=ExperimentalWarning', 'cdk/local/main.ts'], {
    env: {
      ...process.env,
      PORT: '0',
      STAKELINE_DATA: dataDir,
      STAKELINE_SAMPLE: 'no',
      STAKELINE_MAIL_HOLD_S: '1',
      ...env,
    },
    stdio: ['ignore', 'pipe', 'pipe'],
  })
  const url = await untilReady(child)
  child.stdout?.resume()
  const key = await readOrMakeKey(dataDir)
  const end = async (signal: 'SIGKILL' | 'SIGTERM') => {
    if (child.exitCode !== null || child.signalCode !== null) return
    child.kill(signal)
    await once(child, 'exit')
  }
  const service: Service = {
    url,
    pid: child.pid!,
    dataDir,
    async fetch(role, path, init = {}) {
      const person = { id: `local:${role}`, name: role, role, sites: '*' as const }
      const token = await mintToken(key, person, 'bearer', 3600, Date.now())
      return fetch(url + path, {
        ...init,
        redirect: 'manual',
        headers: { authorization: `Bearer ${token}`, ...(init.headers as Record<string, string>) },
      })
    },
    async json(role, path, init) {
      const answer = await service.fetch(role, path, init)
      if (!answer.ok) throw new Error(`${path} answered ${answer.status}: ${await answer.text()}`)
      return answer.json() as never
    },
    kill: () => end('SIGKILL'),
    stop: () => end('SIGTERM'),
  }
  return service
}

/** Asks again until `done` holds, 50 ms apart; throws after `timeoutMs`. */
export async function eventually<T>(
  ask: () => Promise<T>,
  done: (value: T) => boolean,
  timeoutMs = 20_000,
): Promise<T> {
  const endMs = Date.now() + timeoutMs
  for (;;) {
    const value = await ask()
    if (done(value)) return value
    if (Date.now() > endMs)
      throw new Error(`still not after ${timeoutMs} ms: ${JSON.stringify(value)?.slice(0, 500)}`)
    await new Promise((resolve) => setTimeout(resolve, 50))
  }
}
