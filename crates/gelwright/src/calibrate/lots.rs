//! Old tins: what is left of a lot's catalyst or inhibitor, told by tests of it against a law calibrated on fresh ones.

use super::calibration::{Calibration, residuals};
use super::evidence::{CupTest, Evidence, GelTest, Known};
use super::law::{CONSTANTS, DrawnLaw};
use crate::cancel::Cancel;
use crate::cure::RateLaw;
use crate::error::{Error, ErrorKind, Result};
use crate::heat::Cure;
use crate::material::{Catalogue, Material};
use crate::noun::{Noun, questions};
use crate::numeric::least_squares::{Rules, covariance_factor, least_squares, sum_of_squares};
use crate::numeric::normal;
use crate::quantity::Phr;
use crate::source::Why;

/// What of a lot has aged.
#[derive(Clone, Copy, PartialEq, Eq, Noun)]
pub enum AgedPart {
    /// The catalyst: its active oxygen, which the dose counts by.
    Catalyst,
    /// The resin: its inhibitor, which storage uses up.
    Resin,
}

/// Tests of one lot.
#[derive(Clone, PartialEq, Noun)]
pub struct TestedLot {
    /// What it is called.
    pub name: String,
    /// What of it is another lot than what the law was calibrated on.
    pub part: AgedPart,
    /// Its cups.
    #[noun(default)]
    pub cup_tests: Vec<CupTest>,
    /// Its thin films.
    #[noun(default)]
    pub film_tests: Vec<GelTest>,
}

/// What is left of a lot, against what the law was calibrated on.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct LotStrength {
    /// Its name.
    pub name: String,
    /// Active oxygen of its catalyst, or inhibitor of its resin, against that of the calibration.
    pub share: f64,
    /// Low end.
    pub low: f64,
    /// High end.
    pub high: f64,
    /// Times the old dose for the same active oxygen, of a catalyst.
    pub dose_factor: Option<f64>,
    /// Standard deviation over that before anything of it was tested: 1 where nothing was learned.
    pub left_open: f64,
}

/// Two lots against each other.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct LotDifference {
    /// The one.
    pub first: String,
    /// The other.
    pub second: String,
    /// Share of the first over that of the second.
    pub ratio: f64,
    /// Low end.
    pub low: f64,
    /// High end.
    pub high: f64,
    /// Whether 1 lies outside.
    pub differ: bool,
}

/// Lots compared.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct LotComparison {
    /// Each lot.
    pub lots: Vec<LotStrength>,
    /// Each pair of lots of the same part.
    pub differences: Vec<LotDifference>,
    /// What is odd with the tests, and what to mind.
    pub findings: Vec<String>,
    /// What part the intervals hold.
    pub confidence: f64,
    /// The chain behind it.
    pub why: Why,
}

/// What an unknown lot may be off, of its logarithm: catalyst, resin. Common practice, no source: catalyst kept cool loses little in a
/// year and much in the sun; inhibitor is used up while the tin stands.
const BEFORE: (f64, f64) = (0.25, 0.5);
/// Below this a catalyst is no longer made up for by dose. Common practice, no source.
const TOO_WEAK: f64 = 0.7;

fn before(part: AgedPart) -> f64 {
    match part {
        AgedPart::Catalyst => BEFORE.0,
        AgedPart::Resin => BEFORE.1,
    }
}

/// A law as it is with a lot, and the times that its dose counts.
fn with_lot(law: &DrawnLaw, part: AgedPart, share: f64) -> Result<(DrawnLaw, f64)> {
    let mut law = law.clone();
    match (&mut law.kinetics.law, part) {
        (_, AgedPart::Catalyst) => return Ok((law, share)),
        (RateLaw::FreeRadical(f), AgedPart::Resin) => {
            f.inhibitor = Phr::new(f.inhibitor.get() * share)?;
        }
        _ => {}
    }
    Ok((law, 1.0))
}

impl TestedLot {
    fn known(&self, resin: &str, material: &Material, cure: &Cure) -> Result<Known> {
        let evidence = Evidence {
            gel_table: Some(vec![]),
            cup_tests: self.cup_tests.clone(),
            film_tests: self.film_tests.clone(),
            ..Evidence::of(resin)
        };
        crate::noun::check(&evidence)?;
        evidence.known(material, cure)
    }
}

#[questions(calibration, LOTS)]
impl Calibration {
    /// What is left of old lots of catalyst or resin, from tests of them, and how two lots differ.
    ///
    /// A catalyst's active oxygen is a factor on its dose, a resin's age one on its inhibitor, each sought together with the law
    /// inside its band: least squares over the lots' tests, the band as the prior of the law, and 1 within a factor of
    /// `e^0.25` (catalyst) or `e^0.5` (resin) as that of a lot (common practice, no source). What the law may be off is off for all
    /// lots, so two lots tested alike are compared better than each is known.
    ///
    /// Not modelled: water in either, a promoter that has settled or been taken up, a resin that has begun to gel.
    ///
    /// # Errors
    /// `NoSolution` for a lot without tests; `Inconsistent` for two lots of one name; as `calibrate.kinetics`.
    #[question("calibrate.compare_lots", long)]
    pub fn compare_lots(
        &self,
        /// Resin of the tests, a material id.
        resin: &str,
        /// The lots.
        lots: &[TestedLot],
        /// What part the intervals hold.
        #[noun(default = 0.95, within(0.5, 0.999, "0.95 holds nineteen in twenty"))]
        confidence: f64,
        /// A catalogue document of your own materials, added to the generic ones: its TOML text, or the same as tables.
        #[noun(default)]
        catalogue: &Catalogue,
        cancel: Cancel<'_>,
    ) -> Result<LotComparison> {
        let material = catalogue.get(resin).map_err(|e| e.at("resin"))?;
        let most_probable = self.law_at(&[])?;
        let cure = Cure::new(most_probable.kinetics.clone(), most_probable.gel_conversion);
        let mut known = vec![];
        for (i, lot) in lots.iter().enumerate() {
            if lots[..i].iter().any(|l| l.name == lot.name) {
                return Err(Error::inconsistent(
                    format!("lots[{i}].name"),
                    &lot.name,
                    "a name for each lot",
                    "put the tests of one lot together",
                ));
            }
            known.push(
                lot.known(resin, material, &cure)
                    .map_err(|e| e.within(format_args!("lots[{i}]")))?,
            );
        }
        if lots.is_empty() {
            return Err(Error::new(ErrorKind::NoSolution, "lots")
                .with_value("no lot")
                .with_way_out("time a cup or a film of the old tin, and give it as a lot"));
        }
        let model = |p: &[f64]| {
            cancel.check()?;
            let law = self.law_at(&p[..CONSTANTS])?;
            let mut out = vec![];
            for ((lot, known), share) in lots.iter().zip(&known).zip(&p[CONSTANTS..]) {
                let (law, strength) = with_lot(&law, lot.part, share.exp())?;
                residuals(known, &law, strength, &[], &mut out, cancel)?;
            }
            out.extend(&p[..CONSTANTS]);
            out.extend(lots.iter().zip(&p[CONSTANTS..]).map(|(l, x)| x / before(l.part)));
            Ok(out)
        };
        let start = vec![0.0; CONSTANTS + lots.len()];
        let inside = |p: &mut [f64]| p.iter_mut().for_each(|x| *x = x.clamp(-4.0, 4.0));
        let found = least_squares(start, &Rules::followed(0.05), inside, model)?;
        let factor = covariance_factor(&found.jacobian)
            .ok_or_else(|| Error::new(ErrorKind::NotConverged, "lots").with_value("the covariance"))?;
        let z = normal::quantile(0.5 + 0.5 * confidence);
        let row = |i: usize| &factor[CONSTANTS + i];
        let at = |i: usize| found.at[CONSTANTS + i];
        let length = |r: &[f64]| sum_of_squares(r).sqrt();
        let mut findings: Vec<String> = known.iter().flat_map(|k| k.findings.clone()).collect();
        let strengths: Vec<LotStrength> = lots
            .iter()
            .enumerate()
            .map(|(i, lot)| {
                let u = length(row(i));
                let share = at(i).exp();
                let is_catalyst = lot.part == AgedPart::Catalyst;
                if is_catalyst && share < TOO_WEAK {
                    findings.push(format!(
                        "{}: {:.0} % of its active oxygen is left: take fresh catalyst; more of an old one adds its water and \
                         plasticizer, and no dose leaves the window of the product's data sheet",
                        lot.name,
                        100.0 * share
                    ));
                }
                LotStrength {
                    name: lot.name.clone(),
                    share,
                    low: (at(i) - z * u).exp(),
                    high: (at(i) + z * u).exp(),
                    dose_factor: is_catalyst.then(|| 1.0 / share),
                    left_open: u / before(lot.part),
                }
            })
            .collect();
        let mut differences = vec![];
        for i in 0..lots.len() {
            for j in i + 1..lots.len() {
                if lots[i].part != lots[j].part {
                    continue;
                }
                let apart: Vec<f64> = row(i).iter().zip(row(j)).map(|(a, b)| a - b).collect();
                let (by, u) = (at(i) - at(j), length(&apart));
                differences.push(LotDifference {
                    first: lots[i].name.clone(),
                    second: lots[j].name.clone(),
                    ratio: by.exp(),
                    low: (by - z * u).exp(),
                    high: (by + z * u).exp(),
                    differ: by.abs() > z * u,
                });
            }
        }
        let shown: Vec<String> = strengths
            .iter()
            .map(|s| format!("{} {:.2} ({:.2} to {:.2})", s.name, s.share, s.low, s.high))
            .collect();
        Ok(LotComparison {
            why: Why::computed(
                "what is left of each lot",
                shown.join(", "),
                "least squares over the lots' tests, the band of the law and what lots may be off",
                vec![self.why.clone()],
            ),
            lots: strengths,
            differences,
            findings,
            confidence,
        })
    }
}
