//! Vapour in a room over a day: peak, means, limits, fire, respirator, fresh air.

use super::room::{self, Emission, Followed, Room};
use super::trace::{Sum, Trace};
use crate::constants::{ATMOSPHERE, GAS_CONSTANT};
use crate::error::{Error, ErrorKind, Result};
use crate::material::{Catalogue, ExposureLimit, ExposureLimits, Jurisdiction, LimitForm};
use crate::noun::{self, Noun, questions};
use crate::quantity::{
    Frequency, Mass, MassDensity, Quantity, RelativeAmount, ThermodynamicTemperature, Time, VolumeFraction,
    VolumeRate, show,
};
use crate::source::{Source, Why};

const QUARTER: f64 = 900.0;
const SHIFT: f64 = 28_800.0;
const DAY: f64 = 86_400.0;

/// Vapour that gets into a room over a time, and whose limits count.
///
/// [`Room`] gives the equations; between two changes of an emission they are solved exactly, and so are the means: the highest
/// mean over any 15 min or 8 h that a window can be laid on. Volume fractions by the ideal gas at 101 325 Pa:
/// `C R T/(M P)`.
#[derive(Clone, PartialEq, Noun)]
pub struct VapourInRoom {
    /// What it is: an agent with exposure limits (`styrene`, `acetone`).
    pub agent: String,
    /// The room.
    pub room: Room,
    /// Temperature of its air.
    #[noun(default = "20 degC", within = crate::ranges::BENCH_TEMPERATURE)]
    pub temperature: ThermodynamicTemperature,
    /// What gets into it, and when.
    pub emissions: Vec<Emission>,
    /// Whose limits it is held against.
    pub jurisdiction: Jurisdiction,
    /// How long it is followed; 24 h after the last emission begins, if not said.
    #[noun(within(> "0 s", "1000 d", "give for example '24 h'"))]
    pub followed: Option<Time>,
}

/// What a person breathes of one vapour.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct Exposure {
    /// The agent's id.
    pub agent: String,
    /// What a person calls it.
    pub name: String,
    /// Mass of vapour set free.
    pub emitted: Mass,
    /// Of it, what extraction caught and air carried out by the end.
    pub removed: Mass,
    /// Of it, what is still in the room at the end.
    pub left: Mass,
    /// Highest concentration.
    pub peak: VolumeFraction,
    /// The same by mass.
    pub peak_mass: MassDensity,
    /// When.
    pub peak_at: Time,
    /// Highest mean over 15 min.
    pub highest_15_min: VolumeFraction,
    /// When that begins.
    pub highest_15_min_from: Time,
    /// Highest mean over 8 h.
    pub highest_8_h: VolumeFraction,
    /// The limits of the jurisdiction, each held against what it bounds.
    pub limits: Vec<ExposureCompared>,
    /// From when on the air stays at or below the lowest of these limits; none where it does not within the time followed.
    pub clear_from: Option<Time>,
    /// Fresh air with which all of them would be kept.
    pub needed: Option<FreshAir>,
    /// Highest concentration over the lower flammable limit, the lowest published, where the catalogue knows it.
    pub of_flammable_limit: Option<RelativeAmount>,
    /// The least respirator whose assigned protection factor would keep the limits, where a limit is broken and one does.
    pub respirator: Option<Respirator>,
    /// What stands over time, for a picture.
    pub curve: AirCurve,
    /// The chain behind it.
    pub why: Why,
}

/// Concentration over time.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct AirCurve {
    /// Minutes from the start.
    pub minutes: Vec<f64>,
    /// Parts per million by volume that the person breathes: in the near field, where there is one.
    pub ppm: Vec<f64>,
    /// In the rest of the room; the same where there is no near field.
    #[noun(default)]
    pub room_ppm: Vec<f64>,
    /// Mean of what is breathed over the 15 min that end then.
    #[noun(default)]
    pub mean_15_min_ppm: Vec<f64>,
    /// Mean of what is breathed over the 8 h that end then.
    #[noun(default)]
    pub mean_8_h_ppm: Vec<f64>,
}

/// A limit, and what it bounds here.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct ExposureCompared {
    /// Who set it.
    pub body: String,
    /// Where it holds.
    pub jurisdiction: Jurisdiction,
    /// From when.
    pub year: u16,
    /// Its form.
    pub form: LimitForm,
    /// The time it is a mean over; none for a value never to be passed.
    pub over: Option<Time>,
    /// The limit.
    pub most: VolumeFraction,
    /// What is breathed, over the same time.
    pub found: VolumeFraction,
    /// That over the limit.
    pub times: RelativeAmount,
    /// Whether it is broken.
    pub broken: bool,
    /// When it is: the end of the first time whose mean passes it.
    pub broken_at: Option<Time>,
    /// On whose word.
    pub source: Source,
}

/// Fresh air that keeps the limits, spread over the day as it is now.
#[derive(Clone, Copy, PartialEq, Noun)]
#[non_exhaustive]
pub struct FreshAir {
    /// Air changes.
    pub air_changes: Frequency,
    /// The same as a flow.
    pub flow: VolumeRate,
}

/// Kinds of respirator that 29 CFR 1910.134, table 1, assigns a protection factor to, of those for vapour.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Noun)]
#[non_exhaustive]
pub enum RespiratorKind {
    /// Air-purifying half mask: 10.
    HalfMask,
    /// Air-purifying full facepiece: 50.
    FullFacepiece,
}

/// What an assigned protection factor allows. Only with fit test, training and the right cartridge, and only by who is licensed
/// to advise it.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct Respirator {
    /// The kind.
    pub kind: RespiratorKind,
    /// Its assigned protection factor.
    pub assigned_protection_factor: f64,
    /// Highest concentration it is for: factor times limit, never above what is immediately dangerous.
    pub most: VolumeFraction,
    /// On whose word.
    pub source: Source,
}

fn respirators() -> Source {
    Source::published(
        "US Occupational Safety and Health Administration",
        "29 CFR 1910.134, respiratory protection; assigned protection factors, 71 FR 50122",
        2006,
        "table 1: half mask 10, full facepiece 50; maximum use concentration is factor times limit, never above immediately dangerous",
    )
}

/// One agent in a room, as the plan and the question both follow it.
pub(crate) struct Air<'a> {
    pub(crate) agent: &'a str,
    pub(crate) room: &'a Room,
    pub(crate) temperature: ThermodynamicTemperature,
    pub(crate) emissions: &'a [Emission],
    pub(crate) jurisdiction: Jurisdiction,
    pub(crate) followed: Option<Time>,
}

struct Held<'l> {
    limit: &'l ExposureLimit,
    most: f64,
}

impl Air<'_> {
    /// Volume fraction of a kilogram in a cubic metre.
    fn per_density(&self, molar_mass: f64) -> f64 {
        GAS_CONSTANT * self.temperature.si() / (molar_mass * ATMOSPHERE)
    }

    fn end(&self) -> f64 {
        self.followed.map_or_else(
            || self.emissions.iter().map(|e| e.from.si()).fold(0.0, f64::max) + DAY,
            Quantity::si,
        )
    }

    /// What a limit bounds, in volume fraction: a mean over its time, or the highest value.
    fn found(&self, limit: &ExposureLimit, trace: &Trace, factor: f64, end: f64) -> f64 {
        factor
            * match width(limit) {
                Some(w) => trace.highest(w).mean,
                None => trace.peak(end).0,
            }
    }

    fn ratio(&self, room: &Room, limits: &[Held], factor: f64, end: f64) -> f64 {
        let trace = room.follow(self.emissions).breathed;
        let of = |h: &Held| self.found(h.limit, &trace, factor, end) / h.most;
        limits.iter().map(of).fold(0.0, f64::max)
    }

    /// Least air changes that keep every limit; none where no number up to 1000 an hour does.
    fn needed(&self, limits: &[Held], factor: f64, end: f64) -> Result<Option<FreshAir>> {
        const MOST: f64 = 1000.0 / 3600.0;
        if limits.is_empty() {
            return Ok(None);
        }
        let kept = |n: f64| -> Result<bool> {
            Ok(self.ratio(&self.room.with_air_changes(n)?, limits, factor, end) <= 1.0)
        };
        if !kept(MOST)? {
            return Ok(None);
        }
        // To four figures: nobody sets a fan finer.
        let (mut low, mut high) = (1e-3 / 3600.0, MOST);
        if kept(0.0)? {
            high = 0.0;
        }
        while high > low * 1.0001 {
            let middle = (low * high).sqrt();
            if kept(middle)? {
                high = middle
            } else {
                low = middle
            }
        }
        Ok(Some(FreshAir {
            air_changes: Frequency::from_si(high)?,
            flow: VolumeRate::from_si(high * self.room.volume.si())?,
        }))
    }

    /// Highest mean over 15 min.
    pub(crate) fn highest_15_min(&self) -> Result<VolumeFraction> {
        let molar_mass = ExposureLimits::generic().agent(self.agent)?.molar_mass;
        let factor = molar_mass.map_or(0.0, |m| self.per_density(m.si()));
        let mean = self.room.follow(self.emissions).breathed.highest(QUARTER).mean;
        VolumeFraction::new((mean * factor).min(1.0))
    }

    /// What would stand over time with the extraction off; nothing where none runs.
    pub(crate) fn without_extraction(&self) -> Result<Option<AirCurve>> {
        let mut room = *self.room;
        let Some(running) = room.extraction.as_mut().filter(|e| e.on) else {
            return Ok(None);
        };
        running.on = false;
        let molar_mass = ExposureLimits::generic().agent(self.agent)?.molar_mass;
        let factor = molar_mass.map_or(0.0, |m| self.per_density(m.si()));
        Ok(Some(curve(&room.follow(self.emissions), factor, self.end())))
    }

    pub(crate) fn exposure(&self) -> Result<Exposure> {
        room::check(self.room, self.emissions)?;
        let data = ExposureLimits::generic();
        let agent = data.agent(self.agent)?;
        let Some(molar_mass) = agent.molar_mass else {
            return Err(Error::new(ErrorKind::Inconsistent, "agent")
                .with_value(format_args!("'{}' is no vapour of one molar mass", self.agent))
                .with_way_out(
                    "follow a vapour: styrene, acetone; of dust no published emission is known here",
                ));
        };
        let factor = self.per_density(molar_mass.si());
        let limits: Vec<Held> = data
            .of(self.agent)?
            .into_iter()
            .filter(|l| l.jurisdiction == self.jurisdiction && !l.superseded)
            .filter_map(|limit| {
                let by_mass = limit.mass.map(|m| m.si() * factor);
                let most = limit.in_air.map(Quantity::si).or(by_mass)?;
                Some(Held { limit, most })
            })
            .collect();
        let followed = self.room.follow(self.emissions);
        let (trace, end) = (&followed.breathed, self.end());
        let (peak, peak_at) = trace.peak(end);
        let (quarter, shift) = (trace.highest(QUARTER), trace.highest(SHIFT));
        let time = |s: f64| Time::new::<uom::si::time::second>(s);
        let part = |kg: f64| VolumeFraction::new((kg * factor).min(1.0));
        let lowest = limits.iter().map(|h| h.most).fold(f64::INFINITY, f64::min);
        let emitted: f64 = self.emissions.iter().map(|e| e.mass.si()).sum();
        let (removed, left) = self.balance(&followed, end);
        let compared = limits.iter().map(|h| {
            let found = match width(h.limit) {
                Some(QUARTER) => quarter.mean * factor,
                Some(SHIFT) => shift.mean * factor,
                _ => self.found(h.limit, trace, factor, end),
            };
            self.compared(h, found, (trace, factor, end))
        });
        let compared = compared.collect::<Result<Vec<_>>>()?;
        let highest = part(quarter.mean)?;
        Ok(Exposure {
            agent: self.agent.to_owned(),
            name: agent.name.clone(),
            emitted: Mass::from_si(emitted)?,
            removed: Mass::from_si(removed)?,
            left: Mass::from_si(left)?,
            peak: part(peak)?,
            peak_mass: MassDensity::from_si(peak)?,
            peak_at: time(peak_at),
            highest_15_min: highest,
            highest_15_min_from: time(quarter.from),
            highest_8_h: part(shift.mean)?,
            clear_from: trace
                .below_from(lowest / factor, end)
                .filter(|_| lowest.is_finite())
                .map(time),
            needed: self.needed(&limits, factor, end)?,
            of_flammable_limit: flammable(self.agent)?
                .map(|l| RelativeAmount::new(peak * factor / l))
                .transpose()?,
            respirator: self.respirator(&compared)?,
            curve: curve(&followed, factor, end),
            why: Why::computed(
                format!("highest 15 min mean of {}", agent.name),
                ppm(highest),
                "V dC/dt = G - Q C, solved between the changes of G",
                vec![
                    Why::given("vapour set free", show(Mass::from_si(emitted)?)),
                    Why::given("V, room", show(self.room.volume)),
                    Why::given("Q, air that counts", show(VolumeRate::from_si(followed.flow)?)),
                    Why::given("K, mixing factor in Q", self.room.mixing_factor.to_string()),
                ],
            )
            .with_source(&dilution())
            .with_note("computed, not measured: no number here says that the air is safe"),
            limits: compared,
        })
    }

    /// What has gone and what is left at the end, kg.
    fn balance(&self, followed: &Followed, end: f64) -> (f64, f64) {
        let emitted = |e: &Emission| {
            let (a, b) = (e.from.si(), e.until.si());
            e.mass.si() * ((end - a) / (b - a)).clamp(0.0, 1.0)
        };
        let by_then: f64 = self.emissions.iter().map(emitted).sum();
        let out = followed.flow * followed.room.integral(0.0, end);
        (followed.caught * by_then + out, self.room.held(followed, end))
    }

    fn compared(
        &self,
        held: &Held,
        found: f64,
        (trace, factor, end): (&Trace, f64, f64),
    ) -> Result<ExposureCompared> {
        let limit = held.limit;
        let broken = found > held.most;
        let level = held.most / factor;
        let broken_at = broken
            .then(|| match width(limit) {
                Some(w) => trace.breaks(w, level),
                None => trace.above_from(level, end),
            })
            .flatten();
        Ok(ExposureCompared {
            body: limit.body.clone(),
            jurisdiction: limit.jurisdiction,
            year: limit.year,
            form: limit.form,
            over: width(limit).map(Time::new::<uom::si::time::second>),
            most: VolumeFraction::new(held.most)?,
            found: VolumeFraction::new(found.min(1.0))?,
            times: RelativeAmount::new(found / held.most)?,
            broken,
            broken_at: broken_at.map(Time::new::<uom::si::time::second>),
            source: (*limit.source).clone(),
        })
    }

    fn respirator(&self, compared: &[ExposureCompared]) -> Result<Option<Respirator>> {
        // Of every body, and none above: what is immediately dangerous is so everywhere.
        let dangerous = ExposureLimits::generic()
            .of(self.agent)?
            .into_iter()
            .filter(|l| l.form == LimitForm::ImmediatelyDangerous)
            .filter_map(|l| l.in_air.map(Quantity::si))
            .fold(f64::INFINITY, f64::min);
        let counts = |l: &&ExposureCompared| l.form != LimitForm::ImmediatelyDangerous;
        let worst = compared
            .iter()
            .filter(counts)
            .map(|l| l.times.get())
            .fold(0.0, f64::max);
        let lowest = compared
            .iter()
            .filter(counts)
            .map(|l| l.most.get())
            .fold(f64::INFINITY, f64::min);
        let highest = compared.iter().map(|l| l.found.get()).fold(0.0, f64::max);
        if worst <= 1.0 || !dangerous.is_finite() || highest >= dangerous {
            return Ok(None);
        }
        for (kind, factor) in [
            (RespiratorKind::HalfMask, 10.0),
            (RespiratorKind::FullFacepiece, 50.0),
        ] {
            if worst <= factor {
                return Ok(Some(Respirator {
                    kind,
                    assigned_protection_factor: factor,
                    most: VolumeFraction::new((factor * lowest).min(dangerous))?,
                    source: respirators(),
                }));
            }
        }
        Ok(None)
    }
}

/// The time that a limit is a mean over, s; none for what may never be passed.
fn width(limit: &ExposureLimit) -> Option<f64> {
    match limit.form {
        LimitForm::TimeWeightedAverage => Some(limit.over.map_or(SHIFT, Quantity::si)),
        LimitForm::ShortTerm => Some(limit.over.map_or(QUARTER, Quantity::si)),
        // A ceiling over a stated time, and a peak for one, are means over it.
        LimitForm::Ceiling | LimitForm::Peak => limit.over.map(Quantity::si),
        _ => None,
    }
}

/// The lowest published lower flammable limit of a vapour of the catalogue.
fn flammable(agent: &str) -> Result<Option<f64>> {
    let Ok(material) = Catalogue::generic().get(agent) else {
        return Ok(None);
    };
    let limit = &material.solvent()?.lower_explosive_limit;
    Ok(limit.as_ref().map(|l| l.range.map_or(l.value, |r| r.0).si()))
}

/// As people write it.
pub(crate) fn ppm(x: VolumeFraction) -> String {
    format!("{} ppm", crate::quantity::figures((1e7 * x.get()).round() / 10.0))
}

/// Points for a picture: two hundred, and the changes themselves.
fn curve(followed: &Followed, factor: f64, end: f64) -> AirCurve {
    let trace = &followed.breathed;
    let last = trace
        .below_from(trace.peak(end).0 * 1e-3, end)
        .unwrap_or(end)
        .max(60.0);
    let mut at: Vec<f64> = (0..=200).map(|i| last * f64::from(i) / 200.0).collect();
    at.extend(trace.0.iter().map(|p| p.from).filter(|t| *t < last));
    at.sort_by(f64::total_cmp);
    at.dedup();
    let sum = Sum::of(trace);
    let ppm = |of: &dyn Fn(f64) -> f64| at.iter().map(|t| 1e6 * factor * of(*t)).collect();
    AirCurve {
        ppm: ppm(&|t| trace.at(t)),
        room_ppm: ppm(&|t| followed.room.at(t)),
        mean_15_min_ppm: ppm(&|t| sum.mean(t, QUARTER)),
        mean_8_h_ppm: ppm(&|t| sum.mean(t, SHIFT)),
        minutes: at.into_iter().map(|t| t / 60.0).collect(),
    }
}

#[questions]
impl VapourInRoom {
    /// What a person breathes of a vapour over a day in a room: peak, means, the limits of a jurisdiction, when the air is
    /// clear, the fresh air that would keep the limits, the part of the lower flammable limit.
    ///
    /// [`VapourInRoom`] and [`Room`] give equations and sources. Limits: each with body, year and source
    /// ([`ExposureLimit`]); superseded ones are held against nothing. A respirator is named only as its assigned protection
    /// factor allows it, and never above what is immediately dangerous.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for a room of no volume or negative air changes; [`ErrorKind::Inconsistent`] for a near field
    /// larger than the room or an emission that ends before it begins; [`ErrorKind::UnknownName`] for an agent without limits.
    #[question("air.vapour_in_room")]
    pub fn exposure(&self) -> Result<Exposure> {
        noun::check(self)?;
        Air {
            agent: &self.agent,
            room: &self.room,
            temperature: self.temperature,
            emissions: &self.emissions,
            jurisdiction: self.jurisdiction,
            followed: self.followed,
        }
        .exposure()
    }
}

/// Fresh air that keeps a steady vapour at a level.
///
/// `Q = K G R T/(M P c)` for a mass `G` of vapour a time, molar mass `M`, level `c`.
///
/// Source: ACGIH, Industrial Ventilation, chapter 4, dilution ventilation (from memory; its `403 SG ER K/(MW C)` is this in
/// pints an hour and cubic feet a minute at 70 °F).
#[derive(Clone, PartialEq, Noun)]
pub struct Dilution {
    /// Mass of vapour.
    #[noun(within("0 g", "1000 kg", "give the mass of vapour, for example '24 g'"))]
    pub mass: Mass,
    /// The time it comes in.
    #[noun(within(> "0 s", "1000 d", "give for example '20 min'"))]
    pub over: Time,
    /// Its molar mass.
    #[noun(within(> "0 g/mol", "1000 g/mol", "styrene has '104.15 g/mol'"))]
    pub molar_mass: crate::quantity::MolarMass,
    /// The level to keep.
    #[noun(within(> "0 ppmv", "100 vol%", "a limit with its jurisdiction, for example '20 ppmv'"))]
    pub level: VolumeFraction,
    /// How much more air it takes than if it mixed at once (K).
    #[noun(
        default = 3,
        within(1, 10, "1 for perfect mixing, 3 for a good supply, 10 for a poor one")
    )]
    pub mixing_factor: f64,
    /// Temperature of the air.
    #[noun(default = "20 degC", within = crate::ranges::BENCH_TEMPERATURE)]
    pub temperature: ThermodynamicTemperature,
}

/// The fresh air that it takes.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct DilutionAir {
    /// Its flow.
    pub flow: VolumeRate,
    /// The chain behind it.
    pub why: Why,
}

#[questions]
impl Dilution {
    /// Fresh air that keeps a steady vapour at a level.
    ///
    /// [`Dilution`] gives equation and source.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for fields out of range.
    #[question("air.ventilation_needed")]
    pub fn air(&self) -> Result<DilutionAir> {
        noun::check(self)?;
        let volume = GAS_CONSTANT * self.temperature.si() / (self.molar_mass.si() * ATMOSPHERE);
        let rate = self.mass.si() / self.over.si();
        let flow = VolumeRate::from_si(self.mixing_factor * rate * volume / self.level.get())?;
        Ok(DilutionAir {
            flow,
            why: Why::computed(
                "fresh air",
                show(flow),
                "K G R T/(M P c)",
                vec![
                    Why::given("vapour", show(self.mass)),
                    Why::given("over", show(self.over)),
                    Why::given("c, level", ppm(self.level)),
                    Why::given("K, mixing factor", self.mixing_factor.to_string()),
                ],
            )
            .with_source(&dilution()),
        })
    }
}

fn dilution() -> Source {
    Source::published(
        "ACGIH",
        "Industrial Ventilation, a Manual of Recommended Practice",
        2013,
        "chapter 4, dilution",
    )
    .from_memory()
}

/// Vapours that do the same to the body: their parts of their limits add up.
///
/// `sum C/L`, at most 1. Source: 29 CFR 1910.1000(d)(2)(i).
#[derive(Clone, PartialEq, Noun)]
pub struct AdditiveEffect {
    /// What is breathed of each.
    pub found: Vec<VolumeFraction>,
    /// The limit of each, in the same order.
    pub limits: Vec<VolumeFraction>,
}

/// What some vapours are together of what their limits allow.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct AdditiveSum {
    /// The sum of their parts.
    pub sum: f64,
    /// Whether it is at most 1.
    pub kept: bool,
    /// The chain behind it.
    pub why: Why,
}

#[questions]
impl AdditiveEffect {
    /// The sum of the parts that some vapours are of their limits: above 1 the limit of the mixture is broken.
    ///
    /// [`AdditiveEffect`] gives rule and source.
    ///
    /// # Errors
    /// [`ErrorKind::Inconsistent`] for lists of different length; [`ErrorKind::OutOfRange`] for a limit of nothing.
    #[question("air.additive")]
    pub fn sum(&self) -> Result<AdditiveSum> {
        noun::check(self)?;
        if self.found.len() != self.limits.len() || self.found.is_empty() {
            return Err(Error::inconsistent(
                "limits",
                format!("{} limits of {} vapours", self.limits.len(), self.found.len()),
                "one for each",
                "give the limit of each vapour, in the same order",
            ));
        }
        for (i, l) in self.limits.iter().enumerate() {
            crate::check::positive(&format!("limits[{i}]"), *l)?;
        }
        let pairs = || self.found.iter().zip(&self.limits);
        let sum = pairs().map(|(c, l)| c.get() / l.get()).sum::<f64>();
        let given = |(c, l): (&VolumeFraction, &VolumeFraction)| {
            Why::given("C of L", format!("{} of {}", ppm(*c), ppm(*l)))
        };
        Ok(AdditiveSum {
            sum,
            kept: sum <= 1.0,
            why: Why::computed(
                "parts of their limits",
                format!("{sum:.3}"),
                "sum C/L",
                pairs().map(given).collect(),
            )
            .with_source(&Source::published(
                "US Occupational Safety and Health Administration",
                "29 CFR 1910.1000, air contaminants",
                1993,
                "(d)(2)(i), mixtures",
            )),
        })
    }
}
