/** What a test asks of our own markup. It is written by templates we know, so looking for attributes is enough. */

export function allIds(page: string): string[] {
  return [...page.matchAll(/\sid="([^"]*)"/g)].map((m) => m[1]!)
}

/** Ids named by attributes that must lead somewhere. */
export function namedIds(page: string): string[] {
  const attributes = /\s(?:aria-describedby|aria-labelledby|for|headers)="([^"]*)"/g
  return [...page.matchAll(attributes)].flatMap((m) => m[1]!.split(' ').filter(Boolean))
}

/** The error summary: where each line leads and what it says. */
export function summaryLines(page: string): { fieldId: string; message: string }[] {
  const summary = /<section class="mend"[\s\S]*?<\/section>/.exec(page)?.[0] ?? ''
  return [...summary.matchAll(/<a href="#([^"]+)">([^<]*)<\/a>/g)].map((m) => ({
    fieldId: m[1]!,
    message: m[2]!,
  }))
}

/** Words beside the controls, by the id of the control. */
export function inlineProblems(page: string): Map<string, string> {
  return new Map(
    [...page.matchAll(/<p class="problem" id="([^"]+)-problem">([^<]*)<\/p>/g)].map((m) => [m[1]!, m[2]!]),
  )
}

/** Value of a text control or a hidden one, unescaped. */
export function typedValue(page: string, name: string): string | undefined {
  const input = [...page.matchAll(/<input [^>]*>/g)]
    .map((m) => m[0])
    .find((tag) => tag.includes(` name="${name}"`))
  return input === undefined ? undefined : unescaped(/ value="([^"]*)"/.exec(input)?.[1] ?? '')
}

/** The choice that a select shows. */
function chosen(page: string, id: string): string | undefined {
  const select = new RegExp(`<select id="${id}"[\\s\\S]*?</select>`).exec(page)?.[0]
  return select === undefined ? undefined : (/<option value="([^"]*)" selected>/.exec(select)?.[1] ?? '')
}

/** Every named control with what it would send, as a browser would; ticks and radio buttons only when checked. */
export function formValues(page: string): Record<string, string> {
  const values: Record<string, string> = {}
  for (const [tag] of page.matchAll(/<input [^>]*>/g)) {
    const name = / name="([^"]*)"/.exec(tag)?.[1]
    const checkable = / type="(radio|checkbox)"/.test(tag)
    if (name === undefined || (checkable && !/ checked/.test(tag))) continue
    values[name] = unescaped(/ value="([^"]*)"/.exec(tag)?.[1] ?? '')
  }
  for (const [whole, id, name] of page.matchAll(/<select id="([^"]*)" name="([^"]*)"[\s\S]*?<\/select>/g))
    values[name!] = chosen(whole, id!) || (/<option value="([^"]*)"/.exec(whole)?.[1] ?? '')
  for (const [, name, text] of page.matchAll(/<textarea [^>]*name="([^"]*)"[^>]*>([\s\S]*?)<\/textarea>/g))
    values[name!] = unescaped(text!)
  return values
}

function unescaped(text: string): string {
  return text
    .replaceAll('&quot;', '"')
    .replaceAll('&#39;', "'")
    .replaceAll('&lt;', '<')
    .replaceAll('&gt;', '>')
    .replaceAll('&amp;', '&')
}
