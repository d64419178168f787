import type { Finding } from '../../../shared-lib/survey/finding.ts'
import type { Spill } from '../files/spill.ts'
import { createColumn } from './column.ts'

/** Findings against prior tests, put aside on disk until their record is printed. */
export interface FindingsByRecord {
  put(record: number, findings: Finding[]): void
  /** Empty when nothing was found. */
  of(record: number): Finding[]
}

export function createFindingsByRecord(spill: Spill): FindingsByRecord {
  const offset = createColumn(Float64Array)
  /** 0 = nothing found: a line of JSON is never empty. */
  const length = createColumn(Uint32Array)
  return {
    put(record, findings) {
      const place = spill.append(JSON.stringify(findings))
      offset.set(record, place.offset)
      length.set(record, place.length)
    },
    of(record) {
      const bytes = length.at(record)
      if (bytes === 0) return []
      return JSON.parse(spill.readAt({ offset: offset.at(record), length: bytes })) as Finding[]
    },
  }
}
