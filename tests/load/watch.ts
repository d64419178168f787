import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { DatabaseSync } from 'node:sqlite'

export interface Watched {
  rssMegabytes: { atS: number; megabytes: number }[]
  oldestMessageS: number
  deepest: number
}

/** Resident memory of a process, MB; NaN where the system does not tell. */
function rssOf(pid: number): number {
  try {
    return Number(/VmRSS:\s+(\d+)/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))?.[1]) / 1024
  } catch {
    return Number.NaN
  }
}

/** Looks every second at the memory of the service and at the age and number of its waiting messages. */
export function watch(pid: number, dataDir: string): { now(): Watched; stop(): Watched } {
  const startMs = Date.now()
  const seen: Watched = { rssMegabytes: [], oldestMessageS: 0, deepest: 0 }
  const db = new DatabaseSync(join(dataDir, 'queues.sqlite'), { readOnly: true })
  const look = () => {
    seen.rssMegabytes.push({ atS: (Date.now() - startMs) / 1000, megabytes: rssOf(pid) })
    try {
      const row = db
        .prepare('SELECT count(*) AS n, min(sent_ms) AS oldest FROM messages WHERE dead = 0')
        .get()
      if (row?.oldest != null)
        seen.oldestMessageS = Math.max(seen.oldestMessageS, (Date.now() - Number(row.oldest)) / 1000)
      seen.deepest = Math.max(seen.deepest, Number(row?.n ?? 0))
    } catch {
      // Locked for this moment: the next look will do.
    }
  }
  const timer = setInterval(look, 1000)
  look()
  return {
    now: () => seen,
    stop() {
      clearInterval(timer)
      db.close()
      return seen
    },
  }
}

/** MB a minute over the last two thirds of what was seen: the first third is warming up. Least squares. */
export function growthPerMinute({ rssMegabytes }: Watched): number {
  const late = rssMegabytes.slice(Math.floor(rssMegabytes.length / 3))
  const n = late.length
  if (n < 3) return Number.NaN
  const meanT = late.reduce((s, p) => s + p.atS, 0) / n
  const meanM = late.reduce((s, p) => s + p.megabytes, 0) / n
  const top = late.reduce((s, p) => s + (p.atS - meanT) * (p.megabytes - meanM), 0)
  const bottom = late.reduce((s, p) => s + (p.atS - meanT) ** 2, 0)
  return (60 * top) / bottom
}
