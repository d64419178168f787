/** Forms: one column, big enough for a glove on the field form, dense on office pages. */
export const FORM_CSS = `
.control { border: 0; margin: 0 0 var(--gap); padding: 0; min-width: 0; }
.control label, .control legend { display: block; font-weight: 600; padding: 0; margin-bottom: 0.2rem; }
.control .hint { margin: 0 0 0.25rem; font-size: 0.92em; }
.control.wrong { border-left: 5px solid var(--urgent); padding-left: 0.8rem; }
.problem { color: var(--urgent); font-weight: 600; margin: 0 0 0.3rem; }
input, select, textarea, button { font: inherit; color: inherit; }
input[type="text"], input[type="search"], input[type="email"], input[type="datetime-local"], input[type="file"], select, textarea {
  background: var(--sheet); border: 1px solid var(--edge); border-radius: var(--radius);
  min-height: var(--control); padding: 0.25rem 0.6rem; width: 100%; max-width: 24rem;
}
body.field input[type="text"], body.field input[type="datetime-local"], body.field select { border-width: 2px; }
textarea { max-width: 40rem; padding: 0.5rem 0.6rem; display: block; }
input.short { max-width: 10rem !important; } input.long { max-width: 40rem !important; }
input[type="file"] { max-width: 40rem; padding: 0.6rem; }
input[aria-invalid], select[aria-invalid], textarea[aria-invalid] { border-color: var(--urgent); border-width: 2px; }
.tick { display: flex; align-items: center; gap: 0.6rem; min-height: var(--control); }
.tick input { flex: none; width: 1.5rem; height: 1.5rem; margin: 0; accent-color: var(--accent); }
.control .tick label { font-weight: 400; margin: 0; padding: 0.4rem 0; flex: 1; }
.radios { display: flex; flex-wrap: wrap; gap: 0 1.5rem; }
body.field .radios { gap: 0.5rem 1.5rem; }
button, .button { display: inline-flex; align-items: center; justify-content: center; min-height: var(--control); padding: 0.25rem 0.9rem; border: 1px solid var(--accent); border-radius: var(--radius); background: var(--sheet); color: var(--accent); font-weight: 600; text-decoration: none; cursor: pointer; }
button:hover, .button:hover { background: var(--accent-soft); }
button:active, .button:active { transform: translateY(1px); }
button.main, .button.main { background: var(--accent); color: var(--accent-ink); }
button.main:hover, .button.main:hover { box-shadow: inset 0 0 0 2px var(--accent-ink); }
button.quiet { border-color: transparent; background: none; min-height: 2.75rem; text-decoration: underline; font-weight: 400; padding: 0 0.3rem; }
.actions { display: flex; flex-wrap: wrap; gap: 0.5rem 0.75rem; align-items: flex-end; margin: var(--gap) 0; }
.first-button { position: absolute; left: -99rem; width: 1px; height: 1px; padding: 0; border: 0; }
form.find { display: flex; flex-wrap: wrap; gap: 0.4rem 0.75rem; align-items: flex-end; margin: 0 0 1rem; }
form.find .control { margin: 0; flex: 0 1 18rem; }
.decide { display: flex; flex-wrap: wrap; gap: 0.5rem; align-items: flex-end; margin-top: 0.6rem; }
.decide .control { margin: 0; flex: 1 1 100%; }
.decide .control label { font-weight: 400; font-size: 0.92rem; }
.decide button { min-height: 2.75rem; }
@media (min-width: 60rem) { .decide .control { flex: 1 1 18rem; } .decide input { min-height: 2.75rem; } }
.step { background: var(--sheet); border: 1px solid var(--line); border-radius: var(--radius); padding: 1rem; margin: 0 0 1rem; }
.step > h2 { margin: 0 0 0.75rem; }
.step details { border-top: 1px solid var(--line); margin-top: 0.5rem; }
.step details[open] { padding-bottom: 0.5rem; }
.pair { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(15rem, 100%), 1fr)); gap: 0 1.25rem; }
.reading { display: grid; grid-template-columns: 1fr 1fr; gap: 0.25rem 0.75rem; border: 0; border-top: 1px solid var(--line); padding: 0.7rem 0 0.2rem; margin: 0; min-width: 0; }
.reading legend { font-weight: 700; padding: 0; float: left; width: 100%; grid-column: 1 / -1; }
.reading .control { margin-bottom: 0.4rem; }
.reading .control.wrong { grid-column: 1 / -1; }
.reading .control label { font-weight: 400; font-size: 0.94rem; }
.mend { border: 3px solid var(--urgent); background: var(--urgent-soft); border-radius: var(--radius); padding: 0.8rem 1rem; margin: 0 0 1.25rem; }
.mend h2 { margin: 0 0 0.4rem; } .mend a { color: var(--urgent); font-weight: 600; }
.mend li { margin-bottom: 0.35rem; }
`
