import { isUnsent } from './field-record.ts'
import { allRecords } from './store.ts'

/** The count of what is not sent, in the header of the page; gone when all is sent. */
export async function showBadge(personId: string): Promise<void> {
  const header = document.querySelector('header.top .inner')
  if (!header) return
  const records = await allRecords()
  // What is being typed on this very page is no news to who types it.
  const here = new URL(location.href).searchParams.get('draft')
  const unsent = records.filter(
    (r) => isUnsent(r) && r.personId === personId && !(r.state === 'draft' && r.ref === here),
  ).length
  let badge = header.querySelector<HTMLAnchorElement>('.unsent')
  if (unsent === 0) {
    badge?.remove()
    return
  }
  if (!badge) {
    badge = document.createElement('a')
    badge.className = 'unsent'
    badge.href = '/on-this-phone'
    header.querySelector('.operator')?.after(badge)
  }
  badge.textContent = `${unsent} not sent`
}
