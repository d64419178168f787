import { everyPage } from '../../../shared-lib/ledger/every-page.ts'
import type { ElectrodeRecord } from '../../../shared-lib/ledger/kept/register.ts'
import type { Person } from '../../../shared-lib/ports/identity.ts'
import type { WebDeps } from '../deps.ts'
import { visibleElectrodes } from '../visible-lists.ts'

const PAGE = 100

/** Every electrode that a person may see, page after page. */
export function electrodesOf(
  deps: Pick<WebDeps, 'ledger'>,
  person: Person,
  siteId?: string,
): AsyncGenerator<ElectrodeRecord[]> {
  const narrowed = siteId === undefined ? {} : { siteId }
  return everyPage((from) => visibleElectrodes(deps, person, { limit: PAGE, ...from, ...narrowed }))
}
