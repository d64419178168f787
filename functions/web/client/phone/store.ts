import { type DBSchema, type IDBPDatabase, openDB } from 'idb'
import type { SiteSoil } from '../../../../shared-lib/evaluate/evaluation.ts'
import type { Calibration, Electrode, Limit } from '../../../../shared-lib/survey/register.ts'
import type { FieldRecord } from './field-record.ts'

/** What a phone keeps of one site to judge without a network. */
export interface SiteBooks {
  siteId: string
  /** Who fetched it: nobody else reads it. */
  personId: string
  fetchedAtMs: number
  electrodes: Electrode[]
  limits: Limit[]
  calibrations: Calibration[]
  soil?: SiteSoil
}

interface Shape extends DBSchema {
  records: { key: string; value: FieldRecord }
  books: { key: string; value: SiteBooks }
}

const NAME = 'stakeline'
/** A higher number adds stores; records of every earlier version stay readable, because forms are kept as typed. */
const VERSION = 1

let opened: Promise<IDBPDatabase<Shape>> | null = null

function database(): Promise<IDBPDatabase<Shape>> {
  opened ??= openDB<Shape>(NAME, VERSION, {
    upgrade(db) {
      db.createObjectStore('records', { keyPath: 'ref' })
      db.createObjectStore('books', { keyPath: 'siteId' })
    },
    // A newer page wants to upgrade: step aside, and open again at the next use.
    blocking() {
      opened?.then((db) => db.close())
      opened = null
    },
    terminated() {
      opened = null
    },
  })
  opened.catch(() => {
    opened = null
  })
  return opened
}

const channel = new BroadcastChannel('stakeline-records')
const listeners = new Set<() => void>()
channel.onmessage = () => {
  for (const listener of listeners) listener()
}

/** Calls back whenever a record changed, in this tab or another. */
export function onRecordsChanged(listener: () => void): void {
  listeners.add(listener)
}

function tell(): void {
  channel.postMessage('changed')
  for (const listener of listeners) listener()
}

export async function allRecords(): Promise<FieldRecord[]> {
  return (await database()).getAll('records')
}

export async function getRecord(ref: string): Promise<FieldRecord | undefined> {
  return (await database()).get('records', ref)
}

/** Written through to the disk before it resolves. @throws when the phone has no room (QuotaExceededError) */
export async function putRecord(record: FieldRecord): Promise<void> {
  const tx = (await database()).transaction('records', 'readwrite', { durability: 'strict' })
  await Promise.all([tx.store.put(record), tx.done])
  tell()
}

/**
 * Changes a record if it is still as `from` expects it; another tab may have been quicker. Resolves to what is stored then.
 */
export async function changeRecord(
  ref: string,
  change: (record: FieldRecord) => FieldRecord | null,
): Promise<FieldRecord | undefined> {
  const tx = (await database()).transaction('records', 'readwrite', { durability: 'strict' })
  const record = await tx.store.get(ref)
  const next = record && change(record)
  if (next) await tx.store.put(next)
  await tx.done
  if (next) tell()
  return next ?? record
}

export async function removeRecord(ref: string): Promise<void> {
  await (await database()).delete('records', ref)
  tell()
}

export async function allBooks(personId: string): Promise<SiteBooks[]> {
  return (await (await database()).getAll('books')).filter((b) => b.personId === personId)
}

export async function putBooks(books: SiteBooks): Promise<void> {
  await (await database()).put('books', books)
}

export async function removeBooks(siteId: string): Promise<void> {
  await (await database()).delete('books', siteId)
}
