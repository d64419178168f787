import { createHash } from 'node:crypto'
import { describe, expect, it } from 'vitest'
import { createSurveyIdentity } from '../../functions/cli/check/survey-identity.ts'

const hex = (text: string) => createHash('sha256').update(text).digest('hex')
const id = (text: string) => hex(text).slice(0, 32)

describe('meeting surveys again in one run', () => {
  it('tells a new survey, the same one again, and one with other content, and where the earlier one was', () => {
    const identity = createSurveyIdentity()
    expect(identity.meet(id('a'), hex('content 1'), 17)).toEqual({ kind: 'new' })
    expect(identity.meet(id('a'), hex('content 1'), 30)).toEqual({ kind: 'same', place: 17 })
    expect(identity.meet(id('a'), hex('content 2'), 31)).toEqual({ kind: 'conflict', place: 17 })
    expect(identity.meet(id('b'), hex('content 1'), 32)).toEqual({ kind: 'new' })
  })

  it('keeps all of them while it grows from four slots to thousands', () => {
    const identity = createSurveyIdentity(4)
    for (let n = 0; n < 20_000; n++)
      expect(identity.meet(id(`s${n}`), hex(`c${n}`), n)).toEqual({ kind: 'new' })
    for (let n = 0; n < 20_000; n++)
      expect(identity.meet(id(`s${n}`), hex(`c${n}`), 0)).toEqual({ kind: 'same', place: n })
  })
})
