/** A file dropped on the form is chosen as if by hand; nothing is sent until a button is pressed. */
export function takeDroppedFile(): void {
  const form = document.querySelector<HTMLFormElement>('form[data-drop]')
  const input = form?.querySelector<HTMLInputElement>('input[type="file"]')
  if (!form || !input) return
  const label = form.querySelector<HTMLLabelElement>(`label[for="${input.id}"]`)
  if (label) label.textContent += ', chosen or dropped here'
  const over = (is: boolean) => form.classList.toggle('drop-here', is)
  form.addEventListener('dragover', (event) => {
    if (!event.dataTransfer?.types.includes('Files')) return
    event.preventDefault()
    over(true)
  })
  form.addEventListener('dragleave', () => over(false))
  form.addEventListener('drop', (event) => {
    over(false)
    const files = event.dataTransfer?.files
    if (!files || files.length === 0) return
    event.preventDefault()
    input.files = files
    form.querySelector<HTMLButtonElement>('button.main')?.focus()
  })
}
