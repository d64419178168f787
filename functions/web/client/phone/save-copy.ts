import { copyOf } from './copy-of.ts'
import type { FieldRecord } from './field-record.ts'

/** Hands the file to the phone's own storage. */
export function saveCopy(record: FieldRecord): void {
  const { name, type, text } = copyOf(record)
  const link = document.createElement('a')
  link.href = URL.createObjectURL(new Blob([text], { type: `${type};charset=utf-8` }))
  link.download = name
  link.click()
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000)
}
