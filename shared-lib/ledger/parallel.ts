/** Runs `work` on every item, at most `width` at a time; results in the order of the items. The first failure fails the whole. */
export async function inParallel<T, R>(
  items: readonly T[],
  width: number,
  work: (item: T) => Promise<R>,
): Promise<R[]> {
  const results = new Array<R>(items.length)
  let next = 0
  const hand = async () => {
    while (next < items.length) {
      const i = next++
      results[i] = await work(items[i] as T)
    }
  }
  await Promise.all(Array.from({ length: Math.min(width, items.length) }, hand))
  return results
}

export function chunksOf<T>(items: readonly T[], size: number): T[][] {
  const chunks: T[][] = []
  for (let i = 0; i < items.length; i += size) chunks.push(items.slice(i, i + size))
  return chunks
}
