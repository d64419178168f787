import { DECISION_WORDS } from '../../pages/view/words.ts'
import { renewVersions, tickOf } from './queue-list.ts'
import type { DecidedFinding } from './send-decisions.ts'

const doneWords = (action: string): string =>
  (DECISION_WORDS as Record<string, { done: string }>)[action]?.done ?? action

function note(row: HTMLTableRowElement): HTMLElement {
  const there = row.querySelector<HTMLElement>('[data-note]')
  if (there) return there
  const made = document.createElement('p')
  made.dataset.note = ''
  row.querySelector('[data-acts]')?.prepend(made)
  return made
}

/** A row that was just decided says so in place, with its undo; it stays where it was. */
export function showDecided(
  row: HTMLTableRowElement,
  action: string,
  findings: readonly DecidedFinding[],
  undo: () => void,
): void {
  renewVersions(row, findings)
  const box = tickOf(row)
  if (box) box.checked = false
  const open = action === 'reopen'
  row.classList.toggle('done', !open)
  for (const button of row.querySelectorAll<HTMLButtonElement>('button[name="one"]')) button.hidden = !open
  const line = note(row)
  line.textContent = `${doneWords(action)}${open ? '' : ' '}`
  if (open) return
  const button = document.createElement('button')
  button.type = 'button'
  button.textContent = DECISION_WORDS.reopen.button
  const what = document.createElement('span')
  what.className = 'unseen'
  what.textContent = ` ${row.dataset.what ?? ''}`
  button.append(what)
  button.addEventListener('click', undo)
  line.append(button)
}

/** A row that somebody else was quicker with: what happened, and the next press counts on top of that. */
export function showMeanwhile(
  row: HTMLTableRowElement,
  words: string,
  finding: DecidedFinding | undefined,
): string {
  if (finding) renewVersions(row, [finding])
  const { ruling, claim, closedBy } = finding ?? {}
  const happened = ruling
    ? `${ruling.decidedBy} decided this ${minutesAgo(ruling.decidedAtMs)}: ${doneWords(ruling.action)}${ruling.reason ? `, because: ${ruling.reason}` : ''}.`
    : closedBy?.laterSurveyRef
      ? `The later survey ${closedBy.laterSurveyRef} settled it.`
      : claim
        ? `${claim.name} is at it.`
        : words
  note(row).textContent = `Not decided. ${happened} Press again to decide all the same.`
  return happened
}

function minutesAgo(atMs: number): string {
  const minutes = Math.max(0, Math.round((Date.now() - atMs) / 60_000))
  return minutes < 1 ? 'just now' : `${minutes} min ago`
}
