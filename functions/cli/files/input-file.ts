import { createReadStream, createWriteStream } from 'node:fs'
import { access, constants, stat } from 'node:fs/promises'
import { basename } from 'node:path'
import { pipeline } from 'node:stream/promises'
import { CannotRun, errnoOf } from '../exit-status.ts'
import type { Surroundings } from '../surroundings.ts'
import type { Workspace } from './workspace.ts'

/** A file to read from its beginning as often as is needed. */
export interface InputFile {
  /** As people know it: the name they gave, or `standard input`. */
  name: string
  fileName: string
  /** Where its bytes are. */
  path: string
  byteLength: number
  open(): AsyncIterable<Uint8Array>
}

const WHY: Record<string, string> = {
  ENOENT: 'there is no such file',
  EACCES: 'you may not read it',
  EISDIR: 'it is a folder',
}

function cannotRead(name: string, error: unknown): CannotRun {
  const why = WHY[errnoOf(error)] ?? (error instanceof Error ? error.message : String(error))
  return new CannotRun(`${name} could not be read: ${why}.`)
}

/**
 * Opens what was named on the command line. `-` is standard input; that, and anything else that can be read only once (a
 * pipe), is first copied to a throw-away file. Throws {@link CannotRun} when it cannot be read.
 */
export async function openInput(
  given: string,
  around: Pick<Surroundings, 'stdin'>,
  workspace: Workspace,
): Promise<InputFile> {
  const name = given === '-' ? 'standard input' : given
  const fileName = given === '-' ? 'standard-input.csv' : basename(given)
  try {
    let path = given
    if (given === '-' || !(await isPlainFile(given))) {
      path = workspace.path(`input-${fileName}`)
      await pipeline(given === '-' ? around.stdin : createReadStream(given), createWriteStream(path))
    }
    await access(path, constants.R_OK)
    const { size } = await stat(path)
    return { name, fileName, path, byteLength: size, open: () => createReadStream(path) }
  } catch (error) {
    throw cannotRead(name, error)
  }
}

async function isPlainFile(path: string): Promise<boolean> {
  const found = await stat(path)
  if (found.isDirectory()) throw Object.assign(new Error('is a folder'), { code: 'EISDIR' })
  return found.isFile()
}
