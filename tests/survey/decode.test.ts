import { describe, expect, it } from 'vitest'
import { createTextDecoding, type Encoding, sniffEncoding } from '../../shared-lib/survey/decode.ts'

const bytes = (...values: number[]) => Uint8Array.from(values)
const utf16 = (text: string, little: boolean) => {
  const view = new DataView(new ArrayBuffer(text.length * 2))
  for (let i = 0; i < text.length; i++) view.setUint16(i * 2, text.charCodeAt(i), little)
  return new Uint8Array(view.buffer)
}

describe('the encoding', () => {
  it('follows a byte-order mark', () => {
    expect(sniffEncoding(bytes(0xef, 0xbb, 0xbf, 0x61))).toEqual({ ok: true, encoding: 'utf-8' })
    expect(sniffEncoding(bytes(0xff, 0xfe, 0x61, 0))).toEqual({ ok: true, encoding: 'utf-16le' })
    expect(sniffEncoding(bytes(0xfe, 0xff, 0, 0x61))).toEqual({ ok: true, encoding: 'utf-16be' })
  })

  it('is seen as UTF-16 without a mark by its zero bytes', () => {
    expect(sniffEncoding(utf16('survey_ref,electrode_id', true))).toEqual({ ok: true, encoding: 'utf-16le' })
    expect(sniffEncoding(utf16('survey_ref,electrode_id', false))).toEqual({ ok: true, encoding: 'utf-16be' })
  })

  it('is not looked for in a workbook, a document or an archive', () => {
    expect(sniffEncoding(bytes(0x50, 0x4b, 3, 4))).toEqual({
      ok: false,
      what: 'a spreadsheet workbook or a ZIP archive',
    })
    expect(sniffEncoding(bytes(0x25, 0x50, 0x44, 0x46))).toMatchObject({ ok: false })
    expect(sniffEncoding(bytes(1, 2, 3, 0, 5, 6, 7, 8, 9, 10))).toMatchObject({ ok: false })
  })
})

describe('decoding', () => {
  const text = 'a;é;Ω\r\nb\rc\n\r\n"x\r\ny";😀\r'
  const clean = 'a;é;Ω\nb\nc\n\n"x\ny";😀\n'
  const encoded: [Encoding, Uint8Array][] = [
    ['utf-8', new TextEncoder().encode(text)],
    ['utf-16le', utf16(text, true)],
    ['utf-16be', utf16(text, false)],
  ]

  it.each(encoded)(
    '%s gives the same text wherever the bytes are cut, with every line end as LF',
    (encoding, whole) => {
      for (let size = 1; size <= whole.length; size++) {
        const decoding = createTextDecoding(encoding)
        let decoded = ''
        for (let at = 0; at < whole.length; at += size)
          decoded += decoding.push(whole.subarray(at, at + size))
        expect(decoded + decoding.end()).toBe(clean)
      }
    },
  )

  it('tells that bytes are not UTF-8, and reads them as windows-1252', () => {
    const latin = bytes(0x4b, 0xf6, 0x6c, 0x6e)
    const utf8 = createTextDecoding('utf-8')
    expect(utf8.push(latin) === null || utf8.end() === null).toBe(true)
    expect(createTextDecoding('windows-1252').push(latin)).toBe('Köln')
  })
})
