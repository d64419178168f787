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
.step { background: var(--sheet); border: 1px solid var(--line); border-radius: var(--radius); padding: 1rem; margin: 0 0 1rem; }
.step > h2 { margin: 0 0 0.75rem; }
.step details { border-top: 1px solid var(--line); margin-top: 0.5rem; }
.step details[open] { padding-bottom: 0.5rem; }
.pair { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(15rem, 100%), 1fr)); gap: 0 1.25rem; }
.reading { display: grid; grid-template-columns: 1fr 1fr; gap: 0.25rem 0.75rem; border: 0; border-top: 1px solid var(--line); padding: 0.7rem 0 0.2rem; margin: 0; min-width: 0; }
.reading legend { font-weight: 700; font-size: 1rem; padding: 0; float: left; width: 100%; grid-column: 1 / -1; }
.reading .control { margin-bottom: 0.4rem; }
.reading .control.wrong { grid-column: 1 / -1; }
.reading .control label { font-weight: 400; font-size: 0.94rem; }
.mend { border: 3px solid var(--urgent); background: var(--urgent-soft); border-radius: var(--radius); padding: 0.8rem 1rem; margin: 0 0 1.25rem; }
.mend h2 { margin: 0 0 0.4rem; } .mend a { color: var(--urgent); font-weight: 600; }
.mend li { margin-bottom: 0.35rem; }
[data-script="on"] .plain { display: none; }
.echo { display: block; color: var(--quiet); font-weight: 600; padding-top: 0.15rem; }
.choices { list-style: none; margin: 0.5rem 0 0; padding: 0; display: grid; gap: 0.5rem; max-width: 24rem; }
.choices button { display: block; width: 100%; text-align: left; font-weight: 400; min-height: 3rem; padding: 0.5rem 0.75rem; }
.choices strong { display: block; }
@media (max-width: 30rem) { .top:has(.unsent) .operator { display: none; } body.field .top nav { min-width: 0; } body.field .top nav ul { flex-wrap: nowrap; overflow-x: auto; white-space: nowrap; } }
.now { margin-top: 0.5rem; }
html:has(.field-bar) { scroll-padding-bottom: 8rem; }
.field-bar { position: sticky; bottom: 0; z-index: 1; margin: 0 -1rem -2.5rem; background: var(--sheet); border-top: 3px solid var(--accent); }
.field-bar .inner { display: flex; align-items: center; gap: 1rem; padding-top: 0.6rem; padding-bottom: 0.6rem; }
.field-bar .words { flex: 1; margin: 0; line-height: 1.3; font-size: 0.97rem; }
.field-bar .next { display: block; font-weight: 650; }
.field-bar .kept { font-size: 0.85rem; color: var(--quiet); }
.field-bar button { min-width: 6.5rem; min-height: 3.5rem; font-size: 1.1rem; }
.field-bar[data-look="good"] { border-top-color: var(--good); }
.field-bar[data-look="mend"] { border-top-color: var(--warn); }
.field-bar.lost { border-top-color: var(--urgent); } .field-bar.lost .kept { color: var(--urgent); font-weight: 700; font-size: 1rem; }
#so-far { margin: 0 0 1rem; } #so-far > h2 { margin-top: 0; }
.unsent { display: inline-flex; align-items: center; min-height: 2.75rem; margin-left: auto; padding: 0 0.7rem; border-radius: var(--radius); background: var(--warn-soft); color: var(--warn); border: 1px solid currentColor; font-weight: 700; text-decoration: none; }
.kept-list { list-style: none; padding: 0; }
.state { display: inline-block; padding: 0.25rem 0.6rem; border-radius: var(--radius); border: 2px solid currentColor; }
.state.here { color: var(--warn); background: var(--warn-soft); }
.state.refused { color: var(--urgent); background: var(--urgent-soft); }
.state.sending { color: var(--notice); background: var(--notice-soft); border-style: dashed; }
.state.received { color: var(--good-ink, var(--sheet)); background: var(--good); border-color: var(--good); }
dialog.alarm-screen { width: 100vw; height: 100dvh; max-width: none; max-height: none; margin: 0; border: 0; padding: 1rem; background: #9c1616; color: #ffffff; }
dialog.alarm-screen .alarm { min-height: 0; padding: 0; font-size: 1.05rem; } dialog.alarm-screen .alarm h2 { font-size: 1.6rem; }
dialog.alarm-screen button { width: 100%; min-height: 3.5rem; background: #ffffff; color: #9c1616; border-color: #ffffff; }
dialog.alarm-screen :focus-visible { outline-color: #ffffff; }
`
