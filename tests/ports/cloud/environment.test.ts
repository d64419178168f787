import { expect, it } from 'vitest'
import { numberSetting, setting, yesOrNoSetting } from '../../../shared-lib/ports/cloud/environment.ts'

const env = { NAME: 'a', EMPTY: '', COUNT: '12', TEXT: 'twelve', YES: 'yes', NO: 'no', TRUE: 'true' }

it('a setting of a function is what the stack gives, and one that is missing is named', () => {
  expect(setting(env, 'NAME')).toBe('a')
  for (const name of ['EMPTY', 'ABSENT']) expect(() => setting(env, name)).toThrow(`${name} of this function`)
})

it('a setting that is a number, or yes or no, is nothing else', () => {
  expect(numberSetting(env, 'COUNT')).toBe(12)
  expect(() => numberSetting(env, 'TEXT')).toThrow('TEXT is "twelve"; it must be a number')
  expect([yesOrNoSetting(env, 'YES'), yesOrNoSetting(env, 'NO')]).toEqual([true, false])
  expect(() => yesOrNoSetting(env, 'TRUE')).toThrow('TRUE is "true"; it must be yes or no')
})
