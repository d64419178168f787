import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import {
  readCalibrations,
  readElectrodes,
  readLimits,
  readWorks,
} from '../../shared-lib/survey/read-register.ts'
import { SAMPLE } from './read-back.ts'

const opened = (name: string) =>
  async function* () {
    yield readFileSync(join(SAMPLE, name))
  }
const rowsOf = (name: string) => readFileSync(join(SAMPLE, name), 'utf8').trimEnd().split('\n').length - 1

describe('the sample register and its tables', () => {
  it.each([
    ['electrodes.csv', readElectrodes],
    ['instruments.csv', readCalibrations],
    ['limits.csv', readLimits],
    ['works.csv', readWorks],
  ] as const)('are taken in whole: %s', async (name, read) => {
    const table = await read(opened(name))
    expect(table.refused).toEqual([])
    expect(table.unknownColumns).toEqual([])
    expect(table.items).toHaveLength(rowsOf(name))
  })
})
