import type { CheckRecord } from './record.ts'
import type { Tally } from './tally.ts'

/** Where the records go: one line of JSON each, or sentences for a person. Called in the order of the input. */
export interface Report {
  /** May have to wait for a slow reader. */
  record(record: CheckRecord): Promise<void> | undefined
  /** The same, of a record that is to be told just as it was put aside: saves reading what nobody looks into. */
  line?(json: string): Promise<void> | undefined
  end(tally: Tally): Promise<void>
}
