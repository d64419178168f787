/** PapaParse alone reading a file with `header: true`: node papaparse-alone.ts FILE. Prints the number of rows. */
import { createReadStream } from 'node:fs'
import Papa from 'papaparse'

let rows = 0
await new Promise<void>((resolve, reject) => {
  Papa.parse<Record<string, string>>(createReadStream(process.argv[2]!, 'utf8'), {
    header: true,
    step: () => {
      rows++
    },
    complete: () => resolve(),
    error: reject,
  })
})
console.log(rows)
