//! Kinetics from the few lines of a data sheet: gel time, gel to peak, peak temperature in the stated cup.
//!
//! The lines give three numbers, so three constants of the [`FreeRadical`] law are found: decomposition (from the
//! gel time), propagation (from the time between gel and peak) and the heat of reaction (from the peak, unless the
//! sheet gives it: then the peak is a check). Where the sheet also has a gel-time table, its order in the dose
//! gives the share of the inhibitor and its apparent activation energy that of the decomposition. Everything else
//! is assumed and listed as assumed. The cup is the small lumped one of this module, [`TestCup`].

use std::ops::ControlFlow;

use super::gel::GelCriterion;
use super::gel_table::{molar_energy, seconds};
use super::glass::Vitrification;
use super::integrate::{System, integrate};
use super::kinetics::{
    DERIVATIVE_FLOOR, FittedRange, FreeRadical, Kernel, Kinetics, Radicals, RateConstant, RateLaw,
};
use super::schedule::Schedule;
use crate::cancel::Cancel;
use crate::check::between;
use crate::constants::GAS_CONSTANT;
use crate::error::{Error, ErrorKind, Result};
use crate::material::Catalogue;
use crate::noun::{Noun, check, questions};
use crate::quantity::{
    AvailableEnergy, DegreeOfCure, Frequency, HeatTransfer, Mass, MassDensity, MolarEnergy, Phr, Quantity,
    SpecificHeatCapacity, TemperatureInterval, ThermodynamicTemperature, Time, show,
};
use crate::source::{Source, Standing, Why};

/// What a cup of the mix shows.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct CupReading {
    /// Mixing to gel.
    pub gel_time: Time,
    /// Gel to the peak temperature.
    pub gel_to_peak: Time,
    /// Peak temperature.
    pub peak_temperature: ThermodynamicTemperature,
}

/// The cup of a data sheet, lumped: one temperature throughout, loss to the surroundings through its surface.
///
/// `m c dT/dt = m H da/dt - U A (T - Ts)`, `A` that of a cylinder as tall as wide. A lumped cup reads a peak too
/// high or too low by the difference between core and wall; `heat` has the cup that knows its shape.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct TestCup {
    /// Mass of mix.
    #[noun(within("1 g", "100 kg", "check value and unit"))]
    pub mass: Mass,
    /// Density of the mix.
    #[noun(within("300 kg/m^3", "5000 kg/m^3", "check value and unit"))]
    pub density: MassDensity,
    /// Specific heat capacity of the mix.
    #[noun(within("500 J/(kg*K)", "5000 J/(kg*K)", "check value and unit"))]
    pub heat_capacity: SpecificHeatCapacity,
    /// Heat transfer from the mix to the surroundings, cup wall included: some 8 W/(m²·K) in still air
    /// (common practice, no source), several times that in a water bath.
    #[noun(within("0 W/(m^2*K)", "10000 W/(m^2*K)", "check value and unit"))]
    pub heat_transfer: HeatTransfer,
    /// Temperature of the surroundings, and of the mix at the start.
    #[noun(within("-50 degC", "200 degC", "check the unit of the temperature"))]
    pub surroundings: ThermodynamicTemperature,
}

struct Lumped {
    kernel: Kernel,
    rise: f64,
    loss: f64,
    around: f64,
}

impl System<3> for Lumped {
    fn rate(&self, _: f64, y: &[f64; 3]) -> [f64; 3] {
        let r = self.kernel.rate(y[0], y[1], y[2]);
        [
            r.dalpha,
            r.di,
            self.rise * r.dalpha - self.loss * (y[2] - self.around),
        ]
    }
    fn jacobian(&self, _: f64, y: &[f64; 3]) -> ([[f64; 3]; 3], [f64; 3]) {
        let r = self.kernel.rate(y[0], y[1], y[2]);
        (
            [
                [r.dalpha_dalpha, r.dalpha_di, r.dalpha_dt],
                [0.0, r.di_di, r.di_dt],
                [
                    self.rise * r.dalpha_dalpha,
                    self.rise * r.dalpha_di,
                    self.rise * r.dalpha_dt - self.loss,
                ],
            ],
            [0.0; 3],
        )
    }
    fn scale(&self) -> [f64; 3] {
        [1e-9, 1e-9, 1e-6]
    }
    fn most(&self) -> [f64; 3] {
        [0.03, 0.03, 5.0]
    }
    fn rising(&self) -> usize {
        2
    }
}

impl TestCup {
    /// Time in which the cup would lose 63 % of its excess temperature, `m c/(U A)`, in s; all checked.
    fn time_constant(&self) -> f64 {
        let (m, rho, c, u) = (
            self.mass.si(),
            self.density.si(),
            self.heat_capacity.si(),
            self.heat_transfer.si(),
        );
        // Cylinder with height = diameter = d: V = pi d^3/4, A = 3/2 pi d^2.
        let d = (4.0 * m / rho / std::f64::consts::PI).cbrt();
        let area = 1.5 * std::f64::consts::PI * d * d;
        if u > 0.0 { m * c / (u * area) } else { f64::MAX }
    }

    fn why(&self) -> Why {
        let cup = Why::given(
            "cup",
            format!(
                "{} of mix at {}, {}, losing {} to {}",
                show(self.mass),
                show(self.density),
                show(self.heat_capacity),
                show(self.heat_transfer),
                show(self.surroundings)
            ),
        );
        if self.heat_transfer.si() > 0.0 {
            return cup;
        }
        cup.with_note("no heat is lost: mass and density do not count")
    }

    /// What the cup shows with these kinetics, gel at `gel_conversion`.
    ///
    /// # Errors
    /// `OutOfRange`, `NotFinite` for the cup; `NoSolution` where it does not gel or does not peak within 60 days; as
    /// [`Kinetics::kernel`].
    pub fn read(&self, kinetics: &Kinetics, gel_conversion: DegreeOfCure) -> Result<CupReading> {
        check(self).map_err(|e| e.within("cup"))?;
        check(kinetics).map_err(|e| e.within("kinetics"))?;
        self.shows(kinetics, gel_conversion)
    }

    /// The same, its ranges already checked.
    fn shows(&self, kinetics: &Kinetics, gel_conversion: DegreeOfCure) -> Result<CupReading> {
        let kernel = kinetics.kernel().map_err(|e| e.within("kinetics"))?;
        let around = self.surroundings.si();
        let cup = Lumped {
            kernel,
            rise: kernel.heat_of_reaction / self.heat_capacity.si(),
            loss: 1.0 / self.time_constant(),
            around,
        };
        let [mut a, i] = kernel.start();
        if kernel.rate(a, i, around).dalpha > 0.0 {
            // Growth out of nothing is skipped: it takes an instant.
            a = a.max(DERIVATIVE_FLOOR);
        }
        let (mut gel, mut peak) = (None, None);
        let goal = gel_conversion.get();
        integrate(&cup, 0.0, 60.0 * 86_400.0, &[], [a, i, around], |s| {
            if gel.is_none() {
                gel = s.rises_through_zero(|_, y| y[0] - goal);
            }
            if gel.is_some() {
                peak = s.peak(2).filter(|p| gel.is_some_and(|g| p.0 >= g)).or(
                    // Hottest before gel: the cup only cools from here on.
                    (s.y1[2] < s.y0[2]).then_some((s.t0, s.y0[2])),
                );
            }
            if peak.is_some() {
                ControlFlow::Break(())
            } else {
                ControlFlow::Continue(())
            }
        })?;
        match (gel, peak) {
            (Some(g), Some((t, kelvin))) => Ok(CupReading {
                gel_time: seconds(g),
                gel_to_peak: seconds((t - g).max(0.0)),
                peak_temperature: ThermodynamicTemperature::from_si(kelvin)?,
            }),
            _ => Err(Error::no_solution(
                "cup",
                format_args!("gel at {} and a peak", show(gel_conversion)),
                "none within 60 days",
                "raise the dose inside its window, or warm the cup",
            )),
        }
    }
}

/// The lines of a data sheet on a room-temperature cure.
#[derive(Clone, PartialEq, Noun)]
pub struct DataSheetLines {
    /// Catalyst of the test.
    #[noun(within(> "0 phr", .., "give the catalyst of the data sheet's test"))]
    pub dose: Phr,
    /// Mixing to gel.
    #[noun(within = crate::ranges::SHEET_TIME)]
    pub gel_time: Time,
    /// Gel to peak.
    #[noun(within = crate::ranges::SHEET_TIME)]
    pub gel_to_peak: Time,
    /// Peak temperature.
    pub peak_temperature: ThermodynamicTemperature,
    /// Conversion at gel; 5 % where not given (from memory, for styrenated polyesters).
    #[noun(within(> "0 %", < "90 %", "polyesters gel at some percent: leave it out for 5 %"))]
    pub gel_conversion: Option<DegreeOfCure>,
    /// Heat of reaction, where the sheet has it; the peak is then a check.
    #[noun(within(> "0 J/g", "2000 J/g", "give the heat per mass of resin mix, for example '350 J/g'"))]
    pub heat_of_reaction: Option<AvailableEnergy>,
    /// Apparent activation energy of the gel time, from the sheet's gel-time table.
    #[noun(within("20 kJ/mol", "250 kJ/mol", "take it from the sheet's gel-time table"))]
    pub gel_activation_energy: Option<MolarEnergy>,
    /// Order of the gel time in the dose, from the sheet's gel-time table.
    #[noun(within(
        0.5,
        4,
        "the free-radical law gives orders in this range: leave it out to have it assumed"
    ))]
    pub dose_order: Option<f64>,
    /// Where its cure stops for want of mobility; as a generic orthophthalic polyester where left out.
    pub vitrification: Option<Vitrification>,
    /// The sheet.
    pub source: Source,
}

/// Kinetics found from a data sheet's lines.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct DataSheetKinetics {
    /// The kinetics.
    pub kinetics: Kinetics,
    /// Conversion at gel that goes with them.
    pub gel_conversion: DegreeOfCure,
    /// What the cup shows with them.
    pub reading: CupReading,
    /// What the lines do not tell and was assumed.
    pub assumed: Vec<String>,
    /// The chain behind it.
    pub why: Why,
}

/// Propagation: 23.59 kJ/mol, *A new method for the determination of the Arrhenius constants for the cure process of
/// unsaturated polyester resins based on a mechanistic model*, Thermochim. Acta 289:209 (1996), abstract.
const PROPAGATION_ENERGY: f64 = 23.59e3;
/// Decomposition, where no table tells: redox-initiated polyesters show 40 to 60 kJ/mol (J. Appl. Polym. Sci.
/// 102:1870 (2006), abstract).
const DECOMPOSITION_ENERGY: f64 = 55e3;
/// Share of the dose that the inhibitor takes, where no table tells. Common practice, no source.
const INHIBITOR_SHARE: f64 = 0.3;
/// Order of the decomposition in the promoter. Common practice, no source.
const PROMOTER_ORDER: f64 = 0.5;
const GEL_CONVERSION: f64 = 0.05;
/// The resin of the catalogue whose glass transition stands in where the lines give none.
const USUAL_RESIN: &str = "ortho_polyester";
/// Heats of reaction that a resin may have, J/kg.
const HEATS: (f64, f64) = (80e3, 800e3);
/// Largest disagreement of a peak with a stated heat of reaction, K.
const PEAK_AGREES: f64 = 15.0;

#[questions(lines)]
impl DataSheetLines {
    /// Free-radical kinetics whose cup shows a data sheet's gel time, gel-to-peak time and peak temperature.
    ///
    /// Levenberg-Marquardt on the logarithms of the constants. `cancel` is asked before every reading of the cup.
    ///
    /// # Errors
    /// `OutOfRange`, `NotFinite` for a line or the cup; `Inconsistent` for a peak not above the test's temperature and
    /// where no kinetics show these lines, naming the line that does not fit and the nearest reading; `Cancelled`.
    #[question("cure.kinetics_from_data_sheet", long)]
    pub fn kinetics(
        &self,
        /// The cup of the test; its surroundings are the temperature of the test.
        cup: &TestCup,
        cancel: Cancel<'_>,
    ) -> Result<DataSheetKinetics> {
        let search = Search::new(self, cup)?;
        let (p, misfit) = search.solve(cancel)?;
        let kinetics = search.kinetics(&p)?;
        let reading = cup.shows(&kinetics, search.gel)?;
        search
            .judge(&p, &reading, misfit)
            .map_err(|e| e.within("lines"))?;
        let mut assumed = search.assumed;
        assumed.push(format!(
            "activation energy of propagation {:.2} kJ/mol (Thermochim. Acta 289:209 (1996), abstract)",
            PROPAGATION_ENERGY / 1e3
        ));
        assumed.push(format!(
            "decomposition in proportion to promoter^{PROMOTER_ORDER} (common practice, no source); promoter counted from that of the sheet as 1 phr"
        ));
        let mut sheet = Why::given(
            "lines",
            format!(
                "{} at {}: gel {}, gel to peak {}, peak {}",
                show(self.dose),
                show(cup.surroundings),
                show(self.gel_time),
                show(self.gel_to_peak),
                show(self.peak_temperature)
            ),
        )
        .with_source(&self.source);
        if self.heat_of_reaction.is_some() {
            sheet = sheet.with_note("the peak is a check only: the heat of reaction is given");
        }
        let why = Why::computed(
            "kinetics from a data sheet",
            format!(
                "gel {}, then {} to a peak of {}",
                show(reading.gel_time),
                show(reading.gel_to_peak),
                show(reading.peak_temperature)
            ),
            "the free-radical law whose cup shows the lines",
            vec![sheet, cup.why()],
        )
        .with_note(format!("assumed: {}", assumed.join("; ")));
        Ok(DataSheetKinetics {
            kinetics,
            gel_conversion: search.gel,
            reading,
            assumed,
            why,
        })
    }
}

/// Parameters: ln kd, ln kp, ln H, logit of the inhibitor's share, ln of the decomposition energy; only the free ones.
struct Search<'a> {
    lines: &'a DataSheetLines,
    cup: &'a TestCup,
    t0: ThermodynamicTemperature,
    gel: DegreeOfCure,
    heat_free: bool,
    share_free: bool,
    energy_free: bool,
    vitrification: Option<Vitrification>,
    assumed: Vec<String>,
}

impl<'a> Search<'a> {
    fn new(lines: &'a DataSheetLines, cup: &'a TestCup) -> Result<Self> {
        check(lines).map_err(|e| e.within("lines"))?;
        check(cup).map_err(|e| e.within("cup"))?;
        let t0 = cup.surroundings;
        between(
            "cup.surroundings",
            t0,
            223.15,
            373.15,
            "give the temperature of the data sheet's test, mostly 25 degC",
        )?;
        if lines.peak_temperature.si() < t0.si() + 2.0 {
            return Err(Error::inconsistent(
                "lines.peak_temperature",
                show(lines.peak_temperature),
                format!("above the {} of the test", show(t0)),
                "a cure warms its cup: check the peak temperature and its unit",
            ));
        }
        let mut assumed = Vec::new();
        if lines.gel_conversion.is_none() {
            assumed.push("gel at a conversion of 5 % (from memory)".to_owned());
        }
        if lines.dose_order.is_none() {
            assumed.push(format!(
                "inhibitor takes {:.0} % of the dose (common practice, no source): give dose_order from a gel-time table",
                100.0 * INHIBITOR_SHARE
            ));
        }
        if lines.gel_activation_energy.is_none() {
            assumed.push(format!(
                "activation energy of decomposition {:.0} kJ/mol (redox-initiated polyesters 40 to 60 kJ/mol, J. Appl. Polym. Sci. 102:1870 (2006)): give gel_activation_energy from a gel-time table",
                DECOMPOSITION_ENERGY / 1e3
            ));
        }
        let vitrification = match lines.vitrification {
            Some(v) => Some(v),
            None => Vitrification::of_resin(Catalogue::generic().get(USUAL_RESIN)?.resin()?)?,
        };
        if let (None, Some(v)) = (lines.vitrification, vitrification) {
            let g = v.glass_transition;
            assumed.push(format!(
                "glass transition {} uncured to {} cured, as a generic orthophthalic polyester (from memory): give vitrification",
                show(g.uncured),
                show(g.cured)
            ));
        }
        Ok(Search {
            lines,
            cup,
            vitrification,
            t0,
            gel: lines
                .gel_conversion
                .map_or(DegreeOfCure::new(GEL_CONVERSION), Ok)?,
            heat_free: lines.heat_of_reaction.is_none(),
            share_free: lines.dose_order.is_some(),
            energy_free: lines.gel_activation_energy.is_some(),
            assumed,
        })
    }

    fn split(&self, p: &[f64]) -> [f64; 5] {
        let mut it = p[2..].iter().copied();
        let mut take = |free: bool, fixed: f64| if free { it.next().unwrap_or(fixed) } else { fixed };
        let heat = take(
            self.heat_free,
            self.lines.heat_of_reaction.map_or(0.0, |h| h.si().ln()),
        );
        let share = take(self.share_free, logit(INHIBITOR_SHARE));
        let energy = take(self.energy_free, DECOMPOSITION_ENERGY.ln());
        [p[0], p[1], heat, share, energy]
    }

    fn kinetics(&self, p: &[f64]) -> Result<Kinetics> {
        let [kd, kp, heat, share, energy] = self.split(p);
        let dose = self.lines.dose.get();
        let one = Phr::new(1.0)?;
        let kelvin = |k: f64| ThermodynamicTemperature::from_si(k);
        Ok(Kinetics {
            law: RateLaw::FreeRadical(FreeRadical {
                decomposition: RateConstant::at(
                    self.t0,
                    Frequency::from_si(kd.exp())?,
                    molar_energy(energy.exp()),
                ),
                thermal_decomposition: None,
                propagation: RateConstant::at(
                    self.t0,
                    Frequency::from_si(kp.exp())?,
                    molar_energy(PROPAGATION_ENERGY),
                ),
                dose: self.lines.dose,
                inhibitor: Phr::new(dose / (1.0 + (-share).exp()))?,
                promoter: one,
                reference_promoter: one,
                promoter_order: PROMOTER_ORDER,
                dose_effect: None,
                radicals: Radicals::Trapped,
            }),
            heat_of_reaction: AvailableEnergy::from_si(heat.exp())?,
            seed: DegreeOfCure::new(0.0)?,
            vitrification: self.vitrification,
            fitted: Some(FittedRange {
                coldest: kelvin(self.t0.si() - 7.0)?,
                hottest: self.lines.peak_temperature,
            }),
            source: Source {
                standing: Standing::Derived,
                locator: format!("kinetics computed from its lines; {}", self.lines.source.locator)
                    .trim_end_matches("; ")
                    .to_owned(),
                ..self.lines.source.clone()
            },
        })
    }

    fn residuals(&self, p: &[f64]) -> Result<Vec<f64>> {
        let k = self.kinetics(p)?;
        let r = self.cup.shows(&k, self.gel)?;
        let l = self.lines;
        let mut out = vec![
            (r.gel_time.si() / l.gel_time.si()).ln(),
            ((r.gel_to_peak.si() + 1.0) / (l.gel_to_peak.si() + 1.0)).ln(),
        ];
        if self.heat_free {
            let rise = |t: ThermodynamicTemperature| (t.si() - self.t0.si()).max(0.01);
            out.push((rise(r.peak_temperature) / rise(l.peak_temperature)).ln());
        }
        if self.share_free || self.energy_free {
            let at = |kelvin: f64, dose: f64| -> Result<f64> {
                let mut k = k.clone();
                if let RateLaw::FreeRadical(f) = &mut k.law {
                    f.dose = Phr::new(dose)?;
                }
                let schedule = Schedule::isothermal(ThermodynamicTemperature::from_si(kelvin)?)?;
                let gel = GelCriterion::Conversion { conversion: self.gel };
                Ok(k.to_gel(&gel, &schedule)?.time.si().ln())
            };
            let (t, d) = (self.t0.si(), l.dose.get());
            if let Some(n) = l.dose_order {
                let got = (at(t, d / 1.1)? - at(t, d * 1.1)?) / (2.0 * 1.1f64.ln());
                out.push(got - n);
            }
            if let Some(e) = l.gel_activation_energy {
                let got = (at(t - 3.0, d)? - at(t + 3.0, d)?) / (1.0 / (t - 3.0) - 1.0 / (t + 3.0));
                out.push((got * GAS_CONSTANT / e.si()).ln());
            }
        }
        Ok(out)
    }

    /// Keeps the parameters where a law exists at all.
    fn bounded(&self, p: &mut [f64]) {
        p[0] = p[0].clamp(-30.0, 2.0);
        p[1] = p[1].clamp(-25.0, 8.0);
        let mut k = 2;
        if self.heat_free {
            p[k] = p[k].clamp(HEATS.0.ln(), HEATS.1.ln());
            k += 1;
        }
        if self.share_free {
            p[k] = p[k].clamp(logit(0.002), logit(0.97));
            k += 1;
        }
        if self.energy_free {
            p[k] = p[k].clamp(10e3f64.ln(), 300e3f64.ln());
        }
    }

    fn solve(&self, cancel: Cancel<'_>) -> Result<(Vec<f64>, f64)> {
        let gel = self.lines.gel_time.si();
        let norm = |r: &[f64]| r.iter().map(|x| x * x).sum::<f64>();
        let mut best: Option<(Vec<f64>, f64)> = None;
        let mut refused = None;
        // Several starts: induction may be most of the gel time or little of it.
        for part in [0.8, 0.5, 0.95, 0.2] {
            let share = INHIBITOR_SHARE;
            let kd = -(1.0 - share).ln() / (part * gel);
            let s = (1.0 - part) * gel;
            let kp = 2.0 * self.gel.get() / (self.lines.dose.get() * (1.0 - share) * kd * s * s);
            let mut p = vec![kd.ln(), kp.ln()];
            if self.heat_free {
                p.push(350e3f64.ln());
            }
            if self.share_free {
                p.push(logit(share));
            }
            if self.energy_free {
                p.push(
                    self.lines
                        .gel_activation_energy
                        .map_or(DECOMPOSITION_ENERGY, |e| e.si())
                        .ln(),
                );
            }
            self.bounded(&mut p);
            cancel.check()?;
            let mut r = match self.residuals(&p) {
                Ok(r) => r,
                Err(e) => {
                    refused = Some(e);
                    continue;
                }
            };
            let mut damping = 1e-3;
            for _ in 0..60 {
                if norm(&r).sqrt() < 1e-7 {
                    break;
                }
                let n = p.len();
                let mut jacobian = vec![vec![0.0; n]; r.len()];
                let mut stuck = false;
                for j in 0..n {
                    let mut q = p.clone();
                    let h = 1e-4;
                    q[j] += h;
                    cancel.check()?;
                    match self.residuals(&q) {
                        Ok(rq) => {
                            for i in 0..r.len() {
                                jacobian[i][j] = (rq[i] - r[i]) / h;
                            }
                        }
                        Err(_) => stuck = true,
                    }
                }
                if stuck {
                    break;
                }
                let mut improved = false;
                for _ in 0..12 {
                    let mut q = p.clone();
                    let Some(step) = damped_step(&jacobian, &r, damping) else {
                        break;
                    };
                    for (x, s) in q.iter_mut().zip(&step) {
                        *x += s.clamp(-1.0, 1.0);
                    }
                    self.bounded(&mut q);
                    cancel.check()?;
                    if let Ok(rq) = self.residuals(&q)
                        && norm(&rq) < norm(&r)
                    {
                        improved = norm(&rq) < norm(&r) * (1.0 - 1e-9);
                        p = q;
                        r = rq;
                        damping = (damping * 0.2).max(1e-12);
                        break;
                    }
                    damping *= 5.0;
                }
                if !improved {
                    break;
                }
            }
            let misfit = norm(&r).sqrt();
            if best.as_ref().is_none_or(|b| misfit < b.1) {
                best = Some((p, misfit));
            }
            if misfit < 1e-5 {
                break;
            }
        }
        best.ok_or_else(|| {
            refused.unwrap_or_else(|| Error::new(ErrorKind::NotConverged, "lines").with_value("the search"))
        })
    }

    /// Refuses lines that no kinetics show.
    fn judge(&self, p: &[f64], reading: &CupReading, misfit: f64) -> Result<()> {
        let l = self.lines;
        let nearest = format!(
            "nearest: gel {}, then {} to a peak of {}",
            show(reading.gel_time),
            show(reading.gel_to_peak),
            show(reading.peak_temperature)
        );
        if misfit > 1e-3 {
            let heat = self.split(p)[2].exp();
            let off = self.residuals(p)?;
            let worst = off
                .iter()
                .enumerate()
                .max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))
                .map_or(0, |(k, _)| k);
            let (field, value, allowed) = if self.heat_free && heat > HEATS.1 * 0.999 {
                (
                    "peak_temperature",
                    show(l.peak_temperature),
                    "a peak that 800 J/g can reach in this cup",
                )
            } else if self.heat_free && heat < HEATS.0 * 1.001 {
                (
                    "peak_temperature",
                    show(l.peak_temperature),
                    "a peak that 80 J/g does not pass in this cup",
                )
            } else if worst == 0 {
                (
                    "gel_time",
                    show(l.gel_time),
                    "a gel time that goes with the other lines",
                )
            } else if worst == 1 {
                (
                    "gel_to_peak",
                    show(l.gel_to_peak),
                    "a time that goes with gel time and peak",
                )
            } else {
                (
                    "dose_order",
                    l.dose_order.map_or(String::new(), |n| n.to_string()),
                    "an order that goes with the other lines",
                )
            };
            return Err(Error::inconsistent(
                field,
                value,
                allowed,
                format!(
                    "the lines contradict each other in this cup ({nearest}): check mass, surroundings and heat transfer of the cup, then the line"
                ),
            ));
        }
        if !self.heat_free {
            let off = reading.peak_temperature.si() - l.peak_temperature.si();
            if off.abs() > PEAK_AGREES {
                return Err(Error::inconsistent(
                    "peak_temperature",
                    show(l.peak_temperature),
                    format!(
                        "within {} of the {} that the heat of reaction gives in this cup",
                        show(TemperatureInterval::from_si(PEAK_AGREES)?),
                        show(reading.peak_temperature)
                    ),
                    "check the cup's mass and surroundings, or leave the heat of reaction out to have it found from the peak",
                ));
            }
        }
        Ok(())
    }
}

fn logit(x: f64) -> f64 {
    (x / (1.0 - x)).ln()
}

/// Solves `(J'J + damping diag(J'J)) s = -J'r`.
fn damped_step(jacobian: &[Vec<f64>], r: &[f64], damping: f64) -> Option<Vec<f64>> {
    let n = jacobian.first()?.len();
    let mut a = vec![vec![0.0; n + 1]; n];
    for i in 0..n {
        for j in 0..n {
            a[i][j] = jacobian.iter().map(|row| row[i] * row[j]).sum();
        }
        a[i][n] = -jacobian.iter().zip(r).map(|(row, x)| row[i] * x).sum::<f64>();
        a[i][i] = a[i][i] * (1.0 + damping) + 1e-14;
    }
    for k in 0..n {
        let p = (k..n).max_by(|i, j| a[*i][k].abs().total_cmp(&a[*j][k].abs()))?;
        a.swap(k, p);
        if a[k][k] == 0.0 || !a[k][k].is_finite() {
            return None;
        }
        for i in k + 1..n {
            let f = a[i][k] / a[k][k];
            for j in k..=n {
                let x = a[k][j];
                a[i][j] -= f * x;
            }
        }
    }
    let mut s = vec![0.0; n];
    for i in (0..n).rev() {
        let below: f64 = (i + 1..n).map(|j| a[i][j] * s[j]).sum();
        s[i] = (a[i][n] - below) / a[i][i];
    }
    s.iter().all(|x| x.is_finite()).then_some(s)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::temperature::{celsius, to_celsius};

    fn cup() -> TestCup {
        TestCup {
            mass: Mass::from_si(0.1).unwrap(),
            density: MassDensity::from_si(1100.0).unwrap(),
            heat_capacity: SpecificHeatCapacity::from_si(1900.0).unwrap(),
            heat_transfer: HeatTransfer::from_si(8.0).unwrap(),
            surroundings: celsius(25.0),
        }
    }

    fn lines() -> DataSheetLines {
        DataSheetLines {
            dose: Phr::new(2.0).unwrap(),
            gel_time: seconds(18.0 * 60.0),
            gel_to_peak: seconds(12.0 * 60.0),
            peak_temperature: celsius(155.0),
            gel_conversion: None,
            heat_of_reaction: None,
            gel_activation_energy: None,
            dose_order: None,
            vitrification: None,
            source: Source::of(Standing::Invented, "made for this test"),
        }
    }

    fn solve(l: &DataSheetLines) -> Result<DataSheetKinetics> {
        l.kinetics(&cup(), Cancel::NEVER)
    }

    #[test]
    fn the_lines_come_back() {
        let r = solve(&lines()).unwrap();
        println!("{:#?}", r.kinetics);
        assert!((r.reading.gel_time.si() - 1080.0).abs() < 0.5);
        assert!((r.reading.gel_to_peak.si() - 720.0).abs() < 0.5);
        assert!((to_celsius(r.reading.peak_temperature) - 155.0).abs() < 0.1);
        assert!(r.assumed.iter().any(|a| a.contains("inhibitor")));
    }

    #[test]
    fn a_table_takes_the_place_of_assumptions() {
        let l = DataSheetLines {
            dose_order: Some(1.4),
            gel_activation_energy: Some(molar_energy(70e3)),
            ..lines()
        };
        let r = solve(&l).unwrap();
        assert!(
            !r.assumed.iter().any(|a| a.contains("inhibitor")),
            "{:?}",
            r.assumed
        );
        let gel = |c: f64, d: f64| {
            let mut k = r.kinetics.clone();
            if let RateLaw::FreeRadical(f) = &mut k.law {
                f.dose = Phr::new(d).unwrap();
            }
            let s = Schedule::isothermal(celsius(c)).unwrap();
            k.gel_time(
                &GelCriterion::Conversion {
                    conversion: r.gel_conversion,
                },
                &s,
            )
            .unwrap()
            .time
            .si()
            .ln()
        };
        let order = (gel(25.0, 1.9) - gel(25.0, 2.1)) / (2.1f64 / 1.9).ln();
        assert!((order - 1.4).abs() < 0.02, "{order}");
    }

    #[test]
    fn lines_that_contradict_each_other_are_refused() {
        let hot = DataSheetLines {
            peak_temperature: celsius(600.0),
            ..lines()
        };
        let e = solve(&hot).unwrap_err();
        assert_eq!(e.kind(), ErrorKind::Inconsistent);
        assert!(e.to_string().contains("contradict"), "{e}");
        let stated = DataSheetLines {
            heat_of_reaction: Some(AvailableEnergy::from_si(200e3).unwrap()),
            ..lines()
        };
        let e = solve(&stated).unwrap_err();
        assert_eq!(e.field(), "lines.peak_temperature", "{e}");
        let cold = DataSheetLines {
            peak_temperature: celsius(25.0),
            ..lines()
        };
        assert!(solve(&cold).is_err());
    }
}
