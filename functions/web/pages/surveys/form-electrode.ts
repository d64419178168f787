import type { ElectrodeRecord } from '../../../../shared-lib/ledger/ledger.ts'
import type { Person } from '../../../../shared-lib/ports/identity.ts'
import { barToRead } from '../../access.ts'
import type { WebDeps } from '../../deps.ts'
import { visibleElectrodes } from '../../visible-lists.ts'

/** An electrode this person may read, else null: another site's electrode tells nothing of itself here. */
export async function readableElectrode(
  deps: WebDeps,
  person: Person,
  id: string,
): Promise<ElectrodeRecord | null> {
  const record = await deps.ledger.getElectrode(id)
  return record && barToRead(person, record.electrode) === null ? record : null
}

/** Tags are not indexed: a search reads at most this many pages of 200. A crew's sites have fewer electrodes. */
const MOST_TAG_PAGES = 10

/** The one electrode among those the person sees whose tag is what was typed; null when none or several have it. */
export async function electrodeByTag(
  deps: WebDeps,
  person: Person,
  tag: string,
): Promise<ElectrodeRecord | null> {
  const wanted = tag.toLowerCase()
  const found: ElectrodeRecord[] = []
  let cursor: string | undefined
  for (let i = 0; i < MOST_TAG_PAGES; i++) {
    const page = await visibleElectrodes(deps, person, {
      limit: 200,
      ...(cursor === undefined ? {} : { cursor }),
    })
    if (!page) break
    found.push(...page.items.filter((r) => r.electrode.tag?.toLowerCase() === wanted))
    if (page.next === null) break
    cursor = page.next
  }
  return found.length === 1 ? found[0]! : null
}
