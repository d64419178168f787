import type { ElectrodeRecord } from '../../../../shared-lib/ledger/kept/register.ts'
import type { Person } from '../../../../shared-lib/ports/identity.ts'
import { barToRead } from '../../access.ts'
import type { WebDeps } from '../../deps.ts'

/** An electrode this person may read, else null: another site's electrode tells nothing of itself here. */
export async function readableElectrode(
  deps: WebDeps,
  person: Person,
  id: string,
): Promise<ElectrodeRecord | null> {
  const record = await deps.ledger.getElectrode(id)
  return record && barToRead(person, record.electrode) === null ? record : null
}

/** The one electrode among those the person sees whose tag is what was typed; null when none or several have it. */
export async function electrodeByTag(
  deps: WebDeps,
  person: Person,
  tag: string,
): Promise<ElectrodeRecord | null> {
  const found = (await deps.ledger.electrodesByTag(tag)).filter(
    (r) => barToRead(person, r.electrode) === null,
  )
  return found.length === 1 ? found[0]! : null
}
