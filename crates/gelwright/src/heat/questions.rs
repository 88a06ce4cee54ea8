//! The heat module at the [door](crate::door).

use crate::noun::Noun;

use super::critical::{CriticalSize, CriticalSizeAnswer};
use super::cup::{Cup, CupRun, sweep_cups};
use super::face::Surroundings;
use super::kernel::Workspace;
use super::pour::{HollowOrSolid, HollowOrSolidAnswer, Pours, PoursAnswer, ThickestPour, ThickestPourAnswer};
use super::solve::between;
use super::wall::{Wall, WallRun, sweep};
use crate::cancel::Cancel;
use crate::cure::RateLaw;
use crate::door::{LongQuestion, Question, entry, long_entry};
use crate::error::{Error, ErrorKind, Result};
use crate::quantity::{HeatTransfer, Length, Phr, Quantity, ThermodynamicTemperature, Time, show};
use crate::question::Entry;
use crate::source::Why;

pub(crate) const QUESTIONS: &[Entry] = &[
    long_entry::<Cup>(),
    long_entry::<SweepCups>(),
    long_entry::<Wall>(),
    long_entry::<SweepWalls>(),
    long_entry::<ThickestPour>(),
    long_entry::<Pours>(),
    long_entry::<HollowOrSolid>(),
    entry::<CriticalSize>(),
    long_entry::<ThicknessForPeak>(),
    long_entry::<PourTemperature>(),
    long_entry::<DoseForGel>(),
    entry::<StillAir>(),
];

impl Question for Cup {
    const NAME: &'static str = "heat.cup";
    const ABOUT: &'static str =
        "Exotherm of a cup of mixed resin: gel, peak and its time, and whether one temperature is fair.";
    type Answer = CupRun;
    fn answer(&self) -> Result<CupRun> {
        self.answer_with(Cancel::NEVER)
    }
}

impl LongQuestion for Cup {
    fn answer_with(&self, cancel: Cancel<'_>) -> Result<CupRun> {
        self.run_with(cancel)
    }
}

impl Question for Wall {
    const NAME: &'static str = "heat.wall";
    const ABOUT: &'static str = "Temperature and conversion over time and depth of a wall of layers: peak, faces, gel and demould of each layer.";
    type Answer = WallRun;
    fn answer(&self) -> Result<WallRun> {
        self.answer_with(Cancel::NEVER)
    }
}

impl LongQuestion for Wall {
    fn answer_with(&self, cancel: Cancel<'_>) -> Result<WallRun> {
        self.run_with(cancel)
    }
}

impl Question for ThickestPour {
    const NAME: &'static str = "heat.thickest_pour";
    const ABOUT: &'static str = "Thickest layer of a wall that keeps every temperature limit.";
    type Answer = ThickestPourAnswer;
    fn answer(&self) -> Result<ThickestPourAnswer> {
        self.answer_with(Cancel::NEVER)
    }
}

impl LongQuestion for ThickestPour {
    fn answer_with(&self, cancel: Cancel<'_>) -> Result<ThickestPourAnswer> {
        self.solve(cancel)
    }
}

impl Question for Pours {
    const NAME: &'static str = "heat.pours";
    const ABOUT: &'static str = "Number of pours of a thick body and the waiting time between them, with every temperature limit kept.";
    type Answer = PoursAnswer;
    fn answer(&self) -> Result<PoursAnswer> {
        self.answer_with(Cancel::NEVER)
    }
}

impl LongQuestion for Pours {
    fn answer_with(&self, cancel: Cancel<'_>) -> Result<PoursAnswer> {
        self.solve(cancel)
    }
}

impl Question for HollowOrSolid {
    const NAME: &'static str = "heat.hollow_or_solid";
    const ABOUT: &'static str =
        "The same mould cast as a hollow shell and solid: mix, cost, peak, hours, cracked or not.";
    type Answer = HollowOrSolidAnswer;
    fn answer(&self) -> Result<HollowOrSolidAnswer> {
        self.answer_with(Cancel::NEVER)
    }
}

impl LongQuestion for HollowOrSolid {
    fn answer_with(&self, cancel: Cancel<'_>) -> Result<HollowOrSolidAnswer> {
        self.solve(cancel)
    }
}

impl Question for CriticalSize {
    const NAME: &'static str = "heat.critical_size";
    const ABOUT: &'static str =
        "Size beyond which a mass of mix can not give off its heat fast enough (Frank-Kamenetskii).";
    type Answer = CriticalSizeAnswer;
    fn answer(&self) -> Result<CriticalSizeAnswer> {
        self.solve()
    }
}

/// A row of a sweep, which may refuse; a cancelled one is no row.
fn finished<T>(row: Result<T>) -> Result<Result<T>> {
    match row {
        Err(e) if e.kind() == ErrorKind::Cancelled => Err(e),
        row => Ok(row),
    }
}

/// Many walls at once.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct SweepWalls {
    /// The walls.
    pub walls: Vec<Wall>,
}

/// Answer to [`SweepWalls`]: a column a quantity, a row a wall, null where a wall refused or never got there.
#[derive(Debug, Clone, Default, PartialEq, Noun)]
#[non_exhaustive]
pub struct SweepWallsAnswer {
    /// Hottest anywhere, K.
    pub peak_k: Vec<Option<f64>>,
    /// When, s.
    pub peak_time_s: Vec<Option<f64>>,
    /// Depth of the hottest place below the first face, m.
    pub peak_depth_m: Vec<Option<f64>>,
    /// Estimated error of the peak, K.
    pub peak_error_k: Vec<Option<f64>>,
    /// When all that cures had gelled, s.
    pub gelled_s: Vec<Option<f64>>,
    /// When all had reached its demould criterion, s.
    pub demould_s: Vec<Option<f64>>,
    /// When it first passed 300 °C, s.
    pub runaway_s: Vec<Option<f64>>,
    /// Why a wall refused.
    pub error: Vec<Option<String>>,
}

impl Question for SweepWalls {
    const NAME: &'static str = "heat.sweep_walls";
    const ABOUT: &'static str = "Peaks, gel and demould times of many walls, on all cores, as columns.";
    type Answer = SweepWallsAnswer;
    fn answer(&self) -> Result<SweepWallsAnswer> {
        self.answer_with(Cancel::NEVER)
    }
}

impl LongQuestion for SweepWalls {
    fn answer_with(&self, cancel: Cancel<'_>) -> Result<SweepWallsAnswer> {
        let mut out = SweepWallsAnswer::default();
        for r in sweep(&self.walls, cancel) {
            let r = finished(r)?;
            let s = r.as_ref().ok();
            out.peak_k.push(s.map(|s| s.peak.si()));
            out.peak_time_s.push(s.map(|s| s.peak_time.si()));
            out.peak_depth_m.push(s.map(|s| s.peak_depth.si()));
            out.peak_error_k.push(s.map(|s| s.peak_error.si()));
            out.gelled_s.push(s.and_then(|s| s.gelled).map(Quantity::si));
            out.demould_s.push(s.and_then(|s| s.demould).map(Quantity::si));
            out.runaway_s.push(s.and_then(|s| s.runaway).map(Quantity::si));
            out.error.push(r.err().map(|e| e.to_string()));
        }
        Ok(out)
    }
}

/// Many cups at once.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct SweepCups {
    /// The cups.
    pub cups: Vec<Cup>,
}

/// Answer to [`SweepCups`]: a column a quantity, a row a cup, null where a cup refused or never got there.
#[derive(Debug, Clone, Default, PartialEq, Noun)]
#[non_exhaustive]
pub struct SweepCupsAnswer {
    /// Peak, K.
    pub peak_k: Vec<Option<f64>>,
    /// When, s.
    pub peak_time_s: Vec<Option<f64>>,
    /// Gel time, s.
    pub gel_s: Vec<Option<f64>>,
    /// Conversion at the end.
    pub cure: Vec<Option<f64>>,
    /// Why a cup refused.
    pub error: Vec<Option<String>>,
}

impl Question for SweepCups {
    const NAME: &'static str = "heat.sweep_cups";
    const ABOUT: &'static str = "Gel times and peaks of many cups, on all cores, as columns.";
    type Answer = SweepCupsAnswer;
    fn answer(&self) -> Result<SweepCupsAnswer> {
        self.answer_with(Cancel::NEVER)
    }
}

impl LongQuestion for SweepCups {
    fn answer_with(&self, cancel: Cancel<'_>) -> Result<SweepCupsAnswer> {
        let mut out = SweepCupsAnswer::default();
        for r in sweep_cups(&self.cups, cancel) {
            let r = finished(r)?;
            let s = r.as_ref().ok();
            out.peak_k.push(s.map(|s| s.peak.si()));
            out.peak_time_s.push(s.map(|s| s.peak_time.si()));
            out.gel_s.push(s.and_then(|s| s.gel).map(Quantity::si));
            out.cure.push(s.map(|s| s.cure.get()));
            out.error.push(r.err().map(|e| e.to_string()));
        }
        Ok(out)
    }
}

/// The thickness of a layer at which the wall peaks at a wanted temperature.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct ThicknessForPeak {
    /// The wall; the thickness of `layer` is replaced.
    pub wall: Wall,
    /// Name of the layer.
    pub layer: String,
    /// Wanted peak.
    pub peak: ThermodynamicTemperature,
    /// Thinnest to try.
    pub thinnest: Length,
    /// Thickest to try.
    pub thickest: Length,
}

/// Answer to [`ThicknessForPeak`].
#[derive(Debug, Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct ThicknessForPeakAnswer {
    /// Thickness.
    pub thickness: Length,
    /// Peak at that thickness.
    pub peak: ThermodynamicTemperature,
    /// When.
    pub peak_time: Time,
    /// Outside the fitted range of the kinetics.
    pub extrapolated: Option<String>,
    /// Cautions.
    pub cautions: Vec<String>,
    /// Equation and sources.
    pub why: Why,
}

impl Question for ThicknessForPeak {
    const NAME: &'static str = "heat.thickness_for_peak";
    const ABOUT: &'static str = "Thickness of a layer at which the wall peaks at a wanted temperature.";
    type Answer = ThicknessForPeakAnswer;
    fn answer(&self) -> Result<ThicknessForPeakAnswer> {
        self.answer_with(Cancel::NEVER)
    }
}

impl LongQuestion for ThicknessForPeak {
    fn answer_with(&self, cancel: Cancel<'_>) -> Result<ThicknessForPeakAnswer> {
        let at = self
            .wall
            .layers
            .iter()
            .position(|l| l.name == self.layer)
            .ok_or_else(|| {
                Error::unknown_name(
                    "layer",
                    &self.layer,
                    self.wall.layers.iter().map(|l| l.name.as_str()),
                )
            })?;
        let mut work = Workspace::new();
        let mut wall = self.wall.clone();
        wall.profiles = 0;
        let mut run = |x: Length| {
            wall.layers[at].thickness = x;
            wall.run_in(&mut work, cancel)
        };
        let thickness = between(
            "thickness",
            (self.thinnest, self.thickest),
            self.peak,
            1e-5,
            |x| Ok(run(x)?.peak.temperature),
        )?;
        let run = run(thickness)?;
        Ok(ThicknessForPeakAnswer {
            thickness,
            peak: run.peak.temperature,
            peak_time: run.peak.time,
            extrapolated: run.extrapolated,
            cautions: run.cautions,
            why: Why::computed(
                "thickness",
                show(thickness),
                "root of peak(thickness) = wanted, bracketed",
                vec![run.why],
            ),
        })
    }
}

/// The temperature to pour at for a cup to gel at a wanted time.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct PourTemperature {
    /// The cup; its `starts_at` is replaced.
    pub cup: Cup,
    /// Wanted gel time.
    pub gel: Time,
    /// Coldest to try.
    pub coldest: ThermodynamicTemperature,
    /// Warmest to try.
    pub warmest: ThermodynamicTemperature,
}

/// Answer to [`PourTemperature`].
#[derive(Debug, Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct PourTemperatureAnswer {
    /// Temperature of the mix.
    pub temperature: ThermodynamicTemperature,
    /// The cup poured at it.
    pub cup: CupRun,
    /// Equation and sources.
    pub why: Why,
}

/// Gel time of a cup, refused where it does not gel while followed.
fn gel_of(cup: &Cup, work: &mut Workspace, cancel: Cancel<'_>) -> Result<Time> {
    let run = cup.run_in(work, cancel)?;
    // A cup that does not gel is later than any time asked for.
    Ok(match run.gel {
        Some(t) => t,
        None => Time::from_si(10.0 * cup.duration.si())?,
    })
}

fn gel_follows(cup: &Cup, gel: Time) -> Result<Cup> {
    let mut cup = cup.clone();
    cup.points = 0;
    cup.stop_when_cooling = false;
    if gel.si() >= cup.duration.si() {
        return Err(Error::inconsistent(
            "gel",
            show(gel),
            format!("below the duration, {}", show(cup.duration)),
            "lengthen the cup's duration",
        ));
    }
    Ok(cup)
}

impl Question for PourTemperature {
    const NAME: &'static str = "heat.pour_temperature";
    const ABOUT: &'static str = "Temperature of the mix at which a cup gels at a wanted time.";
    type Answer = PourTemperatureAnswer;
    fn answer(&self) -> Result<PourTemperatureAnswer> {
        self.answer_with(Cancel::NEVER)
    }
}

impl LongQuestion for PourTemperature {
    fn answer_with(&self, cancel: Cancel<'_>) -> Result<PourTemperatureAnswer> {
        let mut cup = gel_follows(&self.cup, self.gel)?;
        let mut work = Workspace::new();
        let temperature = between("temperature", (self.coldest, self.warmest), self.gel, 1e-3, |t| {
            cup.starts_at = t;
            gel_of(&cup, &mut work, cancel)
        })?;
        cup.starts_at = temperature;
        let run = cup.run_with(cancel)?;
        Ok(PourTemperatureAnswer {
            temperature,
            why: Why::computed(
                "temperature of the mix",
                show(temperature),
                "root of gel(temperature) = wanted, bracketed",
                vec![run.why.clone()],
            ),
            cup: run,
        })
    }
}

/// The dose of catalyst for a cup to gel at a wanted time.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct DoseForGel {
    /// The cup, with free-radical kinetics; their dose is replaced.
    pub cup: Cup,
    /// Wanted gel time.
    pub gel: Time,
    /// Least catalyst to try: the lower end of the data sheet's window.
    pub least: Phr,
    /// Most catalyst to try: the upper end of the data sheet's window.
    pub most: Phr,
}

/// Answer to [`DoseForGel`].
#[derive(Debug, Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct DoseForGelAnswer {
    /// Catalyst.
    pub dose: Phr,
    /// The cup with that dose.
    pub cup: CupRun,
    /// Cautions.
    pub cautions: Vec<String>,
    /// Equation and sources.
    pub why: Why,
}

impl Question for DoseForGel {
    const NAME: &'static str = "heat.dose_for_gel";
    const ABOUT: &'static str =
        "Catalyst dose, within the data sheet's window, at which a cup gels at a wanted time.";
    type Answer = DoseForGelAnswer;
    fn answer(&self) -> Result<DoseForGelAnswer> {
        self.answer_with(Cancel::NEVER)
    }
}

impl LongQuestion for DoseForGel {
    fn answer_with(&self, cancel: Cancel<'_>) -> Result<DoseForGelAnswer> {
        let mut cup = gel_follows(&self.cup, self.gel)?;
        let mut work = Workspace::new();
        let set = |cup: &mut Cup, dose: Phr| match &mut cup.cure.kinetics.law {
            RateLaw::FreeRadical(f) => {
                f.dose = dose;
                Ok(())
            }
            _ => Err(Error::inconsistent(
                "cup.cure.kinetics.law",
                "a law without a catalyst dose",
                "free_radical",
                "only free-radical kinetics know the dose",
            )),
        };
        let dose = between("dose", (self.least, self.most), self.gel, 1e-4, |d| {
            set(&mut cup, d)?;
            gel_of(&cup, &mut work, cancel)
        })?;
        set(&mut cup, dose)?;
        let run = cup.run_with(cancel)?;
        Ok(DoseForGelAnswer {
            dose,
            cautions: vec![
                "organic peroxide: wear goggles and gloves, never mix it with promoter directly, and stay inside the \
                 data sheet's dose window."
                    .into(),
            ],
            why: Why::computed("catalyst", show(dose), "root of gel(dose) = wanted, bracketed", vec![run.why.clone()]),
            cup: run,
        })
    }
}

/// Heat transfer coefficient of a face in still air.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct StillAir {
    /// How it stands.
    pub surroundings: Surroundings,
    /// Temperature of the face.
    pub face: ThermodynamicTemperature,
    /// Temperature of air and walls.
    pub air: ThermodynamicTemperature,
}

/// Answer to [`StillAir`].
#[derive(Debug, Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct StillAirAnswer {
    /// Of convection and radiation together.
    pub coefficient: HeatTransfer,
    /// Of convection alone.
    pub convection: HeatTransfer,
    /// Equation and sources.
    pub why: Why,
}

impl Question for StillAir {
    const NAME: &'static str = "heat.still_air";
    const ABOUT: &'static str =
        "Heat transfer coefficient of a face in still air: natural convection and radiation.";
    type Answer = StillAirAnswer;
    fn answer(&self) -> Result<StillAirAnswer> {
        let coefficient = self.surroundings.coefficient(self.face, self.air)?;
        let convection = HeatTransfer::from_si(self.surroundings.convection(self.face.si(), self.air.si()))?;
        Ok(StillAirAnswer {
            coefficient,
            convection,
            why: Why::computed(
                "heat transfer coefficient",
                show(coefficient),
                "Nu(Ra, Pr) k / L + eps sigma (Tf^2 + Ta^2)(Tf + Ta)",
                vec![
                    Why::given("face", show(self.face)),
                    Why::given("air", show(self.air)),
                    Why::given("size", show(self.surroundings.size)),
                ],
            )
            .with_source(&self.surroundings.source()),
        })
    }
}
