import { html } from '../../pages/view/html.ts'
import type { Owner } from '../phone/field-record.ts'
import { clockTime, subjectWords } from '../phone/record-words.ts'
import { allRecords } from '../phone/store.ts'

/** A survey open in two tabs is typed into in one: the other shows it and can take it over. */
export function showElsewhere(main: HTMLElement, on: boolean): void {
  main.querySelector('#elsewhere')?.remove()
  const form = main.querySelector<HTMLFormElement>('#survey-form')
  if (form) form.inert = on
  if (!on) return
  const notice = document.createElement('div')
  notice.id = 'elsewhere'
  notice.className = 'mend'
  notice.setAttribute('role', 'alert')
  notice.innerHTML =
    '<p>This survey is open in another tab of this phone. Only one of them saves.</p><button type="button" data-take-over>Go on here</button>'
  main.prepend(notice)
}

/** What was begun and not finished, over a new form: a closed tab loses nothing, and nobody starts the same survey twice. */
export async function showUnfinished(main: HTMLElement, owner: Owner, ref: string): Promise<void> {
  const drafts = (await allRecords())
    .filter((r) => r.state === 'draft' && r.personId === owner.id && r.ref !== ref)
    .sort((a, b) => b.savedAtMs - a.savedAtMs)
  if (drafts.length === 0) return
  const list = document.createElement('section')
  list.className = 'said'
  list.id = 'unfinished'
  list.setAttribute('aria-label', 'Not finished')
  list.innerHTML = String(
    html`<p>Begun on this phone and not finished:</p><ul>${drafts.map(
      (r) =>
        html`<li><a href="/surveys/new?draft=${encodeURIComponent(r.ref)}">${subjectWords(r)}, typed until ${clockTime(r.savedAtMs)}</a></li>`,
    )}</ul>`,
  )
  main.querySelector('h1')?.after(list)
}

/** "Now" beside the times of opening and closing the link: one touch at the moment itself. */
export function addNowButtons(main: HTMLElement): void {
  for (const id of ['linkOpenedAt', 'linkClosedAt']) {
    const input = main.querySelector(`#${id}`)
    if (!input || main.querySelector(`[data-now=${id}]`)) continue
    const button = document.createElement('button')
    button.type = 'button'
    button.dataset.now = id
    button.className = 'now'
    button.textContent = id === 'linkOpenedAt' ? 'Opened now' : 'Closed now'
    input.after(button)
  }
}
