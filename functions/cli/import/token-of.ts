import { readFile } from 'node:fs/promises'
import { CannotRun } from '../exit-status.ts'

/**
 * The bearer token from the file that was named, else from the environment: never from the command line, which others can read.
 * Throws {@link CannotRun} when there is none, or it cannot be one.
 */
export async function tokenOf(
  tokenFile: string | undefined,
  fromEnvironment: string | undefined,
): Promise<string> {
  const text = tokenFile
    ? await readFile(tokenFile, 'utf8').catch((error: Error) => {
        throw new CannotRun(`The token file ${tokenFile} could not be read: ${error.message}`)
      })
    : fromEnvironment
  const token = text?.trim()
  if (!token)
    throw new CannotRun(
      'A token is needed. Name its file with --token-file, or set STAKELINE_TOKEN; `stakeline token --role field` makes one.',
    )
  if (!/^[\w.~+/=-]+$/.test(token))
    throw new CannotRun('The token must be one line without spaces. Make a new one with `stakeline token`.')
  return token
}
