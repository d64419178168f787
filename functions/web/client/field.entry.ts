import { fieldForm } from './field/field-form.ts'
import { theForm } from './field/form-dom.ts'
import { openWhich } from './field/opening.ts'
import { showStored } from './field/show-stored.ts'
import { fetchSite, keptRegister, refreshRegister } from './phone/field-books.ts'
import { startPhone } from './phone/start-phone.ts'

/** The survey form with everything a phone adds to it. Where the phone can keep nothing, the page stays as it came. */
const person = startPhone()
if (person && theForm()) {
  try {
    let register = await keptRegister(person.id)
    const opening = await openWhich(person, register)
    if (opening.stored && opening.stored.state !== 'draft') await showStored(opening.stored, register)
    else {
      const form = fieldForm(person, opening, register)
      document.documentElement.dataset.script = 'on'
      const site = theForm()?.dataset.site
      const missing = site && !register.sites.some((s) => s.siteId === site)
      if (missing) await fetchSite({ site }, person.id).catch(() => undefined)
      if ((await refreshRegister(person.id)) || missing) {
        register = await keptRegister(person.id)
        form.learn(register)
      }
    }
  } catch (error) {
    console.warn('This browser keeps nothing; the form works as a plain page.', error)
  }
}
