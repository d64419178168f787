import type { NextStep } from '../../pages/surveys/next-step.ts'
import { clockTime } from '../phone/record-words.ts'
import type { Kept } from './draft-keeper.ts'

/** The strip at the lower edge: is it kept, what is next, and one button under the right thumb. */
export interface FieldBar {
  showKept(kept: Kept): void
  showNext(step: NextStep): void
  remove(): void
}

export function fieldBar(act: (step: NextStep) => void): FieldBar {
  const bar = document.createElement('section')
  bar.className = 'field-bar'
  bar.setAttribute('aria-label', 'Next step')
  bar.innerHTML =
    '<div class="inner"><p class="words"><span class="next"></span> <span class="kept"></span></p><button type="button" class="main">Next</button></div><p class="unseen" role="status"></p>'
  document.querySelector('main')!.append(bar)
  const next = bar.querySelector<HTMLElement>('.next')!
  const kept = bar.querySelector<HTMLElement>('.kept')!
  const button = bar.querySelector('button')!
  const status = bar.querySelector<HTMLElement>('[role=status]')!
  let step: NextStep | null = null
  let timer: ReturnType<typeof setTimeout> | undefined
  button.addEventListener('click', () => step && act(step))
  return {
    showKept(state) {
      kept.textContent = KEPT_WORDS[state.kind](state.kind === 'saved' ? clockTime(state.atMs) : '')
      bar.classList.toggle('lost', state.kind === 'full')
    },
    showNext(to) {
      step = to
      next.textContent = to.words
      bar.dataset.look = to.look
      button.textContent = to.fieldId === null ? 'Hand in' : 'Next'
      // A screen reader is told once the typing has paused, not at every key.
      clearTimeout(timer)
      timer = setTimeout(() => {
        if (status.textContent !== to.words) status.textContent = to.words
      }, 900)
    },
    remove: () => bar.remove(),
  }
}

const KEPT_WORDS: Record<Kept['kind'], (time: string) => string> = {
  nothing: () => '',
  saved: (time) => `Saved on this phone ${time}.`,
  full: () =>
    'NOT SAVED: this phone has no room left. Hand in now, or save a copy, before this page is closed.',
  elsewhere: () => 'Open in another tab: this one does not save.',
}
