//! The argument the trade makes: how thick at once, in how many pours, hollow or solid.

use crate::noun::Noun;

use super::face::Face;
use super::kernel::Workspace;
use super::layer::{Cure, Layer, Thermal};
use super::solve::between;
use super::wall::{Cells, Form, Grows, Wall, WallRun};
use crate::cancel::Cancel;
use crate::check::{not_negative, positive};
use crate::cure::CureShrinkage;
use crate::error::{Error, ErrorKind, Result};
use crate::quantity::{
    Area, DegreeOfCure, Length, Mass, Money, Price, PriceBasis, Quantity, Strain, TemperatureCoefficient,
    TemperatureInterval, ThermodynamicTemperature, Time, show,
};
use crate::source::{Source, Standing, Why};

/// Where a temperature limit holds.
#[derive(Debug, Clone, PartialEq, Noun)]
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

/// How thick a layer may be for all limits to hold.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct ThickestPour {
    /// The wall; the thickness of the poured layer is replaced.
    pub wall: Wall,
    /// Name of the poured layer.
    pub layer: String,
    /// What must not be passed.
    pub limits: Vec<HeatLimit>,
    /// Thinnest to try; 1 mm where not given.
    pub thinnest: Option<Length>,
    /// Thickest to try.
    pub thickest: Length,
}

/// Answer to [`ThickestPour`].
#[derive(Debug, Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct ThickestPourAnswer {
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

const PEAK_CAUTION: &str = "a computed peak is no permission: pour a trial of the same thickness first, keep to the \
                            product's data sheet, and do not leave a curing mass alone.";

impl ThickestPour {
    fn with(&self, thickness: Length) -> Result<Wall> {
        let mut wall = self.wall.clone();
        let names: Vec<&str> = self.wall.layers.iter().map(|l| l.name.as_str()).collect();
        let layer = wall
            .layers
            .iter_mut()
            .find(|l| l.name == self.layer)
            .ok_or_else(|| Error::unknown_name("layer", &self.layer, names))?;
        layer.thickness = thickness;
        wall.profiles = 0;
        Ok(wall)
    }

    /// Bracketed root of the largest excess over the limits.
    ///
    /// # Errors
    /// `NoSolution` where even the thinnest passes a limit; as [`Wall::run`] refuses.
    pub fn solve(&self, cancel: Cancel) -> Result<ThickestPourAnswer> {
        let thinnest = match self.thinnest {
            Some(t) => t,
            None => Length::from_si(1e-3)?,
        };
        if thinnest.si() >= self.thickest.si() {
            return Err(Error::inconsistent(
                "thickest",
                show(self.thickest),
                format!("above the thinnest, {}", show(thinnest)),
                "widen the range",
            ));
        }
        let mut work = Workspace::new();
        let mut excess = |x: Length| -> Result<(f64, WallRun)> {
            let run = self.with(x)?.run_in(&mut work, cancel)?;
            Ok((worst(&self.limits, &run)?.0, run))
        };
        let (over, run) = excess(self.thickest)?;
        let (thickness, run) = if over <= 0.0 {
            (self.thickest, run)
        } else {
            let (over, run) = excess(thinnest)?;
            if over > 0.0 {
                let (_, limit) = worst(&self.limits, &run)?;
                return Err(Error::no_solution(
                    "thinnest",
                    format!("a pour below {} ({})", show(limit.below), limit.because),
                    format!("{} at {}", show(run.peak.temperature), show(thinnest)),
                    "use less catalyst, more filler, a colder mix or a slower resin",
                ));
            }
            let x = between(
                "thickness",
                (thinnest, self.thickest),
                TemperatureInterval::from_si(0.0)?,
                2e-5,
                |x| TemperatureInterval::from_si(excess(x)?.0),
            )?;
            (x, excess(x)?.1)
        };
        let (over, limit) = worst(&self.limits, &run)?;
        let binding = (thickness.si() < self.thickest.si() || over > -0.5)
            .then(|| format!("{} ({})", limit.because, show(limit.below)));
        Ok(ThickestPourAnswer {
            thickness,
            peak: run.peak.temperature,
            peak_time: run.peak.time,
            binding,
            cells: run.cells.clone(),
            extrapolated: run.extrapolated.clone(),
            cautions: [run.cautions.clone(), vec![PEAK_CAUTION.to_owned()]].concat(),
            why: Why::computed(
                "thickest pour",
                show(thickness),
                "largest thickness with every peak below its limit",
                vec![run.why],
            ),
        })
    }
}

/// A thick body in several pours.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct Pours {
    /// The wall with the whole body as one layer.
    pub wall: Wall,
    /// Name of that layer.
    pub layer: String,
    /// What must not be passed.
    pub limits: Vec<HeatLimit>,
    /// A pour is laid when all before has gelled and is cooler than this.
    pub cooled_to: ThermodynamicTemperature,
    /// Most pours; 12 where not given.
    pub most: Option<u32>,
}

/// Answer to [`Pours`].
#[derive(Debug, Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct PoursAnswer {
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

impl Pours {
    /// Fewest equal pours that keep every limit, each laid as soon as what lies beneath has gelled and cooled.
    ///
    /// # Errors
    /// `NoSolution` where not even the most pours do, or one never cools within the wall's duration.
    pub fn solve(&self, cancel: Cancel) -> Result<PoursAnswer> {
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
        if at + 1 != self.wall.layers.len() {
            return Err(Error::inconsistent(
                "layer",
                &self.layer,
                "the last layer of the wall",
                "what is laid after the pour belongs to another question",
            ));
        }
        let whole = self.wall.layers[at].clone();
        if whole.cure.is_none() {
            return Err(Error::inconsistent(
                "layer",
                &self.layer,
                "a layer that cures",
                "give it a cure",
            ));
        }
        let most = self.most.unwrap_or(12);
        if !(1..=50).contains(&most) {
            return Err(Error::out_of_range(
                "most",
                most,
                "1 to 50",
                "give how many pours are bearable",
            ));
        }
        let mut work = Workspace::new();
        let mut nearest: Option<(u32, f64)> = None;
        for count in 1..=most {
            let each = whole.thickness.si() / f64::from(count);
            let mut laid = Vec::new();
            let mut start = whole.laid();
            let mut last = None;
            for k in 0..count {
                laid.push(start);
                let mut wall = self.wall.clone();
                wall.profiles = 0;
                wall.stop_when_below = Some(self.cooled_to);
                wall.layers.truncate(at);
                for (j, t) in laid.iter().enumerate() {
                    let mut pour = whole.clone();
                    pour.name = format!("{} {}", self.layer, j + 1);
                    pour.thickness = Length::from_si(each)?;
                    pour.laid_at = Some(Time::from_si(*t)?);
                    if j > 0 {
                        pour.contact = None;
                    }
                    wall.layers.push(pour);
                }
                if wall.form != Form::Plane && k + 1 < count && matches!(wall.last_face, Face::Symmetric) {
                    return Err(Error::inconsistent(
                        "last_face",
                        "symmetric",
                        "a face that also holds while the body is unfinished",
                        "several pours towards an axis need the air inside: give the last face to the air",
                    ));
                }
                let run = wall.run_in(&mut work, cancel)?;
                let over = self.excess(&run)?;
                if over > 0.0 {
                    if nearest.is_none_or(|(_, o)| over < o) {
                        nearest = Some((count, over));
                    }
                    last = None;
                    break;
                }
                if run.ended != super::wall::Ended::Cooling {
                    return Err(Error::no_solution(
                        "cooled_to",
                        format!("pour {} gelled and below {}", k + 1, show(self.cooled_to)),
                        format!(
                            "{} when the run ends at {}",
                            show(run.layers[at + k as usize].mean_temperature),
                            show(run.end)
                        ),
                        "lengthen the wall's duration or let it be warmer when the next pour is laid",
                    ));
                }
                start = run.end.si();
                last = Some(run);
            }
            if let Some(run) = last {
                return Ok(PoursAnswer {
                    count,
                    each: Length::from_si(each)?,
                    laid_at_s: laid,
                    peak: run.peak.temperature,
                    done: run.end,
                    extrapolated: run.extrapolated.clone(),
                    cautions: [run.cautions.clone(), vec![PEAK_CAUTION.to_owned()]].concat(),
                    why: Why::computed(
                        "number of pours",
                        count.to_string(),
                        "fewest equal pours, each laid once the one before has gelled and cooled",
                        vec![run.why],
                    ),
                });
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

    fn excess(&self, run: &WallRun) -> Result<f64> {
        let mut worst = f64::NEG_INFINITY;
        for l in &self.limits {
            let e = match &l.layer {
                Some(name) if name == &self.layer => run
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

/// When a hardened mass cracks.
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
pub struct Cracking {
    /// Linear thermal expansion of the cured mix.
    pub expansion: TemperatureCoefficient,
    /// Strain at break.
    pub strain_at_break: Strain,
    /// How much it shrinks as it cures. Left out, only the heat strains it.
    pub shrinkage: Option<CureShrinkage>,
}

impl Cracking {
    /// Strain that a casting keeps which set unevenly: `expansion × dT + e(a_gel + da) - e(a_gel)`, with `dT` the largest
    /// difference of temperature within it, `da` that of conversion past gel, and `e` the linear cure shrinkage. The
    /// part that sets last is taken to be held fully by the one that has set, and nothing to relax: an upper bound,
    /// common practice, no source.
    ///
    /// # Errors
    /// `OutOfRange` for a negative expansion or a strain at break that is not positive; as [`CureShrinkage::at`].
    pub fn strain(
        &self,
        difference: TemperatureInterval,
        gel: DegreeOfCure,
        cure_difference: DegreeOfCure,
    ) -> Result<Strain> {
        positive("cracking.strain_at_break", self.strain_at_break)?;
        let cooling = not_negative("cracking.expansion", self.expansion)? * difference.si();
        let shrinking = match &self.shrinkage {
            None => 0.0,
            Some(s) => {
                let last = DegreeOfCure::new((gel.get() + cure_difference.get()).min(1.0))?;
                let s = s.at(last, gel).map_err(|e| e.within("cracking.shrinkage"))?;
                -s.linear_after_gel.get()
            }
        };
        Strain::new(cooling + shrinking)
    }
}

/// The same mould cast hollow and solid.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct HollowOrSolid {
    /// Shape of the cavity.
    #[noun(default)]
    pub form: Form,
    /// Radius of the cavity (of a plane: half the distance between the mould halves).
    pub cavity: Length,
    /// The mould, from its outside to the cavity.
    pub mould: Vec<Layer>,
    /// Outside of the mould.
    pub outside: Face,
    /// Inside of the hollow shell.
    pub inside: Face,
    /// Thickness of the hollow shell.
    pub shell: Length,
    /// Heat capacity and conduction of the mix.
    pub thermal: Thermal,
    /// How it cures.
    pub cure: Cure,
    /// Temperature of the mix when poured.
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
    pub duration: Time,
}

/// How much of a plane or of a cylinder there is.
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
pub enum Extent {
    /// Of a plane.
    Area(Area),
    /// Of a cylinder.
    Length(Length),
}

/// One way of casting it.
#[derive(Debug, Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct Casting {
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
    /// Strain that these differences leave, where [`HollowOrSolid::cracking`] is given: see [`Cracking::strain`].
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

/// Answer to [`HollowOrSolid`].
#[derive(Debug, Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct HollowOrSolidAnswer {
    /// The shell.
    pub hollow: Casting,
    /// The solid fill.
    pub solid: Casting,
    /// Mix saved by the shell.
    pub mix_saved: Mass,
    /// Equation and sources.
    pub why: Why,
}

impl HollowOrSolid {
    /// Runs both.
    ///
    /// Cracking: by [`Cracking::strain`] against the strain at break.
    ///
    /// # Errors
    /// As the wall refuses; `Inconsistent` for a shell as thick as the cavity or an extent that does not fit the form.
    pub fn solve(&self, cancel: Cancel) -> Result<HollowOrSolidAnswer> {
        if positive("shell", self.shell)? >= positive("cavity", self.cavity)? {
            return Err(Error::inconsistent(
                "shell",
                show(self.shell),
                format!("thinner than the cavity, {}", show(self.cavity)),
                "a shell that thick is a solid fill",
            ));
        }
        if let Some(c) = &self.cracking {
            // Refused before any work.
            c.strain(
                TemperatureInterval::from_si(0.0)?,
                self.cure.gel_at,
                DegreeOfCure::new(0.0)?,
            )?;
        }
        let (hollow, run) = self
            .cast(self.shell, &self.inside, cancel)
            .map_err(|e| e.within("hollow"))?;
        let (solid, _) = self
            .cast(self.cavity, &Face::Symmetric, cancel)
            .map_err(|e| e.within("solid"))?;
        Ok(HollowOrSolidAnswer {
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

    fn cast(&self, thickness: Length, inner: &Face, cancel: Cancel) -> Result<(Casting, WallRun)> {
        let mould: f64 = self.mould.iter().map(|l| l.thickness.si()).sum();
        let mut layers = self.mould.clone();
        layers.push(Layer::curing(
            "pour",
            thickness,
            self.thermal,
            self.cure.clone(),
            self.poured_at,
        ));
        let wall = Wall {
            form: self.form,
            first_radius: match self.form {
                Form::Plane => None,
                _ => Some(Length::from_si(self.cavity.si() + mould)?),
            },
            grows: Grows::Inward,
            ..Wall::plane(layers, self.outside.clone(), inner.clone(), self.duration)
        };
        let run = wall.run_with(cancel)?;
        let (r, t) = (self.cavity.si(), thickness.si());
        let left = r - t;
        let volume = match (self.form, self.extent) {
            // Both faces of a plane cavity carry a shell; a solid fill is the whole gap.
            (Form::Plane, Some(Extent::Area(a))) => 2.0 * t * a.si(),
            (Form::Cylinder, Some(Extent::Length(l))) => {
                std::f64::consts::PI * (r * r - left * left) * l.si()
            }
            (Form::Sphere, None) => 4.0 / 3.0 * std::f64::consts::PI * (r.powi(3) - left.powi(3)),
            (form, _) => {
                return Err(Error::inconsistent(
                    "extent",
                    "an extent that does not fit the form",
                    match form {
                        Form::Plane => "an area",
                        Form::Cylinder => "a length",
                        Form::Sphere => "none: the radius says it all",
                    },
                    "a plane has an area, a cylinder a length, a ball neither",
                ));
            }
        };
        let mass = volume * self.thermal.density.si();
        let cost = match &self.price {
            None => None,
            Some(p) => Some(match p.basis {
                PriceBasis::Mass => p.of(mass),
                PriceBasis::Volume => p.of(volume),
                _ => {
                    return Err(Error::new(ErrorKind::WrongDimension, "price")
                        .with_value(p)
                        .with_way_out("give the price of the mix by mass or volume: '6.40 EUR/kg'"));
                }
            }),
        };
        let layer = &run.layers[self.mould.len()];
        let (difference, cure_difference) = (run.largest_difference, run.largest_cure_difference);
        let strain = match &self.cracking {
            Some(c) => Some(c.strain(difference, self.cure.gel_at, cure_difference)?),
            None => None,
        };
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
            Casting {
                mix: Mass::from_si(mass)?,
                cost,
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
