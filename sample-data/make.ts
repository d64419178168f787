/** Writes the invented operator's files beside this one: `node sample-data/make.ts`. The same source makes the same bytes. */
import { mkdirSync, writeFileSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { sampleFiles } from './make/sample-files.ts'

const folder = resolve(process.argv[2] ?? import.meta.dirname)
mkdirSync(folder, { recursive: true })
for (const [name, bytes] of sampleFiles()) {
  writeFileSync(join(folder, name), bytes)
  console.error(`${name}: ${bytes.length} bytes`)
}
