import { Writable } from 'node:stream'
import { describe, expect, it } from 'vitest'
import { createProgress } from '../../functions/cli/terminal/progress.ts'

function terminal() {
  let written = ''
  const stderr = Object.assign(
    new Writable({
      write(chunk, _, done) {
        written += String(chunk)
        done()
      },
    }),
    { isTTY: true, columns: 80 },
  )
  const endings = new Set<() => void>()
  const onEnd = (cleanUp: () => void) => {
    endings.add(cleanUp)
    return () => void endings.delete(cleanUp)
  }
  return { stderr, onEnd, endings, written: () => written }
}

describe('progress', () => {
  it('shows what is done and how far it is, without colour, and leaves no bar behind', () => {
    const { stderr, onEnd, endings, written } = terminal()
    const progress = createProgress({ stderr, onEnd, animate: true })
    progress.start('Judging a.csv', 200)
    progress.at(50)
    expect(endings.size).toBe(1)
    progress.stop()
    expect(written()).toContain('Judging a.csv [')
    expect(written()).toContain('25%')
    // biome-ignore lint/suspicious/noControlCharactersInRegex: colours begin with ESC [ … m
    expect(written()).not.toMatch(/\u001b\[[\d;]*m/)
    expect(endings.size).toBe(0)
  })

  it('counts where the total is not known', () => {
    const { stderr, onEnd, written } = terminal()
    const progress = createProgress({ stderr, onEnd, animate: true })
    progress.start('Judging', null)
    progress.at(17)
    progress.stop()
    expect(written()).toContain('Judging 17')
  })

  it('writes nothing at all where nothing may move', () => {
    const { stderr, onEnd, written } = terminal()
    const progress = createProgress({ stderr, onEnd, animate: false })
    progress.start('Judging', 10)
    progress.at(5)
    progress.stop()
    expect(written()).toBe('')
  })
})
