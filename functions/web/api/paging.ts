import * as z from 'zod'

const MOST_ITEMS = 200
const USUAL_ITEMS = 50

/** The two parameters of every list. More than the most is not an error: the page is as large as it may be. */
export const PAGING = {
  limit: z.coerce
    .number({ error: 'Give a whole number from 1.' })
    .int({ error: 'Give a whole number from 1.' })
    .min(1, { error: 'Give a whole number from 1.' })
    .transform((n) => Math.min(n, MOST_ITEMS))
    .default(USUAL_ITEMS)
    .describe(`Items on a page: ${USUAL_ITEMS} unless told, ${MOST_ITEMS} at most.`),
  cursor: z.string().min(1).max(4000).optional().describe('"next" of the page before, unchanged.'),
}

/** The answer of every list. */
export function pageOf<T extends z.ZodType>(item: T) {
  return z.object({
    items: z.array(item),
    next: z
      .string()
      .nullable()
      .describe('Cursor of the next page; null on the last. A page may be short while it is not null.'),
  })
}
