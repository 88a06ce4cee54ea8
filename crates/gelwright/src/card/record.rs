//! Ticks, hours and weights on the page, saved as the record of the day: a small script in the page, no network. What has been
//! ticked stays in the browser until it is saved.

use maud::{Markup, PreEscaped, html};

use crate::plan::{Plan, RECORD_VERSION, WorkStep};

/// What is ticked and written beside a step.
pub(super) fn of_step(p: &Plan, s: &WorkStep) -> Markup {
    let catalyst = s.batch.as_ref().and_then(|name| {
        let batch = &p.batches.iter().find(|b| b.name == *name)?.batch;
        batch.cure_part()
    });
    html! {
        p.record data-step=(s.number) data-day=(s.end.day()) data-cup=[s.batch.as_deref()] data-catalyst=[catalyst.map(|c| &c.material)] {
            label { input type="checkbox" name="done"; " done" }
            label { "from " input type="time" name="from"; }
            label { "until " input type="time" name="until"; }
            @if s.batch.is_some() {
                @if let Some(c) = catalyst {
                    label { (c.name) " " input type="number" name="grams" min="0" step="any" inputmode="decimal"; " g" }
                }
                label { "gelled at " input type="time" name="gelled"; }
            }
        }
    }
}

/// What saves it.
pub(super) fn saving(p: &Plan) -> Markup {
    html! {
        p.record data-casting=(p.casting) data-version=(RECORD_VERSION) {
            button type="button" name="save" { "Save the record of the day" }
            span.quiet { " It is a file; with it, 'python -m gelwright replan' plans the rest of the day." }
        }
    }
}

/// Without it the page is as useful as paper.
pub(super) fn script() -> Markup {
    html! { script { (PreEscaped(SCRIPT)) } }
}

const SCRIPT: &str = r#"
'use strict';
for (const article of document.querySelectorAll('article.gelwright')) {
  const saving = article.querySelector('.record[data-casting]');
  if (!saving) continue;
  const casting = saving.dataset.casting;
  const store = 'record of ' + casting;
  const steps = [...article.querySelectorAll('.record[data-step]')];
  const field = (step, name) => step.querySelector('[name=' + name + ']');
  const fields = steps.flatMap(s => [...s.querySelectorAll('input')]);
  const keep = () => {
    try {
      localStorage.setItem(store, JSON.stringify(fields.map(f => f.type === 'checkbox' ? f.checked : f.value)));
    } catch (e) { /* a browser that keeps nothing: the record is saved by the button all the same */ }
  };
  try {
    const kept = JSON.parse(localStorage.getItem(store) || '[]');
    if (kept.length === fields.length) {
      fields.forEach((f, i) => { if (f.type === 'checkbox') f.checked = kept[i]; else f.value = kept[i]; });
    }
  } catch (e) { /* nothing kept */ }
  const now = () => new Date().toTimeString().slice(0, 5);
  for (const step of steps) {
    const [done, from, until] = ['done', 'from', 'until'].map(n => field(step, n));
    done.addEventListener('change', () => { if (done.checked && !until.value) until.value = now(); });
    until.addEventListener('change', () => { if (until.value) done.checked = true; });
    step.addEventListener('change', keep);
  }
  const text = t => JSON.stringify(t);
  const record = () => {
    const lines = ['version = ' + saving.dataset.version, 'casting = ' + text(casting)];
    const entry = (what, of) => lines.push('', '[[entries]]', what + ' = { ' + of.join(', ') + ' }');
    for (const step of steps) {
      const value = name => field(step, name) ? field(step, name).value : '';
      const day = Number(step.dataset.day);
      const clock = t => text(day > 0 ? t + ' +' + day + ' d' : t);
      const cup = step.dataset.cup;
      if (value('grams')) {
        entry('weighed', ['cup = ' + text(cup), 'material = ' + text(step.dataset.catalyst), 'mass = ' + text(value('grams') + ' g')]);
      }
      if (field(step, 'done').checked && value('until')) {
        const from = value('from') ? ['from = ' + clock(value('from'))] : [];
        entry('did', ['step = ' + step.dataset.step, ...from, 'until = ' + clock(value('until'))]);
      }
      if (value('gelled')) entry('gelled', ['cup = ' + text(cup), 'at = ' + clock(value('gelled'))]);
    }
    return lines.join('\n') + '\n';
  };
  saving.querySelector('[name=save]').addEventListener('click', () => {
    const link = document.createElement('a');
    link.href = URL.createObjectURL(new Blob([record()], { type: 'application/toml' }));
    link.download = casting.toLowerCase().replace(/[^\p{L}\p{N}]+/gu, '_') + '_record.toml';
    link.click();
    URL.revokeObjectURL(link.href);
  });
}
"#;
