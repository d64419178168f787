/** `1 survey`, `12 surveys`, `1,204 surveys` is never written: digits stay together, as everywhere in the tool. */
export function counted(n: number, one: string, many = `${one}s`): string {
  return `${n} ${n === 1 ? one : many}`
}

/** `a`, `a and b`, `a, b and c`. */
export function listed(words: readonly string[]): string {
  if (words.length < 2) return words.join('')
  return `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`
}

/** Text from a file, made safe to print: control characters would move a terminal's cursor or colour it. */
export function printable(text: string): string {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is taken out
  return text.replace(/[\u0000-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]/g, ' ')
}

/** Columns that mean nothing here are named once, so that a misspelt heading is seen; null when there are none. */
export function ignoredColumnsLine(fileName: string, columns: readonly string[]): string | null {
  if (columns.length === 0) return null
  return `${printable(fileName)}: columns not known here, and passed over: ${listed(columns.map(printable))}.`
}
