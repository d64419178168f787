import { seeded } from '../../sample-data/make/random.ts'
import type { Delivery } from './settle.ts'
import type { Disturbance, Step } from './steps.ts'

/** An error as the SDK raises it: the name decides whether it is tried again. */
function sdkError(name: string, status: number): Error {
  const fault = status >= 500 ? 'server' : 'client'
  return Object.assign(new Error(`injected ${name}`), {
    name,
    $fault: fault,
    $metadata: { httpStatusCode: status },
  })
}
const systemError = (code: string) => Object.assign(new Error(`injected ${code}`), { code })

/** What may be refused at each port before anything has happened. */
const REFUSALS: Record<Step['port'], () => Error[]> = {
  table: () => [
    sdkError('ProvisionedThroughputExceededException', 400),
    sdkError('ThrottlingException', 400),
    sdkError('InternalServerError', 500),
    sdkError('ServiceUnavailable', 503),
    systemError('ECONNRESET'),
  ],
  queue: () => [systemError('ENOSPC'), new Error('database or disk is full')],
  archive: () => [systemError('ENOSPC'), systemError('EIO')],
  mail: () => [Object.assign(new Error('451 try again later'), { responseCode: 451 })],
}

const lostAnswer = () => Object.assign(new Error('injected timeout'), { name: 'TimeoutError' })

export interface Injected {
  by: Disturbance
  delivery: Delivery
  /** How many faults were injected, by kind. */
  counts: Record<string, number>
}

const HOUR_MS = 3_600_000

/**
 * Faults at this rate at every step of every port: half of them refusals, half answers lost after the effect; slow answers, batches
 * taken in part, acknowledgements lost, queues looked at in any order, and a clock that jumps up to an hour either way.
 */
export function randomFaults(rate: number, seed: number): Injected {
  const random = seeded(seed)
  const counts: Record<string, number> = {}
  const happens = (kind: string, chance: number): boolean => {
    if (random() >= chance) return false
    counts[kind] = (counts[kind] ?? 0) + 1
    return true
  }
  const pick = <T>(of: readonly T[]): T => of[Math.floor(random() * of.length)]!
  return {
    counts,
    by: {
      async before({ port }) {
        if (happens('slow', rate)) await new Promise((resolve) => setTimeout(resolve, 3 * random()))
        if (happens(`${port} refused`, rate / 2)) throw pick(REFUSALS[port]())
      },
      async after({ port }) {
        if (happens(`${port} answer lost`, rate / 2)) throw lostAnswer()
      },
      taken: (_, of) => (happens('batch in part', rate) ? Math.ceil(of * random()) : of),
    },
    delivery: {
      first: (of) => Math.floor(random() * of),
      acknowledgementLost: () => happens('acknowledgement lost', rate),
      clockJumpMs: () => (happens('clock jumped', rate) ? Math.trunc((2 * random() - 1) * HOUR_MS) : 0),
    },
  }
}
