import type { WebDeps } from '../../deps.ts'
import { number } from '../view/format.ts'

/** What to do with a file that is larger than the service takes through its pages. */
export function tooLarge(deps: WebDeps): string {
  return `The file is larger than ${number(deps.settings.maxUploadBytes / 1_000_000, 3)} MB. Split it, or hand it in with “npx stakeline import FILE --to ${deps.settings.baseUrl}”.`
}
