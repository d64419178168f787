import type { FindingCode } from '../survey/finding.ts'

const inBase64url = (text: string): string => Buffer.from(text).toString('base64url')

/**
 * The id of a finding: electrode, survey and code, so that the same finding found again is the same item and its electrode can be
 * read from the id alone. Safe in addresses and mail links.
 */
export function findingId(electrodeId: string, surveyRef: string, code: FindingCode): string {
  return `${inBase64url(electrodeId)}.${inBase64url(surveyRef)}.${code}`
}

/** What a finding's id says by itself, for one that is no longer stored; null when the text is no such id. */
export function partsOfFindingId(
  id: string,
): { electrodeId: string; surveyRef: string; code: string } | null {
  const electrodeId = electrodeOfFinding(id)
  const [, ref, code] = id.split('.')
  if (electrodeId === null || ref === undefined || code === undefined) return null
  return { electrodeId, surveyRef: Buffer.from(ref, 'base64url').toString(), code }
}

/** The electrode a finding's id names, or null when the text is no such id. */
export function electrodeOfFinding(id: string): string | null {
  if (id.length > 1000 || !/^[A-Za-z0-9_-]+\.[A-Za-z0-9_.-]+$/.test(id)) return null
  const encoded = id.slice(0, id.indexOf('.'))
  const electrodeId = Buffer.from(encoded, 'base64url').toString()
  // Only the one text that findingId would have written is taken: no second spelling of the same electrode.
  return electrodeId !== '' && inBase64url(electrodeId) === encoded ? electrodeId : null
}
