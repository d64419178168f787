import { DECISION_WORDS } from '../../pages/view/words.ts'
import { namesOf, QueueList, tickOf } from './queue-list.ts'
import { sendDecisions } from './send-decisions.ts'
import { showDecided, showMeanwhile } from './show-outcome.ts'

const ACTION_KEYS: Record<string, string> = { a: 'accept', f: 'confirm', t: 'retest' }

const NOTHING_MEANT = 'Go to a finding with j, or tick some, first.'

/** Makes the queue's form work in place: one request a decision, the row says what became of it, the focus moves on. */
export function startQueue(): void {
  const form = document.querySelector<HTMLFormElement>('form[data-queue]')
  if (!form) return
  const list = new QueueList(form)
  const reason = form.querySelector<HTMLInputElement>('#reason')!
  const why = form.querySelector<HTMLSelectElement>('#why')!
  const said = form.querySelector<HTMLElement>('[data-said]')!
  const counter = form.querySelector<HTMLElement>('[data-ticked]')
  const help = putKeyHelp()
  let last: HTMLTableRowElement[] = []
  /** The action that waits for its reason, and the rows it was pressed for. */
  let waiting: { action: string; rows: HTMLTableRowElement[] } | null = null
  let busy = false

  const say = (words: string) => {
    said.textContent = words
  }
  const wholeReason = () => [why.value, reason.value.trim()].filter(Boolean).join(': ')

  async function decide(action: string, rows: HTMLTableRowElement[]): Promise<void> {
    if (busy || rows.length === 0) {
      if (rows.length === 0) say(NOTHING_MEANT)
      return
    }
    busy = true
    const names = rows.flatMap(namesOf)
    const sent = await sendDecisions(action, action === 'reopen' ? '' : wholeReason(), names)
    busy = false
    if (sent.kind === 'refused') {
      say(sent.words)
      if (!sent.reasonNeeded) return
      waiting = { action, rows }
      reason.focus()
      return
    }
    waiting = null
    const done = rows.filter((row) => namesOf(row).every(({ id }) => sent.decided.some((f) => f.id === id)))
    for (const row of done) showDecided(row, action, sent.decided, () => void decide('reopen', [row]))
    const left = sent.notDecided.flatMap((n) => {
      const row = rows.find((r) => namesOf(r).some(({ id }) => id === n.id))
      return row ? [showMeanwhile(row, n.words, n.finding)] : [n.words]
    })
    if (done.length > 0) {
      last = action === 'reopen' ? [] : done
      why.value = ''
      reason.value = ''
    }
    const verb = (DECISION_WORDS as Record<string, { done: string }>)[action]?.done ?? action
    const told =
      done.length === 0
        ? ''
        : `${done.length === 1 ? done[0]!.dataset.what : `${done.length} rows`}: ${verb}.`
    say([told, ...left.map((words) => `Not decided: ${words}`)].filter(Boolean).join(' '))
    count()
    if (done.length > 0) {
      if (action === 'reopen') done[0]!.focus()
      else list.moveOnFrom(done)
    }
  }

  function count(): void {
    const n = list.ticked.length
    if (counter) counter.textContent = n === 0 ? '' : ` (${n})`
  }

  form.addEventListener('change', count)
  form.addEventListener('submit', (event) => {
    const button = event.submitter as HTMLButtonElement | null
    if (!button) return
    event.preventDefault()
    const row = button.closest<HTMLTableRowElement>('tr[data-names]')
    if (button.name === 'one' && row) return void decide(button.value.split(' ')[0]!, [row])
    void decide(button.value, list.ticked)
  })
  reason.addEventListener('keydown', (event) => {
    if (event.key === 'Escape') {
      waiting = null
      list.current?.focus()
    }
    if (event.key !== 'Enter') return
    // Enter sends what waits for a reason, and otherwise nothing: a form must not be decided by a stray key.
    event.preventDefault()
    if (waiting) void decide(waiting.action, waiting.rows)
    else list.current?.focus()
  })
  document.addEventListener('keydown', (event) => {
    const target = event.target as HTMLElement
    const typing = target.matches('input:not([type=checkbox]), select, textarea')
    if (typing || event.ctrlKey || event.metaKey || event.altKey) return
    if (!onKey(event.key)) return
    event.preventDefault()
  })

  /** True when the key was ours. */
  function onKey(key: string): boolean {
    const action = ACTION_KEYS[key]
    if (action) void decide(action, list.meant)
    else if (key === 'j') list.move(1)
    else if (key === 'k') list.move(-1)
    else if (key === 'x') tick()
    else if (key === 'r') askReason()
    else if (key === 'c') reason.focus()
    else if (key === 'u') void decide('reopen', last)
    else if (key === 'o') list.current?.querySelector<HTMLAnchorElement>('td.what a')?.click()
    else if (key === '?' && help) {
      help.open = !help.open
      help.querySelector('summary')?.focus()
    } else return false
    return true
  }

  function tick(): void {
    const box = list.current && tickOf(list.current)
    if (!box) return
    box.checked = !box.checked
    count()
  }

  function askReason(): void {
    const rows = list.meant
    if (rows.length === 0) {
      say(NOTHING_MEANT)
      return
    }
    waiting = { action: 'set-aside', rows }
    say('Choose or write the reason, then press Enter to set aside.')
    reason.focus()
  }
}

/** The list of keys, which only a page with this script can promise. */
function putKeyHelp(): HTMLDetailsElement | null {
  const template = document.querySelector<HTMLTemplateElement>('template#keys')
  if (!template) return null
  template.replaceWith(template.content)
  return document.querySelector<HTMLDetailsElement>('details.keys')
}
