import { AsyncLocalStorage } from 'node:async_hooks'

/**
 * The id that ties together what one submission sets off: made or taken over at the front door, carried by every queue message
 * sent meanwhile, and written on every log line, up to the mail. It says nothing about a person.
 */
const current = new AsyncLocalStorage<string>()

/** Runs `work`, and everything it starts, under this id. */
export function correlated<T>(id: string, work: () => T): T {
  return current.run(id, work)
}

/** The id of the work under way; undefined outside of any. */
export function correlationId(): string | undefined {
  return current.getStore()
}
