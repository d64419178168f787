/** What the shell is told. Findings are results, not errors. */
export const EXIT = {
  /** Everything asked for was done. */
  done: 0,
  /** Something handed in was refused; all the rest was done. */
  refused: 1,
  /** Nothing could be done: wrong usage, a file that cannot be read, a service that does not answer. */
  couldNotRun: 2,
} as const
export type ExitStatus = (typeof EXIT)[keyof typeof EXIT]

/** Ends a command with status 2. The message says what stopped it and what to do; it is shown as it is, without a stack. */
export class CannotRun extends Error {
  override name = 'CannotRun'
}

/** `ENOENT` and its like; '' for anything else. */
export function errnoOf(error: unknown): string {
  return error instanceof Error && 'code' in error && typeof error.code === 'string' ? error.code : ''
}
