import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Validations } from 'aws-cdk-lib'
import { AwsSolutionsChecks } from 'cdk-nag'
import { afterAll, describe, expect, it } from 'vitest'
import { acknowledge, acknowledgements } from '../../cdk/acknowledgements.ts'
import { stacksOf } from './synthesized.ts'

interface Violation {
  ruleName: string
  severity: string
  violatingConstructs: { constructPath: string }[]
}
interface Report {
  pluginReports: { pluginName: string; conclusion: string; violations: Violation[] }[]
}

const folders: string[] = []
afterAll(() => {
  for (const folder of folders) rmSync(folder, { recursive: true, force: true })
})

/** What CloudFormation validation and cdk-nag say of both stacks. */
function reportOf(acknowledged: boolean): Report {
  const outdir = mkdtempSync(join(tmpdir(), 'stakeline-nag-'))
  folders.push(outdir)
  const { app, data, service } = stacksOf({}, outdir)
  if (acknowledged) acknowledge({ data, service }, acknowledgements('stakeline'))
  Validations.of(app).addPlugins(new AwsSolutionsChecks(app))
  const exitCode = process.exitCode
  try {
    app.synth()
  } catch {
    // Findings make the synthesis fail; the report is what is looked at.
  }
  // The report sets it for the command line.
  process.exitCode = exitCode
  return JSON.parse(readFileSync(join(outdir, 'validation-report.json'), 'utf8')) as Report
}
const found = (report: Report) =>
  report.pluginReports.flatMap((p) =>
    p.violations.flatMap((v) => v.violatingConstructs.map((c) => `${c.constructPath} ${v.ruleName}`)),
  )

describe('the stacks under CloudFormation validation and cdk-nag', () => {
  it('have no finding that is not acknowledged', () => {
    expect(found(reportOf(true))).toEqual([])
  })

  it('have every acknowledged finding: none of the list is stale, and each has a reason', () => {
    const without = found(reportOf(false))
    const list = acknowledgements('stakeline')
    expect(without.length).toBeGreaterThanOrEqual(list.length)
    for (const { stack, path, id, reason } of list) {
      expect(reason.length).toBeGreaterThan(30)
      const rule = id.replace(/^AwsSolutions-/, '')
      const there = without.some(
        (line) => line.startsWith(`stakeline-${stack}/${path}/`) && line.includes(rule),
      )
      expect(there, `${stack}/${path} ${id} is stale`).toBe(true)
    }
  })
})
