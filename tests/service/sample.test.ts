import { execFile } from 'node:child_process'
import { readdir, readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { promisify } from 'node:util'
import { simpleParser } from 'mailparser'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { eventually, type Service, startService, temporaryFolder } from './service.ts'

interface Judged {
  kind: string
  surveyRef: string
  electrodeId: string | null
  resistanceOhm: number | null
  validity: string
  findings: { code: string; severity: string; message: string }[]
}
interface Listed<T> {
  items: T[]
  next: string | null
}

/** A survey's judgement in one line; what both ways must agree on. */
const line = (s: Judged) =>
  `${s.electrodeId} ${s.surveyRef} ${s.validity} ${s.resistanceOhm} ${s.findings.map((f) => `${f.severity} ${f.code} ${f.message}`).join(' | ')}`

async function judgedByCheck(): Promise<string[]> {
  const file = (name: string) => join('sample-data', name)
  const surveys = ['surveys-long.csv', 'surveys-wide.csv', 'surveys-semicolon.csv']
  const { stdout } = await promisify(execFile)(
    process.execPath,
    [
      'functions/cli/stakeline.mjs',
      'check',
      '--json',
      ...['register', 'instruments', 'limits', 'works'].flatMap((table) => [
        `--${table}`,
        file(`${table === 'register' ? 'electrodes' : table}.csv`),
      ]),
      ...surveys.flatMap((name) => ['--surveys', file(name)]),
    ],
    { maxBuffer: 64 * 1024 * 1024 },
  )
  const records = stdout
    .trim()
    .split('\n')
    .map((text) => JSON.parse(text) as Judged)
  return records.filter((r) => r.kind === 'survey' && r.electrodeId !== null).map(line)
}

describe('the first start, with the sample operator', () => {
  let folder: Awaited<ReturnType<typeof temporaryFolder>>
  let service: Service
  let openUrgent = 0
  beforeAll(async () => {
    folder = await temporaryFolder()
    service = await startService(folder.path, { STAKELINE_SAMPLE: 'yes' })
  })
  afterAll(async () => {
    await service?.stop()
    await folder?.remove()
  })

  async function all<T>(path: string): Promise<T[]> {
    const items: T[] = []
    let next: string | null = null
    do {
      const more = next === null ? '' : `&cursor=${encodeURIComponent(next)}`
      const page: Listed<T> = await service.json('quality', `${path}${more}`)
      items.push(...page.items)
      next = page.next
    } while (next !== null)
    return items
  }

  async function judgedByService(): Promise<string[]> {
    const electrodes = await all<{ electrodeId: string }>('/api/electrodes?limit=200')
    const lines: string[] = []
    for (const { electrodeId } of electrodes) {
      const path = `/api/electrodes/${encodeURIComponent(electrodeId)}`
      const { surveys } = await service.json<{ surveys: Judged[] }>('quality', path)
      lines.push(...surveys.map(line))
    }
    return lines
  }

  it('is loaded through the front door within a minute and judged as the command line judges the same files', async () => {
    const wanted = (await judgedByCheck()).sort()
    expect(wanted.length).toBeGreaterThan(1900)
    const got = await eventually(
      async () => (await judgedByService()).sort(),
      (lines) => lines.join('\n') === wanted.join('\n'),
      60_000,
    ).catch(judgedByService)
    expect(got.sort()).toEqual(wanted)
  }, 120_000)

  it('has the planted trouble of today in its queue, the urgent first', async () => {
    const findings = await all<{ code: string; severity: string; state: string }>(
      '/api/findings?state=open&limit=200',
    )
    expect(findings.length).toBeGreaterThan(20)
    expect(new Set(findings.map((f) => f.code))).toContain('corrosion-suspected')
    // The link of DEMO-BEL-03 was left open in August 2026 and nobody has found it tight since; older ones were answered.
    // The bond of DEMO-DUN-01 came loose in 2025 (tenfold) and has not been tested since.
    const urgent = findings.filter((f) => f.severity === 'urgent')
    expect(urgent.map((f) => f.code).sort()).toEqual(['earth-left-open', 'step-rise'])
    expect(findings.slice(0, urgent.length)).toEqual(urgent)
    openUrgent = urgent.length
  })

  it('has told each engineer in few messages, urgent ones alone', async () => {
    const outbox = join(folder.path, 'outbox')
    const names = await eventually(
      async () => (await readdir(outbox)).filter((n) => n.endsWith('.eml')),
      (found) => found.length >= 5,
    )
    const mails = await Promise.all(names.map(async (n) => simpleParser(await readFile(join(outbox, n)))))
    const urgent = mails.filter((m) => m.subject?.startsWith('URGENT'))
    expect(urgent).toHaveLength(openUrgent)
    expect(urgent.some((m) => m.subject?.includes('The earth was left open'))).toBe(true)
    // A backfill of ten years is a few messages an engineer, not a thousand.
    expect(mails.length - urgent.length).toBeLessThan(30)
    for (const mail of mails) expect(mail.text).toContain(service.url)
  })
})
