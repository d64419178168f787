/** A square system taken apart once and solved for many right sides. */
export interface LinearSystem {
  solve(right: ArrayLike<number>): Float64Array
}

/** LU with row pivoting; null when singular. The rows are used up. */
export function factorise(rows: Float64Array[]): LinearSystem | null {
  const n = rows.length
  const order = Array.from({ length: n }, (_, i) => i)
  for (let c = 0; c < n; c++) {
    let pivot = c
    for (let r = c + 1; r < n; r++) if (Math.abs(rows[r]![c]!) > Math.abs(rows[pivot]![c]!)) pivot = r
    if (!(Math.abs(rows[pivot]![c]!) > 1e-300)) return null
    ;[rows[c], rows[pivot]] = [rows[pivot]!, rows[c]!]
    ;[order[c], order[pivot]] = [order[pivot]!, order[c]!]
    const top = rows[c]!
    for (let r = c + 1; r < n; r++) {
      const row = rows[r]!
      const factor = row[c]! / top[c]!
      row[c] = factor
      for (let j = c + 1; j < n; j++) row[j] = row[j]! - factor * top[j]!
    }
  }
  return {
    solve(right) {
      const x = Float64Array.from(order, (i) => right[i]!)
      for (let r = 0; r < n; r++) for (let c = 0; c < r; c++) x[r]! -= rows[r]![c]! * x[c]!
      for (let r = n - 1; r >= 0; r--) {
        for (let c = r + 1; c < n; c++) x[r]! -= rows[r]![c]! * x[c]!
        x[r]! /= rows[r]![r]!
      }
      return x
    },
  }
}
