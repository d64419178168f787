import { mkdtempSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import type { Surroundings } from '../surroundings.ts'

/** A private folder for throw-away files (mode 0700), gone when the command ends, however it ends. */
export interface Workspace {
  path(name: string): string
  remove(): void
}

export function createWorkspace(around: Pick<Surroundings, 'tempFolder' | 'onEnd'>): Workspace {
  const folder = mkdtempSync(join(around.tempFolder, 'stakeline-'))
  const takeBack = around.onEnd(() => rmSync(folder, { recursive: true, force: true }))
  return {
    path: (name) => join(folder, name),
    remove() {
      takeBack()
      rmSync(folder, { recursive: true, force: true })
    },
  }
}
