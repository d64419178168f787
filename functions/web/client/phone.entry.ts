import { refreshRegister } from './phone/field-books.ts'
import { startPhone } from './phone/start-phone.ts'

/** The first page: what is not sent is counted and sent, and the register is fetched before anybody drives out. */
const person = startPhone()
if (person) void refreshRegister(person.id)
