//! Limits as data, and what breaks them: by how much, from which source, with the way out.
//!
//! A limit bounds one [`LimitQuantity`] for the materials, resin families or acts named in `applies_to` (none
//! named: for all). Published limits that contradict each other both stand and both answer; they are never
//! averaged. A limit from the product's data sheet, or measured in this shop, wins: it sets aside the general
//! ones of the same quantity for the same subject, which are still shown as set aside.

use std::collections::BTreeMap;

use crate::noun::Noun;

use crate::document;
use crate::error::{Error, Result};
use crate::quantity::{
    self, DegreeOfCure, Length, Mass, MassFraction, Phr, Pressure, Quantity, RelativeAmount,
    RelativeHumidity, RelativeSpread, Strain, TemperatureInterval, ThermodynamicTemperature, Time,
    VolumeFraction,
};
use crate::source::{Source, Standing};

mod questions;
pub(crate) use questions::QUESTIONS;
pub use questions::{LimitList, ListLimits};

/// How bad it is to break a limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Noun)]
pub enum Severity {
    /// Worth knowing.
    Advice,
    /// The part may fail.
    Warning,
    /// Do not start: the part will fail or somebody may be hurt.
    Stop,
}

impl std::fmt::Display for Severity {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(match self {
            Severity::Advice => "advice",
            Severity::Warning => "warning",
            Severity::Stop => "stop",
        })
    }
}

macro_rules! limit_quantities {
    ($($(#[$doc:meta])* $name:ident $ty:ident $noun:literal;)*) => {
        /// What a limit can bound.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Noun)]
        #[non_exhaustive]
        pub enum LimitQuantity {
            $($(#[$doc])* $name,)*
        }

        impl LimitQuantity {
            /// What it is called.
            pub fn noun(self) -> &'static str {
                match self { $(LimitQuantity::$name => $noun,)* }
            }
            /// Reads a bound with its unit; answers in SI.
            ///
            /// # Errors
            /// As [`quantity::parse`].
            pub fn read(self, field: &str, text: &str) -> Result<f64> {
                match self { $(LimitQuantity::$name => quantity::parse::<$ty>(field, text).map(Quantity::si),)* }
            }
            /// Shows an SI value with its unit.
            pub fn show(self, si: f64) -> String {
                match self {
                    $(LimitQuantity::$name => <$ty as Quantity>::from_si(si)
                        .map_or_else(|_| si.to_string(), quantity::show),)*
                }
            }
            /// Shows a difference of two SI values with its unit (for a temperature: as an interval).
            pub fn show_difference(self, si: f64) -> String {
                match self {
                    $(LimitQuantity::$name => show_difference::<$ty>(si),)*
                }
            }
        }
    };
}

limit_quantities! {
    /// Catalyst or hardener on its resin, by mass.
    CatalystDose Phr "catalyst dose";
    /// Air in the shop.
    ShopTemperature ThermodynamicTemperature "shop temperature";
    /// Mould surface.
    MouldTemperature ThermodynamicTemperature "mould temperature";
    /// Resin in the cup.
    ResinTemperature ThermodynamicTemperature "resin temperature";
    /// Surface above the dew point.
    AboveDewPoint TemperatureInterval "mould surface above the dew point";
    /// Air in the shop.
    RelativeHumidity RelativeHumidity "relative humidity";
    /// One coat, wet.
    GelCoatWetThickness Length "wet gel coat thickness";
    /// One pour.
    PourThickness Length "thickness of one pour";
    /// Laminate laid in one session.
    SessionThickness Length "laminate thickness in one session";
    /// Cured wall.
    WallThickness Length "wall thickness";
    /// Seam after clamping.
    SeamThickness Length "seam thickness";
    /// Thickener in the mix.
    SilicaLoading Phr "silica loading";
    /// Chopped fibre in a pour.
    ChopLoading MassFraction "chopped fibre loading";
    /// All fillers in the mix.
    FillerLoading Phr "filler loading";
    /// Pigment paste on resin.
    PigmentLoading Phr "pigment loading";
    /// Glass in the laminate.
    GlassContent MassFraction "glass content";
    /// Time needed to place a batch over its gel time.
    BatchOverWorkingTime RelativeAmount "batch time over gel time";
    /// Gel time itself.
    GelTime Time "gel time";
    /// Smallest dose that the bench can measure, as relative standard uncertainty.
    DoseUncertainty RelativeSpread "uncertainty of the dose";
    /// A batch that is mixed at once.
    BatchMass Mass "batch mass";
    /// Hottest point.
    PeakTemperature ThermodynamicTemperature "peak temperature";
    /// What the mould's face sees.
    MouldFaceTemperature ThermodynamicTemperature "mould face temperature";
    /// Between gel coat and back-up laminate.
    TackWindow Time "time from gel coat to back-up";
    /// At demoulding.
    DemouldCure DegreeOfCure "degree of cure at demoulding";
    /// At demoulding.
    EdgeStrain Strain "strain of the edge at demoulding";
    /// In the gel coat.
    GelCoatStrain Strain "strain of the gel coat";
    /// Fillers by volume.
    FillerVolume VolumeFraction "filler volume fraction";
    /// Clamping.
    ClampPressure Pressure "clamping pressure";
    /// Paste yield stress over what the bead needs.
    SagMargin RelativeAmount "yield stress of the paste over the stress in the bead";
    /// Kubelka-Munk contrast ratio.
    ContrastRatio RelativeAmount "contrast ratio of the gel coat";
    /// Light through the edge.
    LightTransmission RelativeAmount "light through the edge";
}

fn show_difference<Q: Quantity>(si: f64) -> String {
    use quantity::Kind;
    match Q::DIMENSION.kind {
        Kind::Point => TemperatureInterval::from_si(si).map_or_else(|_| si.to_string(), quantity::show),
        Kind::Plain | Kind::Interval => Q::from_si(si).map_or_else(|_| si.to_string(), quantity::show),
        // A difference of ratios may be negative, which the ratio itself may not.
        _ => {
            let text = Q::from_si(si.abs()).map_or_else(|_| si.to_string(), quantity::show);
            if si < 0.0 { format!("-{text}") } else { text }
        }
    }
}

/// A bound on a quantity, for some subjects, from a source.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct Limit {
    /// Its name.
    pub id: String,
    /// What it bounds.
    pub quantity: LimitQuantity,
    /// Materials, resin families or acts it is for; none: all.
    #[noun(default)]
    pub applies_to: Vec<String>,
    /// Not below, with unit.
    pub low: Option<String>,
    /// Not above, with unit.
    pub high: Option<String>,
    /// How bad it is to break it.
    pub severity: Severity,
    /// What goes wrong.
    pub message: String,
    /// What to do instead.
    pub way_out: String,
    /// On whose word.
    pub source: Source,
}

impl Limit {
    /// The bounds in SI.
    ///
    /// # Errors
    /// If a bound can not be read, or low is above high, or neither is given.
    pub fn bounds(&self) -> Result<(Option<f64>, Option<f64>)> {
        let read = |name: &str, text: &Option<String>| {
            text.as_deref()
                .map(|t| self.quantity.read(name, t))
                .transpose()
                .map_err(|e| e.within(&self.id))
        };
        let (low, high) = (read("low", &self.low)?, read("high", &self.high)?);
        match (low, high) {
            (Some(l), Some(h)) if l > h => Err(Error::inconsistent(
                format!("{}.low", self.id),
                self.quantity.show(l),
                format!("at most {}", self.quantity.show(h)),
                "give low <= high",
            )),
            (None, None) => Err(Error::new(crate::ErrorKind::Document, &self.id)
                .with_way_out("a limit needs 'low' or 'high'")),
            both => Ok(both),
        }
    }
}

/// A set of limits.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Limits {
    limits: Vec<Limit>,
}

#[derive(Noun)]
struct LimitFile {
    version: u32,
    #[noun(default)]
    source: BTreeMap<String, Source>,
    #[noun(default)]
    limit: Vec<LimitRow>,
}

/// A limit as a file writes it: its source by key.
#[derive(Noun)]
struct LimitRow {
    id: String,
    quantity: LimitQuantity,
    #[noun(default)]
    applies_to: Vec<String>,
    low: Option<String>,
    high: Option<String>,
    severity: Severity,
    message: String,
    way_out: String,
    source: String,
}

/// The version of the limits document that this library reads.
pub const LIMITS_VERSION: u32 = 1;

/// The limits, and the sources that they share with the materials; the limits first, as their `version` must
/// stand before any table.
pub(crate) const GENERIC: &str = concat!(
    include_str!("../../data/limits.toml"),
    include_str!("../../data/source.toml")
);

impl Limits {
    /// The limits that come with the library: published and common practice, each with its source.
    ///
    /// # Errors
    /// Never for the embedded file, which the tests read.
    pub fn generic() -> Result<Self> {
        static READ: std::sync::OnceLock<Result<Limits>> = std::sync::OnceLock::new();
        READ.get_or_init(|| {
            let mut l = Limits::default();
            l.extend_toml(GENERIC)?;
            Ok(l)
        })
        .clone()
    }

    /// Adds limits from a TOML document: `[source.KEY]` tables and `[[limit]]` entries that name a key.
    /// An entry with the `id` of an earlier one replaces it.
    ///
    /// # Errors
    /// As [`document::from_toml`]; unknown source keys; bounds that can not be read.
    pub fn extend_toml(&mut self, text: &str) -> Result<()> {
        self.extend(document::toml_value(text)?)
    }

    /// As [`Limits::extend_toml`], from a document's tree of values.
    ///
    /// # Errors
    /// As [`Limits::extend_toml`].
    pub fn extend(&mut self, document: serde_json::Value) -> Result<()> {
        let file: LimitFile = crate::noun::read(&document)?;
        document::check_version(file.version, LIMITS_VERSION)?;
        for (i, row) in file.limit.into_iter().enumerate() {
            let source = file.source.get(&row.source).cloned().ok_or_else(|| {
                Error::unknown_name(
                    format!("limit[{i}].source"),
                    &row.source,
                    file.source.keys().map(String::as_str),
                )
            })?;
            self.add(Limit {
                id: row.id,
                quantity: row.quantity,
                applies_to: row.applies_to,
                low: row.low,
                high: row.high,
                severity: row.severity,
                message: row.message,
                way_out: row.way_out,
                source,
            })?;
        }
        Ok(())
    }

    /// Adds a limit, replacing one of the same `id`.
    ///
    /// # Errors
    /// If its bounds can not be read.
    pub fn add(&mut self, limit: Limit) -> Result<()> {
        limit.bounds()?;
        self.limits.retain(|l| l.id != limit.id);
        self.limits.push(limit);
        Ok(())
    }

    /// All of them.
    pub fn iter(&self) -> impl Iterator<Item = &Limit> {
        self.limits.iter()
    }

    /// The tightest `(low, high)` in SI that applies to a subject, warnings and stops only.
    ///
    /// # Errors
    /// As [`Limit::bounds`].
    pub fn window(&self, quantity: LimitQuantity, tags: &[String]) -> Result<(Option<f64>, Option<f64>)> {
        self.tightest(quantity, tags, Severity::Warning)
    }

    /// The tightest `(low, high)` in SI of the stops alone that apply to a subject.
    ///
    /// # Errors
    /// As [`Limit::bounds`].
    pub fn window_of_stops(
        &self,
        quantity: LimitQuantity,
        tags: &[String],
    ) -> Result<(Option<f64>, Option<f64>)> {
        self.tightest(quantity, tags, Severity::Stop)
    }

    fn tightest(
        &self,
        quantity: LimitQuantity,
        tags: &[String],
        least: Severity,
    ) -> Result<(Option<f64>, Option<f64>)> {
        let mut window = (None::<f64>, None::<f64>);
        for l in self.that_count(quantity, tags) {
            if l.severity < least {
                continue;
            }
            let (low, high) = l.bounds()?;
            window.0 = [window.0, low].into_iter().flatten().reduce(f64::max);
            window.1 = [window.1, high].into_iter().flatten().reduce(f64::min);
        }
        Ok(window)
    }

    fn that_apply<'a>(
        &'a self,
        quantity: LimitQuantity,
        tags: &'a [String],
    ) -> impl Iterator<Item = &'a Limit> {
        self.limits.iter().filter(move |l| {
            l.quantity == quantity
                && (l.applies_to.is_empty() || l.applies_to.iter().any(|a| tags.contains(a)))
        })
    }

    fn that_count<'a>(&'a self, quantity: LimitQuantity, tags: &'a [String]) -> Vec<&'a Limit> {
        let all: Vec<_> = self.that_apply(quantity, tags).collect();
        if all.iter().any(|l| of_the_product(l)) {
            all.into_iter().filter(|l| of_the_product(l)).collect()
        } else {
            all
        }
    }

    /// Holds a measure against every limit that applies to it: one [`Finding`] each, broken or not.
    ///
    /// # Errors
    /// As [`Limit::bounds`].
    pub fn check(&self, m: &Measure) -> Result<Vec<Finding>> {
        let own = self.that_apply(m.quantity, &m.tags).any(of_the_product);
        self.that_apply(m.quantity, &m.tags)
            .map(|l| finding(l, m, own && !of_the_product(l)))
            .collect()
    }
}

/// From the product's own sheet, or measured here: wins over general rules.
fn of_the_product(l: &Limit) -> bool {
    matches!(l.source.standing, Standing::DataSheet | Standing::MeasuredHere)
}

/// A value to be held against limits.
#[derive(Debug, Clone, PartialEq)]
pub struct Measure {
    /// What it is.
    pub quantity: LimitQuantity,
    /// Of what, in words ("gel coat, batch 2").
    pub subject: String,
    /// Material ids, resin family, acts: what `applies_to` is matched with.
    pub tags: Vec<String>,
    /// The value in SI.
    pub si: f64,
}

impl Measure {
    /// A measure of a typed quantity.
    pub fn new<Q: Quantity>(
        quantity: LimitQuantity,
        subject: impl Into<String>,
        tags: &[String],
        q: Q,
    ) -> Self {
        Measure {
            quantity,
            subject: subject.into(),
            tags: tags.to_vec(),
            si: q.si(),
        }
    }
}

/// A measure held against one limit.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct Finding {
    /// The limit's name.
    pub limit: String,
    /// What is bounded.
    pub quantity: LimitQuantity,
    /// Of what.
    pub subject: String,
    /// The value with its unit.
    pub value: String,
    /// The bound that is broken, or the nearest one, with its unit ("at most 2 phr").
    pub bound: String,
    /// How far inside (positive) or outside (negative) the bound, with its unit.
    pub margin: String,
    /// Whether the limit is broken.
    pub broken: bool,
    /// How bad that is.
    pub severity: Severity,
    /// What goes wrong.
    pub message: String,
    /// What to do instead.
    pub way_out: String,
    /// What was probably meant, where the value is off by a power of ten.
    pub slip: Option<String>,
    /// Set aside because the product's data sheet or this shop's measurement says otherwise.
    #[noun(default)]
    pub set_aside: bool,
    /// On whose word.
    pub source: Source,
}

fn finding(l: &Limit, m: &Measure, set_aside: bool) -> Result<Finding> {
    let (low, high) = l.bounds()?;
    let below = low.map(|b| m.si - b);
    let above = high.map(|b| b - m.si);
    // The nearest bound answers; `bounds` has refused a limit without any.
    let (margin, bound) = match (below, above) {
        (Some(b), Some(a)) if a <= b => (
            a,
            format!("at most {}", m.quantity.show(high.unwrap_or(f64::NAN))),
        ),
        (Some(b), _) => (
            b,
            format!("at least {}", m.quantity.show(low.unwrap_or(f64::NAN))),
        ),
        (None, a) => (
            a.unwrap_or(f64::NAN),
            format!("at most {}", m.quantity.show(high.unwrap_or(f64::NAN))),
        ),
    };
    // A value that carries rounding from a unit conversion is not "outside" by 1e-16.
    let broken = margin < -1e-9 * m.si.abs().max(1e-12);
    let slip = if broken && m.quantity == LimitQuantity::CatalystDose {
        slip_of_ten(m, low, high)
    } else {
        None
    };
    Ok(Finding {
        limit: l.id.clone(),
        quantity: m.quantity,
        subject: m.subject.clone(),
        value: m.quantity.show(m.si),
        bound,
        margin: m.quantity.show_difference(margin),
        broken,
        severity: l.severity,
        message: l.message.clone(),
        way_out: l.way_out.clone(),
        slip,
        set_aside,
        source: l.source.clone(),
    })
}

/// A value that would be inside its window at ten times, or a tenth, was probably written with its point in the
/// wrong place: the dose of another cup.
fn slip_of_ten(m: &Measure, low: Option<f64>, high: Option<f64>) -> Option<String> {
    let inside = |x: f64| low.is_none_or(|l| x >= l) && high.is_none_or(|h| x <= h);
    // A window open on one side proves nothing.
    let (_, _) = (low?, high?);
    let shown = |x: f64| m.quantity.show(x);
    if inside(m.si * 10.0) {
        Some(format!(
            "a slip of ten? {} would be inside: ten times as much catalyst was probably meant, or a tenth of the resin",
            shown(m.si * 10.0)
        ))
    } else if inside(m.si / 10.0) {
        Some(format!(
            "a slip of ten? {} would be inside: a tenth of the catalyst was probably meant, or ten times the resin",
            shown(m.si / 10.0)
        ))
    } else {
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn limit(id: &str, low: &str, high: &str, standing: Standing) -> Limit {
        Limit {
            id: id.into(),
            quantity: LimitQuantity::CatalystDose,
            applies_to: vec!["gel_coat".into()],
            low: Some(low.into()),
            high: Some(high.into()),
            severity: Severity::Warning,
            message: "m".into(),
            way_out: "w".into(),
            source: Source::of(standing, "test"),
        }
    }
    fn dose(phr: f64) -> Measure {
        let dose = Phr::new(phr).unwrap();
        Measure::new(
            LimitQuantity::CatalystDose,
            "gel coat",
            &["gel_coat".into()],
            dose,
        )
    }

    #[test]
    fn conflicting_rules_both_answer_and_the_data_sheet_wins() {
        let mut l = Limits::default();
        l.add(limit("a", "1 phr", "2 phr", Standing::Published)).unwrap();
        l.add(limit("b", "1 phr", "3 phr", Standing::Published)).unwrap();
        let f = l.check(&dose(2.5)).unwrap();
        assert_eq!(f.iter().map(|f| f.broken).collect::<Vec<_>>(), [true, false]);
        assert_eq!(f[0].margin, "-0.5 phr");
        l.add(limit("sheet", "1.5 phr", "2.6 phr", Standing::DataSheet))
            .unwrap();
        let f = l.check(&dose(2.5)).unwrap();
        assert_eq!(
            f.iter().map(|f| f.set_aside).collect::<Vec<_>>(),
            [true, true, false]
        );
        assert_eq!(
            l.window(LimitQuantity::CatalystDose, &["gel_coat".into()])
                .unwrap(),
            (Some(1.5), Some(2.6))
        );
    }

    #[test]
    fn a_slip_of_ten_is_named() {
        let mut l = Limits::default();
        l.add(limit("a", "1 phr", "3 phr", Standing::Published)).unwrap();
        assert!(
            l.check(&dose(0.19)).unwrap()[0]
                .slip
                .as_deref()
                .unwrap()
                .contains("1.9 phr")
        );
        assert!(
            l.check(&dose(19.0)).unwrap()[0]
                .slip
                .as_deref()
                .unwrap()
                .contains("a tenth of the catalyst")
        );
        assert!(l.check(&dose(0.5)).unwrap()[0].slip.is_none());
    }

    #[test]
    fn a_limit_without_bounds_or_upside_down_is_refused() {
        let mut l = Limits::default();
        assert!(
            l.add(Limit {
                low: None,
                high: None,
                ..limit("a", "", "", Standing::Published)
            })
            .is_err()
        );
        assert!(l.add(limit("a", "3 phr", "1 phr", Standing::Published)).is_err());
        assert!(l.add(limit("a", "3 %", "5 phr", Standing::Published)).is_err());
    }
}
