/** What a survey is to those that came before it in the same run; `place` is the earlier one's. */
type Meeting = { kind: 'new' } | { kind: 'same' | 'conflict'; place: number }

export interface SurveyIdentity {
  /**
   * @param id hash of what makes the survey this one, hexadecimal, 32 digits or more
   * @param content hash of its content, hexadecimal, 16 digits or more
   * @param place any number below 2^32 to find this survey again by
   */
  meet(id: string, content: string, place: number): Meeting
}

/** 128 bits of id, 64 of content, 32 of place. Two different surveys meet by chance once in 10^26 runs of a million. */
const WORDS = 7
const ID_WORDS = 4
const FULLEST = 0.6

/**
 * Remembers each survey's identity and content in 28 bytes, in an open-addressed table: a million text keys in a Map
 * would take several times the memory of everything else that `check` keeps.
 */
export function createSurveyIdentity(firstSlots = 1 << 12): SurveyIdentity {
  let slots = firstSlots
  let table = new Uint32Array(slots * WORDS)
  let used = 0
  /** Scratch for the survey being met. */
  const words = new Uint32Array(WORDS)

  /** The slot of these words: where they are, or the empty one where they belong. Ids are hashes, so they spread by themselves. */
  const slotOf = (words: Uint32Array): number => {
    let slot = words[0]! & (slots - 1)
    for (;;) {
      const at = slot * WORDS
      let empty = true
      let equal = true
      for (let i = 0; i < ID_WORDS; i++) {
        if (table[at + i] !== 0) empty = false
        if (table[at + i] !== words[i]) equal = false
      }
      if (empty || equal) return at
      slot = (slot + 1) & (slots - 1)
    }
  }

  const grow = (): void => {
    const old = table
    slots *= 2
    table = new Uint32Array(slots * WORDS)
    // By number, without a view of each slot: half a million views would cost more than the moving.
    for (let from = 0; from < old.length; from += WORDS) {
      let any = 0
      for (let i = 0; i < ID_WORDS; i++) any |= words[i] = old[from + i]!
      if (any === 0) continue
      const to = slotOf(words)
      for (let i = 0; i < WORDS; i++) table[to + i] = old[from + i]!
    }
  }

  return {
    meet(id, content, place) {
      for (let i = 0; i < ID_WORDS; i++) words[i] = wordAt(id, i * 8)
      for (let i = ID_WORDS; i < WORDS - 1; i++) words[i] = wordAt(content, (i - ID_WORDS) * 8)
      words[WORDS - 1] = place
      const at = slotOf(words)
      let fresh = true
      for (let i = 0; i < ID_WORDS; i++) if (table[at + i] !== 0) fresh = false
      if (fresh) {
        table.set(words, at)
        if (++used > slots * FULLEST) grow()
        return { kind: 'new' }
      }
      const same = table[at + 4] === words[4] && table[at + 5] === words[5]
      return { kind: same ? 'same' : 'conflict', place: table[at + WORDS - 1]! }
    },
  }
}

const wordAt = (hex: string, at: number): number => Number.parseInt(hex.slice(at, at + 8), 16)
