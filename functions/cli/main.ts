import { availableParallelism, tmpdir } from 'node:os'
import type { OneMachine } from './one-machine.ts'
import { runCli } from './run-cli.ts'
import type { Surroundings } from './surroundings.ts'
import { createEndings } from './terminal/endings.ts'

/** The entry: the only file of the command line that reads the environment, the clock and the process. */

/** Where one machine's folder is known. By its address, not by name: the command line depends on what it can do, not on it. */
const ONE_MACHINE = new URL('../../cdk/local/maintenance/one-machine.ts', import.meta.url).href

const endings = createEndings(process)
const { env } = process
const surroundings: Surroundings = {
  stdin: process.stdin,
  stdout: process.stdout,
  stderr: process.stderr,
  tempFolder: tmpdir(),
  dataFolder: env.STAKELINE_DATA || '.stakeline',
  token: env.STAKELINE_TOKEN,
  animate: process.stderr.isTTY === true && !env.NO_COLOR && env.TERM !== 'dumb',
  cores: availableParallelism(),
  nowMs: () => Date.now(),
  oneMachine: async () => ((await import(ONE_MACHINE)) as { oneMachine: OneMachine }).oneMachine,
  onEnd: endings.onEnd,
}

process.exitCode = await runCli(process.argv.slice(2), surroundings)
endings.cleanUp()
