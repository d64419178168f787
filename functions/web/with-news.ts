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
  if (electrodeIds.length > 0)
    await deps.ledger.markDue(electrodeIds, {
      stamp: deps.newId(),
      nowIso: new Date(deps.clock.nowMs()).toISOString(),
    })
  const result = await write()
  await deps.desk.announce(electrodeIds)
  return result
}
