import type { FormState } from '../../pages/surveys/form-state.ts'
import { type FieldRecord, type Owner, startRecord } from '../phone/field-record.ts'
import { askToKeep } from '../phone/install.ts'
import { getRecord, putRecord } from '../phone/store.ts'

export type Kept =
  | { kind: 'saved'; atMs: number }
  | { kind: 'full' }
  | { kind: 'elsewhere' }
  | { kind: 'nothing' }

const PAUSE_MS = 150

/**
 * Keeps a survey from its first key on. One tab holds a survey at a time; another that opens it too only reads, until it takes it
 * over, and then this one stops writing.
 */
export interface DraftKeeper {
  /** Call after every key; written after a short pause, and at once when the page goes away. */
  typed(form: FormState, timeZone: string): void
  /** Writes now. False when it could not be kept. */
  flush(): Promise<boolean>
  record(): FieldRecord | null
  /** False when another tab has it. */
  hold(): Promise<boolean>
  takeOver(): Promise<void>
}

export function draftKeeper(
  owner: Owner,
  ref: () => string,
  stored: FieldRecord | null,
  said: (kept: Kept) => void,
): DraftKeeper {
  let record = stored
  let waiting: { form: FormState; timeZone: string } | null = null
  let timer: ReturnType<typeof setTimeout> | undefined
  let mine = false
  let writing: Promise<boolean> = Promise.resolve(true)

  async function write(): Promise<boolean> {
    clearTimeout(timer)
    if (waiting === null) return true
    if (!mine) return false
    const { form, timeZone } = waiting
    waiting = null
    const fresh = record === null
    const now = Date.now()
    const next: FieldRecord = record
      ? { ...record, form, timeZone, savedAtMs: now }
      : startRecord(owner, form, timeZone, now)
    try {
      await putRecord(next)
    } catch {
      waiting ??= { form, timeZone }
      said({ kind: 'full' })
      return false
    }
    record = next
    if (fresh) {
      history.replaceState(null, '', `/surveys/new?draft=${encodeURIComponent(next.ref)}`)
      void askToKeep()
    }
    said({ kind: 'saved', atMs: now })
    return true
  }
  const flush = () => {
    writing = writing.then(write, write)
    return writing
  }
  addEventListener('pagehide', () => void flush())
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'hidden') void flush()
  })

  /** Holds the lock until it is stolen or the tab ends. */
  function lock(options: LockOptions): Promise<boolean> {
    return new Promise((decided) => {
      navigator.locks
        .request(`stakeline-draft-${ref()}`, options, (granted) => {
          mine = granted !== null
          decided(mine)
          return mine ? new Promise<void>(() => undefined) : undefined
        })
        .catch(() => {
          mine = false
          said({ kind: 'elsewhere' })
        })
    })
  }

  return {
    typed(form, timeZone) {
      waiting = { form, timeZone }
      clearTimeout(timer)
      timer = setTimeout(() => void flush(), PAUSE_MS)
    },
    flush,
    record: () => record,
    hold: () => lock({ ifAvailable: true }),
    async takeOver() {
      await lock({ steal: true })
      record = (await getRecord(ref())) ?? record
    },
  }
}
