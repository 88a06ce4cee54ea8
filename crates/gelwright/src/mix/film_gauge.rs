//! A wet film gauge: a comb whose teeth stand off by steps. The film lies between the last tooth it wetted and the next.

use super::measurement::{self, Estimate, coverage_factor_95};
use crate::error::{Error, ErrorKind, Result};
use crate::noun::{Noun, questions};
use crate::quantity::{self, Length, Quantity};
use crate::source::{Source, Why};

/// A wet film gauged with a comb, pressed upright into it at once after it was laid.
#[derive(Clone, PartialEq, Noun)]
#[noun(check)]
pub struct FilmGauge {
    /// The gaps under the comb's teeth, rising, as they are engraved on it.
    #[noun(within(> "0 um", "20 mm", "give the gaps that are engraved on the comb, for example '400 um'"))]
    pub teeth: Vec<Length>,
    /// At each place that was gauged, the gap under the highest tooth that the film wetted.
    pub wetted: Vec<Length>,
}

/// A film as the comb tells it.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct GaugedFilm {
    /// Its mean thickness: of one place the interval between two teeth, of several normal.
    pub thickness: Estimate<Length>,
    /// It is nowhere thinner, where it was gauged: the lowest tooth wetted.
    pub thinnest: Length,
    /// It is nowhere thicker, where it was gauged: the tooth above the highest one wetted.
    pub thickest: Length,
    /// The chain behind it.
    pub why: Why,
}

/// Where the reading between two teeth comes from.
fn source() -> Source {
    Source::published(
            "ASTM International; International Organization for Standardization",
            "ASTM D4414, Measurement of wet film thickness by notch gages; ISO 2808, Determination of film thickness",
            2019,
            "ISO 2808: wet film, comb gauge: between the last tooth wetted and the first one dry",
        ).from_memory()
}

#[questions]
impl FilmGauge {
    /// A comb with two teeth at least, in order.
    fn check(&self) -> Result<()> {
        if self.teeth.len() < 2 || self.wetted.is_empty() {
            return Err(Error::new(ErrorKind::Document, "")
                .with_value(format_args!(
                    "{} teeth, {} places",
                    self.teeth.len(),
                    self.wetted.len()
                ))
                .with_allowed("two teeth or more, one place or more")
                .with_way_out("give the comb's teeth, and at each place the highest tooth that got wet"));
        }
        if let Some(i) = (1..self.teeth.len()).find(|i| self.teeth[*i] <= self.teeth[i - 1]) {
            return Err(Error::inconsistent(
                format!("teeth[{i}]"),
                quantity::show(self.teeth[i]),
                format!("above {}", quantity::show(self.teeth[i - 1])),
                "give the teeth in rising order, each once",
            ));
        }
        Ok(())
    }

    /// The teeth between which the film lies at a place.
    fn between(&self, i: usize) -> Result<(f64, f64)> {
        let (wet, teeth) = (self.wetted[i].si(), &self.teeth);
        let field = format!("wetted[{i}]");
        let at = teeth.iter().position(|t| (t.si() - wet).abs() <= 1e-6 * t.si());
        match at {
            Some(k) if k + 1 < teeth.len() => Ok((teeth[k].si(), teeth[k + 1].si())),
            Some(_) => Err(Error::out_of_range(
                field,
                quantity::show(self.wetted[i]),
                format!("below the last tooth, {}", quantity::show(teeth[teeth.len() - 1])),
                "the film is beyond the comb: gauge it with a coarser one",
            )),
            None if wet < teeth[0].si() => Err(Error::out_of_range(
                field,
                quantity::show(self.wetted[i]),
                format!("{} or more", quantity::show(teeth[0])),
                "no tooth got wet: the film is thinner than this comb reads; gauge it with a finer one",
            )),
            None => Err(Error::inconsistent(
                field,
                quantity::show(self.wetted[i]),
                format!(
                    "a tooth of the comb: {}",
                    teeth
                        .iter()
                        .map(|t| quantity::show(*t).to_string())
                        .collect::<Vec<_>>()
                        .join(", ")
                ),
                "read the gap that is engraved at the highest tooth that got wet",
            )),
        }
    }

    /// Thickness of a wet film that was gauged with a comb, with its uncertainty.
    ///
    /// At a place it lies between the last tooth wetted and the next, `w` apart, with nothing more known: the middle, `u = w/sqrt(12)`.
    /// Of `n` places the mean of the middles, `u^2 = sum(w^2/12)/n^2 + s^2/n` with the scatter `s` from place to place,
    /// which `n - 1` degrees of freedom tell: the interval is `± t u` with Student's `t` of the effective ones (JCGM 100:2008,
    /// G.4.1), not below nothing.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for a film beyond the comb (all teeth wet, or none); [`ErrorKind::Inconsistent`] for a
    /// reading that is no tooth of the comb and for teeth that do not rise; [`ErrorKind::Document`] for fewer than two teeth.
    #[question("mix.wet_film")]
    pub fn film(&self) -> Result<GaugedFilm> {
        crate::noun::check(self)?;
        self.check()?;
        let gaps = (0..self.wetted.len())
            .map(|i| self.between(i))
            .collect::<Result<Vec<_>>>()?;
        #[allow(clippy::cast_precision_loss)]
        let n = gaps.len() as f64;
        let mean = gaps.iter().map(|(a, b)| 0.5 * (a + b)).sum::<f64>() / n;
        let steps: f64 = gaps
            .iter()
            .map(|(a, b)| measurement::of_step(b - a).powi(2))
            .sum();
        let scatter = gaps
            .iter()
            .map(|(a, b)| (0.5 * (a + b) - mean).powi(2))
            .sum::<f64>()
            / (n - 1.0).max(1.0);
        let parts = [
            ((steps / (n * n)).sqrt(), f64::INFINITY),
            ((scatter / n).sqrt(), n - 1.0),
        ];
        let u = parts[0].0.hypot(parts[1].0);
        let thinnest = gaps.iter().map(|g| g.0).fold(f64::INFINITY, f64::min);
        let thickest = gaps.iter().map(|g| g.1).fold(0.0, f64::max);
        let thickness = match gaps.as_slice() {
            [(a, b)] => Estimate::with_interval(Length::from_si(mean)?, u, *a, *b)?,
            _ => {
                let half = u * coverage_factor_95(measurement::effective_degrees_of_freedom(&parts)?);
                Estimate::with_interval(Length::from_si(mean)?, u, (mean - half).max(0.0), mean + half)?
            }
        };
        Ok(GaugedFilm {
            thinnest: Length::from_si(thinnest)?,
            thickest: Length::from_si(thickest)?,
            why: Why::computed(
                "wet film",
                thickness.to_string(),
                "mean of the middles between the last tooth wetted and the next; u^2 = sum(w^2/12)/n^2 + s^2/n",
                self.wetted.iter().map(|w| Why::given("last tooth wetted", quantity::show(*w))).collect(),
            )
            .with_source(&source()),
            thickness,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn um(x: f64) -> Length {
        Length::from_si(x * 1e-6).unwrap()
    }

    fn comb(wetted: &[f64]) -> FilmGauge {
        FilmGauge {
            teeth: [300.0, 400.0, 500.0, 700.0].map(um).to_vec(),
            wetted: wetted.iter().copied().map(um).collect(),
        }
    }

    #[test]
    fn a_film_lies_between_two_teeth() {
        let film = comb(&[400.0]).film().unwrap();
        // analytic: the middle of 400 and 500 um, 100 um/sqrt(12) = 28.87 um
        assert!((film.thickness.value.si() - 450e-6).abs() < 1e-12);
        assert!((film.thickness.standard_uncertainty.si() - 28.867_513e-6).abs() < 1e-11);
        assert_eq!((film.thickness.low, film.thickness.high), (um(400.0), um(500.0)));
    }

    #[test]
    fn more_places_are_surer_of_the_mean() {
        let (one, four) = (comb(&[400.0]).film().unwrap(), comb(&[400.0; 4]).film().unwrap());
        // four times the same: a quarter of the variance
        let ratio = one.thickness.standard_uncertainty.si() / four.thickness.standard_uncertainty.si();
        assert!((ratio - 2.0).abs() < 1e-9);
        let uneven = comb(&[300.0, 500.0]).film().unwrap();
        assert_eq!((uneven.thinnest, uneven.thickest), (um(300.0), um(700.0)));
        // independent computation (Student's density by Simpson's rule): u^2 = 2 (100^2/12)/4 + 5000/2 um^2, 1.3611 effective
        // degrees of freedom, t = 6.95643. So two places that differ by a tooth hardly tell a mean.
        let two = comb(&[300.0, 400.0]).film().unwrap().thickness;
        assert!((two.standard_uncertainty.si() - 54.006_172e-6).abs() < 1e-11);
        assert!((two.low.si() - 24.310e-6).abs() < 1e-8 && (two.high.si() - 775.690e-6).abs() < 1e-8);
    }

    #[test]
    fn a_reading_beyond_the_comb_is_refused() {
        for (wetted, kind) in [
            (700.0, ErrorKind::OutOfRange),
            (200.0, ErrorKind::OutOfRange),
            (450.0, ErrorKind::Inconsistent),
        ] {
            let e = comb(&[400.0, wetted]).film().unwrap_err();
            assert_eq!((e.kind(), e.field()), (kind, "wetted[1]"), "{e}");
        }
        let mut falling = comb(&[400.0]);
        falling.teeth.swap(0, 1);
        assert_eq!(falling.film().unwrap_err().field(), "teeth[1]");
    }
}
