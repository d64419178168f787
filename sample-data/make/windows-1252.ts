/** Text as the bytes of windows-1252: Latin-1 with typographic marks where Latin-1 has control characters. */
const MARKS: Readonly<Record<string, number>> = {
  '€': 0x80,
  '…': 0x85,
  '‘': 0x91,
  '’': 0x92,
  '“': 0x93,
  '”': 0x94,
  '–': 0x96,
  '—': 0x97,
}

/** Throws on a character that the encoding does not have. */
export function windows1252(text: string): Uint8Array {
  return Uint8Array.from(text, (character) => {
    const code = MARKS[character] ?? character.codePointAt(0)!
    if (code > 0xff) throw new Error(`windows-1252 has no ${character}`)
    return code
  })
}
