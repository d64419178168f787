/**
 * The answer times of requests sent at a steady rate whatever the answers do (open loop), in the order they were
 * sent, in ms; counted from when each was due.
 */
export async function postAtRate(
  count: number,
  perSecond: number,
  post: (nth: number) => Promise<Response>,
): Promise<{ timesMs: number[]; refused: number }> {
  const timesMs: number[] = []
  let refused = 0
  const startMs = performance.now()
  const under: Promise<void>[] = []
  for (let nth = 0; nth < count; nth++) {
    const dueMs = startMs + (nth * 1000) / perSecond
    const waitMs = dueMs - performance.now()
    if (waitMs > 0) await new Promise((resolve) => setTimeout(resolve, waitMs))
    under.push(
      post(nth).then(async (answer) => {
        await answer.arrayBuffer()
        timesMs[nth] = performance.now() - dueMs
        if (answer.status !== 201) refused++
      }),
    )
  }
  await Promise.all(under)
  return { timesMs, refused }
}
