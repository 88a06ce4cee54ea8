//! Castings side by side: as a table in text, and as a picture.

use std::fmt::Write as _;

use maud::html;

use super::figure::money;
use super::message::{self, Language};
use crate::limit::Cause;
use crate::noun::questions;
use crate::plan::{Comparison, ComparisonRow};
use crate::quantity::{self, Quantity};

/// What stands in a row, and its number where there is one to draw.
struct Line {
    name: &'static str,
    cells: Vec<(String, Option<f64>)>,
}

fn lines(of: &Comparison) -> Vec<Line> {
    fn cell<Q: Quantity>(q: Option<Q>) -> (String, Option<f64>) {
        q.map_or_else(
            || ("unknown".to_owned(), None),
            |q| {
                (
                    quantity::show_si_to(q.si(), Q::MEASURE, quantity::BenchUnits::Metric, 3),
                    Some(q.si()),
                )
            },
        )
    }
    let row = |name, of_row: &dyn Fn(&ComparisonRow) -> (String, Option<f64>)| Line {
        name,
        cells: of.rows.iter().map(of_row).collect(),
    };
    let celsius = |t: Option<crate::quantity::ThermodynamicTemperature>| {
        let (text, _) = cell(t);
        (text, t.map(quantity::temperature::to_celsius))
    };
    let count = |n: usize| (n.to_string(), u32::try_from(n).ok().map(f64::from));
    vec![
        row("shortest gel time", &|r| cell(r.shortest_gel_time)),
        row("hottest peak", &|r| celsius(r.peak)),
        row("thinnest zone", &|r| cell(r.thinnest)),
        row("thickest zone", &|r| cell(r.thickest)),
        row("mass of the part", &|r| cell(Some(r.part_mass))),
        row("cost", &|r| match &r.cost {
            Some(c) => (money(*c), Some(c.amount)),
            None => ("unknown".to_owned(), None),
        }),
        row("light through", &|r| cell(r.light_through)),
        row("strength of the laminate", &|r| cell(r.strength)),
        row("cups", &|r| count(r.batches)),
        row("hours of the hands", &|r| cell(Some(r.hands))),
        row("from first step to last", &|r| cell(Some(r.duration))),
        row("stops", &|r| count(r.stops)),
        row("warnings", &|r| count(r.warnings)),
        row("worst finding", &|r| (worst(r), None)),
    ]
}

fn worst(r: &ComparisonRow) -> String {
    r.worst.as_ref().map_or_else(
        || "none".to_owned(),
        |f| message::cause(Cause::of(f), f.is_low(), f.severity, Language::English).to_owned(),
    )
}

#[questions(SIDE_BY_SIDE)]
impl Comparison {
    /// The castings side by side as plain text, a line a quantity.
    #[question("card.compared")]
    pub fn text(&self) -> String {
        const FIRST: usize = 26;
        let wide = (98 - FIRST)
            .checked_div(self.rows.len())
            .unwrap_or(20)
            .clamp(14, 34);
        let clip = |t: &str| t.chars().take(wide - 2).collect::<String>();
        let mut out = format!("{:<FIRST$}", "");
        for r in &self.rows {
            let _ = write!(out, "{:<wide$}", clip(&r.casting));
        }
        out.truncate(out.trim_end().len());
        out.push('\n');
        for line in lines(self) {
            let mut text = format!("{:<FIRST$}", line.name);
            for (cell, _) in &line.cells {
                let _ = write!(text, "{:<wide$}", clip(cell));
            }
            let _ = writeln!(out, "{}", text.trim_end());
        }
        out
    }

    /// The castings side by side as a picture (SVG): of each quantity a bar a casting, on a scale of its own from zero.
    #[question("card.compared_picture")]
    pub fn picture(&self) -> String {
        const ROW: f64 = 26.0;
        let drawn: Vec<Line> = lines(self)
            .into_iter()
            .filter(|l| l.cells.iter().any(|c| c.1.is_some_and(|x| x > 0.0)))
            .collect();
        let block = ROW * (self.rows.len() as f64 + 1.0) + 10.0;
        let height = block * drawn.len() as f64 + 10.0;
        let at = |v: f64| format!("{v:.1}");
        let clip = |t: &str| t.chars().take(32).collect::<String>();
        html! {
            svg xmlns="http://www.w3.org/2000/svg" viewBox={ "0 0 1000 " (at(height)) } role="img" aria-label="Castings side by side" font-family="system-ui, 'DejaVu Sans', Arial, sans-serif" font-size="18" fill="#1a1a1a" {
                rect width="1000" height=(at(height)) fill="#ffffff" {}
                @for (i, line) in drawn.iter().enumerate() {
                    @let top = 10.0 + block * i as f64;
                    @let most = line.cells.iter().filter_map(|c| c.1).fold(0.0_f64, f64::max);
                    text x="10" y=(at(top + 18.0)) font-weight="bold" { (line.name) }
                    @for (j, (row, (cell, x))) in self.rows.iter().zip(&line.cells).enumerate() {
                        @let y = top + ROW * (j as f64 + 1.0);
                        text x="10" y=(at(y + 17.0)) { (clip(&row.casting)) }
                        @if let Some(x) = x {
                            rect x="330" y=(at(y + 3.0)) width=(at(if most > 0.0 { 480.0 * x.max(0.0) / most } else { 0.0 })) height="16" fill=(if j % 2 == 0 { "#1a1a1a" } else { "#8c8c8c" }) {}
                        }
                        text x="825" y=(at(y + 17.0)) { (cell) }
                    }
                }
            }
        }
        .into_string()
    }
}
