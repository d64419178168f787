import * as z from 'zod'
import { fitsKey, MAX_ID_BYTES } from '../../../shared-lib/ledger/keys.ts'

/**
 * The id of a site or an electrode in the query of an address. Looked at before anything is read: an answer that is already being sent
 * when the store finds that no id can be so long would break off instead of saying so.
 */
export const askedId = z
  .string()
  .min(1)
  .max(MAX_ID_BYTES)
  .refine(fitsKey, { error: `An id takes 1 to ${MAX_ID_BYTES} bytes of text.` })
  .optional()
