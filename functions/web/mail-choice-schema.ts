import * as z from 'zod'
import { USUAL_MAIL } from './mail-settings.ts'

const MOST_SITES = 200

/** As the API takes it and as the page's form is read; what is left out is as usual. */
export const mailChoiceSchema = z.strictObject({
  rest: z
    .enum(['as-it-comes', 'daily'])
    .default(USUAL_MAIL.rest)
    .describe('Ordinary findings: a mail as they come, or one a day. Urgent ones always come at once.'),
  digestHourUtc: z.number().int().min(0).max(23).default(USUAL_MAIL.digestHourUtc),
  atOnceSites: z
    .array(z.string().trim().min(1).max(100))
    .max(MOST_SITES)
    .default([])
    .transform((sites) => [...new Set(sites)].sort())
    .describe('Sites whose findings come as they come although the rest comes once a day.'),
})

/** Is this an address that mail can go to? */
export const isMailAddress = (text: string): boolean => z.email().safeParse(text).success
