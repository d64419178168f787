import { type Html, html, nothing } from './html.ts'
import { withQuery } from './paths.ts'

/**
 * Forward paging over a store that knows only "what comes after": a link onward, and one back to the start. The browser's own
 * way back covers the rest.
 */
export function pager(path: string, query: Record<string, string | undefined>, next: string | null): Html {
  const onFirst = query.cursor === undefined
  if (next === null && onFirst) return nothing
  return html`<nav class="pager" aria-label="Pages">
${onFirst ? nothing : html`<a href="${withQuery(path, { ...query, cursor: undefined })}">Back to the first page</a>`}
${next === null ? html`<span>No more after this page.</span>` : html`<a href="${withQuery(path, { ...query, cursor: next })}" rel="next">Next page</a>`}
</nav>`
}
