//! Why a part came out tacky, too hot or cracked: causes ranked by what the law shows under each, and the test that settles it.

use super::calibration::Calibration;
use super::law::CONSTANTS;
use crate::error::{Error, Result};
use crate::noun::{Noun, questions};
use crate::numeric::normal;
use crate::quantity::spread::Spread;
use crate::quantity::{Phr, Probability, Quantity, ThermodynamicTemperature, Time, show};
use crate::reliability::order;
use crate::sample::sobol::Sobol;
use crate::source::Why;

/// What is wrong with a part.
#[derive(Clone, Copy, PartialEq, Eq, Noun)]
pub enum Complaint {
    /// Soft or tacky right through.
    Soft,
    /// Hard inside, its surface tacky.
    TackySurface,
    /// It got hotter than it should.
    TooHot,
    /// It cracked.
    Cracked,
}

/// What may have been the cause.
#[derive(Clone, Copy, PartialEq, Eq, Noun)]
pub enum SpoilingCause {
    /// None of the others: what such resins scatter.
    AsPlanned,
    /// Less catalyst than was written down.
    TooLittleCatalyst,
    /// More catalyst than was written down.
    TooMuchCatalyst,
    /// Catalyst that has lost active oxygen.
    WeakCatalyst,
    /// Resin, mould or air colder than was written down.
    Colder,
    /// Resin, mould or air warmer than was written down.
    Warmer,
    /// Air at the surface, which takes the radicals up.
    AirAtSurface,
    /// More poured at once than lets its heat out.
    TooThick,
}

/// What is known of a spoiled part.
#[derive(Clone, PartialEq, Noun)]
pub struct SpoiledPart {
    /// What is wrong with it.
    pub complaint: Complaint,
    /// Catalyst as it was written down.
    #[noun(within(> "0 phr", .., "give the dose of the record"))]
    pub dose: Phr,
    /// Temperature of resin, mould and air as it was written down.
    #[noun(within = crate::ranges::CURE_TEMPERATURE)]
    pub temperature: ThermodynamicTemperature,
    /// Mixing to gel, where somebody looked.
    #[noun(within = crate::ranges::SHEET_TIME)]
    pub gel_time: Option<Spread<Time>>,
    /// From mixing until it was judged.
    #[noun(default = "24 h", within("1 min", "60 d", "give for example '24 h'"))]
    pub judged_after: Time,
}

/// A cause, and how likely it is.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct LikelyCause {
    /// Which.
    pub cause: SpoilingCause,
    /// How likely it is among these.
    pub probability: Probability,
    /// What the law shows under it.
    pub says: String,
    /// The test that would settle it.
    pub settled_by: String,
}

/// Causes of a spoiled part, the likeliest first.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct Diagnosis {
    /// The causes.
    pub causes: Vec<LikelyCause>,
    /// What the record does not tell.
    pub not_told: Vec<String>,
    /// The chain behind it.
    pub why: Why,
}

/// A cause as the law takes it. All numbers: common practice, no source.
struct Hypothesis {
    cause: SpoilingCause,
    /// How often it is the cause of spoiled parts.
    before: f64,
    /// Times the dose written down, and the deviation of its logarithm.
    dose: (f64, f64),
    /// Kelvin off the temperature written down, and its deviation.
    kelvin: (f64, f64),
    /// How often it shows as a tacky surface, too hot, cracked.
    shows: [f64; 3],
    settled_by: &'static str,
}

const fn hypothesis(
    cause: SpoilingCause,
    before: f64,
    dose: (f64, f64),
    kelvin: (f64, f64),
    shows: [f64; 3],
    settled_by: &'static str,
) -> Hypothesis {
    Hypothesis {
        cause,
        before,
        dose,
        kelvin,
        shows,
        settled_by,
    }
}

const ASKED: [Hypothesis; 8] = [
    hypothesis(
        SpoilingCause::AsPlanned,
        0.26,
        (1.0, 0.05),
        (0.0, 1.0),
        [0.1, 0.1, 0.1],
        "cast a strip of the same mix again, with thermometer and clock, and change nothing",
    ),
    hypothesis(
        SpoilingCause::TooLittleCatalyst,
        0.12,
        (0.5, 0.35),
        (0.0, 1.0),
        [0.2, 0.02, 0.02],
        "weigh the catalyst's bottle against the day's record; time a 100 g cup of the same resin with catalyst by the scale",
    ),
    hypothesis(
        SpoilingCause::TooMuchCatalyst,
        0.10,
        (2.0, 0.35),
        (0.0, 1.0),
        [0.05, 0.6, 0.5],
        "weigh the catalyst's bottle against the day's record; time a 100 g cup of the same resin with catalyst by the scale",
    ),
    hypothesis(
        SpoilingCause::WeakCatalyst,
        0.10,
        (0.65, 0.25),
        (0.0, 1.0),
        [0.2, 0.02, 0.02],
        "time two 100 g cups side by side, one with this catalyst, one with a fresh lot (calibrate.compare_lots)",
    ),
    hypothesis(
        SpoilingCause::Colder,
        0.14,
        (1.0, 0.05),
        (-6.0, 3.0),
        [0.2, 0.02, 0.05],
        "lay a thermometer in resin and mould over a night; a strip of the part kept at 40 °C for some hours hardens if it was cold",
    ),
    hypothesis(
        SpoilingCause::Warmer,
        0.08,
        (1.0, 0.05),
        (6.0, 3.0),
        [0.05, 0.5, 0.3],
        "read the thermometer in resin and mould beside another, before mixing",
    ),
    hypothesis(
        SpoilingCause::AirAtSurface,
        0.12,
        (1.0, 0.05),
        (0.0, 1.0),
        [0.9, 0.02, 0.02],
        "wipe a place with solvent: hard below says air; cast a coin under film and one open",
    ),
    hypothesis(
        SpoilingCause::TooThick,
        0.08,
        (1.0, 0.05),
        (0.0, 1.0),
        [0.02, 0.8, 0.6],
        "ask heat.wall for the thickness that was poured; cast half of it with a thermometer inside",
    ),
];

const SAMPLES: u32 = 64;
const SEED: u64 = 0x7370_6f69_6c65_6421;
/// Cure below which a part counts as soft: the limit `demould_cure` says on whose word.
const SOFT_BELOW: f64 = 0.80;
/// A gel time of a record, without a spread, and the least chance of anything. Common practice, no source.
const SEEN_GEL: f64 = 0.10;
const LEAST: f64 = 0.02;

fn name(cause: SpoilingCause) -> &'static str {
    match cause {
        SpoilingCause::AsPlanned => "nothing but scatter",
        SpoilingCause::TooLittleCatalyst => "too little catalyst",
        SpoilingCause::TooMuchCatalyst => "too much catalyst",
        SpoilingCause::WeakCatalyst => "weak catalyst",
        SpoilingCause::Colder => "colder than written down",
        SpoilingCause::Warmer => "warmer than written down",
        SpoilingCause::AirAtSurface => "air at the surface",
        SpoilingCause::TooThick => "too much poured at once",
    }
}

impl Calibration {
    /// Gel time (none: never) and whether it is hard when judged, of a draw under a cause.
    fn under(
        &self,
        h: &Hypothesis,
        part: &SpoiledPart,
        at: impl Fn(usize) -> f64,
    ) -> Result<(Option<f64>, bool)> {
        let z: [f64; CONSTANTS] = std::array::from_fn(&at);
        let law = self.law_at(&z)?;
        let dose = part.dose.get() * h.dose.0 * (h.dose.1 * at(CONSTANTS)).exp();
        let kelvin = (part.temperature.si() + h.kelvin.0 + h.kelvin.1 * at(CONSTANTS + 1)).max(200.0);
        let kinetics = law.kinetics.with_dose(Phr::new(dose)?)?;
        let gel = kinetics.isothermal_time(law.gel_conversion.get(), kelvin)?;
        let hard = kinetics.isothermal_time(SOFT_BELOW, kelvin)?;
        Ok((gel, hard.is_some_and(|t| t <= part.judged_after.si())))
    }
}

#[questions(calibration, SPOILED)]
impl Calibration {
    /// Why a part came out soft, tacky, too hot or cracked: causes ranked, each with the test that would settle it.
    ///
    /// Bayes' rule over eight causes. The likelihood of the gel time that was seen, and of a part soft right through, is that of 64
    /// laws of the band under the cause (its dose, its temperature); how often a cause shows as a tacky surface, heat or cracks,
    /// and how often it occurs at all, is common practice without a source. So ranks are worth more than numbers.
    ///
    /// Not modelled: the part's own warming (it hardens sooner than this says), water, a mix that was not stirred through, cracks by
    /// a mould that holds it or by cold.
    ///
    /// # Errors
    /// `Inconsistent` where it was judged before it gelled; `OutOfRange`; as `calibrate.forecast_gel`.
    #[question("calibrate.diagnose")]
    pub fn diagnose(
        &self,
        /// What is known of the part.
        spoiled: &SpoiledPart,
    ) -> Result<Diagnosis> {
        crate::noun::check(spoiled)?;
        let seen = spoiled.gel_time.as_ref().map(|t| {
            let said = t.input().standard_uncertainty() / t.value().si();
            (t.value().si(), said.hypot(SEEN_GEL))
        });
        if let Some((t, _)) = seen
            && t > spoiled.judged_after.si()
        {
            return Err(Error::inconsistent(
                "spoiled.judged_after",
                show(spoiled.judged_after),
                "after it gelled",
                "give the time from mixing until the part was judged",
            ));
        }
        let sobol = Sobol::new(SEED);
        let mut found = vec![];
        for h in &ASKED {
            let (mut of_gel, mut soft, mut times) = (0.0, 0.0, vec![]);
            for i in 0..SAMPLES {
                let (gel, hard) = self.under(h, spoiled, |k| normal::quantile(sobol.at(k, i)))?;
                soft += f64::from(u8::from(!hard));
                times.push(gel.unwrap_or(f64::INFINITY));
                if let (Some((seen, u)), Some(t)) = (seen, gel) {
                    of_gel += normal::density((seen / t).ln() / u) / u;
                }
            }
            let n = f64::from(SAMPLES);
            let shows = match spoiled.complaint {
                Complaint::Soft => soft / n,
                Complaint::TackySurface => h.shows[0] * (1.0 - 0.5 * soft / n),
                Complaint::TooHot => h.shows[1],
                Complaint::Cracked => h.shows[2],
            };
            let gels = if seen.is_some() { of_gel / n + 1e-3 } else { 1.0 };
            times.sort_by(f64::total_cmp);
            let [low, middle, high] = [0.05, 0.5, 0.95].map(|p| order::at(&times, p));
            let minutes = super::calibration::minutes;
            let says = format!(
                "gels after {} ({} to {}); {:.0} % of the laws leave it soft after {}",
                minutes(middle),
                minutes(low),
                minutes(high),
                100.0 * soft / n,
                show(spoiled.judged_after)
            );
            found.push((h, h.before * shows.max(LEAST) * gels, says));
        }
        let whole: f64 = found.iter().map(|f| f.1).sum();
        found.sort_by(|a, b| b.1.total_cmp(&a.1));
        let mut causes = vec![];
        for (h, weight, says) in &found {
            causes.push(LikelyCause {
                cause: h.cause,
                probability: Probability::new((weight / whole).clamp(0.0, 1.0))?,
                says: says.clone(),
                settled_by: h.settled_by.to_owned(),
            });
        }
        let mut not_told = vec![];
        if seen.is_none() {
            not_told
                .push("the gel time: with it dose and temperature are told apart from the rest".to_owned());
        }
        if found[0].1 < 2.0 * found[1].1 {
            not_told.push(format!(
                "whether it was {} or {}: make the test of the first, then of the second",
                name(found[0].0.cause),
                name(found[1].0.cause)
            ));
        }
        not_told.extend(
            self.outside(spoiled.dose, spoiled.temperature)
                .map(|o| format!("extrapolated: {o}")),
        );
        let why = Why::computed(
            "likeliest cause",
            format!("{}, {}", name(found[0].0.cause), show(causes[0].probability)),
            "probability of each cause ~ how often it occurs x likelihood of gel time and complaint by laws of the band",
            vec![
                Why::given("dose written down", show(spoiled.dose)),
                Why::given("temperature written down", show(spoiled.temperature)),
                self.why.clone(),
            ],
        )
        .with_note("soft means below 80 % of cure (the limit demould_cure); how often causes occur: common practice, no source");
        Ok(Diagnosis {
            causes,
            not_told,
            why,
        })
    }
}
