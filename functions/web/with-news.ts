import type { WebDeps } from './deps.ts'

/**
 * A write that can alter what is judged about some electrodes. Their due marks come first, the write next, the message last: a
 * crash anywhere in between leaves a mark that the next sweep finds, so no judgement stays old.
 */
export async function withNews<T>(
  deps: WebDeps,
  electrodeIds: string[],
  write: () => Promise<T>,
): Promise<T> {
  const marked = electrodeIds.length > 0 ? await deps.desk.mark(electrodeIds) : []
  const result = await write()
  await deps.desk.announce(electrodeIds, marked)
  return result
}
