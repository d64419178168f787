import { CannotRun } from './exit-status.ts'
import type { NotPossible } from './one-machine.ts'

/** Ends a command that works on the data folder with what stopped it and what to do. */
export function cannotRun(
  end: NotPossible,
  words: { dataFolder: string; source: string; target: string },
): never {
  switch (end.kind) {
    case 'in-use':
      throw new CannotRun(
        `The service is running on ${words.dataFolder}. Stop it (Ctrl-C where it runs), then give the command again.`,
      )
    case 'not-there':
      throw new CannotRun(`There is nothing to read in ${words.source}. Check the path.`)
    case 'not-empty':
      throw new CannotRun(
        `${words.target} is not empty. Name a folder that is not there yet, or move this one away.`,
      )
  }
}
