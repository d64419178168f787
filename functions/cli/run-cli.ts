import { CommanderError } from 'commander'
import { CannotRun, EXIT, type ExitStatus, errnoOf } from './exit-status.ts'
import { createProgram } from './program.ts'
import type { Surroundings } from './surroundings.ts'

/** No room on the disk, or no more of it for this person. */
const FULL = new Set(['ENOSPC', 'EDQUOT'])

/** Runs one command line (without `node` and the script) and gives the exit status; what went wrong has been told on stderr. */
export async function runCli(argv: readonly string[], around: Surroundings): Promise<ExitStatus> {
  let status: ExitStatus = EXIT.done
  const program = createProgram(around, (ended) => {
    status = ended
  })
  try {
    await program.parseAsync([...argv], { from: 'user' })
    return status
  } catch (error) {
    // commander has told its own already, and help that was asked for is no failure.
    if (error instanceof CommanderError) return error.exitCode === 0 ? EXIT.done : EXIT.couldNotRun
    if (error instanceof CannotRun) {
      around.stderr.write(`${error.message}\n`)
      return EXIT.couldNotRun
    }
    if (FULL.has(errnoOf(error))) {
      around.stderr.write(
        `The disk is full. Throw-away files in ${around.tempFolder} need about 3 kB a survey: set TMPDIR to a folder with more room.\n`,
      )
      return EXIT.couldNotRun
    }
    around.stderr.write(
      `Something in stakeline itself failed; this is a fault of the tool, not of your files.\n`,
    )
    around.stderr.write(`${error instanceof Error ? error.stack : String(error)}\n`)
    return EXIT.couldNotRun
  }
}
