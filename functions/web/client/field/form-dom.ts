import type { Field } from '../../../../shared-lib/survey/field-types.ts'
import { SURVEY_FIELDS, type SurveyKey } from '../../../../shared-lib/survey/fields.ts'
import { readNumber } from '../../../../shared-lib/survey/numbers.ts'
import { type FormState, formFromPost, typedCurrentProbe } from '../../pages/surveys/form-state.ts'
import { rowPlace } from '../../pages/surveys/form-steps.ts'
import type { TestKindName } from '../../pages/surveys/test-kinds.ts'
import { number } from '../../pages/view/format.ts'

const METRES_PER_FOOT = 0.3048

export function theForm(): HTMLFormElement | null {
  return document.querySelector('#survey-form')
}

/** The form as it stands on the page. */
export function readPage(): { state: FormState; shown: TestKindName } {
  return formFromPost(new FormData(theForm()!))
}

/** A control by its field; radio buttons by the first. */
export function controlOf(fieldId: string): HTMLElement | null {
  return document.getElementById(fieldId)
}

/** Where the cursor stands; the answer puts it back after the form was drawn anew, so that the next key goes where the last one went. */
export function keepCursor(): () => void {
  const { id, selectionStart, selectionEnd } = document.activeElement as HTMLInputElement
  return () => {
    const control = controlOf(id) as HTMLInputElement | null
    control?.focus({ preventScroll: true })
    if (selectionStart != null) control?.setSelectionRange(selectionStart, selectionEnd)
  }
}

/** Puts a value in as if it had been typed. */
export function typeInto(fieldId: string, value: string): void {
  const control = controlOf(fieldId)
  if (!(control instanceof HTMLInputElement || control instanceof HTMLSelectElement)) return
  control.value = value
  control.dispatchEvent(new Event('input', { bubbles: true }))
}

/** Where each stake goes, worked out again after every change of the current probe's distance. */
export function showPlaces(state: FormState): void {
  const far = typedCurrentProbe(state)
  for (let i = 0; i < state.rows.length; i++) {
    const legend = document.getElementById(`r${i}-place`)
    if (legend) legend.textContent = rowPlace(state, i, far)
  }
}

/** `= 1.024 Ω` beside what was typed: a comma or feet are never left to be guessed at. */
export function showEcho(input: HTMLInputElement, state: FormState): void {
  const words = echoOf(input, state)
  let echo = input.nextElementSibling
  if (!(echo instanceof HTMLOutputElement)) {
    if (words === '') return
    echo = document.createElement('output')
    echo.className = 'echo'
    echo.setAttribute('for', input.id)
    input.after(echo)
  }
  echo.textContent = words
}

function echoOf(input: HTMLInputElement, state: FormState): string {
  const typed = input.value.trim()
  const field = fieldOf(input.name)
  if (typed === '' || field?.type !== 'number') return ''
  const cell = readNumber(typed, field)
  if (cell.kind !== 'value') return ''
  if (state.unit === 'ft' && field.unit === 'm')
    return `= ${number(Math.round(cell.value * METRES_PER_FOOT * 100) / 100, 6)} m`
  const unit = { ohm: ' Ω', m: ' m', '%': ' %', deg: '°', C: ' °C', V: ' V', Hz: ' Hz', mA: ' mA' }
  return typed.includes(',') ? `= ${number(cell.value, 7)}${unit[field.unit as keyof typeof unit] ?? ''}` : ''
}

const OHM: Field = SURVEY_FIELDS.knownOhm
const LENGTH: Field = SURVEY_FIELDS.currentProbeM

function fieldOf(name: string): Field | undefined {
  if (/^r\d+-ohm$/.test(name)) return OHM
  if (/^r\d+-(distance|depth)$/.test(name)) return LENGTH
  return SURVEY_FIELDS[name as SurveyKey]
}
