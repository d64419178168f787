/**
 * SHA-256 (FIPS 180-4), synchronous and pure. Browsers offer only an asynchronous digest and Node's is not in a browser; the
 * content id must come out the same, at once, in the form, the command line tool and the service. Not for secrets or signatures:
 * those go to the platform's own cryptography.
 */

const K = new Uint32Array([
  0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5, 0xd807aa98,
  0x12835b01, 0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174, 0xe49b69c1, 0xefbe4786,
  0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da, 0x983e5152, 0xa831c66d, 0xb00327c8,
  0xbf597fc7, 0xc6e00bf3, 0xd5a79147, 0x06ca6351, 0x14292967, 0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13,
  0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85, 0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819,
  0xd6990624, 0xf40e3585, 0x106aa070, 0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a,
  0x5b9cca4f, 0x682e6ff3, 0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208, 0x90befffa, 0xa4506ceb, 0xbef9a3f7,
  0xc67178f2,
])

const rotate = (x: number, n: number) => (x >>> n) | (x << (32 - n))

/** The message padded to whole 64-byte blocks: a 1 bit, zeros, the length in bits. */
function padded(message: Uint8Array): DataView {
  const length = message.length
  const bytes = new Uint8Array(Math.ceil((length + 9) / 64) * 64)
  bytes.set(message)
  bytes[length] = 0x80
  const view = new DataView(bytes.buffer)
  view.setUint32(bytes.length - 8, Math.floor(length / 0x2000_0000))
  view.setUint32(bytes.length - 4, (length << 3) >>> 0)
  return view
}

function compress(h: Uint32Array, w: Uint32Array, block: DataView, offset: number): void {
  for (let t = 0; t < 16; t++) w[t] = block.getUint32(offset + t * 4)
  for (let t = 16; t < 64; t++) {
    const x = w[t - 15]!
    const y = w[t - 2]!
    const s0 = rotate(x, 7) ^ rotate(x, 18) ^ (x >>> 3)
    const s1 = rotate(y, 17) ^ rotate(y, 19) ^ (y >>> 10)
    w[t] = w[t - 16]! + s0 + w[t - 7]! + s1
  }
  let [a, b, c, d, e, f, g, last] = h as unknown as [
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
  ]
  for (let t = 0; t < 64; t++) {
    const s1 = rotate(e, 6) ^ rotate(e, 11) ^ rotate(e, 25)
    const t1 = (last + s1 + ((e & f) ^ (~e & g)) + K[t]! + w[t]!) | 0
    const s0 = rotate(a, 2) ^ rotate(a, 13) ^ rotate(a, 22)
    const t2 = (s0 + ((a & b) ^ (a & c) ^ (b & c))) | 0
    last = g
    g = f
    f = e
    e = (d + t1) | 0
    d = c
    c = b
    b = a
    a = (t1 + t2) | 0
  }
  const sums = [a, b, c, d, e, f, g, last]
  for (let i = 0; i < 8; i++) h[i] = h[i]! + sums[i]!
}

/** Node's own hash, ten times as fast on short texts. A browser has none that answers at once. */
interface NodeCrypto {
  hash(algorithm: 'sha256', message: Uint8Array | string): string
}
const { process } = globalThis as { process?: { getBuiltinModule?(id: 'node:crypto'): NodeCrypto } }
const nodeCrypto = process?.getBuiltinModule?.('node:crypto')

/** SHA-256 of the bytes, or of the text in UTF-8, as 64 lower-case hexadecimal digits. */
export const sha256Hex = (message: Uint8Array | string): string =>
  nodeCrypto ? nodeCrypto.hash('sha256', message) : plainSha256Hex(message)

/** The same without help: what a browser runs. */
export function plainSha256Hex(message: Uint8Array | string): string {
  const block = padded(typeof message === 'string' ? new TextEncoder().encode(message) : message)
  const h = new Uint32Array([
    0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a, 0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19,
  ])
  const w = new Uint32Array(64)
  for (let offset = 0; offset < block.byteLength; offset += 64) compress(h, w, block, offset)
  return Array.from(h, (word) => word.toString(16).padStart(8, '0')).join('')
}
