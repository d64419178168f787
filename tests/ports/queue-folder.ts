import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { onTestFinished } from 'vitest'
import { type OpenQueues, openQueues } from '../../cdk/local/adapters/queues.ts'

/** A clock that the test moves. */
export function handClock(startMs = 1_000_000): { nowMs(): number; move(ms: number): void } {
  let nowMs = startMs
  return {
    nowMs: () => nowMs,
    move(ms) {
      nowMs += ms
    },
  }
}
export const realClock = { nowMs: () => Date.now() }

/** A folder that goes away with the test, and queues in it; `reopen` is a restart. */
export function queueFolder(clock: { nowMs(): number }): {
  queues: OpenQueues
  path: string
  reopen(): OpenQueues
} {
  const folder = mkdtempSync(join(tmpdir(), 'stakeline-queue-'))
  const path = join(folder, 'queues.sqlite')
  const here = { queues: openQueues({ path, clock }), path, reopen: () => openAgain() }
  const openAgain = () => {
    here.queues.close()
    here.queues = openQueues({ path, clock })
    return here.queues
  }
  onTestFinished(() => {
    here.queues.close()
    rmSync(folder, { recursive: true, force: true })
  })
  return here
}
