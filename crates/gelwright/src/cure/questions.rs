//! Questions about gel and cure.

use crate::noun::Noun;

use super::{
    ApparentActivationEnergy, CureCurve, CureShrinkage, CureTime, DataSheetKinetics, DataSheetLines,
    DemouldCriterion, DoseForGelTime, DoseFromKinetics, EquivalentTime, GelCriterion, GelTable, GelTime,
    GlassTransition, Kinetics, PostCure, PostCureHold, PotLifeEnd, Schedule, Shrinkage, TackRule, TackWindow,
    TackWindowRule, TestCup, Vitrification, equivalent_time, kinetics_from_data_sheet, post_cure,
    post_cure_hold, tack_window_from_gel_time,
};
use crate::cancel::Cancel;
use crate::door::{LongQuestion, Question, entry, long_entry};
use crate::error::{Result, finite};
use crate::quantity::{
    DegreeOfCure, Frequency, MolarEnergy, Phr, Quantity, ThermodynamicTemperature, Time, show,
};
use crate::question::Entry;
use crate::source::Why;

macro_rules! request {
    ($(#[$doc:meta])* $name:ident { $($(#[$field:meta])* $field_name:ident : $ty:ty),* $(,)? }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Noun)]
        struct $name { $($(#[$field])* $field_name: $ty),* }
    };
}

request! {
    /// Gel time from a gel-time table.
    GelTimeFromTable {
        /// The table.
        table: GelTable,
        /// Temperature of resin, mould and air.
        temperature: ThermodynamicTemperature,
        /// Catalyst on 100 parts of resin by mass.
        dose: Phr,
    }
}

impl Question for GelTimeFromTable {
    const NAME: &'static str = "cure.gel_time";
    const ABOUT: &'static str =
        "Gel time at a temperature and dose from a data sheet's gel-time table, with its band.";
    type Answer = GelTime;
    fn answer(&self) -> Result<GelTime> {
        self.table.gel_time(self.temperature, self.dose)
    }
}

request! {
    /// The dose for a gel time from a gel-time table.
    DoseFromTable {
        /// The table.
        table: GelTable,
        /// Wanted gel time.
        time: Time,
        /// Temperature of resin, mould and air.
        temperature: ThermodynamicTemperature,
        /// Least dose allowed.
        least: Phr,
        /// Most dose allowed.
        most: Phr,
    }
}

impl Question for DoseFromTable {
    const NAME: &'static str = "cure.dose_for_gel_time";
    const ABOUT: &'static str = "The catalyst dose inside a window that gives a wanted gel time, from a gel-time table; or why none does.";
    type Answer = DoseForGelTime;
    fn answer(&self) -> Result<DoseForGelTime> {
        self.table
            .dose_for(self.time, self.temperature, (self.least, self.most))
    }
}

request! {
    /// Apparent activation energy of a gel-time table.
    TableActivationEnergy {
        /// The table.
        table: GelTable,
    }
}

impl Question for TableActivationEnergy {
    const NAME: &'static str = "cure.apparent_activation_energy";
    const ABOUT: &'static str = "Apparent activation energy of gelling that a gel-time table implies.";
    type Answer = ApparentActivationEnergy;
    fn answer(&self) -> Result<ApparentActivationEnergy> {
        Ok(self.table.apparent_activation_energy())
    }
}

request! {
    /// The rate of cure.
    RateOfCure {
        /// How the resin cures.
        kinetics: Kinetics,
        /// Conversion.
        conversion: DegreeOfCure,
        /// Spent fraction of the initiator; for laws without one leave it out.
        initiator_spent: Option<DegreeOfCure>,
        /// Temperature of the resin.
        temperature: ThermodynamicTemperature,
    }
}

/// A rate of cure.
#[derive(Debug, Clone, Noun)]
struct RateOfCureAnswer {
    /// Conversion a second.
    rate: Frequency,
    /// Initiator spent a second.
    initiator_rate: Frequency,
    /// Heat set free per kg of resin mix, W/kg.
    #[noun(name = "heat_rate_W_per_kg")]
    heat_rate: f64,
    /// What lies outside the fitted range, where something does.
    extrapolated: Option<String>,
    /// The chain behind it.
    why: Why,
}

impl Question for RateOfCure {
    const NAME: &'static str = "cure.rate";
    const ABOUT: &'static str = "Rate of cure and of heat at a conversion and temperature.";
    type Answer = RateOfCureAnswer;
    fn answer(&self) -> Result<RateOfCureAnswer> {
        let kernel = self.kinetics.kernel().map_err(|e| e.within("kinetics"))?;
        // The range that any temperature of this module has.
        Schedule::isothermal(self.temperature).map_err(|_| {
            crate::Error::out_of_range(
                "temperature",
                show(self.temperature),
                "-50 degC to 400 degC",
                "check the unit of the temperature",
            )
        })?;
        let spent = self.initiator_spent.map_or(0.0, DegreeOfCure::get);
        let r = kernel.rate(self.conversion.get(), spent, self.temperature.si());
        let rate = Frequency::from_si(finite("rate", r.dalpha)?)?;
        Ok(RateOfCureAnswer {
            rate,
            initiator_rate: Frequency::from_si(finite("initiator_rate", r.di)?)?,
            heat_rate: kernel.heat_of_reaction * r.dalpha,
            extrapolated: self.kinetics.outside_fitted(self.temperature, self.temperature),
            why: Why::computed(
                "rate of cure",
                show(rate),
                self.kinetics.law.equation(),
                vec![
                    Why::given("conversion a", show(self.conversion)),
                    Why::given("temperature", show(self.temperature)),
                    Why::given("rate law", self.kinetics.law.name()).with_source(&self.kinetics.source),
                ],
            ),
        })
    }
}

request! {
    /// Conversion over time.
    ConversionOverTime {
        /// How the resin cures.
        kinetics: Kinetics,
        /// Temperature of the part against time; one point is a constant temperature.
        schedule: Schedule,
        /// How long.
        duration: Time,
        /// How many evenly spaced times to answer, 2 to 10001.
        #[noun(default = 101)]
        samples: usize,
    }
}

impl Question for ConversionOverTime {
    const NAME: &'static str = "cure.conversion";
    const ABOUT: &'static str =
        "Conversion over time of a part at a constant temperature or along a schedule (no self-heating).";
    type Answer = CureCurve;
    fn answer(&self) -> Result<CureCurve> {
        self.kinetics.cure(&self.schedule, self.duration, self.samples)
    }
}

request! {
    /// Gel time from kinetics.
    GelTimeFromKinetics {
        /// How the resin cures.
        kinetics: Kinetics,
        /// When it counts as gelled.
        criterion: GelCriterion,
        /// Temperature of the part against time.
        schedule: Schedule,
    }
}

impl Question for GelTimeFromKinetics {
    const NAME: &'static str = "cure.gel_time_from_kinetics";
    const ABOUT: &'static str = "Gel time along a schedule from kinetics, by conversion or by viscosity.";
    type Answer = CureTime;
    fn answer(&self) -> Result<CureTime> {
        self.kinetics.gel_time(&self.criterion, &self.schedule)
    }
}

request! {
    /// The dose for a gel time from kinetics.
    DoseFromKineticsRequest {
        /// How the resin cures; its law must know its dose.
        kinetics: Kinetics,
        /// When it counts as gelled.
        criterion: GelCriterion,
        /// Temperature of the part against time.
        schedule: Schedule,
        /// Wanted gel time.
        time: Time,
        /// Least dose allowed.
        least: Phr,
        /// Most dose allowed.
        most: Phr,
    }
}

impl Question for DoseFromKineticsRequest {
    const NAME: &'static str = "cure.dose_from_kinetics";
    const ABOUT: &'static str = "The catalyst dose inside a window that gives a wanted gel time, from free-radical kinetics; or why none does.";
    type Answer = DoseFromKinetics;
    fn answer(&self) -> Result<DoseFromKinetics> {
        self.answer_with(Cancel::NEVER)
    }
}

impl LongQuestion for DoseFromKineticsRequest {
    fn answer_with(&self, cancel: Cancel<'_>) -> Result<DoseFromKinetics> {
        self.kinetics.dose_for(
            self.time,
            &self.criterion,
            &self.schedule,
            (self.least, self.most),
            cancel,
        )
    }
}

request! {
    /// Pot life.
    PotLife {
        /// How the resin cures.
        kinetics: Kinetics,
        /// What ends the pot life.
        end: PotLifeEnd,
        /// Temperature of the mix against time.
        schedule: Schedule,
    }
}

impl Question for PotLife {
    const NAME: &'static str = "cure.pot_life";
    const ABOUT: &'static str =
        "Pot life of the mix, to a viscosity ratio (doubling) or to gel, whichever the data sheet means.";
    type Answer = CureTime;
    fn answer(&self) -> Result<CureTime> {
        self.kinetics.pot_life(&self.end, &self.schedule)
    }
}

request! {
    /// Tack window from kinetics.
    TackWindowFromKinetics {
        /// How the gel coat cures.
        kinetics: Kinetics,
        /// Between which conversions it takes the laminate.
        rule: TackWindowRule,
        /// Temperature of the film against time.
        schedule: Schedule,
    }
}

impl Question for TackWindowFromKinetics {
    const NAME: &'static str = "cure.tack_window";
    const ABOUT: &'static str = "Earliest and latest lamination of a gel coat, from its kinetics.";
    type Answer = TackWindow;
    fn answer(&self) -> Result<TackWindow> {
        self.kinetics.tack_window(&self.rule, &self.schedule)
    }
}

request! {
    /// Tack window from a gel time.
    TackWindowFromGelTime {
        /// Lower end of the gel time's band.
        low: Time,
        /// Gel time.
        gel_time: Time,
        /// Upper end of the gel time's band.
        high: Time,
        /// Rule in gel times; the common one where not given.
        #[noun(default)]
        rule: TackRule,
    }
}

impl Question for TackWindowFromGelTime {
    const NAME: &'static str = "cure.tack_window_from_gel_time";
    const ABOUT: &'static str = "Earliest and latest lamination of a gel coat, from its gel time and a rule.";
    type Answer = TackWindow;
    fn answer(&self) -> Result<TackWindow> {
        tack_window_from_gel_time(self.low, self.gel_time, self.high, &self.rule)
    }
}

request! {
    /// Time to demould.
    DemouldTime {
        /// How the resin cures.
        kinetics: Kinetics,
        /// What must hold.
        criterion: DemouldCriterion,
        /// Temperature of the part against time.
        schedule: Schedule,
    }
}

impl Question for DemouldTime {
    const NAME: &'static str = "cure.demould_time";
    const ABOUT: &'static str = "Earliest demoulding along a schedule, by conversion and by glass transition against part temperature.";
    type Answer = CureTime;
    fn answer(&self) -> Result<CureTime> {
        self.kinetics.demould_time(&self.criterion, &self.schedule)
    }
}

request! {
    /// Post-cure.
    PostCureRequest {
        /// How the resin cures.
        kinetics: Kinetics,
        /// Glass transition against conversion.
        glass_transition: GlassTransition,
        /// The whole history from mixing to the end of the oven hold.
        schedule: Schedule,
        /// When the part left the mould.
        demoulded: Time,
    }
}

impl Question for PostCureRequest {
    const NAME: &'static str = "cure.post_cure";
    const ABOUT: &'static str =
        "Conversion and glass transition after an oven schedule, and how soft the part gets on the way.";
    type Answer = PostCure;
    fn answer(&self) -> Result<PostCure> {
        post_cure(
            &self.kinetics,
            &self.glass_transition,
            &self.schedule,
            self.demoulded,
        )
    }
}

request! {
    /// Hold for a glass transition.
    PostCureHoldRequest {
        /// How the resin cures.
        kinetics: Kinetics,
        /// Glass transition against conversion.
        glass_transition: GlassTransition,
        /// The history from mixing to the start of the hold; the hold is at its last temperature.
        schedule: Schedule,
        /// Wanted glass transition.
        wanted: ThermodynamicTemperature,
    }
}

impl Question for PostCureHoldRequest {
    const NAME: &'static str = "cure.post_cure_hold";
    const ABOUT: &'static str = "How long to hold in the oven until the glass transition is a wanted one.";
    type Answer = PostCureHold;
    fn answer(&self) -> Result<PostCureHold> {
        post_cure_hold(
            &self.kinetics,
            &self.glass_transition,
            &self.schedule,
            self.wanted,
        )
    }
}

request! {
    /// Time to a conversion.
    TimeToConversion {
        /// How the resin cures.
        kinetics: Kinetics,
        /// Wanted conversion.
        conversion: DegreeOfCure,
        /// Temperature of the part against time.
        schedule: Schedule,
    }
}

impl Question for TimeToConversion {
    const NAME: &'static str = "cure.time_to_conversion";
    const ABOUT: &'static str =
        "When a conversion is reached along a schedule, or how far cure comes and why it stops.";
    type Answer = CureTime;
    fn answer(&self) -> Result<CureTime> {
        self.kinetics.time_to(self.conversion, &self.schedule)
    }
}

request! {
    /// Equivalent hold.
    EquivalentHold {
        /// The schedule; a hold is two points.
        schedule: Schedule,
        /// Temperature of the hold that replaces it.
        reference: ThermodynamicTemperature,
        /// Activation energy of the resin's cure.
        activation_energy: MolarEnergy,
    }
}

impl Question for EquivalentHold {
    const NAME: &'static str = "cure.equivalent_time";
    const ABOUT: &'static str =
        "The hold at one temperature that cures as far as a schedule: Arrhenius equivalence of post-cures.";
    type Answer = EquivalentTime;
    fn answer(&self) -> Result<EquivalentTime> {
        equivalent_time(&self.schedule, self.reference, self.activation_energy)
    }
}

request! {
    /// Glass transition at a conversion.
    GlassTransitionAt {
        /// Glass transition against conversion.
        glass_transition: GlassTransition,
        /// Conversion.
        conversion: DegreeOfCure,
    }
}

/// A glass transition temperature.
#[derive(Debug, Clone, Noun)]
struct GlassTransitionAnswer {
    /// Glass transition temperature.
    temperature: ThermodynamicTemperature,
    /// The chain behind it.
    why: Why,
}

impl Question for GlassTransitionAt {
    const NAME: &'static str = "cure.glass_transition";
    const ABOUT: &'static str = "Glass transition temperature at a conversion (DiBenedetto).";
    type Answer = GlassTransitionAnswer;
    fn answer(&self) -> Result<GlassTransitionAnswer> {
        let temperature = self
            .glass_transition
            .at(self.conversion)
            .map_err(|e| e.within("glass_transition"))?;
        Ok(GlassTransitionAnswer {
            temperature,
            why: Why::computed(
                "glass transition",
                show(temperature),
                "Tg = Tg0 + (Tg1 - Tg0) lambda a/(1 - (1 - lambda) a)",
                vec![
                    Why::given("conversion a", show(self.conversion)),
                    Why::given("Tg0", show(self.glass_transition.uncured)),
                    Why::given("Tg1", show(self.glass_transition.cured)),
                    Why::given("lambda", self.glass_transition.lambda.to_string()),
                ],
            ),
        })
    }
}

request! {
    /// Final conversion at a temperature.
    FinalConversion {
        /// Where cure vitrifies.
        vitrification: Vitrification,
        /// Temperature of cure.
        temperature: ThermodynamicTemperature,
    }
}

/// A final conversion.
#[derive(Debug, Clone, Noun)]
struct FinalConversionAnswer {
    /// Conversion at which cure stops.
    conversion: DegreeOfCure,
    /// The chain behind it.
    why: Why,
}

impl Question for FinalConversion {
    const NAME: &'static str = "cure.final_conversion";
    const ABOUT: &'static str = "The conversion at which cure at a temperature stops by vitrification.";
    type Answer = FinalConversionAnswer;
    fn answer(&self) -> Result<FinalConversionAnswer> {
        let conversion = self
            .vitrification
            .final_conversion(self.temperature)
            .map_err(|e| {
                if e.field() == "temperature" {
                    e
                } else {
                    e.within("vitrification")
                }
            })?;
        Ok(FinalConversionAnswer {
            conversion,
            why: Why::computed(
                "final conversion",
                show(conversion),
                "Tg(a_max) = T + above",
                vec![
                    Why::given("temperature of cure", show(self.temperature)),
                    Why::given("above", show(self.vitrification.above)),
                ],
            ),
        })
    }
}

request! {
    /// Cure shrinkage at a conversion.
    ShrinkageAt {
        /// Densities and fillers.
        shrinkage: CureShrinkage,
        /// Conversion.
        conversion: DegreeOfCure,
        /// Conversion at gel.
        gel_conversion: DegreeOfCure,
    }
}

impl Question for ShrinkageAt {
    const NAME: &'static str = "cure.shrinkage";
    const ABOUT: &'static str = "Cure shrinkage at a conversion: volume, linear, and linear after gel.";
    type Answer = Shrinkage;
    fn answer(&self) -> Result<Shrinkage> {
        self.shrinkage
            .at(self.conversion, self.gel_conversion)
            .map_err(|e| e.within("shrinkage"))
    }
}

request! {
    /// Kinetics from a data sheet.
    KineticsFromDataSheet {
        /// The lines.
        lines: DataSheetLines,
        /// The cup of the test; its surroundings are the temperature of the test.
        cup: TestCup,
    }
}

impl Question for KineticsFromDataSheet {
    const NAME: &'static str = "cure.kinetics_from_data_sheet";
    const ABOUT: &'static str = "Free-radical kinetics whose cup shows a data sheet's gel time, gel-to-peak time and peak temperature.";
    type Answer = DataSheetKinetics;
    fn answer(&self) -> Result<DataSheetKinetics> {
        self.answer_with(Cancel::NEVER)
    }
}

impl LongQuestion for KineticsFromDataSheet {
    fn answer_with(&self, cancel: Cancel<'_>) -> Result<DataSheetKinetics> {
        self.cup.time_constant().map_err(|e| e.within("cup"))?;
        kinetics_from_data_sheet(
            &self.lines,
            self.cup.surroundings,
            &|k, g| self.cup.read(k, g),
            cancel,
        )
        .map_err(|e| {
            if e.field() == "temperature" {
                crate::Error::out_of_range(
                    "cup.surroundings",
                    show(self.cup.surroundings),
                    "-50 degC to 100 degC",
                    "give the temperature of the data sheet's test, mostly 25 degC",
                )
            } else {
                e.within("lines")
            }
        })
    }
}

pub(crate) const QUESTIONS: &[Entry] = &[
    entry::<GelTimeFromTable>(),
    entry::<DoseFromTable>(),
    entry::<TableActivationEnergy>(),
    entry::<RateOfCure>(),
    entry::<ConversionOverTime>(),
    entry::<GelTimeFromKinetics>(),
    long_entry::<DoseFromKineticsRequest>(),
    entry::<PotLife>(),
    entry::<TackWindowFromKinetics>(),
    entry::<TackWindowFromGelTime>(),
    entry::<DemouldTime>(),
    entry::<PostCureRequest>(),
    entry::<PostCureHoldRequest>(),
    entry::<TimeToConversion>(),
    entry::<EquivalentHold>(),
    entry::<GlassTransitionAt>(),
    entry::<FinalConversion>(),
    entry::<ShrinkageAt>(),
    long_entry::<KineticsFromDataSheet>(),
];
