/** Reasons that come up again and again (common practice, no source); a person may add to one or write another. */
export const USUAL_REASONS = [
  'The sheet was filled in wrongly',
  'Another electrode was tested',
  'Instrument or leads at fault',
  'Stakes too near or badly placed',
  'Part of the earth was still connected',
  'Replaced by a better test',
  'Known work explains it',
  'Season or the whole site explains it',
] as const

/** The reason that is kept: the one chosen, what was typed, or both. */
export function wholeReason(chosen: string, typed: string): string {
  return [chosen.trim(), typed.trim()].filter(Boolean).join(': ')
}
