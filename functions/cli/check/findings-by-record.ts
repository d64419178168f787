import type { Finding } from '../../../shared-lib/survey/finding.ts'
import type { Spill } from '../files/spill.ts'
import { createColumn } from './column.ts'

/** Findings against prior tests, put aside on disk until their record is printed. */
export interface FindingsByRecord {
  /** Findings as JSON, in place of those put before. */
  put(record: number, json: string): void
  /** Empty when nothing was found. */
  of(record: number): Finding[]
}

export function createFindingsByRecord(spill: Spill): FindingsByRecord {
  const offset = createColumn(Float64Array)
  /** 0 = nothing found: a line of JSON is never empty. */
  const length = createColumn(Uint32Array)
  return {
    put(record, json) {
      const place = spill.append(json)
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
