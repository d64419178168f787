import { createHash } from 'node:crypto'
import { createReadStream } from 'node:fs'
import { readdir, stat } from 'node:fs/promises'
import { join, relative, sep } from 'node:path'
import { writeAtomically } from '../adapters/atomic-file.ts'

export interface CopiedFile {
  /** Below the folder, with `/` on every system. */
  path: string
  bytes: number
  sha256: string
}

/** Copies one file, on the disk when it resolves; tells its length and hash. */
export async function copyFile(from: string, to: string): Promise<Omit<CopiedFile, 'path'>> {
  const hash = createHash('sha256')
  async function* hashed() {
    for await (const chunk of createReadStream(from) as AsyncIterable<Buffer>) {
      hash.update(chunk)
      yield chunk
    }
  }
  const bytes = await writeAtomically(to, hashed())
  return { bytes, sha256: hash.digest('hex') }
}

/** Every file below a folder, as paths with `/`, sorted. */
export async function filesBelow(folder: string): Promise<string[]> {
  const entries = await readdir(folder, { recursive: true, withFileTypes: true })
  return entries
    .filter((entry) => entry.isFile())
    .map((entry) => relative(folder, join(entry.parentPath, entry.name)).split(sep).join('/'))
    .sort()
}

/** True when there is nothing in the way at this path: no entry, or an empty folder. */
export async function isFree(path: string): Promise<boolean> {
  const found = await stat(path).catch(() => null)
  if (found === null) return true
  return found.isDirectory() && (await readdir(path)).length === 0
}
