//! The argument the trade makes: how thick at once, in how many pours, hollow or solid.

use super::face::Face;
use super::geometry::{Geometry, Grows};
use super::kernel::Workspace;
use super::layer::{Cure, Layer, Thermal};
use super::passes::{Cells, Ended};
use super::wall::{Wall, WallRun};
use crate::cancel::Cancel;
use crate::cure::CureDensities;
use crate::error::{Error, ErrorKind, Result};
use crate::noun::{self, Noun, questions};
use crate::numeric::roots;
use crate::quantity::{
    Area, DegreeOfCure, Length, Mass, Money, Price, PriceBasis, Quantity, Strain, TemperatureCoefficient,
    TemperatureInterval, ThermodynamicTemperature, Time, show,
};
use crate::source::{Source, Standing, Why};

/// Where a temperature limit holds.
#[derive(Clone, PartialEq, Noun)]
pub struct HeatLimit {
    /// Name of the layer it holds in; everywhere where not given.
    pub layer: Option<String>,
    /// Hottest allowed.
    pub below: ThermodynamicTemperature,
    /// Why: "mould wax softens", "monomer boils", "resin cracks".
    pub because: String,
}

impl HeatLimit {
    /// Kelvin above the limit (negative: below).
    fn excess(&self, run: &WallRun) -> Result<f64> {
        let hottest = match &self.layer {
            None => run.peak.temperature.si(),
            Some(name) => run
                .layers
                .iter()
                .find(|l| &l.name == name)
                .map(|l| l.peak.temperature.si())
                .ok_or_else(|| {
                    Error::unknown_name("limits.layer", name, run.layers.iter().map(|l| l.name.as_str()))
                })?,
        };
        Ok(hottest - self.below.si())
    }
}

/// The largest excess over the limits, K, and the limit that gives it.
fn worst<'a>(limits: &'a [HeatLimit], run: &WallRun) -> Result<(f64, &'a HeatLimit)> {
    let mut worst: Option<(f64, &HeatLimit)> = None;
    for l in limits {
        let e = l.excess(run)?;
        if worst.is_none_or(|(w, _)| e > w) {
            worst = Some((e, l));
        }
    }
    worst.ok_or_else(|| {
        Error::out_of_range(
            "limits",
            "none",
            "one limit or more",
            "give what must not be passed, for example the mould's softening temperature",
        )
    })
}

/// The thickest that a layer of a wall may be for all limits to hold.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct ThickestPour {
    /// The thickest that keeps all limits.
    pub thickness: Length,
    /// Its hottest.
    pub peak: ThermodynamicTemperature,
    /// When that is.
    pub peak_time: Time,
    /// The limit that binds; none where the thickest tried keeps them all.
    pub binding: Option<String>,
    /// Space error.
    pub cells: Cells,
    /// Outside the fitted range of the kinetics.
    pub extrapolated: Option<String>,
    /// Cautions.
    pub cautions: Vec<String>,
    /// Equation and sources.
    pub why: Why,
}

/// A thick body in several pours.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct Pours {
    /// How many.
    pub count: u32,
    /// Thickness of each.
    pub each: Length,
    /// When each is laid, s.
    pub laid_at_s: Vec<f64>,
    /// Hottest of the whole job.
    pub peak: ThermodynamicTemperature,
    /// When the last has gelled and cooled as well.
    pub done: Time,
    /// Outside the fitted range of the kinetics.
    pub extrapolated: Option<String>,
    /// Cautions.
    pub cautions: Vec<String>,
    /// Equation and sources.
    pub why: Why,
}

/// The thickness of a layer at which a wall peaks at a wanted temperature.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct ThicknessForPeak {
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

const PEAK_CAUTION: &str = "a computed peak is no permission: pour a trial of the same thickness first, keep to the \
                            product's data sheet, and do not leave a curing mass alone.";

impl Wall {
    /// Where the layer called `name` is.
    fn layer_named(&self, name: &str) -> Result<usize> {
        let found = self.layers.iter().position(|l| l.name == name);
        found.ok_or_else(|| Error::unknown_name("layer", name, self.layers.iter().map(|l| l.name.as_str())))
    }

    /// The wall as it is tried: without what only a whole run answers, which `answered` then says.
    fn tried(&self) -> Wall {
        Wall {
            profiles: 0,
            time_above: None,
            ..self.clone()
        }
    }

    /// The chain behind an answer, with what of the wall's settings it leaves unanswered.
    fn answered(&self, why: Why) -> Why {
        match self.beyond_summary() {
            None => why,
            Some((field, value)) => why.with_note(format!(
                "{field} = {value} is not answered here: ask heat.wall for the wall that was found"
            )),
        }
    }

    /// The layer at `at` in `count` equal pours.
    fn poured(&self, at: usize, count: u32, pouring: &Pouring<'_>, work: &mut Workspace) -> Result<Poured> {
        let whole = &self.layers[at];
        let each = Length::from_si(whole.thickness.si() / f64::from(count))?;
        let mut laid = Vec::new();
        let mut start = whole.laid_at.si();
        loop {
            laid.push(start);
            let unfinished = laid.len() < count as usize;
            if self.form != Geometry::Plane && unfinished && matches!(self.last_face, Face::Symmetric) {
                return Err(Error::inconsistent(
                    "last_face",
                    "symmetric",
                    "a face that also holds while the body is unfinished",
                    "several pours towards an axis need the air inside: give the last face to the air",
                ));
            }
            let mut wall = self.tried();
            wall.stop_when_cooling = false;
            wall.stop_when_below = Some(pouring.cooled_to);
            wall.layers.truncate(at);
            for (j, t) in laid.iter().enumerate() {
                let mut pour = whole.clone();
                pour.name = format!("{} {}", whole.name, j + 1);
                pour.thickness = each;
                pour.laid_at = Time::from_si(*t)?;
                if j > 0 {
                    pour.contact = None;
                }
                wall.layers.push(pour);
            }
            let run = wall.run_in(work, pouring.cancel)?;
            let over = pouring.excess(&whole.name, &run)?;
            if over > 0.0 {
                return Ok(Poured::TooHot(over));
            }
            if run.ended != Ended::Cooling {
                return Err(Error::no_solution(
                    "cooled_to",
                    format!("pour {} gelled and below {}", laid.len(), show(pouring.cooled_to)),
                    format!(
                        "{} when the run ends at {}",
                        show(run.layers[at + laid.len() - 1].mean_temperature),
                        show(run.end)
                    ),
                    "lengthen the wall's duration or let it be warmer when the next pour is laid",
                ));
            }
            if !unfinished {
                let run = Box::new(run);
                return Ok(Poured::Kept { each, laid, run });
            }
            start = run.end.si();
        }
    }
}

/// What pours must keep to.
struct Pouring<'a> {
    limits: &'a [HeatLimit],
    cooled_to: ThermodynamicTemperature,
    cancel: Cancel<'a>,
}

/// What became of a number of pours.
enum Poured {
    /// A limit was passed, by so many kelvin.
    TooHot(f64),
    /// Every limit was kept.
    Kept {
        each: Length,
        laid: Vec<f64>,
        run: Box<WallRun>,
    },
}

impl Pouring<'_> {
    /// The largest excess over the limits, K; those of the layer hold in each of its pours.
    fn excess(&self, layer: &str, run: &WallRun) -> Result<f64> {
        let mut worst = f64::NEG_INFINITY;
        for l in self.limits {
            let e = match &l.layer {
                Some(name) if name == layer => run
                    .layers
                    .iter()
                    .filter(|r| r.name.starts_with(name.as_str()))
                    .map(|r| r.peak.temperature.si() - l.below.si())
                    .fold(f64::NEG_INFINITY, f64::max),
                _ => l.excess(run)?,
            };
            worst = worst.max(e);
        }
        if worst == f64::NEG_INFINITY {
            return Err(Error::out_of_range(
                "limits",
                "none",
                "one limit or more",
                "give what must not be passed",
            ));
        }
        Ok(worst)
    }
}

#[questions(POURING)]
impl Wall {
    /// Thickest layer of a wall that keeps every temperature limit.
    ///
    /// The largest thickness with every peak below its limit: bracketed root of the largest excess over the limits.
    ///
    /// # Errors
    /// `NoSolution` where even the thinnest passes a limit; as [`run`](Self::run).
    #[question("heat.thickest_pour", long)]
    pub fn thickest_pour(
        &self,
        /// Name of the poured layer; its thickness is replaced.
        layer: &str,
        /// What must not be passed.
        limits: &[HeatLimit],
        /// Thinnest to try.
        #[noun(default = "1 mm")]
        thinnest: Length,
        /// Thickest to try.
        thickest: Length,
        cancel: Cancel<'_>,
    ) -> Result<ThickestPour> {
        if thinnest >= thickest {
            return Err(Error::inconsistent(
                "thickest",
                show(thickest),
                format!("above the thinnest, {}", show(thinnest)),
                "widen the range",
            ));
        }
        let at = self.layer_named(layer)?;
        let mut work = Workspace::new();
        let mut wall = self.tried();
        let mut excess = |x: Length| -> Result<(f64, WallRun)> {
            wall.layers[at].thickness = x;
            let run = wall.run_in(&mut work, cancel)?;
            Ok((worst(limits, &run)?.0, run))
        };
        let (over, run) = excess(thickest)?;
        let (thickness, run) = if over <= 0.0 {
            (thickest, run)
        } else {
            let (over, run) = excess(thinnest)?;
            if over > 0.0 {
                let (_, limit) = worst(limits, &run)?;
                return Err(Error::no_solution(
                    "thinnest",
                    format!("a pour below {} ({})", show(limit.below), limit.because),
                    format!("{} at {}", show(run.peak.temperature), show(thinnest)),
                    "use less catalyst, more filler, a colder mix or a slower resin",
                ));
            }
            let none = TemperatureInterval::default();
            let x = roots::inverse("thickness", (thinnest, thickest), none, 2e-5, |x| {
                TemperatureInterval::from_si(excess(x)?.0)
            })?;
            (x, excess(x)?.1)
        };
        let (over, limit) = worst(limits, &run)?;
        let binding = (thickness < thickest || over > -0.5)
            .then(|| format!("{} ({})", limit.because, show(limit.below)));
        let how = "largest thickness with every peak below its limit";
        Ok(ThickestPour {
            thickness,
            peak: run.peak.temperature,
            peak_time: run.peak.time,
            binding,
            cells: run.cells,
            extrapolated: run.extrapolated,
            cautions: [run.cautions, vec![PEAK_CAUTION.to_owned()]].concat(),
            why: self.answered(Why::computed(
                "thickest pour",
                show(thickness),
                how,
                vec![run.why],
            )),
        })
    }

    /// Number of pours of a thick body and the waiting time between them, with every temperature limit kept.
    ///
    /// Fewest equal pours, each laid as soon as what lies beneath has gelled and cooled.
    ///
    /// # Errors
    /// `NoSolution` where not even the most pours do, or one never cools within the wall's duration; `Inconsistent` for
    /// a layer that does not cure or is not the last, and for a wall with a stop of its own; as [`run`](Self::run).
    #[question("heat.pours", long)]
    pub fn pours(
        &self,
        /// Name of the layer that is the whole body, the last of the wall.
        layer: &str,
        /// What must not be passed.
        limits: &[HeatLimit],
        /// A pour is laid when all before has gelled and is cooler than this.
        #[noun(within = crate::ranges::HEAT_TEMPERATURE)]
        cooled_to: ThermodynamicTemperature,
        /// Most pours.
        #[noun(default = 12, within(1, 50, "give how many pours are bearable"))]
        most: u32,
        cancel: Cancel<'_>,
    ) -> Result<Pours> {
        let at = self.layer_named(layer)?;
        if at + 1 != self.layers.len() {
            return Err(Error::inconsistent(
                "layer",
                layer,
                "the last layer of the wall",
                "what is laid after the pour belongs to another question",
            ));
        }
        if self.layers[at].cure.is_none() {
            return Err(Error::inconsistent(
                "layer",
                layer,
                "a layer that cures",
                "give it a cure",
            ));
        }
        let stop = self.stop_when_below.map(|t| ("stop_when_below", show(t)));
        let cools = self
            .stop_when_cooling
            .then(|| ("stop_when_cooling", "true".into()));
        if let Some((field, value)) = stop.or(cools) {
            return Err(Error::inconsistent(
                field,
                value,
                "none: each pour is followed until it is as cool as `cooled_to`",
                "leave it out",
            ));
        }
        let pouring = Pouring {
            limits,
            cooled_to,
            cancel,
        };
        let mut work = Workspace::new();
        let mut nearest: Option<(u32, f64)> = None;
        for count in 1..=most {
            match self.poured(at, count, &pouring, &mut work)? {
                Poured::TooHot(over) => {
                    if nearest.is_none_or(|(_, o)| over < o) {
                        nearest = Some((count, over));
                    }
                }
                Poured::Kept { each, laid, run } => {
                    let run = *run;
                    let how = "fewest equal pours, each laid once the one before has gelled and cooled";
                    let why = Why::computed("number of pours", count.to_string(), how, vec![run.why]);
                    return Ok(Pours {
                        count,
                        each,
                        laid_at_s: laid,
                        peak: run.peak.temperature,
                        done: run.end,
                        extrapolated: run.extrapolated,
                        cautions: [run.cautions, vec![PEAK_CAUTION.to_owned()]].concat(),
                        why: self.answered(why),
                    });
                }
            }
        }
        Err(Error::no_solution(
            "most",
            format!("{most} pours that keep every limit"),
            match nearest {
                Some((n, over)) => format!("{over:.1} K too hot with {n} pours"),
                None => "none".to_owned(),
            },
            "use less catalyst, more filler, a colder mix, or allow more pours",
        ))
    }

    /// Thickness of a layer at which the wall peaks at a wanted temperature.
    ///
    /// `peak(thickness) = wanted`, bracketed.
    ///
    /// # Errors
    /// `NoSolution` where the bounds do not hold it; as [`run`](Self::run).
    #[question("heat.thickness_for_peak", long)]
    pub fn thickness_for_peak(
        &self,
        /// Name of the layer; its thickness is replaced.
        layer: &str,
        /// Wanted peak.
        peak: ThermodynamicTemperature,
        /// Thinnest to try.
        thinnest: Length,
        /// Thickest to try.
        thickest: Length,
        cancel: Cancel<'_>,
    ) -> Result<ThicknessForPeak> {
        let at = self.layer_named(layer)?;
        let mut work = Workspace::new();
        let mut wall = self.tried();
        let mut run = |x: Length| {
            wall.layers[at].thickness = x;
            wall.run_in(&mut work, cancel)
        };
        let thickness = roots::inverse("thickness", (thinnest, thickest), peak, 1e-5, |x| {
            Ok(run(x)?.peak.temperature)
        })?;
        let run = run(thickness)?;
        let how = "root of peak(thickness) = wanted, bracketed";
        Ok(ThicknessForPeak {
            thickness,
            peak: run.peak.temperature,
            peak_time: run.peak.time,
            extrapolated: run.extrapolated,
            cautions: run.cautions,
            why: self.answered(Why::computed("thickness", show(thickness), how, vec![run.why])),
        })
    }
}

/// When a hardened mass cracks.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct Cracking {
    /// Linear thermal expansion of the cured mix.
    #[noun(within("0 1/K", .., "a resin is about '70e-6 1/K'"))]
    pub expansion: TemperatureCoefficient,
    /// Strain at break.
    #[noun(within(> "0 %", .., "give a strain above zero, for example '2 %'"))]
    pub strain_at_break: Strain,
    /// How much it shrinks as it cures. Left out, only the heat strains it.
    pub shrinkage: Option<CureDensities>,
}

impl Cracking {
    /// Strain that a casting keeps which set unevenly: `expansion × dT + e(a_gel + da) - e(a_gel)`, with `dT` the largest
    /// difference of temperature within it, `da` that of conversion past gel, and `e` the linear cure shrinkage. The
    /// part that sets last is taken to be held fully by the one that has set, and nothing to relax: an upper bound,
    /// common practice, no source.
    ///
    /// # Errors
    /// `OutOfRange` for a negative expansion or a strain at break that is not positive; as [`CureDensities::at`].
    pub fn strain(
        &self,
        difference: TemperatureInterval,
        gel: DegreeOfCure,
        cure_difference: DegreeOfCure,
    ) -> Result<Strain> {
        noun::check(self)?;
        let cooling = self.expansion.si() * difference.si();
        let shrinking = match &self.shrinkage {
            None => 0.0,
            Some(s) => {
                let last = DegreeOfCure::new((gel.get() + cure_difference.get()).min(1.0))?;
                let s = s.at(last, gel).map_err(|e| e.within("shrinkage"))?;
                -s.linear_after_gel.get()
            }
        };
        Strain::new(cooling + shrinking)
    }
}

/// The cavity of a mould, and the mix that is cast in it.
#[derive(Clone, PartialEq, Noun)]
pub struct MouldCavity {
    /// Shape of the cavity.
    #[noun(default)]
    pub form: Geometry,
    /// Radius of the cavity (of a plane: half the distance between the mould halves).
    #[noun(within = crate::ranges::CAVITY_SIZE)]
    pub cavity: Length,
    /// The mould, from its outside to the cavity.
    pub mould: Vec<Layer>,
    /// Outside of the mould.
    pub outside: Face,
    /// Inside of the hollow shell.
    pub inside: Face,
    /// Thickness of the hollow shell.
    #[noun(within = crate::ranges::CAVITY_SIZE)]
    pub shell: Length,
    /// Heat capacity and conduction of the mix.
    pub thermal: Thermal,
    /// How it cures.
    pub cure: Cure,
    /// Temperature of the mix when poured.
    #[noun(within = crate::ranges::HEAT_TEMPERATURE)]
    pub poured_at: ThermodynamicTemperature,
    /// Area of the cast (plane: one face of it) or length (cylinder); a ball needs none.
    pub extent: Option<Extent>,
    /// Price of the mix by mass or volume.
    pub price: Option<Price>,
    /// What must not be passed; the poured layer is called "pour".
    #[noun(default)]
    pub limits: Vec<HeatLimit>,
    /// When it cracks.
    pub cracking: Option<Cracking>,
    /// How long to follow it.
    #[noun(within = crate::ranges::FOLLOWED_TIME)]
    pub duration: Time,
}

/// How much of a plane or of a cylinder there is.
#[derive(Clone, Copy, PartialEq, Noun)]
pub enum Extent {
    /// Of a plane.
    Area(Area),
    /// Of a cylinder.
    Length(Length),
}

/// A cavity that is cast, hollow or solid.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct FilledCavity {
    /// Mass of mix.
    pub mix: Mass,
    /// What the mix costs, where a price is given.
    pub cost: Option<Money>,
    /// Hottest in the cast.
    pub peak: ThermodynamicTemperature,
    /// When that is.
    pub peak_time: Time,
    /// Hottest of the mould's face.
    pub mould_face: Option<ThermodynamicTemperature>,
    /// When all has gelled.
    pub gelled: Option<Time>,
    /// When all may be demoulded.
    pub demould: Option<Time>,
    /// Largest difference of temperature within the cast.
    pub difference: TemperatureInterval,
    /// Largest difference within the cast of the conversion made since gel.
    pub cure_difference: DegreeOfCure,
    /// Strain that these differences leave, where [`MouldCavity::cracking`] is given: see [`Cracking::strain`].
    pub strain: Option<Strain>,
    /// Whether that strain passes the strain at break.
    pub cracked: Option<bool>,
    /// Limits that are passed.
    pub passed: Vec<String>,
    /// Space error.
    pub cells: Cells,
    /// Outside the fitted range of the kinetics.
    pub extrapolated: Option<String>,
    /// Cautions.
    pub cautions: Vec<String>,
}

/// The same mould cast hollow and solid.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct HollowOrSolid {
    /// The shell.
    pub hollow: FilledCavity,
    /// The solid fill.
    pub solid: FilledCavity,
    /// Mix saved by the shell.
    pub mix_saved: Mass,
    /// Equation and sources.
    pub why: Why,
}

#[questions]
impl MouldCavity {
    /// The same mould cast as a hollow shell and solid: mix, cost, peak, hours, cracked or not.
    ///
    /// Both castings are followed over time as [`Wall::run`] does; cracking by [`Cracking::strain`] against the strain
    /// at break.
    ///
    /// # Errors
    /// As the wall refuses; `Inconsistent` for a shell as thick as the cavity or an extent that does not fit the form.
    #[question("heat.hollow_or_solid", long)]
    pub fn hollow_or_solid(&self, cancel: Cancel<'_>) -> Result<HollowOrSolid> {
        noun::check(self)?;
        if self.shell >= self.cavity {
            return Err(Error::inconsistent(
                "shell",
                show(self.shell),
                format!("thinner than the cavity, {}", show(self.cavity)),
                "a shell that thick is a solid fill",
            ));
        }
        // Refused before any work.
        self.strain(TemperatureInterval::default(), DegreeOfCure::new(0.0)?)?;
        let (hollow, run) = self
            .cast(self.shell, &self.inside, cancel)
            .map_err(|e| e.within("hollow"))?;
        let (solid, _) = self
            .cast(self.cavity, &Face::Symmetric, cancel)
            .map_err(|e| e.within("solid"))?;
        Ok(HollowOrSolid {
            mix_saved: Mass::from_si(solid.mix.si() - hollow.mix.si())?,
            why: Why::computed(
                "hollow against solid",
                format!("{} against {}", show(hollow.peak), show(solid.peak)),
                "both castings followed over time in the same mould",
                vec![run.why],
            )
            .with_source(&Source::of(
                Standing::CommonPractice,
                "cracking strain: expansion times the largest difference of temperature, and the shrinkage of what sets last, fully restrained",
            )),
            hollow,
            solid,
        })
    }

    /// The strain that differences within the cast leave, where cracking is asked for.
    fn strain(&self, difference: TemperatureInterval, cured: DegreeOfCure) -> Result<Option<Strain>> {
        self.cracking
            .map(|c| c.strain(difference, self.cure.gel_at, cured))
            .transpose()
            .map_err(|e| e.within("cracking"))
    }

    /// The mould with `thickness` of mix in it.
    fn wall(&self, thickness: Length, inner: &Face) -> Result<Wall> {
        let mould: f64 = self.mould.iter().map(|l| l.thickness.si()).sum();
        let mut layers = self.mould.clone();
        layers.push(Layer::curing(
            "pour",
            thickness,
            self.thermal,
            self.cure.clone(),
            self.poured_at,
        ));
        Ok(Wall {
            form: self.form,
            first_radius: match self.form {
                Geometry::Plane => None,
                _ => Some(Length::from_si(self.cavity.si() + mould)?),
            },
            grows: Grows::Inward,
            ..Wall::plane(layers, self.outside.clone(), inner.clone(), self.duration)
        })
    }

    /// Volume of `thickness` of mix, m³.
    fn volume(&self, thickness: Length) -> Result<f64> {
        let (r, t) = (self.cavity.si(), thickness.si());
        let left = r - t;
        Ok(match (self.form, self.extent) {
            // Both faces of a plane cavity carry a shell; a solid fill is the whole gap.
            (Geometry::Plane, Some(Extent::Area(a))) => 2.0 * t * a.si(),
            (Geometry::Cylinder, Some(Extent::Length(l))) => {
                std::f64::consts::PI * (r * r - left * left) * l.si()
            }
            (Geometry::Sphere, None) => 4.0 / 3.0 * std::f64::consts::PI * (r.powi(3) - left.powi(3)),
            (form, _) => {
                return Err(Error::inconsistent(
                    "extent",
                    "an extent that does not fit the form",
                    match form {
                        Geometry::Plane => "an area",
                        Geometry::Cylinder => "a length",
                        Geometry::Sphere => "none: the radius says it all",
                    },
                    "a plane has an area, a cylinder a length, a ball neither",
                ));
            }
        })
    }

    /// What the mix costs, where a price is given.
    fn cost(&self, volume: f64, mass: f64) -> Result<Option<Money>> {
        let Some(p) = &self.price else { return Ok(None) };
        match p.basis {
            PriceBasis::Mass => Ok(Some(p.of(mass))),
            PriceBasis::Volume => Ok(Some(p.of(volume))),
            _ => Err(Error::new(ErrorKind::WrongDimension, "price")
                .with_value(p)
                .with_way_out("give the price of the mix by mass or volume: '6.40 EUR/kg'")),
        }
    }

    fn cast(&self, thickness: Length, inner: &Face, cancel: Cancel<'_>) -> Result<(FilledCavity, WallRun)> {
        let run = self.wall(thickness, inner)?.run(cancel)?;
        let volume = self.volume(thickness)?;
        let mass = volume * self.thermal.density.si();
        let layer = &run.layers[self.mould.len()];
        let (difference, cure_difference) = (run.largest_difference, run.largest_cure_difference);
        let strain = self.strain(difference, cure_difference)?;
        let mut passed = vec![];
        for l in &self.limits {
            let over = l.excess(&run)?;
            if over > 0.0 {
                passed.push(format!(
                    "{}: {} above {}",
                    l.because,
                    show(TemperatureInterval::from_si(over)?),
                    show(l.below)
                ));
            }
        }
        Ok((
            FilledCavity {
                mix: Mass::from_si(mass)?,
                cost: self.cost(volume, mass)?,
                peak: layer.peak.temperature,
                peak_time: layer.peak.time,
                mould_face: (!self.mould.is_empty()).then(|| run.surfaces[self.mould.len()].temperature),
                gelled: layer.gel_ends,
                demould: layer.demould,
                difference,
                cure_difference,
                strain,
                cracked: strain
                    .zip(self.cracking)
                    .map(|(s, c)| s.get() >= c.strain_at_break.get()),
                passed,
                cells: run.cells.clone(),
                extrapolated: run.extrapolated.clone(),
                cautions: run.cautions.clone(),
            },
            run,
        ))
    }
}
