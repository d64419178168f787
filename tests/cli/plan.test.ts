import { describe, expect, it } from 'vitest'
import { stakeline } from './command.ts'

const rod = ['plan', '--kind', 'rod', '--length-m', '3']

describe('plan with soil, room and a failing electrode', () => {
  it('prints the ways to set the stakes with their doubt, and remedies in order with their cautions', async () => {
    const soil = ['--soil-ohm-m', '100', '--lower-ohm-m', '400', '--layer-m', '4', '--room-m', '12']
    const { status, stdout } = await stakeline([...rod, ...soil, '--measured-ohm', '45', '--limit-ohm', '20'])
    expect(status).toBe(0)
    expect(stdout).toContain('In this soil it should read about')
    expect(stdout).toMatch(/full survey {4}± [\d.]+ %/)
    expect(stdout).toMatch(/1\. .*\n[\s\S]*licensed/)
    expect(stdout.indexOf('conductive backfill')).toBeGreaterThan(stdout.indexOf('Add'))
  })
  it('gives the same as one JSON object', async () => {
    const { stdout } = await stakeline([...rod, '--measured-ohm', '45', '--limit-ohm', '20', '--json'])
    const plan = JSON.parse(stdout)
    expect(plan.layOuts).toHaveLength(4)
    expect(plan.remedies.length).toBeGreaterThan(2)
  })
  it('tells of a step since the test before ahead of everything, remedies after', async () => {
    const failing = [...rod, '--measured-ohm', '45', '--limit-ohm', '20', '--earlier-ohm']
    const { stdout } = await stakeline([...failing, '18'])
    expect(stdout).toMatch(
      /^Find the cause first:\n {2}45\.0 ohm against 18\.0 ohm before: a rise to 2\.5 times/,
    )
    expect(stdout).toContain('consent of the person in control')
    expect(stdout.indexOf('What may bring it under the limit')).toBeGreaterThan(
      stdout.indexOf('Current probe at'),
    )
    expect((await stakeline([...failing, '40'])).stdout).toMatch(/^Current probe at/)
  })
  it.each([
    [['--earlier-ohm', '18'], /needs --measured-ohm/],
    [['--measured-ohm', '45'], /both --measured-ohm and --limit-ohm/],
    [['--soil-ohm-m', '100', '--layer-m', '4'], /together/],
  ])('%j is answered with status 2 and what is wanted', async (more, message) => {
    const ended = await stakeline([...rod, ...more])
    expect(ended).toMatchObject({ status: 2, stdout: '' })
    expect(ended.stderr).toMatch(message)
  })
})
