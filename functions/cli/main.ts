import { tmpdir } from 'node:os'
import { runCli } from './run-cli.ts'
import type { Surroundings } from './surroundings.ts'
import { createEndings } from './terminal/endings.ts'

/** The entry: the only file of the command line that reads the environment, the clock and the process. */

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
  nowMs: () => Date.now(),
  onEnd: endings.onEnd,
}

process.exitCode = await runCli(process.argv.slice(2), surroundings)
endings.cleanUp()
