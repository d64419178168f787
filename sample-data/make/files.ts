/** The survey file each dialect is written to. */
import type { Dialect } from './site.ts'

export const FILES: Record<Dialect, string> = {
  long: 'surveys-long.csv',
  wide: 'surveys-wide.csv',
  semicolon: 'surveys-semicolon.csv',
}
