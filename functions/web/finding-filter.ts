import type { FindingItem } from '../../shared-lib/ledger/kept/finding.ts'
import { FINDING_CODES, type FindingCode } from '../../shared-lib/survey/finding.ts'

/** What narrows the queue, besides site, electrode and state, which the store narrows by itself. */
export interface FindingFilter {
  kind?: FindingCode
  instrument?: string
  /** The tester as written on the sheet; case does not count. */
  crew?: string
  /** Day of the test, YYYY-MM-DD, as it was written down. */
  day?: string
  /** Address of the responsible engineer. */
  engineer?: string
  /** Raised this many days ago or longer. */
  olderDays?: number
}

const DAY_MS = 86_400_000
const same = (a: string | undefined, b: string) => a?.trim().toLowerCase() === b.trim().toLowerCase()

/** Does a finding pass? A part of the filter that is absent lets everything pass. */
export function passes(finding: FindingItem, filter: FindingFilter, nowMs: number): boolean {
  const { kind, instrument, crew, day, engineer, olderDays } = filter
  return (
    (kind === undefined || finding.code === kind) &&
    (instrument === undefined || same(finding.instrumentId, instrument)) &&
    (crew === undefined || same(finding.tester, crew)) &&
    (day === undefined || finding.testedAt.startsWith(day)) &&
    (engineer === undefined || same(finding.responsibleEmail, engineer)) &&
    (olderDays === undefined || nowMs - Date.parse(finding.openedAt) >= olderDays * DAY_MS)
  )
}

/** A filter as the address of a page says it. What cannot be understood is left out of the filter and named in `strange`. */
export function readFilter(query: (name: string) => string | undefined): {
  filter: FindingFilter
  strange: string[]
} {
  const strange: string[] = []
  const kind = FINDING_CODES.find((code) => code === query('kind'))
  if (query('kind') !== undefined && kind === undefined) strange.push('kind')
  const day = query('day')
  const isDay = day !== undefined && /^\d{4}-\d\d-\d\d$/.test(day)
  if (day !== undefined && !isDay) strange.push('day')
  const older = query('older')
  const olderDays = older === undefined ? undefined : Number(older)
  const isAge = olderDays !== undefined && Number.isInteger(olderDays) && olderDays > 0 && olderDays < 10_000
  if (older !== undefined && !isAge) strange.push('older')
  const [instrument, crew, engineer] = [query('instrument'), query('crew'), query('engineer')]
  return {
    filter: {
      ...(kind === undefined ? {} : { kind }),
      ...(isDay ? { day } : {}),
      ...(isAge ? { olderDays } : {}),
      ...(instrument === undefined ? {} : { instrument }),
      ...(crew === undefined ? {} : { crew }),
      ...(engineer === undefined ? {} : { engineer }),
    },
    strange,
  }
}
