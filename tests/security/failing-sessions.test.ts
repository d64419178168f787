import { afterEach, expect, it, vi } from 'vitest'
import { LedgerError } from '../../shared-lib/ledger/ledger-error.ts'
import { type House, openHouse, someone } from '../web-api/house.ts'

let house: House
afterEach(() => house.close())

it('answers 503 with a page for nobody when the store is too busy to tell whose session it is', async () => {
  // What fails on purpose is written down by the app; here it only hides what matters.
  vi.spyOn(console, 'error').mockImplementation(() => {})
  house = await openHouse()
  const { token } = await house.deps.identity.issueSession(someone('field'))
  vi.spyOn(house.deps.ledger, 'isSessionEnded').mockRejectedValue(
    new LedgerError('overloaded', 'the table refused for too long'),
  )
  const headers = { Accept: 'text/html', Cookie: `stakeline_session=${token}` }
  const answer = await house.app.request('/surveys/new', { headers })
  expect(answer.status).toBe(503)
  expect(answer.headers.get('content-type')).toContain('text/html')
  expect(Number(answer.headers.get('retry-after'))).toBeGreaterThan(0)
  const page = await answer.text()
  expect(page).toContain('<h1>')
  expect(page).not.toContain('Sign out')
})
