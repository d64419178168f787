/** What the API says of an upload under way. */
interface Progress {
  state: 'received' | 'working' | 'done' | 'failed'
  rowsRead: number
  rowsTotal: number | null
}

const EVERY_MS = 1000
const LONGEST_MS = 15_000

/** Asks how far the upload is and shows it; once it is done the page is loaded again, with all that became of the file. */
export function followUpload(): void {
  const box = document.querySelector<HTMLElement>('[data-upload]')
  const id = box?.dataset.upload
  if (!box || id === undefined) return
  const bar = box.querySelector('progress')
  const words = box.querySelector('[data-rows]')
  let waitMs = EVERY_MS

  async function look(): Promise<void> {
    try {
      const answer = await fetch(`/api/uploads/${encodeURIComponent(id!)}`)
      if (answer.ok) {
        const progress = (await answer.json()) as Progress
        if (progress.state === 'done' || progress.state === 'failed') return location.reload()
        show(progress)
        waitMs = EVERY_MS
      } else waitMs = Math.min(LONGEST_MS, waitMs * 2)
    } catch {
      // No network for the moment: ask again, less often.
      waitMs = Math.min(LONGEST_MS, waitMs * 2)
    }
    setTimeout(look, waitMs)
  }

  function show({ rowsRead, rowsTotal }: Progress): void {
    if (rowsTotal === null || !bar || !words) return
    bar.max = rowsTotal
    bar.value = Math.min(rowsRead, rowsTotal)
    words.textContent = `${bar.value} of ${rowsTotal} rows read, going on.`
  }
  setTimeout(look, waitMs)
}
