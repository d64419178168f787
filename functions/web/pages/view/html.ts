import { html, raw } from 'hono/html'

export { html, raw }

/** A piece of escaped markup. `html` answers a promise only when a promise was put into it, which no page does. */
export type Html = ReturnType<typeof html>

/** Nothing, where a piece of markup is wanted. */
export const nothing: Html = raw('')

/** A bare attribute such as `checked`, or nothing; names are ours, never a visitor's. */
export function flag(name: string, on: boolean): Html {
  return on ? raw(` ${name}`) : nothing
}

/** An attribute with a value, or nothing when the value is absent. The value is escaped. */
export function attribute(name: string, value: string | number | undefined): Html {
  return value === undefined ? nothing : html` ${raw(name)}="${value}"`
}
