import type { Electrode } from '../../../../shared-lib/survey/register.ts'
import { type Html, html, nothing } from '../../pages/view/html.ts'
import type { PhoneRegister } from '../phone/field-books.ts'
import { controlOf } from './form-dom.ts'

const MOST_SHOWN = 6

/** Electrodes that fit what is typed so far, by id, tag, site or place: one touch takes one. */
export function showChoices(register: PhoneRegister, known: Electrode | null): void {
  const input = controlOf('electrodeId') as HTMLInputElement | null
  if (!input) return
  let list = document.getElementById('electrode-choices')
  if (!list) {
    list = document.createElement('div')
    list.id = 'electrode-choices'
    input.after(list)
  }
  const typed = input.value.trim()
  // Found by its tag, it is named all the same: nobody should have to trust a number alone.
  const found =
    known === null ? register.search(typed, MOST_SHOWN) : known.electrodeId === typed ? [] : [known]
  list.innerHTML = String(choices(found, typed, known === null && register.sites.length > 0))
}

function choices(found: readonly Electrode[], typed: string, looked: boolean): Html {
  if (found.length === 0)
    return typed !== '' && looked
      ? html`<p class="hint">Not in the register on this phone. Look at the tag again; handed in, the survey is held until the electrode is matched.</p>`
      : nothing
  return html`<ul class="choices" aria-label="Electrodes that fit">${found.map(
    (e) =>
      html`<li><button type="button" data-electrode="${e.electrodeId}"><strong>${e.electrodeId}</strong> ${[e.tag ? `tag ${e.tag}` : '', e.locationText ?? '', `site ${e.siteId}`].filter(Boolean).join(', ')}</button></li>`,
  )}</ul>`
}
