/** Small dense positive definite systems, row by row; pivots have a floor, so nothing here can become not-a-number. */

const TINY = 1e-12

/** Lower factor L of L·L' = a (only the lower half of `a` is read). */
export function choleskyOf(a: readonly number[], n: number): number[] {
  const l = new Array<number>(n * n).fill(0)
  for (let i = 0; i < n; i++)
    for (let j = 0; j <= i; j++) {
      let sum = a[i * n + j]!
      for (let k = 0; k < j; k++) sum -= l[i * n + k]! * l[j * n + k]!
      l[i * n + j] = i === j ? Math.sqrt(Math.max(TINY, sum)) : sum / l[j * n + j]!
    }
  return l
}

/** x of L·x = right. */
export function solveLower(l: readonly number[], right: readonly number[], n: number): number[] {
  const x = [...right]
  for (let i = 0; i < n; i++) {
    for (let k = 0; k < i; k++) x[i] = x[i]! - l[i * n + k]! * x[k]!
    x[i] = x[i]! / l[i * n + i]!
  }
  return x
}

/** x of L'·x = right. */
export function solveUpper(l: readonly number[], right: readonly number[], n: number): number[] {
  const x = [...right]
  for (let i = n - 1; i >= 0; i--) {
    for (let k = i + 1; k < n; k++) x[i] = x[i]! - l[k * n + i]! * x[k]!
    x[i] = x[i]! / l[i * n + i]!
  }
  return x
}
