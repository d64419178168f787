import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { createSpill } from '../../functions/cli/files/spill.ts'

let folder: string
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'stakeline-test-'))
})
afterEach(() => rmSync(folder, { recursive: true }))

describe('lines put aside on disk', () => {
  it('gives every line back in order, whatever bytes are in it and wherever the buffer is cut', () => {
    const spill = createSpill(join(folder, 'a'))
    // Lines of odd lengths with characters of two, three and four bytes, over several buffers of 1 MiB.
    const lines = Array.from({ length: 4000 }, (_, n) => `${n} Ω € 😀 ${'é'.repeat((n * 37) % 701)}`)
    for (const line of lines) spill.append(line)
    expect([...spill.lines()]).toEqual(lines)
    spill.close()
  })

  it('reads any line by its place while more are being appended', () => {
    const spill = createSpill(join(folder, 'a'))
    const places = [spill.append('first Ω'), spill.append(''), spill.append('third')]
    expect(spill.readAt(places[0]!)).toBe('first Ω')
    const fourth = spill.append('fourth')
    expect(spill.readAt(places[2]!)).toBe('third')
    expect(spill.readAt(fourth)).toBe('fourth')
    expect(spill.readAt(places[1]!)).toBe('')
    expect([...spill.lines()]).toEqual(['first Ω', '', 'third', 'fourth'])
    spill.close()
  })

  it('has no lines when nothing was put in', () => {
    const spill = createSpill(join(folder, 'a'))
    expect([...spill.lines()]).toEqual([])
    spill.close()
  })
})
