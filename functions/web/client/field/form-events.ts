import { localMinute } from '../../pages/surveys/form-state.ts'
import { isTestKind } from '../../pages/surveys/test-kinds.ts'
import { showChoices } from './electrode-picker.ts'
import type { FieldForm } from './form-actions.ts'
import { controlOf, showEcho, typeInto } from './form-dom.ts'
import { zoneFor } from './opening.ts'

/** Leads to a control: into view, opened where it is folded away, with the focus in it. */
export function goTo(fieldId: string): void {
  const control = controlOf(fieldId)
  if (!control) return
  for (let at: Element | null = control; at; at = at.parentElement)
    if (at instanceof HTMLDetailsElement) at.open = true
  control.focus({ preventScroll: true })
  control.scrollIntoView({ block: 'center' })
}

/** Everything a person does to the form, heard at `main`, so that drawing the form anew changes nothing here. */
export function listenToForm(main: HTMLElement, form: FieldForm): void {
  main.addEventListener('input', ({ target }) => {
    form.typed()
    if (target instanceof HTMLInputElement) showEcho(target, form.state)
    if ((target as Element).id === 'electrodeId') suggest(form)
  })
  main.addEventListener('focusin', ({ target }) => {
    if ((target as Element).id === 'electrodeId') suggest(form)
  })
  main.addEventListener('change', ({ target }) => {
    if (!(target instanceof HTMLSelectElement || target instanceof HTMLInputElement)) return
    if (target.id === 'test' && isTestKind(target.value)) form.showKind(target.value)
    if (target.id === 'electrodeId') {
      const known = form.register.find(target.value)
      if (known) form.pick(known.electrodeId, true)
      else if (target.value.trim() !== '') void form.ask(target.value.trim())
    }
  })
  main.addEventListener('click', (event) => {
    const target = event.target as Element
    const choice = target.closest<HTMLElement>('[data-electrode]')
    if (choice) form.pick(choice.dataset.electrode!)
    const now = target.closest<HTMLElement>('[data-now]')
    if (now) stampNow(now.dataset.now!, form)
    if (target.closest('[data-take-over]')) void form.takeOver()
    const link = target.closest<HTMLAnchorElement>('.mend a[href^="#"]')
    if (link) {
      event.preventDefault()
      goTo(link.hash.slice(1))
    }
  })
  main.addEventListener('keydown', (event) => {
    const { target, key } = event
    if (key !== 'Enter' || !(target instanceof HTMLInputElement) || target.type === 'submit') return
    event.preventDefault()
    nextControl(target)?.focus()
  })
  main.addEventListener('submit', (event) => {
    const { target, submitter } = event
    if (!(target instanceof HTMLFormElement) || target.id !== 'survey-form' || 'plain' in target.dataset)
      return
    event.preventDefault()
    const action = submitter instanceof HTMLButtonElement ? submitter.value : 'check'
    if (action === 'hand-in') void form.handIn()
    else if (action === 'unit-ft' || action === 'unit-m') changeUnit(form, action === 'unit-ft' ? 'ft' : 'm')
    else form.check()
  })
}

function suggest(form: FieldForm): void {
  const typed = form.state.values.electrodeId ?? ''
  showChoices(form.register, form.register.find(typed))
}

function changeUnit(form: FieldForm, unit: 'm' | 'ft'): void {
  const words = unit === 'ft' ? 'feet' : 'metres'
  form.draw({
    state: { ...form.state, unit },
    notice: `Distances on this form are now read in ${words}. The numbers typed so far were not changed.`,
    focus: 'currentProbeM',
  })
  form.typed()
}

/** The time of opening or closing is the moment of the touch, in the site's own time; who closed it is who is signed in. */
function stampNow(fieldId: string, form: FieldForm): void {
  const zone = zoneFor(form.register.find(form.state.values.electrodeId ?? ''))
  typeInto(fieldId, localMinute(Date.now(), zone))
  const { tester, restoredBy } = form.state.values
  if (fieldId === 'linkClosedAt' && !restoredBy?.trim() && tester) typeInto('restoredBy', tester)
}

/** The control after this one that can be typed into, so that the keypad's own key leads on. */
function nextControl(from: HTMLElement): HTMLElement | undefined {
  const all = [
    ...document.querySelectorAll<HTMLElement>(
      '#survey-form input, #survey-form select, #survey-form textarea',
    ),
  ].filter((c) => c.offsetParent !== null && !(c instanceof HTMLInputElement && c.type === 'hidden'))
  const isReading = /^r\d+-ohm$/.test(from.id)
  return all.slice(all.indexOf(from) + 1).find((c) => !isReading || !/^r\d+-condition$/.test(c.id))
}
