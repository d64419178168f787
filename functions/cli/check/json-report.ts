import type { LineWriter } from '../terminal/line-writer.ts'
import type { Report } from './report.ts'

/** NDJSON: a line a record and nothing else. */
export function jsonReport(out: LineWriter): Report {
  return {
    record: (record) => out.line(JSON.stringify(record)),
    line: (json) => out.line(json),
    end: () => out.flush(),
  }
}
