/** A growing list of numbers at 4 or 8 bytes each. */
export interface Column {
  push(value: number): void
  at(index: number): number
  set(index: number, value: number): void
  readonly length: number
}

type Numbers = Float64Array | Uint32Array

export function createColumn(kind: typeof Float64Array | typeof Uint32Array): Column {
  let values: Numbers = new kind(1024)
  let length = 0
  const room = (needed: number): void => {
    if (needed <= values.length) return
    const larger = new kind(Math.max(needed, values.length * 2))
    larger.set(values)
    values = larger
  }
  return {
    push(value) {
      room(length + 1)
      values[length++] = value
    },
    at(index) {
      return index < length ? values[index]! : 0
    },
    set(index, value) {
      room(index + 1)
      values[index] = value
      length = Math.max(length, index + 1)
    },
    get length() {
      return length
    },
  }
}
