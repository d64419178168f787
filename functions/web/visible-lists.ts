import type { FindingItem } from '../../shared-lib/ledger/kept/finding.ts'
import type { Page } from '../../shared-lib/ledger/kept/page.ts'
import type { ElectrodeRecord } from '../../shared-lib/ledger/kept/register.ts'
import type { Person } from '../../shared-lib/ports/identity.ts'
import type { Electrode } from '../../shared-lib/survey/register.ts'
import { barToRead, seesOnlyNamed } from './access.ts'
import type { WebDeps } from './deps.ts'
import { visiblePage } from './visible-page.ts'

/**
 * The lists as a person may see them, for the pages and the API alike. Each answers null when the cursor is not of this list.
 * A `siteId` must be one the person sees; the caller answers for that.
 */

interface ListQuery {
  limit: number
  cursor?: string
  siteId?: string
}

const readable = (person: Person, record: ElectrodeRecord) => barToRead(person, record.electrode) === null

/** Narrows records to those an engineer is named for; everybody else's list is right by its sites alone. */
const keepReadable = (person: Person) =>
  seesOnlyNamed(person)
    ? { keep: async (items: ElectrodeRecord[]) => items.filter((r) => readable(person, r)) }
    : {}

const oneSite = (siteId: string | undefined) => (siteId === undefined ? {} : { siteId })

/** Electrodes by site. */
export function visibleElectrodes(
  deps: Pick<WebDeps, 'ledger'>,
  person: Person,
  q: ListQuery,
): Promise<Page<ElectrodeRecord> | null> {
  return visiblePage<ElectrodeRecord>(person, q, {
    list: (page) => deps.ledger.listElectrodes(page),
    ...keepReadable(person),
    ...oneSite(q.siteId),
  })
}

const SITE_PAGE = 200

/** The electrodes of one site, page after page up to `most`; `complete` says whether that was all. */
export async function visibleElectrodesOfSite(
  deps: Pick<WebDeps, 'ledger'>,
  person: Person,
  siteId: string,
  most: number,
): Promise<{ electrodes: Electrode[]; complete: boolean }> {
  const electrodes: Electrode[] = []
  let cursor: string | undefined
  do {
    const page = await visibleElectrodes(deps, person, {
      limit: SITE_PAGE,
      siteId,
      ...(cursor === undefined ? {} : { cursor }),
    })
    electrodes.push(...(page?.items ?? []).map((record) => record.electrode))
    cursor = page?.next ?? undefined
  } while (cursor !== undefined && electrodes.length < most)
  return { electrodes, complete: cursor === undefined }
}

/** Electrodes due up to the end of a month (`YYYY-MM`). */
export function visibleDue(
  deps: Pick<WebDeps, 'ledger'>,
  person: Person,
  q: ListQuery & { toMonth: string },
): Promise<Page<ElectrodeRecord> | null> {
  return visiblePage<ElectrodeRecord>(person, q, {
    list: (page) => deps.ledger.listDue({ ...page, toMonth: q.toMonth }),
    ...keepReadable(person),
    ...oneSite(q.siteId),
  })
}

/** Findings of the review queue, or of one electrode; `passes` narrows further, page by page of the store. */
export function visibleFindings(
  deps: Pick<WebDeps, 'ledger'>,
  person: Person,
  q: ListQuery & {
    state: 'open' | 'closed' | 'all'
    electrodeId?: string
    passes?: ((finding: FindingItem) => boolean) | undefined
  },
): Promise<Page<FindingItem> | null> {
  const { state, electrodeId, passes } = q
  const keepNamed = async (items: FindingItem[]) => {
    const records = await deps.ledger.getElectrodes([...new Set(items.map((f) => f.electrodeId))])
    return items.filter((f) => {
      const record = records.get(f.electrodeId)
      return record !== undefined && readable(person, record)
    })
  }
  return visiblePage<FindingItem>(person, q, {
    list: (page) => deps.ledger.listFindings({ ...page, state, ...(electrodeId ? { electrodeId } : {}) }),
    ...(passes || seesOnlyNamed(person)
      ? {
          keep: async (items: FindingItem[]) => {
            const narrowed = passes ? items.filter(passes) : items
            return seesOnlyNamed(person) ? keepNamed(narrowed) : narrowed
          },
        }
      : {}),
    ...oneSite(q.siteId),
  })
}
