//! How likely a part comes out, in words: a line of the card, and a few lines for who asked for that alone.

use super::message::{self, Language, Say};
use super::text::wrap;
use crate::limit::Severity;
use crate::noun::questions;
use crate::quantity::Probability;
use crate::risk::{LimitRisk, Risk};
use gelwright_base::reliability::Proportion;

/// "It comes out in 93 % of 1000 draws (91 % to 95 %); what decides most: thermometer".
pub(super) fn chance(risk: &Risk, language: Language) -> String {
    let say = |s: Say| s.in_(language);
    let c = &risk.comes_out;
    let mut text = format!(
        "{} {} {} {} {} ({} {} {})",
        say(Say::ComesOut),
        percent(c.share),
        say(Say::OfDraws),
        c.of,
        say(Say::DrawsOfIt),
        percent(c.low),
        say(Say::To),
        percent(c.high)
    );
    if let Some(d) = risk.drivers.first() {
        text = format!(
            "{text}; {}: {}",
            say(Say::Decides),
            message::left_open(&d.input, language)
        );
    }
    text
}

/// As many digits as a share and its interval need: "93 %", "0.4 %".
fn percent(p: Probability) -> String {
    let percent = 100.0 * p.get();
    if percent > 0.0 && percent < 1.0 || percent > 99.0 && percent < 100.0 {
        format!("{percent:.1} %")
    } else {
        format!("{percent:.0} %")
    }
}

/// "93 % (91 % to 95 %)".
fn share(p: &Proportion) -> String {
    format!("{} ({} to {})", percent(p.share), percent(p.low), percent(p.high))
}

/// Most drivers and most limits that are told.
const MOST: usize = 3;

#[questions(TELLING)]
impl Risk {
    /// The chance in a few lines: how likely it comes out, what ruins it most, what to measure next. Intervals hold with 95 %.
    #[question("card.risk")]
    pub fn text(&self) -> String {
        let mut out = String::new();
        let mut line = |text: &str| wrap(&mut out, "", 2, text);
        line(&format!(
            "It comes out in {} of {} draws of this plan, without any warning in {}.",
            share(&self.comes_out),
            self.draws,
            share(&self.good)
        ));
        if let Some(first) = &self.failed_first {
            line(&format!(
                "{} of them could not be planned and count as spoiled; the first: {first}",
                self.failed
            ));
        }
        let worst = |severity: Severity| {
            let of = self.limits.iter().filter(move |l| l.severity == severity);
            of.take(MOST)
        };
        let broken = |l: &LimitRisk| {
            let what = message::bounded(l.quantity, Language::English);
            format!("{what}, {}: in {}", l.subject, share(&l.broken))
        };
        for l in worst(Severity::Stop) {
            line(&format!("Spoiled by {}; {}.", broken(l), l.message));
        }
        for l in worst(Severity::Warning) {
            line(&format!("Warned of {}.", broken(l)));
        }
        match (&self.drivers_of, self.drivers.as_slice()) {
            (Some(between), [first, ..]) => {
                let told: Vec<String> = self
                    .drivers
                    .iter()
                    .take(MOST)
                    .map(|d| format!("{} {:.2} ({:.2} to {:.2})", d.input, d.total, d.low, d.high))
                    .collect();
                line(&format!(
                    "What makes the difference between {between}, as a part of it: {}.",
                    told.join("; ")
                ));
                if let Some(measure) = &first.measure {
                    line(&format!("Measure next: {measure}."));
                }
            }
            _ => line(
                "What makes the difference is not told: it was not asked, or all draws went alike. A limit that nearly every draw \
                 breaks is one of the plan, not of chance.",
            ),
        }
        line(&format!(
            "Seed {}; what the bench can not hold is drawn, a mistake is not. {}",
            self.seed,
            Say::CareTwo.in_(Language::English)
        ));
        out
    }
}
