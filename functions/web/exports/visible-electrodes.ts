import type { ElectrodeRecord } from '../../../shared-lib/ledger/kept/register.ts'
import type { Person } from '../../../shared-lib/ports/identity.ts'
import type { WebDeps } from '../deps.ts'
import { visibleElectrodes } from '../visible-lists.ts'

const PAGE = 100

/** Every electrode that a person may see, page after page. */
export async function* electrodesOf(
  deps: Pick<WebDeps, 'ledger'>,
  person: Person,
  siteId?: string,
): AsyncGenerator<ElectrodeRecord[]> {
  for (let cursor: string | null | undefined; cursor !== null; ) {
    const page = await visibleElectrodes(deps, person, {
      limit: PAGE,
      ...(cursor === undefined ? {} : { cursor }),
      ...(siteId === undefined ? {} : { siteId }),
    })
    if (!page) return
    yield page.items
    cursor = page.next
  }
}
