import type { DecidedFinding, NamedFinding } from './send-decisions.ts'

/** Findings of a row as its markup names them: `id~version`, several parted by a space. */
export const namesOf = (row: HTMLTableRowElement): NamedFinding[] =>
  (row.dataset.names ?? '')
    .split(' ')
    .filter(Boolean)
    .map((name) => {
      const cut = name.indexOf('~')
      return { id: name.slice(0, cut), seen: name.slice(cut + 1) }
    })

/** Writes the versions of findings that were just decided back into their row. */
export function renewVersions(row: HTMLTableRowElement, findings: readonly DecidedFinding[]): void {
  const names = namesOf(row).map(({ id, seen }) => {
    const now = findings.find((f) => f.id === id)
    return `${id}~${now?.version ?? seen}`
  })
  row.dataset.names = names.join(' ')
  const box = tickOf(row)
  if (box) box.value = row.dataset.names
  for (const button of row.querySelectorAll<HTMLButtonElement>('button[name="one"]'))
    button.value = `${button.value.split(' ')[0]} ${row.dataset.names}`
}

export const tickOf = (row: HTMLTableRowElement): HTMLInputElement | null =>
  row.querySelector<HTMLInputElement>('input[name="f"]')

/** The rows that can be decided, and which of them the keys speak of. */
export class QueueList {
  readonly rows: HTMLTableRowElement[]
  #at = -1

  constructor(form: HTMLFormElement) {
    this.rows = [...form.querySelectorAll<HTMLTableRowElement>('tr[data-names]')]
    for (const row of this.rows) {
      row.tabIndex = -1
      row.addEventListener('focusin', () => this.#mark(this.rows.indexOf(row)))
    }
  }

  get current(): HTMLTableRowElement | undefined {
    return this.rows[this.#at]
  }

  get ticked(): HTMLTableRowElement[] {
    return this.rows.filter((row) => tickOf(row)?.checked)
  }

  /** What a key acts on: all that is ticked, else the row one is at. */
  get meant(): HTMLTableRowElement[] {
    const ticked = this.ticked
    return ticked.length > 0 ? ticked : this.current ? [this.current] : []
  }

  move(step: 1 | -1): void {
    const next = Math.min(this.rows.length - 1, Math.max(0, this.#at + step))
    this.rows[next]?.focus()
  }

  /** On to the first row after these that is not decided yet; back to one before them when there is none. */
  moveOnFrom(done: readonly HTMLTableRowElement[]): void {
    const last = Math.max(...done.map((row) => this.rows.indexOf(row)))
    const waiting = (row: HTMLTableRowElement) => !row.classList.contains('done')
    const next = this.rows.slice(last + 1).find(waiting) ?? this.rows.slice(0, last).findLast(waiting)
    ;(next ?? done[0])?.focus()
  }

  #mark(index: number): void {
    this.current?.classList.remove('here')
    this.#at = index
    this.current?.classList.add('here')
  }
}
