/**
 * The ways a command ends before its time, each tidy: Ctrl-C and a kill remove the throw-away files and end at once with
 * the shell's usual status; a reader that closes the pipe (`| head`) ends it quietly.
 */
export interface Endings {
  onEnd(cleanUp: () => void): () => void
  /** Runs what is still registered. Safe to call twice. */
  cleanUp(): void
}

type EndingProcess = Pick<NodeJS.Process, 'on' | 'exit' | 'stdout' | 'stderr'>

const SIGNALS = { SIGHUP: 1, SIGINT: 2, SIGTERM: 15 } as const

export function createEndings(process: EndingProcess): Endings {
  const open = new Set<() => void>()
  const cleanUp = (): void => {
    for (const task of open) {
      open.delete(task)
      task()
    }
  }
  const leave = (status: number): never => {
    cleanUp()
    return process.exit(status)
  }
  for (const [signal, number] of Object.entries(SIGNALS)) process.on(signal, () => leave(128 + number))
  process.on('exit', cleanUp)
  for (const stream of [process.stdout, process.stderr]) {
    stream.on('error', (error: NodeJS.ErrnoException) => {
      // The reader has what it wanted; that is no failure of ours.
      if (error.code === 'EPIPE') leave(0)
      if (stream === process.stdout)
        process.stderr.write(`The output could not be written: ${error.message}\n`)
      leave(2)
    })
  }
  return {
    onEnd(task) {
      open.add(task)
      return () => open.delete(task)
    },
    cleanUp,
  }
}
