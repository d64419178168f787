/**
 * What is made when it is first asked for, once, for everybody who asks: code that a new copy of a function need not read to answer
 * its first request. A failure is not kept, so the next request tries again.
 */
export function onFirstUse<T>(make: () => Promise<T>): () => Promise<T> {
  let made: Promise<T> | undefined
  return () => {
    made ??= make().catch((error) => {
      made = undefined
      throw error
    })
    return made
  }
}
