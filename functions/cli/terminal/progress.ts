import { type Options, SingleBar } from 'cli-progress'
import type { Surroundings } from '../surroundings.ts'

/** How far a long step has come. Nothing is shown unless stderr is a terminal that may move. */
export interface Progress {
  /** Begins a step of `total` units; an unknown total is null and shows a count alone. */
  start(what: string, total: number | null): void
  at(done: number): void
  stop(): void
}

const silent: Progress = { start() {}, at() {}, stop() {} }

export function createProgress(around: Pick<Surroundings, 'stderr' | 'animate' | 'onEnd'>): Progress {
  if (!around.animate) return silent
  let bar: SingleBar | null = null
  let takeBack: (() => void) | null = null
  const stop = (): void => {
    bar?.stop()
    bar = null
    takeBack?.()
    takeBack = null
  }
  return {
    start(what, total) {
      stop()
      const known = total !== null && total > 0
      const options: Options = {
        stream: around.stderr,
        format: known ? '{what} [{bar}] {percentage}%' : '{what} {value}',
        barCompleteChar: '=',
        barIncompleteChar: ' ',
        clearOnComplete: true,
        fps: 8,
      }
      bar = new SingleBar(options)
      bar.start(known ? total : 0, 0, { what })
      // Ctrl-C leaves the line as it was found.
      takeBack = around.onEnd(stop)
    },
    at(done) {
      bar?.update(done)
    },
    stop,
  }
}
