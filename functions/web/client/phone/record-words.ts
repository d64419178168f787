import { subjectOf } from '../../../../shared-lib/survey/survey.ts'
import { type Html, html, nothing } from '../../pages/view/html.ts'
import type { FieldRecord } from './field-record.ts'

/** The three states nobody may mix up: each has its own word, sign and colour. */
export function stateBadge(record: FieldRecord): Html {
  switch (record.state) {
    case 'draft':
      return mark('here', '◻', 'ON THIS PHONE, not finished')
    case 'waiting':
      return mark('here', '◼', 'ON THIS PHONE, not sent')
    case 'refused':
      return mark('refused', '✕', 'ON THIS PHONE, refused')
    case 'sending':
      return mark('sending', '➜', 'SENDING')
    case 'received':
      return mark('received', '✓', `RECEIVED no. ${record.ref}`)
  }
}

const mark = (look: string, sign: string, words: string): Html =>
  html`<strong class="state ${look}"><span aria-hidden="true">${sign}</span> ${words}</strong>`

/** What was tested, as far as it is written down. */
export function subjectWords(record: FieldRecord): string {
  const { electrodeId, siteId, instrumentId } = record.form.values
  const subject = record.survey && subjectOf(record.survey)
  return subject?.id || electrodeId?.trim() || siteId?.trim() || instrumentId?.trim() || 'no electrode yet'
}

/** The clock time on this phone, with the day when it is not today. */
export function clockTime(atMs: number, nowMs = Date.now()): string {
  const at = new Date(atMs)
  const time = at.toTimeString().slice(0, 5)
  return at.toDateString() === new Date(nowMs).toDateString()
    ? time
    : `${at.getDate()} ${at.toLocaleString('en-GB', { month: 'short' })}, ${time}`
}

/** What was said last, and when it is tried again. */
export function saidWords(record: FieldRecord, nowMs = Date.now()): Html {
  const { said, nextTryAtMs, state } = record
  if (state === 'received')
    return record.receipt?.held
      ? html`<p>The electrode is not in the register: the survey is held there until it is matched.</p>`
      : nothing
  if (!said) return nothing
  const next =
    state === 'waiting' && nextTryAtMs !== undefined && nextTryAtMs > nowMs
      ? ` Next try ${clockTime(nextTryAtMs, nowMs)}.`
      : ''
  return html`<p>${clockTime(said.atMs, nowMs)}: ${said.words}${next}</p>`
}
