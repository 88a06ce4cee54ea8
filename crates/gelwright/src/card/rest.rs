//! The rest of a day as text: what went otherwise first, then the cups and the clock.

use std::fmt::Write;

use super::message::{Language, Say};
use super::text::{title, wrap};
use crate::mix::{BatchPart, MeasuredBy};
use crate::noun::questions;
use crate::plan::{OrderProof, RestOfDay, sentence, words};
use crate::quantity::{self, BenchUnits};

#[questions(TELLING)]
impl RestOfDay {
    /// The rest of the day as text: what went otherwise and what to do about it, the cups still to be mixed, the clock.
    #[question("card.rest_of_day")]
    pub fn text(&self) -> String {
        let mut out = String::new();
        let _ = writeln!(out, "{}: the rest of the day, from {}", self.casting, self.now);
        if !self.setbacks.is_empty() {
            title(&mut out, "What went otherwise");
        }
        for s in &self.setbacks {
            let lost = if s.lost { "Lost. " } else { "" };
            wrap(
                &mut out,
                "  ",
                4,
                &format!("{}. {lost}{}.", sentence(&s.text), sentence(&s.way_out)),
            );
        }
        if self.order.proof == OrderProof::WindowsBroken {
            title(&mut out, "What can no longer be kept");
            for set in &self.order.conflicts {
                wrap(
                    &mut out,
                    "  ",
                    4,
                    &format!("Not all of these: {}.", set.windows.join("; ")),
                );
            }
        }
        if !self.cups.is_empty() {
            title(&mut out, "Cups");
        }
        for c in &self.cups {
            let again = if c.again { ", once more" } else { "" };
            let empty = c.use_by.map_or_else(String::new, |t| format!(", empty by {t}"));
            wrap(
                &mut out,
                "  ",
                4,
                &format!(
                    "{}{again}, {}: {}. Mix at {}{empty}",
                    sentence(&c.name),
                    words(&c.recipe),
                    c.zones.join(", "),
                    c.start
                ),
            );
            for part in &c.batch.parts {
                let _ = writeln!(out, "    {:<50} {:>10}", part.name, amount(part, self.units));
            }
        }
        title(&mut out, "The clock");
        for s in &self.steps {
            wrap(&mut out, &format!("  {:<11} ", s.start.to_string()), 14, &s.text);
        }
        let _ = writeln!(
            out,
            "\nGoggles, gloves, moving air; what has gelled in a cup gets hot: outdoors with it. {}",
            Say::CareTwo.in_(Language::English)
        );
        out
    }
}

/// A part as the instrument that it is measured with shows it.
fn amount(part: &BatchPart, units: BenchUnits) -> String {
    let Some(shown) = part.shown else {
        return format!("less than the {} shows", part.measured_by);
    };
    let weighed = quantity::brief_in(shown, units);
    match (part.measured_by, part.drops) {
        (MeasuredBy::Syringe, _) => {
            let volume = part.volume * (shown / part.mass);
            format!("{} ({weighed})", quantity::brief_in(volume, units))
        }
        (MeasuredBy::Dropper, Some(drops)) => format!("{:.0} drops ({weighed})", drops.round()),
        _ => weighed,
    }
}
