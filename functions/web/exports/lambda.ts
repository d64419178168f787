import { openLedger } from '../../../shared-lib/ledger/open-ledger.ts'
import { setting } from '../../../shared-lib/ports/cloud/environment.ts'
import { s3ExportFiles } from '../../../shared-lib/ports/cloud/s3-export-files.ts'
import { surroundings } from '../../../shared-lib/ports/cloud/surroundings.ts'
import { createExporter } from './create-exporter.ts'

/** export on Lambda, fed by its queue: a function of its own, with its own few rights, that lives beside the rules of who sees what. */
const { env } = process

export const handler = createExporter({
  ...surroundings(env),
  ledger: openLedger(setting(env, 'TABLE_NAME')).ledger,
  files: s3ExportFiles(setting(env, 'ARCHIVE_BUCKET')),
  settings: { mostBytes: 1024 ** 3, longestMs: 270_000, lastTry: 5 },
})
