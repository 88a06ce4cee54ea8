//! Pictures: the day as bars.

use maud::{Markup, html};
use uom::si::time::second;

use super::figure::in_air;
use crate::plan::{AirOfDay, Plan};
use crate::quantity::{Quantity, Time, brief};

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

const HIGH: f64 = 220.0;

/// The air of the day: what is breathed of each vapour, the limits over 15 min, and the moment that breaks one.
pub(super) fn air(a: &AirOfDay) -> Markup {
    html! {
        @for e in &a.exposures {
            (one_vapour(a, e))
        }
    }
}

fn one_vapour(a: &AirOfDay, e: &crate::plan::ExposureOfDay) -> Markup {
    let x = &e.exposure;
    let (Some(first), Some(last)) = (
        x.curve.ppm.iter().position(|c| *c > 0.0),
        x.curve.minutes.last().copied(),
    ) else {
        return html! {};
    };
    // From a quarter of an hour before the first vapour.
    let from = (x.curve.minutes[first.saturating_sub(1)] - 15.0).max(0.0);
    let span = (last - from).max(1.0);
    let short: Vec<_> = x
        .limits
        .iter()
        .filter(|l| l.over.is_some_and(|t| t.si() <= 901.0))
        .collect();
    let limits = short.iter().map(|l| 1e6 * l.most.get());
    let top = 1.1 * limits.clone().chain([1e6 * x.peak.get()]).fold(1.0, f64::max);
    let px = |m: f64| LEFT + WIDTH * (m - from) / span;
    let py = |c: f64| 30.0 + HIGH * (1.0 - c / top);
    let at = |v: f64| format!("{v:.1}");
    let points: Vec<String> = x
        .curve
        .minutes
        .iter()
        .zip(&x.curve.ppm)
        .filter(|(m, _)| **m >= from)
        .map(|(m, c)| format!("{:.1},{:.1}", px(*m), py(*c)))
        .collect();
    let clock = |m: f64| a.start.after(Time::new::<second>(60.0 * m));
    let step = [15.0, 30.0, 60.0, 120.0, 240.0]
        .into_iter()
        .find(|s| span / s < 11.0)
        .unwrap_or(480.0);
    let ticks = (0..)
        .map(|n| (from / step).ceil() * step + f64::from(n) * step)
        .take_while(|m| *m <= last);
    let worst = x.highest_15_min_from.si() / 60.0;
    let mean = 1e6 * x.highest_15_min.get();
    let broken = e.broken_at.map(|c| c.since(a.start).si() / 60.0);
    let label = format!("{} over the day, with the limits over 15 min or less", x.name);
    html! {
        svg viewBox={ "0 0 1000 " (at(HIGH + 60.0)) } role="img" aria-label=(label) {
            @for m in ticks {
                line x1=(at(px(m))) x2=(at(px(m))) y1="30" y2=(at(30.0 + HIGH)) stroke="#d8d8d8" {}
                text x=(at(px(m))) y=(at(HIGH + 50.0)) text-anchor="middle" { (clock(m)) }
            }
            line x1=(at(LEFT)) x2=(at(LEFT + WIDTH)) y1=(at(30.0 + HIGH)) y2=(at(30.0 + HIGH)) stroke="#1a1a1a" {}
            rect x=(at(px(worst))) y=(at(py(mean))) width=(at((px(worst + 15.0) - px(worst)).max(2.0))) height=(at(30.0 + HIGH - py(mean))) fill="#e6e6e6" {
                title { "worst 15 min" }
            }
            @for l in &short {
                @let y = py(1e6 * l.most.get());
                line x1=(at(LEFT)) x2=(at(LEFT + WIDTH)) y1=(at(y)) y2=(at(y)) stroke="#1a1a1a" stroke-dasharray="8 5" {}
                text x=(at(LEFT + WIDTH)) y=(at(y - 5.0)) text-anchor="end" {
                    (l.body) ", " (l.year) ": " (crate::air::ppm(l.most))
                    @if let Some(over) = l.over { " over " (brief(over)) }
                }
            }
            polyline points=(points.join(" ")) fill="none" stroke="#1a1a1a" stroke-width="2.5" {}
            text x="0" y=(at(py(1e6 * x.peak.get()) + 5.0)) { (in_air(x.peak.get(), 2)) }
            text x="0" y="18" { (x.name) ", worst 15 min: " (in_air(x.highest_15_min.get(), 2)) }
            @if let Some(m) = broken {
                line x1=(at(px(m))) x2=(at(px(m))) y1="30" y2=(at(30.0 + HIGH)) stroke="#b00020" stroke-width="2" {}
                text x=(at(px(m) + 5.0)) y=(at(30.0 + HIGH - 8.0)) fill="#b00020" { "limit broken at " (clock(m)) }
            }
        }
        p.quiet { "Line: what is breathed. Dashed: limits. Grey: the mean of the worst 15 min. Computed, not measured." }
    }
}
