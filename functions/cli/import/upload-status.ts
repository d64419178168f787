import * as z from 'zod'

/** A refused row as the service tells it (contract); fields that are not needed here pass through. */
const refusedRow = z.looseObject({
  row: z.number().nullable(),
  column: z.string().nullish(),
  value: z.string().nullish(),
  code: z.string(),
  problem: z.string(),
})
export type RefusedRowTold = z.infer<typeof refusedRow>

/** What `GET /api/uploads/{id}` answers. Counts that an older service does not send are 0. */
export const uploadStatus = z.looseObject({
  id: z.string(),
  state: z.enum(['received', 'working', 'done', 'failed']),
  surveysAccepted: z.number().default(0),
  surveysAlreadyThere: z.number().default(0),
  surveysHeld: z.number().default(0),
  surveysRefused: z.number().default(0),
  rowsRefused: z.number().default(0),
  rowsRead: z.number().default(0),
  rowsTotal: z.number().nullish(),
  refused: z.array(refusedRow).default([]),
  /** Cursor for further refused rows. */
  next: z.string().nullish(),
  ignoredColumns: z.array(z.string()).default([]),
  failure: z.string().nullish(),
})
export type UploadStatus = z.infer<typeof uploadStatus>

/** What `POST /api/register` answers. */
export const tableStatus = z.looseObject({
  created: z.number(),
  changed: z.number(),
  same: z.number(),
  released: z.number().default(0),
  unknownElectrodes: z.array(z.string()).default([]),
  rowsRefused: z.number().default(0),
  refused: z.array(refusedRow).default([]),
  ignoredColumns: z.array(z.string()).default([]),
})
export type TableStatus = z.infer<typeof tableStatus>
