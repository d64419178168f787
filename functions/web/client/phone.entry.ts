import { showBadge } from './phone/badge.ts'
import { refreshRegister } from './phone/field-books.ts'
import { registerWorker } from './phone/install.ts'
import { personHere } from './phone/person.ts'
import { keepSending } from './phone/sender.ts'
import { onRecordsChanged } from './phone/store.ts'

/** On the first page and the form: what is not sent is counted and sent, and the phone is made ready to work without a network. */
const person = personHere()
if (person) {
  const badge = () => void showBadge(person.id).catch(() => undefined)
  onRecordsChanged(badge)
  badge()
  keepSending(person.id)
  void registerWorker()
  if (document.querySelector('#on-this-phone')) {
    const { showPhonePage } = await import('./phone/phone-page.ts')
    void showPhonePage(person)
  } else if (!document.querySelector('#survey-form')) void refreshRegister(person.id)
}
