import { randomBytes } from 'node:crypto'
import type { Clock } from '../clock.ts'
import { correlationId } from '../correlation.ts'
import type { Log } from '../handle-batch.ts'
import { countsOf } from './counts-of.ts'
import type { Environment } from './environment.ts'
import { logLine } from './log-line.ts'

/** What every function on Lambda has around it. */
export interface Surroundings {
  clock: Clock
  /** Random, URL-safe, 22 characters. */
  newId(): string
  log: Log
}

/** The system's clock and random numbers, and a log that writes one JSON line an entry to standard output. */
export function surroundings(env: Environment): Surroundings {
  const clock = { nowMs: () => Date.now() }
  const context = {
    functionName: env.AWS_LAMBDA_FUNCTION_NAME ?? 'local',
    version: env.AWS_LAMBDA_FUNCTION_VERSION ?? '',
  }
  return {
    clock,
    newId: () => randomBytes(16).toString('base64url'),
    log(entry) {
      const { counts, otherCounts } = countsOf(entry)
      const counted = Object.keys(otherCounts).length > 0 ? { counted: otherCounts } : {}
      const line = logLine(
        { ...entry, ...counted, counts },
        { ...context, atMs: clock.nowMs(), correlationId: correlationId() },
      )
      // Past the console, which would put words of its own before the JSON.
      process.stdout.write(`${line}\n`)
    },
  }
}
