import type { Counts } from './log-line.ts'
import { METRIC_NAMES } from './metric-names.ts'

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

const metricNames: ReadonlySet<string> = new Set(METRIC_NAMES)

/**
 * The counts in a log line that are metrics; none for most. What else a line calls `counts` is left in its words: a name that is not
 * in the list would be a new metric, which costs money and which nobody watches.
 */
export function countsOf(entry: Entry): { counts: Counts; otherCounts: Record<string, unknown> } {
  const given = typeof entry.counts === 'object' && entry.counts !== null ? Object.entries(entry.counts) : []
  const isMetric = ([name, value]: [string, unknown]) =>
    metricNames.has(name) && typeof value === 'number' && Number.isFinite(value)
  return {
    counts: { ...COUNTS[entry.message]?.(entry), ...Object.fromEntries(given.filter(isMetric)) },
    otherCounts: Object.fromEntries(given.filter((pair) => !isMetric(pair))),
  }
}
