//! Readings that a slip of the pen explains: ten times too much, minutes for seconds, Fahrenheit for Celsius.
//!
//! A reading that does not go with the rest is left out, the law sought again, and what that law shows compared with the reading
//! as it would stand after each slip. One that a slip brings back counts for next to nothing from then on, and is told.
//!
//! How far a reading lies from what the rest shows without it, `r/(1 - h)` with its leverage `h`, and how much the sum of squares
//! lessens, `r²/(1 - h)`, is known beforehand to first order (R. D. Cook, S. Weisberg, *Residuals and Influence in Regression*,
//! Chapman and Hall (1982), section 2.2 `[from memory]`): only what lies as far off as half of a slip is sought without.

use super::calibration::{NOT_COUNTED, Search, leverages, minutes, shown};
use super::curve::LAG;
use super::evidence::Reading;
use super::law::CONSTANTS;
use crate::cancel::Cancel;
use crate::constants::ZERO_CELSIUS;
use crate::error::Result;
use crate::numeric::least_squares::Found;

/// A reading of the evidence.
#[derive(Clone, Copy)]
enum Place {
    Gel(usize),
    CupGel(usize),
    ToPeak(usize),
    Peak(usize),
}

impl Place {
    /// How far off what the rest shows its reading has to lie to first order before a slip is asked for: of a logarithm, K.
    fn worth_asking(self) -> f64 {
        match self {
            Place::Peak(_) => NEAR_KELVIN,
            _ => 0.5 * (std::f64::consts::LN_10 - NEAR),
        }
    }

    /// Deviation from which its reading was set aside.
    fn not_counted(self) -> f64 {
        match self {
            Place::Peak(_) => NOT_COUNTED_KELVIN,
            _ => NOT_COUNTED,
        }
    }
}

/// Standard deviations from which a reading is looked at.
const LOOKED_AT: f64 = 2.5;
/// Part of the sum of squares that has to go with it: four standard deviations.
const WORTH: f64 = 16.0;
/// Readings that are tried without, and slips that are found, at most.
const TRIED: usize = 6;
const FOUND: usize = 3;
/// Deviation from which a temperature was set aside, K.
const NOT_COUNTED_KELVIN: f64 = 500.0;
/// How near a slip has to bring a time back, of its logarithm, and a temperature, K: half of the smallest slip that is looked
/// for would not do.
const NEAR: f64 = 0.5;
const NEAR_KELVIN: f64 = 15.0;
/// What a time may have been multiplied by: the factor, what to say.
const TIMES: [(f64, &str); 6] = [
    (
        60.0,
        "60 times what the rest shows: seconds read as minutes, or minutes as hours?",
    ),
    (
        1.0 / 60.0,
        "a sixtieth of what the rest shows: minutes read as seconds, or hours as minutes?",
    ),
    (10.0, "ten times what the rest shows: a slip of ten?"),
    (0.1, "a tenth of what the rest shows: a slip of ten?"),
    (
        100.0,
        "a hundred times what the rest shows: a slip of the decimal mark?",
    ),
    (
        0.01,
        "a hundredth of what the rest shows: a slip of the decimal mark?",
    ),
];

/// What a temperature may have been instead, K: °F written as °C, °C written as °F.
pub(super) fn other_scales(kelvin: f64) -> [(f64, &'static str); 2] {
    let celsius = kelvin - ZERO_CELSIUS;
    [
        ((celsius - 32.0) / 1.8 + ZERO_CELSIUS, "°F written as °C?"),
        (1.8 * celsius + 32.0 + ZERO_CELSIUS, "°C written as °F?"),
    ]
}

impl Search<'_> {
    fn reading(&mut self, at: Place) -> Option<&mut Reading> {
        match at {
            Place::Gel(i) => self.known.gels.get_mut(i).map(|g| &mut g.time),
            Place::CupGel(i) => self.known.cups.get_mut(i).and_then(|c| c.gel.as_mut()),
            Place::ToPeak(i) => self.known.cups.get_mut(i).and_then(|c| c.to_peak.as_mut()),
            Place::Peak(i) => self.known.cups.get_mut(i).and_then(|c| c.peak.as_mut()),
        }
    }

    /// What the law of a point shows for a reading; none where it never comes.
    fn shown_for(&self, place: Place, at: &[f64], cancel: Cancel<'_>) -> Result<Option<f64>> {
        let law = self.frame.law(&at[..CONSTANTS])?;
        let of_cup = |i: usize| shown(&self.known.cups[i], &law, LAG.0, cancel);
        match place {
            Place::Gel(i) => {
                let g = &self.known.gels[i];
                g.shown(&law, g.dose)
            }
            Place::CupGel(i) => Ok(Some(of_cup(i)?.gel)),
            Place::ToPeak(i) => Ok(Some(of_cup(i)?.to_peak.max(1.0))),
            Place::Peak(i) => Ok(Some(of_cup(i)?.peak)),
        }
    }

    /// The places of the residuals of a search; none of what is no single reading.
    fn places(&self) -> Vec<Option<Place>> {
        let mut out: Vec<Option<Place>> = (0..self.known.gels.len()).map(|i| Some(Place::Gel(i))).collect();
        for (i, c) in self.known.cups.iter().enumerate() {
            out.extend(c.gel.map(|_| Some(Place::CupGel(i))));
            out.extend(c.to_peak.map(|_| Some(Place::ToPeak(i))));
            out.extend(c.peak.map(|_| Some(Place::Peak(i))));
            out.extend(c.curve.iter().flat_map(|k| vec![None; k.residuals_count()]));
        }
        out
    }

    /// Readings that the rest may show to be slips, those first without which the sum of squares lessens most.
    fn doubtful(&mut self, found: &Found) -> Result<Vec<Place>> {
        let leverages = leverages(found)?;
        let mut out = vec![];
        for (i, place) in self.places().into_iter().enumerate() {
            let Some(place) = place else { continue };
            let Some(&mut reading) = self.reading(place) else {
                continue;
            };
            let off = found.residuals[i];
            let left = (1.0 - leverages[i]).max(1e-6);
            let asked = (off / left * reading.deviation).abs() > place.worth_asking();
            if asked && off.abs() > LOOKED_AT && reading.deviation < place.not_counted() {
                out.push((place, off * off / left));
            }
        }
        out.sort_by(|a, b| b.1.total_cmp(&a.1));
        Ok(out.into_iter().map(|(place, _)| place).take(TRIED).collect())
    }

    /// The slip that brings a reading back to what is shown, in words.
    fn slip(at: Place, reading: &Reading, shown: f64) -> Option<String> {
        if let Place::Peak(_) = at {
            let celsius = |k: f64| format!("{:.0} °C", k - ZERO_CELSIUS);
            return other_scales(reading.value)
                .into_iter()
                .find(|(k, _)| {
                    (k - shown).abs() < NEAR_KELVIN && (reading.value - shown).abs() > 2.0 * NEAR_KELVIN
                })
                .map(|(k, what)| {
                    format!(
                        "{} where the rest shows {}; {what} Then it is {}",
                        celsius(reading.value),
                        celsius(shown),
                        celsius(k)
                    )
                });
        }
        let ratio = reading.value / shown;
        TIMES
            .into_iter()
            .filter(|(by, _)| (ratio / by).ln().abs() < NEAR)
            .min_by(|a, b| (ratio / a.0).ln().abs().total_cmp(&(ratio / b.0).ln().abs()))
            .map(|(_, what)| {
                format!(
                    "{} is {what} There it is {}",
                    minutes(reading.value),
                    minutes(shown)
                )
            })
    }

    fn called(&self, at: Place) -> String {
        match at {
            Place::Gel(i) => self.known.gels[i].called.clone(),
            Place::CupGel(i) => format!("{}: gel time", self.known.cups[i].called),
            Place::ToPeak(i) => format!("{}: gel to peak", self.known.cups[i].called),
            Place::Peak(i) => format!("{}: peak temperature", self.known.cups[i].called),
        }
    }

    /// The search again without readings that are slips, each told among the findings.
    pub(super) fn without_slips(&mut self, mut found: Found, cancel: Cancel<'_>) -> Result<Found> {
        for _ in 0..FOUND {
            let mut best: Option<(f64, Place, Found, String)> = None;
            for at in self.doubtful(&found)? {
                let Some(reading) = self.reading(at) else { continue };
                let as_told = *reading;
                reading.deviation = 2.0 * at.not_counted();
                let without = self.solve(cancel)?;
                let shows = self.shown_for(at, &without.at, cancel)?;
                if let Some(r) = self.reading(at) {
                    *r = as_told;
                }
                let gained = found.squares() - without.squares();
                let slip = shows.and_then(|s| Self::slip(at, &as_told, s));
                if let Some(what) = slip
                    && gained > WORTH
                    && best.as_ref().is_none_or(|b| gained > b.0)
                {
                    let good = self.is_good(&without);
                    best = Some((gained, at, without, what));
                    if good {
                        break;
                    }
                }
            }
            let Some((_, at, without, what)) = best else {
                break;
            };
            if let Some(r) = self.reading(at) {
                r.deviation = 2.0 * at.not_counted();
            }
            let told = format!(
                "{}: {what}; it counts for next to nothing: correct it",
                self.called(at)
            );
            self.known.findings.push(told);
            found = without;
        }
        Ok(found)
    }
}
