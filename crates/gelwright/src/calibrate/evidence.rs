//! What is known of one resin: its gel-time table, cups and films that were timed, the heat that its sheet states.

use crate::constants::ZERO_CELSIUS;
use crate::cure::gel_table::REPEATABILITY;
use crate::cure::{GelRow, GelTable, HardnessScale, TackRule, Vitrification};
use crate::error::{Error, ErrorKind, Result};
use crate::heat::{self, Course, Cure, EMISSIVITY, Place, Probe, Thermal, Vessel};
use crate::material::{Material, SheetGelRow};
use crate::noun::Noun;
use crate::quantity::spread::{Distribution, Spread};
use crate::quantity::{
    AvailableEnergy, DegreeOfCure, Length, Mass, MassDensity, Phr, Quantity, SpecificHeatCapacity,
    ThermalConductivity, ThermodynamicTemperature, Time, show,
};
use crate::source::{Property, Source};

use super::curve::{POINTS, TimedCurve};
use super::law::{DrawnLaw, HEATS};
use super::log::CupLog;
use super::slips::other_scales;

/// A gel time at one temperature: a row of a gel-time table, or a thin film that was timed.
#[derive(Clone, PartialEq, Noun)]
pub struct GelTest {
    /// Temperature of resin and surroundings.
    #[noun(within = crate::ranges::CURE_TEMPERATURE)]
    pub temperature: ThermodynamicTemperature,
    /// Catalyst of the test.
    #[noun(within(> "0 phr", .., "a mix without catalyst does not gel: leave the row out"))]
    pub dose: Phr,
    /// Mixing to gel. Without a spread it counts as one test does against the next, 10 % (common practice, no source).
    #[noun(within = crate::ranges::SHEET_TIME)]
    pub time: Spread<Time>,
}

/// How a resin that was kept at one temperature showed its state.
#[derive(Clone, PartialEq, Noun)]
#[noun(tag = "kind")]
#[non_exhaustive]
pub enum CureSign {
    /// A surface no longer comes off on the glove, after some 3.5 gel times, 2.6 to 6 ([`TackRule`]).
    TackFree,
    /// A hardness, by a scale of readings against the glass transition.
    Hardness {
        /// What the instrument showed.
        #[noun(within(0, 100, "give what the instrument shows"))]
        reading: f64,
        /// Its readings on this resin.
        scale: HardnessScale,
    },
    /// A conversion that was measured: calorimetry, what is left of the monomer.
    Conversion {
        /// The conversion.
        conversion: DegreeOfCure,
    },
}

/// When a film or a thin part without self-heating showed a state: tack of a day's record, hardness at demoulding.
#[derive(Clone, PartialEq, Noun)]
pub struct StateTest {
    /// Temperature of resin and surroundings.
    #[noun(within = crate::ranges::CURE_TEMPERATURE)]
    pub temperature: ThermodynamicTemperature,
    /// Catalyst.
    #[noun(within(> "0 phr", .., "a mix without catalyst does not cure: leave the row out"))]
    pub dose: Phr,
    /// From mixing until it showed the state. Without a spread it counts as good to 20 % (common practice, no source).
    #[noun(within("1 s", "60 d", "give for example '4 h'"))]
    pub time: Spread<Time>,
    /// The state.
    pub sign: CureSign,
}

/// What a cup of the mix showed: the lines of a data sheet in the cup that it states, or the shop's own.
#[derive(Clone, PartialEq, Noun)]
pub struct CupTest {
    /// Catalyst of the test.
    #[noun(within(> "0 phr", .., "give the catalyst of the test"))]
    pub dose: Phr,
    /// Mass of mix.
    #[noun(within("1 g", "100 kg", "give the mass of the mix, for example '100 g'"))]
    pub mass: Mass,
    /// Temperature of the surroundings, and of the mix at the start.
    #[noun(within("-50 degC", "200 degC", "check the unit of the temperature"))]
    pub surroundings: ThermodynamicTemperature,
    /// Mixing to gel. Without a spread it counts as good to 5 % (common practice, no source). Left out only where a log is given.
    #[noun(within = crate::ranges::SHEET_TIME)]
    pub gel_time: Option<Spread<Time>>,
    /// Gel to peak. Without a spread it counts as good to 10 % (common practice, no source).
    #[noun(within = crate::ranges::SHEET_TIME)]
    pub gel_to_peak: Option<Spread<Time>>,
    /// Peak temperature that the probe showed. Without a spread it counts as good to 5 K (common practice, no source).
    #[noun(within("0 degC", "700 degC", "check the unit of the temperature"))]
    pub peak_temperature: Option<Spread<ThermodynamicTemperature>>,
    /// Its temperature as a logger wrote it, from mixing until it cools; it stands for gel to peak and the peak.
    pub log: Option<CupLog>,
    /// Inner diameter of the cup; as wide as the mix is deep where not given.
    #[noun(within("1 mm", "5 m", "give the inner diameter of the cup, for example '70 mm'"))]
    pub diameter: Option<Length>,
    /// The vessel; massless and thin where not given.
    pub vessel: Option<Vessel>,
    /// Where it stood; on a bench in still air where not given.
    pub place: Option<Place>,
    /// Density of the mix; the resin's where not given.
    #[noun(within = crate::ranges::MIX_DENSITY)]
    pub density: Option<MassDensity>,
    /// Specific heat capacity of the mix, taken as exact; the resin's, as far as it is known, where not given.
    #[noun(within("500 J/(kg*K)", "5000 J/(kg*K)", "check value and unit"))]
    pub heat_capacity: Option<SpecificHeatCapacity>,
    /// Where the peak was read, and gel looked for.
    #[noun(default)]
    pub probe: Probe,
    /// Who says so.
    pub source: Source,
}

impl CupTest {
    /// A cup on a bench of which the gel time alone is told.
    pub const fn of(
        dose: Phr,
        mass: Mass,
        surroundings: ThermodynamicTemperature,
        gel_time: Spread<Time>,
        source: Source,
    ) -> Self {
        CupTest {
            dose,
            mass,
            surroundings,
            gel_time: Some(gel_time),
            gel_to_peak: None,
            peak_temperature: None,
            log: None,
            diameter: None,
            vessel: None,
            place: None,
            density: None,
            heat_capacity: None,
            probe: Probe::Middle,
            source,
        }
    }
}

/// All that is known of how one peroxide-cured resin gels and warms.
#[derive(Clone, PartialEq, Noun)]
pub struct Evidence {
    /// The resin, a material id: what was not measured is taken from it, with its range.
    pub resin: String,
    /// Rows of its gel-time table, read as gel without self-heating. Left out: the resin's own in the catalogue; an empty list:
    /// none.
    pub gel_table: Option<Vec<GelTest>>,
    /// Cups that were timed.
    #[noun(default)]
    pub cup_tests: Vec<CupTest>,
    /// Thin films that were timed, at the temperature of what they lie on.
    #[noun(default)]
    pub film_tests: Vec<GelTest>,
    /// Films and thin parts of which tack, hardness or conversion was seen after a time.
    #[noun(default)]
    pub state_tests: Vec<StateTest>,
    /// Heat of reaction of the resin mix, where its sheet states it. Without a spread it counts as good to 5 % (common
    /// practice, no source).
    #[noun(within(> "0 J/g", "2000 J/g", "give the heat per mass of resin mix, for example '350 J/g'"))]
    pub heat_of_reaction: Option<Spread<AvailableEnergy>>,
}

/// Standard uncertainties where nothing is said. Common practice, no source.
pub(super) const CUP_GEL: f64 = 0.05;
pub(super) const CUP_TO_PEAK: f64 = 0.10;
const CUP_PEAK_KELVIN: f64 = 5.0;
const STATED_HEAT: f64 = 0.05;
const STATE: f64 = 0.20;
/// What tack may be off 3.5 gel times by: 2.6 to 6, anywhere within, of its logarithm.
const TACK: f64 = 0.42 / 1.732;
/// What the law may be off late in the cure. Common practice, no source.
const MODEL_STATE: f64 = 0.20;
/// What the model of a cup may be off by, besides what was measured: gel 0.7 %, the time of the peak 2.4 %, the peak 3.4 K to
/// both sides ([`Cup`](heat::Cup), against cylinders in two dimensions), anywhere within.
const MODEL_GEL: f64 = 0.007 / 1.732;
const MODEL_TO_PEAK: f64 = 0.024 / 1.732;
pub(super) const MODEL_PEAK_KELVIN: f64 = 3.4 / 1.732;
/// A spread as wide as that part of its value says next to nothing.
const AS_WIDE: f64 = 0.5;
/// How far a log may begin off the cup's surroundings, K. Common practice, no source.
const BEGINS_NEAR: f64 = 8.0;
/// What a cup's gel time may be off a gel-time table by before it counts, where there is one: the table wins.
/// Common practice, no source.
const CUP_AGAINST_TABLE: f64 = 0.15;
/// Standard uncertainty of a row that is no gel time like the others. Common practice, no source.
const NOT_BELIEVED: f64 = 0.5;
/// What a table's own least squares may show: apparent activation energy, J/mol, and order in the dose. Redox-initiated
/// polyesters show 40 to 60 kJ/mol (J. Appl. Polym. Sci. 102:1870 (2006), abstract); beyond this a table mixes end points, or
/// the cold, the inhibitor and the promoter with them. Common practice, no source.
const BELIEVED: [(f64, f64); 2] = [(30e3, 90e3), (0.4, 2.0)];
/// Rows of a table beyond which no one row alone turns its slopes, so that none is tried without.
const MOST_ROWS: usize = 64;
/// What a cup's density or heat capacity may be off the resin's.
const PROPERTY_AGREES: f64 = 0.15;

/// Specific heat and conductivity where a material does not say: from memory.
const RESIN_HEAT: f64 = 1900.0;
pub(super) const RESIN_CONDUCTIVITY: f64 = 0.18;

/// A quantity's value, or what is usual.
pub(crate) fn or_usual<Q: Quantity>(known: Option<&Property<Q>>, usual: f64) -> Result<Q> {
    known.map_or_else(|| Q::from_si(usual), |p| Ok(p.value))
}

/// How a resin as supplied holds and conducts heat; the specific heat 1.9 J/(g K) and conductivity 0.18 W/(m K) where it does
/// not say (from memory).
pub(crate) fn thermal_of(material: &Material, density: MassDensity) -> Result<Thermal> {
    let resin = material.resin()?;
    let c: SpecificHeatCapacity = or_usual(resin.specific_heat.as_ref(), RESIN_HEAT)?;
    let k: ThermalConductivity = or_usual(resin.conductivity.as_ref(), RESIN_CONDUCTIVITY)?;
    Ok(Thermal::new(density, c, k))
}

/// A number that was measured, and how far off it may be.
#[derive(Clone, Copy, Debug)]
pub(super) struct Reading {
    pub(super) value: f64,
    /// Of its logarithm for a time or a heat, in K for a temperature.
    pub(super) deviation: f64,
}

impl Reading {
    /// On a logarithm.
    fn relative<Q: Quantity>(s: &Spread<Q>, usual: f64) -> Self {
        let value = s.value().si();
        let said = s.input().standard_uncertainty() / value;
        Reading {
            value,
            deviation: if s.distribution() == Distribution::Exact {
                usual
            } else {
                said.max(1e-4)
            },
        }
    }
    /// With what the model may be off, too.
    fn beside(self, model: f64) -> Self {
        Reading {
            deviation: self.deviation.hypot(model),
            ..self
        }
    }
    /// Measured less shown over its standard deviation, straight.
    pub(super) fn off(&self, shown: f64) -> f64 {
        (self.value - shown) / self.deviation
    }
    /// The same on a logarithm.
    pub(super) fn ratio_off(&self, shown: f64) -> f64 {
        (self.value / shown).ln() / self.deviation
    }
    /// The same of a time that may be none at all.
    pub(super) fn later_off(&self, shown: f64) -> f64 {
        ((self.value + 1.0) / (shown + 1.0)).ln() / self.deviation
    }
    fn kelvin(s: &Spread<ThermodynamicTemperature>) -> Self {
        Reading {
            value: s.value().si(),
            deviation: if s.distribution() == Distribution::Exact {
                CUP_PEAK_KELVIN
            } else {
                s.input().standard_uncertainty().max(1e-3)
            },
        }
    }
}

/// A gel time without self-heating, or the time to another conversion.
pub(super) struct TimedGel {
    pub(super) called: String,
    /// What was timed.
    pub(super) what: &'static str,
    /// That of gel where missing.
    pub(super) conversion: Option<f64>,
    pub(super) kelvin: f64,
    pub(super) dose: Phr,
    pub(super) time: Reading,
    /// As a row of the table counts, before it was found not to be believed.
    pub(super) printed: f64,
    pub(super) of_table: bool,
}

impl TimedGel {
    /// That time by a law at a dose, s; none where it never comes.
    pub(super) fn shown(&self, law: &DrawnLaw, dose: Phr) -> Result<Option<f64>> {
        let conversion = self.conversion.unwrap_or(law.gel_conversion.get());
        law.kinetics
            .with_dose(dose)?
            .isothermal_time(conversion, self.kelvin)
    }
}

/// A cup that was timed; its kinetics are put in as they are tried.
pub(super) struct TimedCup {
    pub(super) called: String,
    pub(super) dose: Phr,
    pub(super) cup: heat::Cup,
    /// Whether its specific heat is given, so that none is sought for.
    pub(super) own_specific_heat: bool,
    pub(super) gel: Option<Reading>,
    /// Of its logarithm, as it would be without a table.
    pub(super) gel_alone: f64,
    pub(super) to_peak: Option<Reading>,
    pub(super) peak: Option<Reading>,
    pub(super) curve: Option<TimedCurve>,
    pub(super) source: Source,
}

/// The evidence, checked and in SI.
pub(super) struct Known {
    pub(super) gels: Vec<TimedGel>,
    pub(super) cups: Vec<TimedCup>,
    pub(super) heat: Option<Reading>,
    pub(super) table_source: Option<Source>,
    /// What can not be believed or does not agree.
    pub(super) findings: Vec<String>,
    pub(super) assumed: Vec<String>,
}

/// The test "1.25 phr at 25 °C".
fn at(dose: Phr, kelvin: f64) -> String {
    format!("{} at {:.1} °C", show(dose), kelvin - ZERO_CELSIUS)
}

impl Evidence {
    /// What the catalogue alone knows of a resin.
    pub fn of(resin: impl Into<String>) -> Self {
        Evidence {
            resin: resin.into(),
            gel_table: None,
            cup_tests: vec![],
            film_tests: vec![],
            state_tests: vec![],
            heat_of_reaction: None,
        }
    }

    /// Checked and in SI, `cure` standing in for what is tried.
    pub(super) fn known(&self, material: &Material, cure: &Cure) -> Result<Known> {
        let resin = material.resin()?;
        if !resin.family.cures_by_peroxide() {
            return Err(Error::inconsistent(
                "resin",
                format!("'{}' (family {})", self.resin, resin.family),
                "a polyester, vinyl ester or gel coat, which cures by a peroxide",
                "an epoxy or a polyurethane does not follow the peroxide's law: leave its cup tests out, or give its own \
                 kinetics (Kamal-Sourour, from calorimetry) to heat.cup and heat.wall",
            ));
        }
        let mut known = Known {
            gels: vec![],
            cups: vec![],
            heat: self
                .heat_of_reaction
                .as_ref()
                .map(|h| Reading::relative(h, STATED_HEAT)),
            table_source: None,
            findings: vec![],
            assumed: vec![],
        };
        self.add_table(resin, &mut known)?;
        let table = known.gels.iter().any(|g| g.time.deviation < NOT_BELIEVED);
        for (i, film) in self.film_tests.iter().enumerate() {
            let time = Reading::relative(&film.time, REPEATABILITY);
            let said = film.time.input();
            let called = format!("film {}", i + 1);
            known.findings.extend(as_wide(
                &called,
                "gel time",
                said.value,
                said.standard_uncertainty(),
            ));
            known.gels.push(TimedGel {
                what: "gel time",
                conversion: None,
                called: format!("film {} ({})", i + 1, at(film.dose, film.temperature.si())),
                kelvin: film.temperature.si(),
                dose: film.dose,
                time,
                printed: time.deviation,
                of_table: false,
            });
        }
        for (i, test) in self.state_tests.iter().enumerate() {
            let timed = state(i, test, resin).map_err(|e| e.within(format!("state_tests[{i}]")))?;
            known.gels.push(timed);
        }
        for (i, test) in self.cup_tests.iter().enumerate() {
            let timed = self.timed_cup(i, test, material, cure, table, &mut known.findings);
            known
                .cups
                .push(timed.map_err(|e| e.within(format!("cup_tests[{i}]")))?);
        }
        if known.gels.is_empty() && known.cups.is_empty() {
            return Err(Error::new(ErrorKind::NoSolution, "gel_table")
                .with_value(format_args!("kinetics of '{}' without any gel time", self.resin))
                .with_way_out(
                    "time one cup of it (100 g at 20 to 25 °C with the dose in use): gel, gel to peak, peak; or enter the \
                     gel-time table of its data sheet",
                ));
        }
        if self.cup_tests.iter().any(|c| c.place.is_none()) {
            known
                .assumed
                .push("test cup on a bench in still air (common practice, no source)".to_owned());
        }
        if self.cup_tests.iter().any(|c| c.diameter.is_none()) {
            known
                .assumed
                .push("test cup as wide as the mix is deep (common practice, no source)".to_owned());
        }
        Ok(known)
    }

    /// The rows of the table, and whether they can be those of one.
    fn add_table(&self, resin: &crate::material::Resin, known: &mut Known) -> Result<()> {
        let printed: Vec<GelTest> = match (&self.gel_table, &resin.gel_times) {
            (Some(rows), _) => rows.clone(),
            (None, Some(times)) => {
                known.table_source = Some((*times.source).clone());
                times.rows.iter().map(of_sheet).collect::<Result<_>>()?
            }
            (None, None) => vec![],
        };
        let first = known.gels.len();
        for (i, row) in printed.iter().enumerate() {
            let time = Reading::relative(&row.time, REPEATABILITY);
            known.gels.push(TimedGel {
                what: "gel time",
                conversion: None,
                called: format!(
                    "gel-time table, row {} ({})",
                    i + 1,
                    at(row.dose, row.temperature.si())
                ),
                kelvin: row.temperature.si(),
                dose: row.dose,
                time,
                printed: time.deviation,
                of_table: true,
            });
        }
        if printed.is_empty() {
            return Ok(());
        }
        known
            .assumed
            .push("gel-time table read as gel without self-heating".to_owned());
        let rows: Vec<GelRow> = printed
            .iter()
            .map(|r| GelRow::new(r.temperature, r.dose, r.time.value()))
            .collect();
        let source = known
            .table_source
            .clone()
            .unwrap_or_else(|| Source::of(crate::source::Standing::DataSheet, "gel-time table as given"));
        if rows.len() < 2 {
            return Ok(());
        }
        let table = GelTable::new(rows.clone(), source.clone()).map_err(|e| e.within("gel_table"))?;
        let Some(why) = not_believed(&table) else {
            return Ok(());
        };
        // Without which row, if it is one alone, would the rest be believed?
        let tried = if rows.len() > MOST_ROWS { 0 } else { rows.len() };
        let mended: Vec<usize> = (0..tried)
            .filter(|&without| {
                let mut rest = rows.clone();
                rest.remove(without);
                rest.len() >= 3 && GelTable::new(rest, source.clone()).is_ok_and(|t| believed(&t))
            })
            .collect();
        let doubted: Vec<usize> = match mended.as_slice() {
            [one] => vec![*one],
            _ => (0..rows.len()).collect(),
        };
        for i in &doubted {
            let time = &mut known.gels[first + i].time;
            time.deviation = time.deviation.max(NOT_BELIEVED);
        }
        known.findings.push(match doubted.as_slice() {
            [one] => format!(
                "{} does not belong to the rest of its table: with it {why}; without it the table is one, so it counts for next to nothing",
                known.gels[first + one].called
            ),
            _ => format!(
                "the gel-time table ({source}) is not believable as one table: {why}; its rows end at different points, or cold and \
                 inhibitor act beside the temperature, so they count for next to nothing"
            ),
        });
        Ok(())
    }

    fn timed_cup(
        &self,
        i: usize,
        test: &CupTest,
        material: &Material,
        cure: &Cure,
        table: bool,
        findings: &mut Vec<String>,
    ) -> Result<TimedCup> {
        let called = format!("cup {} ({})", i + 1, at(test.dose, test.surroundings.si()));
        let of_material = material.density.as_ref().map(|d| d.value);
        let density = match (test.density, of_material) {
            (Some(d), _) | (None, Some(d)) => d,
            (None, None) => material.known_density()?.value,
        };
        let mut thermal = thermal_of(material, density)?;
        let off = |what: &str, given: f64, of_resin: f64, shown: (String, String)| {
            let by = given / of_resin - 1.0;
            (by.abs() > PROPERTY_AGREES).then(|| {
                format!(
                    "{called}: its {what} {} is {:+.0} % off the resin's {}: the heat found with it does not hold for other cups",
                    shown.0,
                    100.0 * by,
                    shown.1
                )
            })
        };
        if let (Some(d), Some(m)) = (test.density, of_material) {
            findings.extend(off(
                "density",
                d.si(),
                m.si(),
                (show(d).to_string(), show(m).to_string()),
            ));
        }
        if let Some(c) = test.heat_capacity {
            let m = thermal.specific_heat;
            findings.extend(off(
                "heat capacity",
                c.si(),
                m.si(),
                (show(c).to_string(), show(m).to_string()),
            ));
            thermal.specific_heat = c;
        }
        let mut start = test.surroundings.si();
        let log = match &test.log {
            None => None,
            Some(log) => {
                let read = log.read_log().map_err(|e| e.within("log"))?;
                findings.extend(read.findings.iter().map(|f| format!("{called}: its log: {f}")));
                start = begins(&called, test, &read.time_s, &read.temperature_k, findings)?;
                Some(read)
            }
        };
        if test.gel_time.is_none() && log.is_none() {
            return Err(Error::new(ErrorKind::NoSolution, "gel_time")
                .with_value("a cup without gel time and log")
                .with_way_out("give the gel time, for example '18 min', or the log of its temperature"));
        }
        if log.is_some() && (test.gel_to_peak.is_some() || test.peak_temperature.is_some()) {
            return Err(Error::inconsistent(
                "log",
                "a log beside gel to peak or peak temperature",
                "one of them: the log tells both",
                "leave gel_to_peak and peak_temperature out",
            ));
        }
        if let Some(peak) = &test.peak_temperature {
            let peak = peak.value();
            if peak.si() <= start {
                return Err(Error::inconsistent(
                    "peak_temperature",
                    show(peak),
                    format!("above the surroundings, {}", show(test.surroundings)),
                    "a cure warms its cup: check both temperatures",
                ));
            }
            let most = self.most_heat(material)?;
            let hottest = start + most / thermal.specific_heat.si();
            if peak.si() > hottest && matches!(test.place, None | Some(Place::Insulated)) {
                return Err(Error::inconsistent(
                    "peak_temperature",
                    show(peak),
                    format!(
                        "{} at most: what {} warm the mix by if none is lost",
                        show(ThermodynamicTemperature::from_si(hottest)?),
                        show(AvailableEnergy::from_si(most)?)
                    ),
                    "the peak lies above the adiabatic rise: check it, the start and the heat capacity of the mix",
                ));
            }
        }
        let volume = test.mass.si() / density.si();
        let diameter = match test.diameter {
            Some(d) => d,
            None => heat::Cup::as_wide_as_deep(volume)?,
        };
        let place = test.place.clone().unwrap_or(Place::Bench {
            air: Course::Steady(test.surroundings),
            emissivity: EMISSIVITY,
        });
        let gel = test
            .gel_time
            .as_ref()
            .map(|t| Reading::relative(t, CUP_GEL).beside(MODEL_GEL));
        let to_peak = test
            .gel_to_peak
            .as_ref()
            .map(|t| Reading::relative(t, CUP_TO_PEAK).beside(MODEL_TO_PEAK));
        for (what, said) in [
            ("gel time", test.gel_time.as_ref().map(Spread::input)),
            ("gel to peak", test.gel_to_peak.as_ref().map(Spread::input)),
        ] {
            findings.extend(said.and_then(|i| as_wide(&called, what, i.value, i.standard_uncertainty())));
        }
        let against_table = if table { CUP_AGAINST_TABLE } else { 0.0 };
        let curve = log
            .as_ref()
            .map(|l| TimedCurve::new(&l.time_s, &l.temperature_k, start, CUP_GEL.hypot(against_table)))
            .transpose()?;
        let followed = match (&gel, &curve) {
            (Some(g), _) => g.value + to_peak.map_or(g.value, |t| t.value),
            (None, Some(c)) => c.measured.times[3],
            (None, None) => 3600.0,
        };
        let duration = match log.as_ref().and_then(|l| l.time_s.last()) {
            Some(end) => 3.0 * end,
            None => (20.0 * followed).clamp(86_400.0, 9e7),
        };
        let cup = heat::Cup {
            vessel: test.vessel,
            probe: test.probe,
            stop_when_cooling: curve.is_none(),
            points: if curve.is_some() { POINTS } else { 0 },
            ..heat::Cup::new(
                test.mass,
                diameter,
                thermal,
                cure.clone(),
                ThermodynamicTemperature::from_si(start)?,
                place,
                Time::from_si(duration)?,
            )
        };
        crate::noun::check(&cup)?;
        Ok(TimedCup {
            called,
            dose: test.dose,
            cup,
            own_specific_heat: test.heat_capacity.is_some(),
            gel: gel.map(|g| g.beside(against_table)),
            gel_alone: gel.map_or(CUP_GEL, |g| g.deviation),
            to_peak,
            peak: test
                .peak_temperature
                .as_ref()
                .map(|t| Reading::kelvin(t).beside(MODEL_PEAK_KELVIN)),
            curve,
            source: test.source.clone(),
        })
    }

    /// The most heat that the resin may have, J/kg: what its sheet states, else a quarter above the catalogue's range.
    fn most_heat(&self, material: &Material) -> Result<f64> {
        if let Some(stated) = &self.heat_of_reaction {
            let r = Reading::relative(stated, STATED_HEAT);
            return Ok(r.value * (3.0 * r.deviation).exp());
        }
        let of_catalogue = material
            .resin()?
            .heat_of_reaction
            .as_ref()
            .map(|h| 1.25 * h.range.map_or(1.2 * h.value.si(), |r| r.1.si()));
        Ok(of_catalogue.unwrap_or(HEATS.1).min(HEATS.1))
    }
}

/// A state as the time to a conversion.
fn state(i: usize, test: &StateTest, resin: &crate::material::Resin) -> Result<TimedGel> {
    let mut time = Reading::relative(&test.time, STATE);
    let (what, conversion) = match &test.sign {
        CureSign::TackFree => {
            time.value /= TackRule::default().opens_after_gel_times;
            ("gel time from tack", None)
        }
        CureSign::Conversion { conversion } => ("time to a conversion", Some(conversion.get())),
        CureSign::Hardness { reading, scale } => {
            scale.agrees().map_err(|e| e.within("sign.scale"))?;
            let glass = scale.glass_transition(*reading).ok_or_else(|| {
                Error::out_of_range(
                    "sign.reading",
                    reading,
                    "between the least and the greatest reading of its scale",
                    "give the scale a reading below and one above",
                )
            })?;
            let transition = match Vitrification::of_resin(resin)? {
                Some(v) => v.glass_transition,
                None => {
                    return Err(Error::no_solution(
                        "sign.scale",
                        "a conversion from a hardness",
                        "a resin whose glass transitions are known",
                        "give its uncured_glass_transition, glass_transition and glass_transition_lambda, or leave the hardness out",
                    ));
                }
            };
            let at = transition.conversion_at(ThermodynamicTemperature::from_si(glass)?)?;
            ("time to a hardness", Some(at.get()))
        }
    };
    let by_rule = if conversion.is_none() { TACK } else { MODEL_STATE };
    time = time.beside(by_rule);
    Ok(TimedGel {
        called: format!("state {} ({})", i + 1, at(test.dose, test.temperature.si())),
        what,
        conversion,
        kelvin: test.temperature.si(),
        dose: test.dose,
        time,
        printed: time.deviation,
        of_table: false,
    })
}

/// What to say of a spread as wide as its value.
fn as_wide(called: &str, what: &str, value: f64, deviation: f64) -> Option<String> {
    (deviation > AS_WIDE * value.abs()).then(|| {
        format!(
            "{called}: the spread of its {what} is {:.0} % of it: it counts for next to nothing",
            100.0 * deviation / value.abs()
        )
    })
}

/// The temperature that a log begins at, K; the surroundings' where it begins late.
fn begins(
    called: &str,
    test: &CupTest,
    time: &[f64],
    kelvin: &[f64],
    findings: &mut Vec<String>,
) -> Result<f64> {
    let around = test.surroundings.si();
    let first = kelvin.first().copied().unwrap_or(around);
    if time.first().is_some_and(|t| *t > 120.0) || (first - around).abs() < 0.2 {
        return Ok(around);
    }
    if (first - around).abs() > BEGINS_NEAR {
        let celsius = first - ZERO_CELSIUS;
        let [(as_fahrenheit, _), (as_celsius, _)] = other_scales(first);
        let slip = if (as_fahrenheit - around).abs() < BEGINS_NEAR {
            Some(("°F in a column of °C", "fahrenheit"))
        } else if (as_celsius - around).abs() < BEGINS_NEAR {
            Some(("°C in a column of °F", "celsius"))
        } else {
            None
        };
        if let Some((what, unit)) = slip {
            return Err(Error::inconsistent(
                "log",
                format_args!("{celsius:.1} °C at the start"),
                format!("about the surroundings, {}", show(test.surroundings)),
                format!("this reads as {what}: write told.temperature_unit = \"{unit}\""),
            ));
        }
        findings.push(format!(
            "{called}: its log begins at {celsius:.1} °C where its surroundings have {}: warmed resin, or another cup",
            show(test.surroundings)
        ));
    }
    Ok(first)
}

/// A row as the catalogue prints it, with its printed band.
fn of_sheet(r: &SheetGelRow) -> Result<GelTest> {
    let time = match (r.low, r.high) {
        (Some(low), Some(high)) if low.si() < high.si() => {
            Spread::new(r.time, Distribution::Between(low.si(), high.si()))
                .or_else(|_| Spread::new(r.time, Distribution::Within(0.5 * (high.si() - low.si()))))?
        }
        _ => Spread::exact(r.time),
    };
    Ok(GelTest {
        temperature: r.temperature,
        dose: r.dose,
        time,
    })
}

/// Why a table's own slopes are not those of one gel time, if they are not: outside what is believed by more than half of
/// their own range.
fn not_believed(table: &GelTable) -> Option<String> {
    let outside = |slope: Option<[f64; 3]>, (low, high): (f64, f64)| {
        let [least, value, most] = slope?;
        let over = value > high && value - high > 0.25 * (most - least).min(2.0 * high);
        let under = value < low && low - value > 0.25 * (most - least);
        (over || under).then_some(value)
    };
    let [energy, order] = table.told_by_rows();
    if let Some(e) = outside(energy, BELIEVED[0]) {
        return Some(format!(
            "its gel times have an apparent activation energy of {:.0} kJ/mol, where redox-initiated polyesters have 40 to 60 \
             and 30 to 90 kJ/mol are believed",
            e / 1e3
        ));
    }
    outside(order, BELIEVED[1])
        .map(|n| format!("its gel times have an order of {n:.2} in the dose, where 0.4 to 2 are believed"))
}

/// Whether both of a table's own slopes are those of one gel time, where its rows tell them.
fn believed(table: &GelTable) -> bool {
    let [energy, order] = table.told_by_rows();
    let inside = |slope: Option<[f64; 3]>, (low, high): (f64, f64)| {
        slope.is_none_or(|[_, value, _]| (low..=high).contains(&value))
    };
    inside(energy, BELIEVED[0]) && inside(order, BELIEVED[1])
}
