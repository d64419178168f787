/**
 * How many rows each survey has in a file, for a million surveys in a few tens of megabytes: text is kept as a 53-bit hash. Two
 * texts with one hash share a count, which the reader must allow for.
 */
export interface RowCounts {
  add(text: string): void
  /** Rows counted under this text's hash. */
  get(text: string): number
  /** What the count is kept under. */
  key(text: string): number
  /** Distinct texts counted (by hash). */
  readonly size: number
}

/** 53 bits of a text, never 0: two interleaved 32-bit multiplicative hashes with a final mix (as MurmurHash3 mixes). */
function hash53(text: string): number {
  let a = 0xdeadbeef
  let b = 0x41c6ce57
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i)
    a = Math.imul(a ^ code, 0x9e3779b1)
    b = Math.imul(b ^ code, 0x5f356495)
  }
  a = Math.imul(a ^ (a >>> 16), 0x85ebca6b) ^ Math.imul(b ^ (b >>> 13), 0xc2b2ae35)
  b = Math.imul(b ^ (b >>> 16), 0x85ebca6b) ^ Math.imul(a ^ (a >>> 13), 0xc2b2ae35)
  return 4294967296 * (2097151 & b) + (a >>> 0) || 1
}

export function createRowCounts(): RowCounts {
  let slots = 1024
  let keys = new Float64Array(slots)
  let counts = new Uint32Array(slots)
  let size = 0

  function slotOf(key: number, table: Float64Array): number {
    const mask = table.length - 1
    let slot = (key % 4294967291) & mask
    while (table[slot] !== 0 && table[slot] !== key) slot = (slot + 1) & mask
    return slot
  }

  function grow(): void {
    slots *= 2
    const moreKeys = new Float64Array(slots)
    const moreCounts = new Uint32Array(slots)
    for (let i = 0; i < keys.length; i++) {
      if (keys[i] === 0) continue
      const slot = slotOf(keys[i]!, moreKeys)
      moreKeys[slot] = keys[i]!
      moreCounts[slot] = counts[i]!
    }
    keys = moreKeys
    counts = moreCounts
  }

  return {
    add(text) {
      const key = hash53(text)
      let slot = slotOf(key, keys)
      if (keys[slot] === 0) {
        if (size >= slots * 0.6) {
          grow()
          slot = slotOf(key, keys)
        }
        keys[slot] = key
        size++
      }
      counts[slot] = counts[slot]! + 1
    },
    key: hash53,
    get: (text) => counts[slotOf(hash53(text), keys)]!,
    get size() {
      return size
    },
  }
}
