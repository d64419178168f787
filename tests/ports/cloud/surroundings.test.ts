import { afterEach, expect, it, vi } from 'vitest'
import { surroundings } from '../../../shared-lib/ports/cloud/surroundings.ts'
import { correlated } from '../../../shared-lib/ports/correlation.ts'

afterEach(() => vi.restoreAllMocks())

/** What is written to standard output meanwhile. */
function written(work: () => void): string[] {
  const lines: string[] = []
  vi.spyOn(process.stdout, 'write').mockImplementation((chunk) => lines.push(String(chunk)) > 0)
  work()
  vi.restoreAllMocks()
  return lines
}
const around = surroundings({ AWS_LAMBDA_FUNCTION_NAME: 'compare', AWS_LAMBDA_FUNCTION_VERSION: '7' })

it('a log entry is one line of JSON with function, version and the id of the work under way', () => {
  const lines = written(() =>
    correlated('c-1', () => around.log({ level: 'info', message: 'two\nlines', siteId: 'HILL' })),
  )
  expect(lines).toHaveLength(1)
  expect(lines[0]!.indexOf('\n')).toBe(lines[0]!.length - 1)
  const entry = { function: 'compare', version: '7', correlationId: 'c-1', siteId: 'HILL' }
  expect(JSON.parse(lines[0]!)).toMatchObject({ ...entry, message: 'two\nlines' })
  expect(JSON.parse(lines[0]!)).not.toHaveProperty('_aws')
})

it('a count with a metric’s name becomes that metric, any other stays a word of the line', () => {
  const [line] = written(() =>
    around.log({ level: 'info', message: 'news', counts: { FindingsNew: 3, Elsewhere: 4 } }),
  )
  const entry = JSON.parse(line!)
  expect(entry).toMatchObject({ FindingsNew: 3, counted: { Elsewhere: 4 } })
  const [{ Metrics, Dimensions }] = entry._aws.CloudWatchMetrics
  expect(Metrics).toEqual([{ Name: 'FindingsNew', Unit: 'Count' }])
  expect(Dimensions).toEqual([[]])
})

it('ids are 22 characters that a URL takes, and no two are alike', () => {
  const ids = Array.from({ length: 1000 }, around.newId)
  for (const id of ids) expect(id).toMatch(/^[\w-]{22}$/)
  expect(new Set(ids).size).toBe(ids.length)
})
