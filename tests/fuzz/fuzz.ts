import { createHash } from 'node:crypto'
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import fc from 'fast-check'
import { measured, SEED, sized } from '../faults/measured.ts'

const CORPUS = join(import.meta.dirname, 'corpus')
const IN_CI = 2000
const BY_SCRIPT = 100_000

/** Inputs kept for this target: what once failed, and hand-made ones. One JSON document a file. */
function corpusOf<T>(target: string): T[] {
  const folder = join(CORPUS, target)
  if (!existsSync(folder)) return []
  return readdirSync(folder)
    .sort()
    .map((name) => JSON.parse(readFileSync(join(folder, name), 'utf8')) as T)
}

function keep(target: string, input: unknown): void {
  const text = JSON.stringify(input)
  const name = createHash('sha256').update(text).digest('hex').slice(0, 12)
  mkdirSync(join(CORPUS, target), { recursive: true })
  writeFileSync(join(CORPUS, target, `${name}.json`), text)
}

/**
 * Gives `check` everything in the corpus and then random inputs (JSON values, so that they can be kept): 2,000 in CI (`share` of
 * that where one input costs much), 100,000 by `npm run test:fuzz`. An input that fails is made small, kept in the corpus and thrown.
 */
export async function fuzz<T>(
  target: string,
  inputs: fc.Arbitrary<T>,
  check: (input: T) => void | Promise<void>,
  share = 1,
): Promise<void> {
  for (const input of corpusOf<T>(target)) await check(input)
  const numRuns = sized(IN_CI * share, BY_SCRIPT)
  const details = await fc.check(
    fc.asyncProperty(inputs, async (input) => {
      await check(input)
    }),
    { numRuns, seed: SEED, interruptAfterTimeLimit: 3_000_000 },
  )
  if (details.counterexample) keep(target, details.counterexample[0])
  measured({
    what: `input: ${target}`,
    command: 'npm run test:fuzz',
    count: details.numRuns,
    bad: { 'thrown, hung, 5xx or unaccounted': details.failed ? 1 : 0 },
    seed: SEED,
  })
  if (details.failed)
    throw new Error(fc.defaultReportMessage(details) ?? 'failed', { cause: details.errorInstance })
}
