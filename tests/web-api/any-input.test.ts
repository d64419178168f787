import fc from 'fast-check'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type House, openHouse, rodAt, shortSurvey, someone } from './house.ts'

const admin = someone('admin')
let house: House
beforeAll(async () => {
  house = await openHouse()
  await house.call(admin, 'PUT', '/api/electrodes/E-1', rodAt('North'))
}, 30_000)
afterAll(() => house.close())

/** A sound document with some of its values replaced by anything at all. */
const spoilt = (sound: Record<string, unknown>) =>
  fc
    .dictionary(
      fc.constantFrom(...Object.keys(sound), 'corrects', 'siteId', 'timeZone', 'x'),
      fc.jsonValue(),
      { maxKeys: 4 },
    )
    .map((changes) => ({ ...sound, ...changes }))

/** Whatever comes: an answer that was meant, with words, never a failure of ours. */
async function expectMeant(answer: Response): Promise<void> {
  expect(answer.status).toBeLessThan(500)
  if (answer.status < 400) return
  const { title, detail, errors } = (await answer.json()) as Record<string, unknown>
  expect([typeof title, typeof detail]).toEqual(['string', 'string'])
  if (answer.status === 422 && errors)
    for (const e of errors as { detail: string }[]) expect(e.detail).not.toBe('')
}

describe('whatever is sent', () => {
  it('as a survey gets an answer that was meant', async () => {
    const sound = shortSurvey('P-1', 'E-1', '2026-01-01T10:00:00Z', 11)
    await fc.assert(
      fc.asyncProperty(fc.oneof(fc.jsonValue(), spoilt(sound)), async (body) => {
        await expectMeant(
          await house.call(admin, 'POST', '/api/surveys', body ?? 'null', {
            'Content-Type': 'application/json',
          }),
        )
      }),
      { numRuns: 200 },
    )
  }, 60_000)

  it('as register words, limits, works or a calibration gets an answer that was meant', async () => {
    const sound: [string, string, Record<string, unknown>][] = [
      ['PUT', '/api/electrodes/E-1', rodAt('North')],
      ['PUT', '/api/limits/E-1', { purpose: 'x', limitOhm: 1, validFrom: '2026-01-01' }],
      ['POST', '/api/works', { electrodeId: 'E-1', doneOn: '2026-01-01', what: 'repaired' }],
      ['PUT', '/api/instruments/I-1', { calibratedOn: '2026-01-01' }],
    ]
    await fc.assert(
      fc.asyncProperty(
        fc
          .constantFrom(...sound)
          .chain(([m, p, doc]) => fc.tuple(fc.constant(m), fc.constant(p), spoilt(doc))),
        async ([method, path, body]) => expectMeant(await house.call(admin, method, path, body)),
      ),
      { numRuns: 200 },
    )
  }, 60_000)

  it('as an id, a filter or a cursor gets an answer that was meant', async () => {
    const text = fc.oneof(fc.string({ unit: 'grapheme' }), fc.string({ unit: 'binary', maxLength: 300 }))
    const address = fc.tuple(
      fc.constantFrom(
        '/api/electrodes/',
        '/api/findings/',
        '/api/uploads/',
        '/api/electrodes?site=',
        '/api/findings?electrode=',
        '/api/findings?cursor=',
        '/api/electrodes?limit=1&cursor=',
        '/api/due?to=',
      ),
      text.filter((t) => t.isWellFormed()),
    )
    await fc.assert(
      fc.asyncProperty(address, async ([path, part]) => {
        await expectMeant(await house.call(admin, 'GET', path + encodeURIComponent(part)))
      }),
      { numRuns: 200 },
    )
  }, 60_000)
})
