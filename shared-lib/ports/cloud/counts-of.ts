import type { Counts } from './log-line.ts'

type Entry = { message: string; [key: string]: unknown }

const number = (value: unknown): number => (typeof value === 'number' ? value : 0)

/** What the handlers' own log lines count, by their message. */
const COUNTS: Record<string, (entry: Entry) => Counts> = {
  compared: (e) => ({ ElectrodesCompared: number(e.electrodes) }),
  told: () => ({ MailsSent: 1 }),
  swept: (e) => ({
    StaleMarks: number(e.marks),
    StaleUploads: number(e.uploads),
    StaleRecipients: number(e.recipients),
  }),
}

/** The counts in a log line; none for most. */
export function countsOf(entry: Entry): Counts {
  return COUNTS[entry.message]?.(entry) ?? {}
}
