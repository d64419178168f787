import { readFile } from 'node:fs/promises'
import { CannotRun, errnoOf } from '../exit-status.ts'

/** How the cells are to be read, as the service takes it with an upload; what was not declared is absent. */
export type DeclaredOptions = Partial<Record<'decimalSign' | 'datePattern' | 'columnMap', string>>

/** The service takes a map in the address, which has room for some kilobytes. */
const MOST_MAP_CHARACTERS = 4000

/**
 * A column map by its file (JSON, sent along) or by the name the service keeps it under. Throws {@link CannotRun} when a file
 * cannot be used.
 */
export async function declaredOptions(given: DeclaredOptions): Promise<DeclaredOptions> {
  const { decimalSign, datePattern, columnMap } = given
  return {
    ...(decimalSign === undefined ? {} : { decimalSign }),
    ...(datePattern === undefined ? {} : { datePattern }),
    ...(columnMap === undefined ? {} : { columnMap: await mapText(columnMap) }),
  }
}

async function mapText(given: string): Promise<string> {
  let text: string
  try {
    text = await readFile(given, 'utf8')
  } catch (error) {
    if (errnoOf(error) === 'ENOENT' && !given.endsWith('.json')) return given
    throw new CannotRun(`The column map ${given} could not be read: ${(error as Error).message}`)
  }
  try {
    // Without its blanks a map of some hundred columns fits.
    text = JSON.stringify(JSON.parse(text.replace(/^\ufeff/, '')))
  } catch (error) {
    throw new CannotRun(`The column map ${given} is not JSON: ${(error as Error).message}.`)
  }
  if (text.length > MOST_MAP_CHARACTERS)
    throw new CannotRun(
      `The column map ${given} is too long to send along. Save it at the service (PUT /api/column-maps/NAME) and give its name.`,
    )
  return text
}
