/** On every page of a signed-in person: what is not sent yet is shown, and sent. */
document.documentElement.dataset.script = 'on'
