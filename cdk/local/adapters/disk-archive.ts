import { createReadStream } from 'node:fs'
import { rm } from 'node:fs/promises'
import { join } from 'node:path'
import type { Archive, ArchiveRemoval } from '../../../shared-lib/ports/archive.ts'
import { writeAtomically } from './atomic-file.ts'

/** A key is one or more names parted by `/`, each of letters, digits, `.`, `_` and `-`, none beginning with a dot. */
const SAFE_KEY = /^[A-Za-z0-9_-][A-Za-z0-9._-]*(\/[A-Za-z0-9_-][A-Za-z0-9._-]*)*$/
const MAX_KEY_CHARACTERS = 512

/** Uploaded files as they came, one file a key under `folder`. Throws a TypeError for a key that is not safe as a path. */
export function diskArchive(folder: string): Archive & ArchiveRemoval {
  const pathOf = (key: string): string => {
    if (key.length > MAX_KEY_CHARACTERS || !SAFE_KEY.test(key))
      throw new TypeError(`"${key.slice(0, 80)}" cannot be the key of an archived file.`)
    return join(folder, ...key.split('/'))
  }
  return {
    async put(key, bytes) {
      return writeAtomically(pathOf(key), bytes)
    },
    open(key) {
      const path = pathOf(key)
      return { [Symbol.asyncIterator]: () => createReadStream(path)[Symbol.asyncIterator]() }
    },
    async remove(key) {
      await rm(pathOf(key), { force: true })
    },
  }
}
