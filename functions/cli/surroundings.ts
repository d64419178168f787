import type { Readable, Writable } from 'node:stream'
import type { OneMachine } from './one-machine.ts'

/** All of the world that a command reaches; only main.ts fills it in, so a command can be run anywhere. */
export interface Surroundings {
  stdin: Readable
  stdout: Writable
  stderr: Writable & { isTTY?: boolean }
  /** Where throw-away files go. */
  tempFolder: string
  /** Folder of the local service: its key file signs tokens (STAKELINE_DATA). */
  dataFolder: string
  /** A bearer token from the environment (STAKELINE_TOKEN). */
  token: string | undefined
  /** False when NO_COLOR is set, TERM is `dumb`, or stderr is no terminal: no moving parts, no control codes. */
  animate: boolean
  /** Processors this process may use. */
  cores: number
  nowMs(): number
  /** What can be done with the data folder while no service runs on it. */
  oneMachine(): Promise<OneMachine>
  /** Runs `cleanUp` once when the process ends, also by Ctrl-C; returns a function that takes it back. */
  onEnd(cleanUp: () => void): () => void
}
