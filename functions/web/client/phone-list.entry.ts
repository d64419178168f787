import { showPhonePage } from './phone/phone-page.ts'
import { startPhone } from './phone/start-phone.ts'

/** The page "On this phone". */
const person = startPhone()
if (person) void showPhonePage(person)
