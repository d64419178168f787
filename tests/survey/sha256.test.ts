import { createHash } from 'node:crypto'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { sha256Hex } from '../../shared-lib/survey/sha256.ts'

describe('sha256Hex', () => {
  // FIPS 180-4 example messages (NIST "SHA256" example document): "abc", the 448-bit message; the empty message from memory.
  it.each([
    ['', 'e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855'],
    ['abc', 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad'],
    [
      'abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq',
      '248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1',
    ],
  ])('gives the published digest of %j', (message, digest) => {
    expect(sha256Hex(message)).toBe(digest)
  })

  it("agrees with the platform's own digest for bytes of every length around a block", () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 200 }), (bytes) => {
        expect(sha256Hex(bytes)).toBe(createHash('sha256').update(bytes).digest('hex'))
      }),
    )
  })
})
