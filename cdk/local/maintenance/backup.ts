import { existsSync } from 'node:fs'
import { mkdir, mkdtemp, rename, rm, rmdir } from 'node:fs/promises'
import { basename, dirname, join, resolve } from 'node:path'
import type { BackupEnd, RestoreEnd } from '../../../functions/cli/one-machine.ts'
import { writeAtomically } from '../adapters/atomic-file.ts'
import { FolderInUse, lockFile } from '../adapters/folder-lock.ts'
import { copyFile, filesBelow, isFree } from './copy-files.ts'
import { MANIFEST, newManifest, readManifest } from './manifest.ts'

/** Not data: locks, half-written files, and what the service has said. */
const LEFT_OUT = /^(?:table\.lock(?:-.*)?|service\.log|table\/LOCK|table\/LOG(?:\.old)?|.*\.part)$/

/** A folder beside `target` that takes its place when all is there; removed when anything fails. */
async function inOneGo<T>(target: string, fill: (draft: string) => Promise<T>): Promise<T> {
  const path = resolve(target)
  await mkdir(dirname(path), { recursive: true })
  const draft = await mkdtemp(join(dirname(path), `.${basename(path)}-`))
  try {
    const result = await fill(draft)
    await rmdir(path).catch(() => {})
    await rename(draft, path)
    return result
  } catch (error) {
    await rm(draft, { recursive: true, force: true })
    throw error
  }
}

/** Runs `work` while no other process can have the data folder open; null when one has. */
async function whileStopped<T>(dataFolder: string, work: () => Promise<T>): Promise<T | null> {
  let unlock: () => void
  try {
    unlock = lockFile(join(dataFolder, 'table.lock'))
  } catch (error) {
    if (error instanceof FolderInUse) return null
    throw error
  }
  try {
    return await work()
  } finally {
    unlock()
  }
}

/**
 * Copies table, queues, archive, outbox and key, each with its length and SHA-256, while the service is stopped: only then do table
 * and queues belong to the same moment. The key is among them, so a backup is to be kept as safe as the folder itself.
 */
export async function backup(dataFolder: string, folder: string, nowIso: string): Promise<BackupEnd> {
  if (!existsSync(join(dataFolder, 'table'))) return { kind: 'not-there' }
  if (!(await isFree(folder))) return { kind: 'not-empty' }
  const done = await whileStopped(dataFolder, () =>
    inOneGo(folder, async (draft) => {
      const paths = (await filesBelow(dataFolder)).filter((path) => !LEFT_OUT.test(path))
      const files = []
      for (const path of paths)
        files.push({ path, ...(await copyFile(join(dataFolder, path), join(draft, path))) })
      await writeAtomically(join(draft, MANIFEST), [
        Buffer.from(`${JSON.stringify(newManifest(nowIso, files), null, 1)}\n`),
      ])
      return files
    }),
  )
  if (done === null) return { kind: 'in-use' }
  return { kind: 'done', files: done.length, bytes: done.reduce((sum, f) => sum + f.bytes, 0) }
}

class Damaged extends Error {
  readonly file: string
  constructor(file: string, why: string) {
    super(why)
    this.file = file
  }
}

/** Puts a backup where no data folder is. Each file is checked while it is copied; one that differs stops it all. */
export async function restore(folder: string, dataFolder: string): Promise<RestoreEnd> {
  const manifest = await readManifest(folder)
  if (!manifest) return { kind: 'not-there' }
  if (!(await isFree(dataFolder))) return { kind: 'not-empty' }
  try {
    await inOneGo(dataFolder, async (draft) => {
      for (const wanted of manifest.files) {
        const from = join(folder, wanted.path)
        if (!existsSync(from)) throw new Damaged(wanted.path, 'it is missing')
        const got = await copyFile(from, join(draft, wanted.path))
        if (got.bytes !== wanted.bytes)
          throw new Damaged(wanted.path, `it has ${got.bytes} bytes and had ${wanted.bytes}`)
        if (got.sha256 !== wanted.sha256) throw new Damaged(wanted.path, 'its content has changed')
      }
    })
  } catch (error) {
    if (error instanceof Damaged) return { kind: 'damaged', file: error.file, why: error.message }
    throw error
  }
  const bytes = manifest.files.reduce((sum, f) => sum + f.bytes, 0)
  return { kind: 'done', files: manifest.files.length, bytes, madeAt: manifest.madeAt }
}
