import { readFileSync, writeFileSync } from 'node:fs'
import { parseArgs } from 'node:util'
import { bundles } from './bundles.ts'
import { type Benchmark, type Ratio, rounded } from './ratio.ts'
import { backfill } from './ratios/backfill.ts'
import { checkMemory } from './ratios/check-memory.ts'
import { compareGrowth } from './ratios/compare-growth.ts'
import { formPost } from './ratios/form-post.ts'
import { pages } from './ratios/pages.ts'
import { plainScript } from './ratios/plain-script.ts'
import { reading } from './ratios/reading.ts'

/**
 * The table of ratios: `npm run bench [-- NAME…] [--scale 0.1] [--json FILE] [--bounds]`. With `--bounds` it ends with 1 when a ratio
 * is worse than its bound in bounds.json by more than its noise; `null` there means measured but not bounded.
 */

const BENCHMARKS: readonly Benchmark[] = [
  reading,
  plainScript,
  checkMemory,
  formPost,
  backfill,
  compareGrowth,
  pages,
  bundles,
]

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    scale: { type: 'string', default: '1' },
    json: { type: 'string' },
    bounds: { type: 'boolean', default: false },
  },
})
interface Bound {
  ratio: number
  /** The share by which one run may be worse than another on the same machine. */
  noise: number
}
const bounds: Record<string, Bound> = JSON.parse(
  readFileSync(new URL('bounds.json', import.meta.url), 'utf8'),
)

const unknown = positionals.filter((name) => !BENCHMARKS.some((benchmark) => benchmark.name === name))
if (unknown.length > 0) {
  console.error(`There is no ${unknown.join(', ')}. There are: ${BENCHMARKS.map((b) => b.name).join(', ')}`)
  process.exit(2)
}

const rows: Ratio[] = []
console.log('| what | measured | against | ratio | goal |\n| --- | --- | --- | --- | --- |')
for (const benchmark of BENCHMARKS) {
  if (positionals.length > 0 && !positionals.includes(benchmark.name)) continue
  for (const row of await benchmark.run(Number(values.scale))) {
    rows.push(row)
    const notes = Object.entries(row.notes ?? {}).map(([key, value]) => `${key} ${value}`)
    console.log(
      `| ${[row.what, ...notes].join('; ')} | ${row.measured} ${row.unit} | ${row.against}: ${row.reference} ${row.unit} | ${row.ratio} | ≤ ${row.goal} |`,
    )
  }
}
if (values.json) writeFileSync(values.json, `${JSON.stringify(rows, null, 2)}\n`)
if (values.bounds)
  for (const row of rows) {
    const bound = bounds[row.name]
    if (!bound) continue
    const most = bound.ratio * (1 + bound.noise)
    if (row.ratio <= most) continue
    console.error(
      `${row.name}: ${row.ratio} is worse than its bound ${bound.ratio} (with noise ${rounded(most)})`,
    )
    process.exitCode = 1
  }
