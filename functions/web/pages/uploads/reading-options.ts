import type { Choice } from '../view/controls.ts'

/** The decimal signs a file can be said to use. */
export const DECIMAL_SIGN_CHOICES: readonly Choice[] = [
  { value: '.', label: 'Point: 11.2' },
  { value: ',', label: 'Comma: 11,2' },
]
