//! What the shop measures with: scale, dropper, syringe, graduated cup, thermometer, and how far each can be off.

use crate::noun::Noun;

use super::measurement::{self, Estimate};
use crate::check::{not_negative, positive};
use crate::error::{Error, ErrorKind, Result, finite};
use crate::quantity::{self, Mass, MassDensity, Quantity, RelativeSpread, TemperatureInterval, Volume};
use crate::source::{Source, Standing, Why};

/// What a shop measures with.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct Bench {
    /// The scale.
    pub scale: Scale,
    /// The dropper that drops of catalyst are counted from, where one is used.
    pub dropper: Option<Dropper>,
    /// The syringe or burette that small volumes are measured with.
    pub syringe: Option<Syringe>,
    /// One division of the graduated cup.
    pub cup_graduation: Option<Volume>,
    /// The thermometer.
    pub thermometer: Option<Thermometer>,
}

impl Bench {
    /// A bench with a scale only.
    pub fn with_scale(readability: Mass) -> Self {
        Bench {
            scale: Scale {
                readability,
                repeatability: None,
            },
            dropper: None,
            syringe: None,
            cup_graduation: None,
            thermometer: None,
        }
    }

    /// Checks every instrument.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for a step that is not above zero, [`ErrorKind::NotFinite`] for NaN; the field is
    /// the path to it (`scale.readability`).
    pub fn check(&self) -> Result<()> {
        positive("readability", self.scale.readability).map_err(|e| e.within("scale"))?;
        if let Some(s) = self.scale.repeatability {
            not_negative("repeatability", s).map_err(|e| e.within("scale"))?;
        }
        if let Some(d) = &self.dropper {
            d.check().map_err(|e| e.within("dropper"))?;
        }
        if let Some(s) = &self.syringe {
            positive("graduation", s.graduation).map_err(|e| e.within("syringe"))?;
        }
        if let Some(g) = self.cup_graduation {
            positive("cup_graduation", g)?;
        }
        if let Some(t) = &self.thermometer {
            positive("readability", t.readability).map_err(|e| e.within("thermometer"))?;
            not_negative("error", t.error).map_err(|e| e.within("thermometer"))?;
        }
        Ok(())
    }
}

/// A scale with a digital display and a tare.
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
pub struct Scale {
    /// The step of the display.
    pub readability: Mass,
    /// Standard deviation of repeated readings of one load, where known; else the display's step alone counts.
    pub repeatability: Option<Mass>,
}

impl Scale {
    /// Standard uncertainty of a net mass, a difference of two readings (tare and filled), in kilograms:
    /// `u^2 = 2 (d^2/12 + s^2)` with display step `d` and repeatability `s` (JCGM 100:2008, F.2.2.1).
    pub fn net_uncertainty(&self) -> Mass {
        let step = measurement::of_step(1.0) * self.readability;
        let s = self.repeatability.unwrap_or_default();
        (2.0 * (step * step + s * s)).sqrt()
    }

    /// A net mass read from this scale, with its uncertainty.
    ///
    /// # Errors
    /// [`ErrorKind::NotFinite`] for a NaN.
    pub fn weigh(&self, net: Mass) -> Result<Estimate<Mass>> {
        Estimate::normal(net, self.net_uncertainty().si())
    }
}

/// A syringe or burette.
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
pub struct Syringe {
    /// One division.
    pub graduation: Volume,
    /// Largest error of its scale, relative, where known.
    pub tolerance: Option<RelativeSpread>,
}

impl Syringe {
    /// Standard uncertainty of a delivered `volume`, a difference of two readings each within half a division, and of
    /// the scale's own error: `u^2 = 2 g^2/12 + (t V)^2/3`.
    pub fn uncertainty(&self, volume: Volume) -> Volume {
        let step = measurement::of_step(1.0) * self.graduation;
        let scale = measurement::of_limits(self.tolerance.map_or(0.0, RelativeSpread::get)) * volume;
        (2.0 * step * step + scale * scale).sqrt()
    }
}

/// A thermometer.
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
pub struct Thermometer {
    /// The step of its display or scale.
    pub readability: TemperatureInterval,
    /// Largest error of its calibration.
    pub error: TemperatureInterval,
}

impl Thermometer {
    /// Standard uncertainty of one reading: `u^2 = d^2/12 + e^2/3`.
    pub fn uncertainty(&self) -> TemperatureInterval {
        let step = measurement::of_step(1.0) * self.readability;
        let error = measurement::of_limits(1.0) * self.error;
        (step * step + error * error).sqrt()
    }
}

/// A dropper: how much one drop is, and how sure that is.
///
/// The volume of `n` drops has the relative standard uncertainty `sqrt(mean_uncertainty^2 + drop_spread^2/n)`.
///
/// In a document either `{ drop_volume = "0.03 mL", drop_spread = "5 %", mean_uncertainty = "3 %" }`, or the
/// weighing itself `{ calibration = { drops = 100, mass = "3.2 g", density = "1.15 g/mL" } }`, or
/// `{ calibrated = false }` for one that nobody has weighed.
#[derive(Debug, Clone, PartialEq, Noun)]
#[noun(via = "DropperDocument")]
#[non_exhaustive]
pub struct Dropper {
    /// Mean volume of a drop.
    pub drop_volume: Volume,
    /// Standard deviation of one drop over the mean drop.
    pub drop_spread: RelativeSpread,
    /// Relative standard uncertainty of the mean drop: what counting more drops does not remove.
    pub mean_uncertainty: RelativeSpread,
    /// Where this comes from.
    pub source: Source,
}

/// A dropper's calibration: so many drops weigh so much.
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
pub struct Calibration {
    /// How many drops were weighed together.
    pub drops: u32,
    /// What they weighed.
    pub mass: Mass,
    /// Density of what was dropped: the liquid that the dropper will be used with, not water.
    pub density: MassDensity,
    /// Display step of the scale it was weighed on; 0.1 g if not said.
    pub readability: Option<Mass>,
    /// Standard deviation of one drop over the mean drop, where it was measured; else the default of 10 %.
    pub drop_spread: Option<RelativeSpread>,
}

/// Standard deviation of one drop over the mean drop, of a hand-held dropper: common practice, no source. The
/// pharmacopoeial dropper held upright is nearer to 5 %.
const DROP_SPREAD: f64 = 0.10;
/// Drop volume that a dropper nobody has calibrated is taken to have.
const DEFAULT_DROP_ML: f64 = 0.03;
/// Published rules print 4 and 13 drops per fluid ounce for what they call 1 %: a factor 3.25 in drop volume. Nothing
/// more known, its logarithm is rectangular over that factor: `u = ln(3.25)/sqrt(12)`.
const DEFAULT_MEAN_UNCERTAINTY: f64 = 0.34;
/// Display step of the scale of a calibration that does not say.
const DEFAULT_READABILITY_KG: f64 = 1e-4;

impl Dropper {
    /// A dropper whose drop volume and uncertainties are known.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for a drop volume that is not above zero or above 1 mL.
    pub fn new(
        drop_volume: Volume,
        drop_spread: RelativeSpread,
        mean_uncertainty: RelativeSpread,
        source: Source,
    ) -> Result<Self> {
        let dropper = Dropper {
            drop_volume,
            drop_spread,
            mean_uncertainty,
            source,
        };
        dropper.check()?;
        Ok(dropper)
    }

    /// The dropper that nobody has calibrated: 0.03 mL a drop, with the wide spread of what published rules imply
    /// (4 to 13 drops per fluid ounce for 1 %). Common practice, no source.
    pub fn uncalibrated() -> Self {
        let known = |x: f64| RelativeSpread::new(x).unwrap_or(RelativeSpread::ZERO);
        Dropper {
            drop_volume: Volume::new::<uom::si::volume::milliliter>(DEFAULT_DROP_ML),
            drop_spread: known(DROP_SPREAD),
            mean_uncertainty: known(DEFAULT_MEAN_UNCERTAINTY),
            source: Source::of(
                Standing::CommonPractice,
                "a drop of about 0.03 mL; published rules imply 4 to 13 drops per fluid ounce for 1 %",
            ),
        }
    }

    /// From a calibration: `v = M/(N rho)`, with the relative standard uncertainty
    /// `u^2 = 2 (d/M)^2/12 + s^2/N` of its mean (`d` display step, `s` spread of one drop).
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for no drops, no mass, a density that is not positive, or a drop above 1 mL.
    pub fn from_calibration(c: &Calibration) -> Result<Self> {
        if c.drops == 0 {
            return Err(Error::out_of_range(
                "drops",
                c.drops,
                "1 or more",
                "count the drops onto the scale: 100 drops make a good calibration",
            ));
        }
        let mass = positive("mass", c.mass)?;
        let density = positive("density", c.density)?;
        let n = f64::from(c.drops);
        let step = match c.readability {
            Some(r) => positive("readability", r)?,
            None => DEFAULT_READABILITY_KG,
        };
        let spread = c.drop_spread.map_or(DROP_SPREAD, RelativeSpread::get);
        let weighing = 2f64.sqrt() * measurement::of_step(step) / mass;
        let mean = (weighing * weighing + spread * spread / n).sqrt();
        Dropper::new(
            Volume::from_si(mass / (n * density))?,
            RelativeSpread::new(spread)?,
            RelativeSpread::new(finite("mean_uncertainty", mean)?)?,
            Source::of(
                Standing::MeasuredHere,
                &format!("{} drops weighed {}", c.drops, quantity::show(c.mass)),
            ),
        )
    }

    fn check(&self) -> Result<()> {
        let v = positive("drop_volume", self.drop_volume)?;
        if v > 1e-6 {
            return Err(Error::out_of_range(
                "drop_volume",
                quantity::show(self.drop_volume),
                "above 0 mL, 1 mL at most (published rules imply 0.02 mL to 0.08 mL)",
                "check the number of drops, the mass and the density of the calibration",
            ));
        }
        Ok(())
    }

    /// Whether its drop was measured rather than assumed.
    pub fn is_calibrated(&self) -> bool {
        self.source.standing >= Standing::Derived
    }

    /// Relative standard uncertainty of the volume of `n` drops: `sqrt(mean_uncertainty^2 + drop_spread^2/n)`.
    pub fn relative_uncertainty(&self, n: f64) -> f64 {
        let (m, s) = (self.mean_uncertainty.get(), self.drop_spread.get());
        (m * m + s * s / n.max(1.0)).sqrt()
    }

    /// The volume of `n` drops.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for a negative number of drops.
    pub fn volume_of(&self, n: f64) -> Result<Estimate<Volume>> {
        let n = finite("drops", n)?;
        if n < 0.0 {
            return Err(Error::out_of_range("drops", n, "0 or more", "count drops"));
        }
        Estimate::log_normal(n * self.drop_volume, self.relative_uncertainty(n))
    }

    /// How many drops hold `volume`, as a number that is yet to be rounded.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for a negative volume.
    pub fn drops_for(&self, volume: Volume) -> Result<f64> {
        Ok(not_negative("volume", volume)? / positive("drop_volume", self.drop_volume)?)
    }

    /// The chain behind its drop volume.
    pub fn why(&self) -> Why {
        Why::given("volume of one drop", quantity::show(self.drop_volume))
            .with_source(&self.source)
            .with_note(format!(
                "standard uncertainty of the mean drop {}, spread from drop to drop {}",
                quantity::show(self.mean_uncertainty),
                quantity::show(self.drop_spread)
            ))
    }
}

/// How a dropper is written in a document.
#[derive(Debug, Clone, Noun)]
#[noun(name = "Dropper")]
struct DropperDocument {
    /// `false` for a dropper that nobody has calibrated; then nothing else is given.
    calibrated: Option<bool>,
    /// The weighing of its drops.
    calibration: Option<Calibration>,
    /// Mean volume of a drop, where it is known otherwise.
    drop_volume: Option<Volume>,
    /// Standard deviation of one drop over the mean drop; 10 % if not said.
    drop_spread: Option<RelativeSpread>,
    /// Relative standard uncertainty of the mean drop.
    mean_uncertainty: Option<RelativeSpread>,
    /// Where the drop volume comes from.
    source: Option<Source>,
}

impl TryFrom<DropperDocument> for Dropper {
    type Error = Error;
    fn try_from(doc: DropperDocument) -> Result<Self> {
        match doc {
            DropperDocument {
                calibrated: Some(false),
                calibration: None,
                drop_volume: None,
                drop_spread: None,
                mean_uncertainty: None,
                source: None,
            } => Ok(Dropper::uncalibrated()),
            DropperDocument {
                calibrated: None | Some(true),
                calibration: Some(c),
                drop_volume: None,
                drop_spread: None,
                mean_uncertainty: None,
                source: None,
            } => Dropper::from_calibration(&c).map_err(|e| e.within("calibration")),
            DropperDocument {
                calibrated: None | Some(true),
                calibration: None,
                drop_volume: Some(v),
                drop_spread,
                mean_uncertainty: Some(mean),
                source,
            } => Dropper::new(
                v,
                drop_spread.map_or_else(|| RelativeSpread::new(DROP_SPREAD), Ok)?,
                mean,
                source.unwrap_or_else(|| Source::of(Standing::MeasuredHere, "drop volume as given")),
            ),
            _ => Err(Error::new(ErrorKind::Inconsistent, "")
                .with_allowed(
                    "either 'calibration' alone, or 'drop_volume' with 'mean_uncertainty' (and 'drop_spread', \
                     'source'), or 'calibrated = false' alone",
                )
                .with_way_out(
                    "count 100 drops onto the scale and write calibration = { drops = 100, mass = '3.2 g', \
                     density = '1.15 g/mL' }",
                )),
        }
    }
}

impl From<Dropper> for DropperDocument {
    fn from(d: Dropper) -> Self {
        DropperDocument {
            calibrated: None,
            calibration: None,
            drop_volume: Some(d.drop_volume),
            drop_spread: Some(d.drop_spread),
            mean_uncertainty: Some(d.mean_uncertainty),
            source: Some(d.source),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bench(text: &str) -> Result<Bench> {
        crate::document::from_toml(text)
    }

    #[test]
    fn a_bench_is_read_from_a_document_and_returns() {
        let b = bench(
            "cup_graduation = '10 mL'\n[scale]\nreadability = '0.1 g'\n[syringe]\ngraduation = '0.1 mL'\n\
             [thermometer]\nreadability = '0.5 K'\nerror = '1 K'\n\
             [dropper]\ncalibration = { drops = 100, mass = '3.45 g', density = '1.15 g/mL' }\n",
        )
        .unwrap();
        b.check().unwrap();
        let d = b.dropper.as_ref().unwrap();
        assert!((d.drop_volume.si() - 30e-9).abs() < 1e-15);
        assert!(d.is_calibrated());
        let again: Bench = crate::document::from_json(&crate::document::to_json(&b).unwrap()).unwrap();
        assert_eq!(again, b);
    }

    #[test]
    fn a_bench_refuses_what_it_does_not_know() {
        for bad in [
            "[scale]\nreadability = 0.1\n",
            "[scale]\nreadability = '0.1 mL'\n",
            "[scale]\nreadability = '0.1 g'\nmake = 'x'\n",
            "[scale]\nreadability = '0.1 g'\n[dropper]\n",
            "[scale]\nreadability = '0.1 g'\n[dropper]\ncalibrated = false\ndrop_volume = '0.03 mL'\n",
            "[scale]\nreadability = '0.1 g'\n[dropper]\ncalibration = { drops = 0, mass = '3 g', density = '1 g/mL' }\n",
        ] {
            assert!(bench(bad).is_err(), "{bad}");
        }
        let mut b = Bench::with_scale(Mass::from_si(1e-4).unwrap());
        b.cup_graduation = Some(Volume::from_si(0.0).unwrap());
        assert_eq!(b.check().unwrap_err().field(), "cup_graduation");
        let none = bench("[scale]\nreadability = '0.1 g'\n[dropper]\ncalibrated = false\n").unwrap();
        assert!(!none.dropper.unwrap().is_calibrated());
    }

    #[test]
    fn more_drops_are_surer_but_never_surer_than_the_mean() {
        let d = Dropper::uncalibrated();
        assert!(d.relative_uncertainty(5.0) > d.relative_uncertainty(50.0));
        assert!(d.relative_uncertainty(1e9) >= d.mean_uncertainty.get());
    }
}
