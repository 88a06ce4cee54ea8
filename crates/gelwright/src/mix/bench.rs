//! What the shop measures with: scale, dropper, syringe, graduated cup, thermometer, and how far each can be off.

use super::measurement::{self, Estimate};
use crate::check::{not_negative, positive};
use crate::error::{Error, ErrorKind, Result, finite};
use crate::noun::{Noun, questions};
use crate::quantity::spread::{Distribution, Spread};
use crate::quantity::{
    self, Mass, MassDensity, Quantity, RelativeSpread, TemperatureInterval, ThermodynamicTemperature, Volume,
    known,
};
use crate::source::{Source, Standing, Why};

/// What a shop measures with.
#[derive(Clone, PartialEq, Noun)]
pub struct Bench {
    /// The scale.
    pub scale: Scale,
    /// The dropper that drops of catalyst are counted from, where one is used.
    pub dropper: Option<Dropper>,
    /// The syringe or burette that small volumes are measured with.
    pub syringe: Option<Syringe>,
    /// One division of the graduated cup.
    #[noun(within(> "0 mL", .., "write one division of the cup, for example '10 mL'"))]
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
                auto_zero: true,
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
        crate::noun::check(self)
    }
}

/// A scale with a digital display and a tare.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct Scale {
    /// The step of the display.
    #[noun(within = crate::ranges::SCALE_STEP)]
    pub readability: Mass,
    /// Standard deviation of repeated readings of one load, where known; else the display's step alone counts.
    #[noun(within("0 g", .., "write a standard deviation, for example '0.05 g'"))]
    pub repeatability: Option<Mass>,
    /// Whether it takes slow changes for a drifting zero and takes them away (auto-zero); `false` where that is switched off.
    #[noun(default = true)]
    pub auto_zero: bool,
}

impl Scale {
    /// Standard uncertainty of a net mass, a difference of two readings (tare and filled), in kilograms:
    /// `u^2 = 2 (d^2/12 + s^2)` with display step `d` and repeatability `s` (JCGM 100:2008, F.2.2.1).
    pub fn net_uncertainty(&self) -> Mass {
        let step = measurement::of_step(1.0) * self.readability;
        let s = self.repeatability.unwrap_or_default();
        (2.0 * (step * step + s * s)).sqrt()
    }

    /// A net mass read from this scale, with its spread: normal, `u` as [`Scale::net_uncertainty`].
    ///
    /// # Errors
    /// [`ErrorKind::NotFinite`] for a NaN.
    pub fn weigh(&self, net: Mass) -> Result<Spread<Mass>> {
        Spread::new(net, Distribution::Normal(self.net_uncertainty().si()))
    }
}

/// A syringe or burette.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct Syringe {
    /// One division.
    #[noun(within(> "0 mL", .., "write one division of the syringe, for example '0.1 mL'"))]
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

    /// A volume delivered from this syringe, with its spread: normal, `u` as [`Syringe::uncertainty`].
    ///
    /// # Errors
    /// [`ErrorKind::NotFinite`] for a NaN.
    pub fn draw(&self, volume: Volume) -> Result<Spread<Volume>> {
        Spread::new(volume, Distribution::Normal(self.uncertainty(volume).si()))
    }
}

/// A thermometer.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct Thermometer {
    /// The step of its display or scale.
    #[noun(within(> "0 K", .., "write a step of the display above zero, for example '0.1 K'"))]
    pub readability: TemperatureInterval,
    /// Largest error of its calibration.
    #[noun(within("0 K", .., "write the largest error, for example '1 K'"))]
    pub error: TemperatureInterval,
}

impl Thermometer {
    /// Standard uncertainty of one reading: `u^2 = d^2/12 + e^2/3`.
    pub fn uncertainty(&self) -> TemperatureInterval {
        let step = measurement::of_step(1.0) * self.readability;
        let error = measurement::of_limits(1.0) * self.error;
        (step * step + error * error).sqrt()
    }

    /// A temperature read from this thermometer, with its spread: normal, `u` as [`Thermometer::uncertainty`]. Two limits add
    /// to no rectangle, and to a normal distribution only nearly: the tails beyond `d/2 + e` are not cut off.
    ///
    /// # Errors
    /// [`ErrorKind::NotFinite`] for a NaN.
    pub fn reading(&self, temperature: ThermodynamicTemperature) -> Result<Spread<ThermodynamicTemperature>> {
        Spread::new(temperature, Distribution::Normal(self.uncertainty().si()))
    }
}

/// A dropper: how much one drop is, and how sure that is.
///
/// The volume of `n` drops has the relative standard uncertainty `sqrt(mean_uncertainty^2 + drop_spread^2/n)`.
///
/// In a document either `{ drop_volume = "0.03 mL", drop_spread = "5 %", mean_uncertainty = "3 %" }`, or the
/// weighing itself `{ calibration = { drops = 100, mass = "3.2 g", density = "1.15 g/mL" } }`, or
/// `{ calibrated = false }` for one that nobody has weighed.
#[derive(Clone, PartialEq, Noun)]
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
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct DropperCalibration {
    /// How many drops were weighed together.
    #[noun(within(1, .., "count the drops onto the scale: 100 drops make a good calibration"))]
    pub drops: u32,
    /// What they weighed.
    #[noun(within(> "0 g", .., "write what the drops weighed together, for example '3.2 g'"))]
    pub mass: Mass,
    /// Density of what was dropped: the liquid that the dropper will be used with, not water.
    #[noun(within(> "0 g/mL", .., "write the density of that liquid, for example '1.15 g/mL'"))]
    pub density: MassDensity,
    /// Display step of the scale it was weighed on.
    #[noun(default = "0.1 g", within = crate::ranges::SCALE_STEP)]
    pub readability: Mass,
    /// Standard deviation of one drop over the mean drop; left out, that of a hand-held dropper (common practice, no source).
    #[noun(default = known(DROP_SPREAD))]
    pub drop_spread: RelativeSpread,
}

/// A dropper by its calibration.
#[derive(Clone, PartialEq, Noun)]
pub struct CalibratedDropper {
    /// The dropper, to be put into a bench.
    pub dropper: Dropper,
    /// Volume of one drop.
    pub drop_volume: Estimate<Volume>,
    /// Mass of one drop of the liquid it was calibrated with.
    pub drop_mass: Mass,
    /// Drops to a millilitre.
    pub drops_per_ml: f64,
    /// The chain behind it.
    pub why: Why,
}

#[questions]
impl DropperCalibration {
    /// A dropper's drop volume, with its uncertainty, from N drops that weigh M.
    ///
    /// `v = M/(N rho)`, with the relative standard uncertainty `u^2 = 2 (d/M)^2/12 + s^2/N` of its mean (`d` display step,
    /// `s` spread of one drop).
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for no drops, no mass, a density that is not positive, or a drop above 1 mL.
    #[question("mix.dropper_from_calibration")]
    pub fn dropper(&self) -> Result<CalibratedDropper> {
        crate::noun::check(self)?;
        let n = f64::from(self.drops);
        let mass = self.mass.si();
        let weighing = 2f64.sqrt() * measurement::of_step(self.readability.si()) / mass;
        let spread = self.drop_spread.get();
        let mean = (weighing * weighing + spread * spread / n).sqrt();
        let dropper = Dropper::new(
            Volume::from_si(mass / (n * self.density.si()))?,
            self.drop_spread,
            RelativeSpread::new(finite("mean_uncertainty", mean)?)?,
            Source::of(
                Standing::MeasuredHere,
                &format!("{} drops weighed {}", self.drops, quantity::show(self.mass)),
            ),
        )?;
        Ok(CalibratedDropper {
            drop_volume: Estimate::log_normal(dropper.drop_volume, dropper.mean_uncertainty.get())?,
            drop_mass: dropper.drop_volume * self.density,
            drops_per_ml: 1e-6 / dropper.drop_volume.si(),
            why: Why::computed(
                "volume of one drop",
                quantity::show(dropper.drop_volume),
                "v = M/(N rho)",
                vec![
                    Why::given("drops weighed, N", self.drops.to_string()),
                    Why::given("their mass, M", quantity::show(self.mass)),
                    Why::given("density of the liquid, rho", quantity::show(self.density)),
                ],
            )
            .with_source(&dropper.source),
            dropper,
        })
    }
}

/// Standard deviation of one drop over the mean drop, of a hand-held dropper: common practice, no source. The
/// pharmacopoeial dropper held upright is nearer to 5 %.
pub const DROP_SPREAD: f64 = 0.10;
/// Drop volume that a dropper nobody has calibrated is taken to have.
const DEFAULT_DROP_ML: f64 = 0.03;
/// Published rules print 4 and 13 drops per fluid ounce for what they call 1 %: a factor 3.25 in drop volume. Nothing
/// more known, its logarithm is rectangular over that factor: `u = ln(3.25)/sqrt(12)`.
const DEFAULT_MEAN_UNCERTAINTY: f64 = 0.34;

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
        crate::noun::check(&dropper)?;
        Ok(dropper)
    }

    /// The dropper that nobody has calibrated: 0.03 mL a drop, with the wide spread of what published rules imply
    /// (4 to 13 drops per fluid ounce for 1 %). Common practice, no source.
    pub fn uncalibrated() -> Self {
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

    /// Whether its drop was measured rather than assumed.
    pub fn is_calibrated(&self) -> bool {
        self.source.standing >= Standing::Derived
    }

    /// Relative standard uncertainty of the volume of `n` drops: `sqrt(mean_uncertainty^2 + drop_spread^2/n)`.
    pub fn relative_uncertainty(&self, n: f64) -> f64 {
        let (m, s) = (self.mean_uncertainty.get(), self.drop_spread.get());
        (m * m + s * s / n.max(1.0)).sqrt()
    }

    /// The volume of `n` counted drops, with its spread: log-normal, `u` as [`Dropper::relative_uncertainty`].
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for no drops or fewer.
    pub fn count(&self, n: f64) -> Result<Spread<Volume>> {
        let n = positive("drops", known::<quantity::Index>(finite("drops", n)?))?;
        Spread::new(
            n * self.drop_volume,
            Distribution::LogNormal(self.relative_uncertainty(n)),
        )
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
#[derive(Clone, Noun)]
#[noun(name = "Dropper")]
struct DropperDocument {
    /// `false` for a dropper that nobody has calibrated; then nothing else is given.
    calibrated: Option<bool>,
    /// The weighing of its drops.
    calibration: Option<DropperCalibration>,
    /// Mean volume of a drop, where it is known otherwise; published rules imply 0.02 mL to 0.08 mL.
    #[noun(within(> "0 mL", "1 mL", "check the number of drops, the mass and the density of the calibration"))]
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
            } => c.dropper().map(|made| made.dropper).map_err(|e| e.within("calibration")),
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
        let again: Bench =
            crate::document::from_json(&crate::document::to_json(&b).unwrap(), crate::Cancel::NEVER).unwrap();
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
    fn what_a_document_leaves_out_is_what_rust_names() {
        let given = r#"{ "drops": 100, "mass": "3.2 g", "density": "1.15 g/mL" }"#;
        let c: DropperCalibration = crate::document::from_json(given, crate::Cancel::NEVER).unwrap();
        assert_eq!(c.drop_spread.get().to_bits(), DROP_SPREAD.to_bits());
        let given = r#"{ "dose": "2 phr", "dose_density": "1.15 g/mL", "bench": { "scale": { "readability": "0.1 g" } } }"#;
        let d: crate::mix::dosing::Dosing = crate::document::from_json(given, crate::Cancel::NEVER).unwrap();
        let known = crate::mix::dosing::DENSITY_UNCERTAINTY;
        assert_eq!(d.density_uncertainty.get().to_bits(), known.to_bits());
    }

    #[test]
    fn more_drops_are_surer_but_never_surer_than_the_mean() {
        let d = Dropper::uncalibrated();
        assert!(d.relative_uncertainty(5.0) > d.relative_uncertainty(50.0));
        assert!(d.relative_uncertainty(1e9) >= d.mean_uncertainty.get());
    }
}
