//! Pictures: the day as bars.

use maud::{Markup, html};
use uom::si::time::second;

use crate::plan::Plan;
use crate::quantity::{Quantity, Time};

const LEFT: f64 = 70.0;
const WIDTH: f64 = 900.0;
const ROW: f64 = 26.0;

/// The hands above, the cups' working times below. The night in the mould says nothing: it ends with the last cup.
pub(super) fn day(p: &Plan) -> Markup {
    let (Some(first), Some(last)) = (p.steps.first(), p.steps.last()) else {
        return html! {};
    };
    let since = |c: crate::plan::Clock| c.since(first.start).si();
    let end = p
        .steps
        .iter()
        .rfind(|s| since(s.start) < 16.0 * 3600.0)
        .map_or(last.end, |s| s.end);
    let span = since(end).max(60.0);
    let x = |s: f64| LEFT + WIDTH * s / span;
    let wide = |a: f64, b: f64| (x(b.min(span)) - x(a)).max(1.0);
    let height = 30.0 + ROW * (p.batches.len() + 1) as f64;
    let step = [1800.0, 3600.0, 7200.0, 14_400.0]
        .into_iter()
        .find(|s| span / s < 11.0)
        .unwrap_or(28_800.0);
    let ticks = (0..).map(|n| f64::from(n) * step).take_while(|t| *t <= span);
    let at = |v: f64| format!("{v:.1}");
    html! {
        svg viewBox={ "0 0 1000 " (at(height)) } role="img" aria-label="Steps and working times on the clock" {
            @for t in ticks {
                line x1=(at(x(t))) x2=(at(x(t))) y1="24" y2=(at(height)) stroke="#b0b0b0" {}
                text x=(at(x(t))) y="18" text-anchor="middle" { (first.start.after(Time::new::<second>(t))) }
            }
            text x="0" y="46" { "hands" }
            @for s in p.steps.iter().filter(|s| since(s.end) <= span + 1.0) {
                rect x=(at(x(since(s.start)))) y="30" width=(at(wide(since(s.start), since(s.end)))) height="18" fill="#1a1a1a" stroke="#fff" {
                    title { (s.text) }
                }
            }
            @for (i, b) in p.batches.iter().enumerate() {
                @let y = 30.0 + ROW * (i + 1) as f64;
                @let a = since(b.start);
                text x="0" y=(at(y + 16.0)) { (b.name) }
                @if let Some(by) = b.use_by {
                    rect x=(at(x(a))) y=(at(y)) width=(at(wide(a, since(by)))) height="18" fill="#e6e6e6" stroke="#1a1a1a" {
                        title { "empty by " (by) }
                    }
                }
                rect x=(at(x(a))) y=(at(y + 6.0)) width=(at((WIDTH * b.placing.si() / span).max(1.0))) height="6" fill="#1a1a1a" {}
            }
        }
        p.quiet { "Black: hands at work. Framed: the time in which a cup is to be used up." }
    }
}
