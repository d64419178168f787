import type { Owner } from './field-record.ts'

/** Who was signed in when this page was made; null on a page for nobody. */
export function personHere(): Owner | null {
  const { person, personName } = document.body.dataset
  return person ? { id: person, name: personName ?? person } : null
}
