import { createHash } from 'node:crypto'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { plainSha256Hex, sha256Hex } from '../../shared-lib/survey/sha256.ts'

describe.each([
  ['as Node runs it', sha256Hex],
  ['as a browser runs it', plainSha256Hex],
])('SHA-256 %s', (_, digest) => {
  // FIPS 180-4 example messages (NIST "SHA256" example document): "abc", the 448-bit message; the empty message from memory.
  it.each([
    ['', 'e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855'],
    ['abc', 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad'],
    [
      'abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq',
      '248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1',
    ],
  ])('gives the published digest of %j', (message, published) => {
    expect(digest(message)).toBe(published)
  })

  it("agrees with the platform's own digest for bytes of every length around a block", () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 200 }), (bytes) => {
        expect(digest(bytes)).toBe(createHash('sha256').update(bytes).digest('hex'))
      }),
    )
  })

  it('reads text as UTF-8, half a character as the sign that stands for it', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), fc.constantFrom('', '\ud800', '\udc00'), (text, half) => {
        const bytes = new TextEncoder().encode(text + half)
        expect(digest(text + half)).toBe(createHash('sha256').update(bytes).digest('hex'))
      }),
    )
  })
})
