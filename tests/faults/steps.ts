import { AsyncLocalStorage } from 'node:async_hooks'

/** One thing that a handler asks of the world: a request to the table, a message sent, a file kept, a mail given away. */
export interface Step {
  /** Who asks: `web`, `intake`, `compare`, `notify` or `upkeep`. */
  handler: string
  port: 'table' | 'queue' | 'archive' | 'mail'
  /** What for, such as `putSurvey PutItem`. */
  action: string
}

/** What may go wrong at a step. Both may throw, wait, or never return, which is what a crash looks like from inside. */
export interface Disturbance {
  /** Nothing has happened yet: what is thrown here is a refusal. */
  before(step: Step): Promise<void>
  /** It has taken effect: what is thrown here is an answer that was lost. */
  after(step: Step): Promise<void>
  /** How many of a batch of `of` are taken at once; the rest comes back as not processed. */
  taken(step: Step, of: number): number
}

export const undisturbed: Disturbance = {
  before: async () => {},
  after: async () => {},
  taken: (_, of) => of,
}

const asking = new AsyncLocalStorage<{ handler: string; method: string }>()

/** Runs `work` in the name of a handler, so that every step below it is known by that name. */
export const inNameOf = <T>(handler: string, work: () => Promise<T>): Promise<T> =>
  asking.run({ handler, method: '' }, work)

/** The step that is taken now. */
export function stepNow(port: Step['port'], action: string): Step {
  const { handler, method } = asking.getStore() ?? { handler: 'test', method: '' }
  return { handler, port, action: method === '' ? action : `${method} ${action}` }
}

export const nameOf = (step: Step): string => `${step.handler} ${step.port} ${step.action}`

/** The same object, each of whose methods is known by its name in the steps below it. */
export function withNamedMethods<T extends object>(area: T): T {
  return new Proxy(area, {
    get(target, name, receiver) {
      const value = Reflect.get(target, name, receiver)
      if (typeof value !== 'function' || typeof name !== 'string') return value
      return (...args: unknown[]) => {
        const { handler } = asking.getStore() ?? { handler: 'test' }
        return asking.run({ handler, method: name }, () => Reflect.apply(value, target, args))
      }
    },
  })
}
