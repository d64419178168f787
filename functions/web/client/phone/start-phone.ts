import { showBadge } from './badge.ts'
import type { Owner } from './field-record.ts'
import { registerWorker } from './install.ts'
import { personHere } from './person.ts'
import { keepSending } from './sender.ts'
import { onRecordsChanged } from './store.ts'

/** On each page of the field crew: what is not sent is counted and sent, and the phone is made ready to work without a network. */
export function startPhone(): Owner | null {
  const person = personHere()
  if (!person) return null
  const badge = () => void showBadge(person.id).catch(() => undefined)
  onRecordsChanged(badge)
  badge()
  keepSending(person.id)
  void registerWorker()
  return person
}
