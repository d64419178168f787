import { mkdtempSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import { CannotRun } from '../exit-status.ts'
import type { Surroundings } from '../surroundings.ts'

/** A private folder for throw-away files (mode 0700), gone when the command ends, however it ends (kill -9 and power apart). */
export interface Workspace {
  path(name: string): string
  remove(): void
}

export function createWorkspace(around: Pick<Surroundings, 'tempFolder' | 'onEnd'>): Workspace {
  const folder = makeFolder(around.tempFolder)
  const takeBack = around.onEnd(() => rmSync(folder, { recursive: true, force: true }))
  return {
    path: (name) => join(folder, name),
    remove() {
      takeBack()
      rmSync(folder, { recursive: true, force: true })
    },
  }
}

function makeFolder(within: string): string {
  try {
    return mkdtempSync(join(within, 'stakeline-'))
  } catch (error) {
    throw new CannotRun(
      `No throw-away files can be made in ${within}: ${(error as Error).message}. Set TMPDIR to a folder that can be written.`,
    )
  }
}
