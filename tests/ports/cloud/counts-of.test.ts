import { describe, expect, it } from 'vitest'
import { countsOf } from '../../../shared-lib/ports/cloud/counts-of.ts'

describe('the counts of a log line', () => {
  it('are metrics only when their name is one of ours', () => {
    const entry = { message: 'learnt', counts: { electrodes: 5, FindingsNew: 2 } }
    expect(countsOf(entry)).toEqual({ counts: { FindingsNew: 2 }, otherCounts: { electrodes: 5 } })
  })

  it('are metrics only when they are numbers CloudWatch takes', () => {
    const entry = { message: 'news', counts: { FindingsNew: Number.NaN, MailsSent: '3' } }
    expect(countsOf(entry).counts).toEqual({})
  })

  it('come from the line’s own words where it has no counts', () => {
    expect(countsOf({ message: 'compared', electrodes: 4 })).toEqual({
      counts: { ElectrodesCompared: 4 },
      otherCounts: {},
    })
  })
})
