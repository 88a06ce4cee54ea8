//! The forms a catalogue value takes beside [`Property`]: a permitted window, a gel time, a pot life, a price.
//! And [`Fact`], one value of a material as a person reads it.

use std::sync::Arc;

use crate::noun::Noun;

use crate::error::{Error, Result};
use crate::quantity::{self, Kind, Mass, Phr, Price, Quantity, ThermodynamicTemperature, Time};
use crate::source::{Property, Source, Standing};

/// A window that one source gives: a lowest and a highest value, either of which may be open.
///
/// Where sources conflict a material holds several windows; they are shown side by side, never averaged
/// (see [`that_count`]).
#[derive(Clone, PartialEq, Noun)]
#[noun(check)]
pub struct Window<Q: Quantity> {
    /// The lowest permitted value.
    pub low: Option<Q>,
    /// The highest permitted value.
    pub high: Option<Q>,
    /// What the window is for ("by brush", "paste that keeps a peak"), where the source says so.
    pub about: Option<String>,
    /// The rule as its source prints it, where it had to be converted ("2 to 3 % by volume").
    pub printed: Option<String>,
    /// Whether it says what is best, not what is permitted: outside it is worth knowing, no more.
    #[noun(default)]
    pub preferred: bool,
    /// Who says so.
    pub source: Arc<Source>,
}

impl<Q: Quantity> Window<Q> {
    /// A window from its bounds and its source.
    ///
    /// # Errors
    /// [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent) if `low` lies above `high` or both are
    /// missing.
    pub fn new(low: Option<Q>, high: Option<Q>, source: impl Into<Arc<Source>>) -> Result<Self> {
        let window = Window {
            low,
            high,
            about: None,
            printed: None,
            preferred: false,
            source: source.into(),
        };
        window.check()?;
        Ok(window)
    }

    fn check(&self) -> Result<()> {
        match (self.low, self.high) {
            (None, None) => Err(Error::inconsistent(
                "low, high",
                "neither is given",
                "at least one bound",
                "give 'low', 'high' or both",
            )),
            (Some(l), Some(h)) if l.si() > h.si() => Err(Error::inconsistent(
                "low",
                quantity::show(l),
                format!("at most high = {}", quantity::show(h)),
                "give low <= high",
            )),
            _ => Ok(()),
        }
    }

    /// Whether `x` lies in the window, bounds included.
    pub fn holds(&self, x: Q) -> bool {
        self.low.is_none_or(|l| l.si() <= x.si()) && self.high.is_none_or(|h| x.si() <= h.si())
    }
}

/// The values that count among several that may conflict: those of the product's data sheet or measured in this
/// shop where there are any (they win), else all.
pub fn that_count<T: HasSource>(all: &[T]) -> Vec<&T> {
    let own: Vec<&T> = all
        .iter()
        .filter(|x| x.source().standing >= Standing::DataSheet)
        .collect();
    if own.is_empty() { all.iter().collect() } else { own }
}

/// Something that one source says.
pub trait HasSource {
    /// The source.
    fn source(&self) -> &Source;
}
impl<Q: Quantity> HasSource for Window<Q> {
    fn source(&self) -> &Source {
        &self.source
    }
}
impl<Q: Quantity> HasSource for Property<Q> {
    fn source(&self) -> &Source {
        &self.source
    }
}
impl HasSource for SheetPotLife {
    fn source(&self) -> &Source {
        &self.source
    }
}
impl HasSource for GelTimes {
    fn source(&self) -> &Source {
        &self.source
    }
}

/// Gel times of a resin as a data sheet tables them: temperature × dose.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct GelTimes {
    /// The initiator the doses are of, a material id.
    pub initiator: String,
    /// What the table's time ends with (gel in the cup, end of working time), as far as its source says.
    pub end_point: Option<String>,
    /// Mass of the cup the times were taken in, where the source says so.
    pub mass: Option<Mass>,
    /// The rows.
    pub rows: Vec<SheetGelRow>,
    /// Who says so.
    pub source: Arc<Source>,
}

impl GelTimes {
    /// A gel-time table from its rows.
    pub fn new(initiator: impl Into<String>, rows: Vec<SheetGelRow>, source: impl Into<Arc<Source>>) -> Self {
        GelTimes {
            initiator: initiator.into(),
            end_point: None,
            mass: None,
            rows,
            source: source.into(),
        }
    }
}

/// One row of a gel-time table.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct SheetGelRow {
    /// Temperature of resin and room.
    pub temperature: ThermodynamicTemperature,
    /// Initiator solution per hundred parts of resin, by mass.
    pub dose: Phr,
    /// Gel time (the middle of its band, where the source prints a band).
    pub time: Time,
    /// The short end of the printed band.
    pub low: Option<Time>,
    /// The long end of the printed band.
    pub high: Option<Time>,
}

/// How long a mixed cup stays usable: only with its temperature, and its mass, does the time mean anything.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct SheetPotLife {
    /// The time.
    pub time: Time,
    /// The short end of its range.
    pub low: Option<Time>,
    /// The long end of its range.
    pub high: Option<Time>,
    /// At which temperature.
    pub temperature: ThermodynamicTemperature,
    /// In a cup of which mass, where the source says so.
    pub mass: Option<Mass>,
    /// Who says so.
    pub source: Arc<Source>,
}

/// A price and where it was read.
#[derive(Clone, PartialEq, Noun)]
pub struct ListedPrice {
    /// The price.
    pub value: Price,
    /// Where it was read.
    pub source: Arc<Source>,
}

/// One value of a material as a person reads it.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct Fact {
    /// Which property ("density", `resin.viscosity`, `resin.dose_window[1]`).
    pub field: String,
    /// The value to compute with, with its unit; absent for a window.
    pub value: Option<String>,
    /// The low end of its range or window.
    pub low: Option<String>,
    /// The high end of its range or window.
    pub high: Option<String>,
    /// A remark: what it is for, how the source prints it.
    pub note: Option<String>,
    /// Where it comes from; absent only for what a material *is* (its form, its family).
    pub source: Option<Source>,
    /// The first number, in SI, that breaks a bound every material keeps.
    #[noun(skip)]
    pub(super) absurd: Option<String>,
}

impl Fact {
    fn of(field: &str) -> Fact {
        Fact {
            field: field.to_owned(),
            value: None,
            low: None,
            high: None,
            note: None,
            source: None,
            absurd: None,
        }
    }
}

/// No property in a catalogue is negative, but a temperature in Celsius, a strain and a plain number may be.
fn absurd<Q: Quantity>(values: &[Option<Q>]) -> Option<String> {
    if matches!(Q::DIMENSION.kind, Kind::Strain | Kind::Number) {
        return None;
    }
    values
        .iter()
        .flatten()
        .find(|q| q.si() < 0.0 || !q.si().is_finite())
        .map(|q| quantity::show(*q).to_string())
}

/// What can be listed as facts of a material.
pub(super) trait Facts {
    fn facts(&self, field: &str, out: &mut Vec<Fact>);
}

impl<Q: Quantity> Facts for Property<Q> {
    fn facts(&self, field: &str, out: &mut Vec<Fact>) {
        let (low, high) = (self.range.map(|r| r.0), self.range.map(|r| r.1));
        out.push(Fact {
            value: Some(quantity::show(self.value).to_string()),
            low: low.map(|q| quantity::show(q).into()),
            high: high.map(|q| quantity::show(q).into()),
            source: Some((*self.source).clone()),
            absurd: absurd(&[Some(self.value), low, high]),
            ..Fact::of(field)
        });
    }
}
impl<Q: Quantity> Facts for Window<Q> {
    fn facts(&self, field: &str, out: &mut Vec<Fact>) {
        let note = match (&self.about, &self.printed) {
            (Some(a), Some(p)) => Some(format!("{a}; printed as: {p}")),
            (Some(a), None) => Some(a.clone()),
            (None, Some(p)) => Some(format!("printed as: {p}")),
            (None, None) => None,
        };
        out.push(Fact {
            low: self.low.map(|q| quantity::show(q).into()),
            high: self.high.map(|q| quantity::show(q).into()),
            note,
            source: Some((*self.source).clone()),
            absurd: absurd(&[self.low, self.high]),
            ..Fact::of(field)
        });
    }
}
impl Facts for SheetPotLife {
    fn facts(&self, field: &str, out: &mut Vec<Fact>) {
        let cup = self
            .mass
            .map_or(String::new(), |m| format!(", {}", quantity::show(m)));
        out.push(Fact {
            value: Some(quantity::show(self.time).to_string()),
            low: self.low.map(|q| quantity::show(q).into()),
            high: self.high.map(|q| quantity::show(q).into()),
            note: Some(format!("at {}{cup}", quantity::show(self.temperature))),
            source: Some((*self.source).clone()),
            absurd: absurd(&[Some(self.time), self.low, self.high]).or(absurd(&[self.mass])),
            ..Fact::of(field)
        });
    }
}
impl Facts for GelTimes {
    fn facts(&self, field: &str, out: &mut Vec<Fact>) {
        for (i, row) in self.rows.iter().enumerate() {
            out.push(Fact {
                value: Some(quantity::show(row.time).to_string()),
                low: row.low.map(|q| quantity::show(q).into()),
                high: row.high.map(|q| quantity::show(q).into()),
                note: Some(format!(
                    "at {} with {} {}",
                    quantity::show(row.temperature),
                    quantity::show(row.dose),
                    self.initiator
                )),
                source: Some((*self.source).clone()),
                absurd: absurd(&[Some(row.time), row.low, row.high]),
                ..Fact::of(&format!("{field}.rows[{i}]"))
            });
        }
    }
}
impl Facts for ListedPrice {
    fn facts(&self, field: &str, out: &mut Vec<Fact>) {
        out.push(Fact {
            value: Some(self.value.to_string()),
            source: Some((*self.source).clone()),
            ..Fact::of(field)
        });
    }
}
impl Facts for String {
    fn facts(&self, field: &str, out: &mut Vec<Fact>) {
        out.push(Fact {
            value: Some(self.clone()),
            ..Fact::of(field)
        });
    }
}
impl Facts for bool {
    fn facts(&self, field: &str, out: &mut Vec<Fact>) {
        out.push(Fact {
            value: Some(if *self { "yes" } else { "no" }.to_owned()),
            ..Fact::of(field)
        });
    }
}
impl<T: Facts> Facts for Option<T> {
    fn facts(&self, field: &str, out: &mut Vec<Fact>) {
        if let Some(x) = self {
            x.facts(field, out);
        }
    }
}
impl<T: Facts> Facts for Vec<T> {
    fn facts(&self, field: &str, out: &mut Vec<Fact>) {
        for (i, x) in self.iter().enumerate() {
            x.facts(&format!("{field}[{i}]"), out);
        }
    }
}

/// A data struct of a material class: required fields, optional ones, and lists of what several sources say.
macro_rules! class_data {
    ($(#[$doc:meta])* $name:ident {
        required { $($(#[$rdoc:meta])* $r:ident: $rt:ty,)* }
        optional { $($(#[$odoc:meta])* $o:ident: $ot:ty,)* }
        lists { $($(#[$ldoc:meta])* $l:ident: $lt:ty,)* }
    }) => {
        $(#[$doc])*
        #[derive(Clone, PartialEq, Noun)]
        #[non_exhaustive]
        pub struct $name {
            $($(#[$rdoc])* pub $r: $rt,)*
            $($(#[$odoc])* pub $o: Option<$ot>,)*
            $($(#[$ldoc])* #[noun(default)] pub $l: Vec<$lt>,)*
        }
        impl $name {
            /// With what it must have; everything else is set on the public fields.
            #[allow(clippy::new_without_default)]
            pub fn new($($r: $rt),*) -> Self {
                $name { $($r,)* $($o: None,)* $($l: Vec::new(),)* }
            }
        }
        impl $crate::material::fact::Facts for $name {
            fn facts(&self, field: &str, out: &mut Vec<$crate::material::fact::Fact>) {
                $(self.$r.facts(&format!("{field}.{}", stringify!($r)), out);)*
                $(self.$o.facts(&format!("{field}.{}", stringify!($o)), out);)*
                $(self.$l.facts(&format!("{field}.{}", stringify!($l)), out);)*
            }
        }
    };
}
pub(super) use class_data;

/// An enum of plain words, with its name as written in a document.
macro_rules! words {
    ($(#[$doc:meta])* $name:ident { $($(#[$vdoc:meta])* $v:ident $text:literal,)* }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Noun)]
        #[non_exhaustive]
        pub enum $name {
            $($(#[$vdoc])* #[noun(name = $text)] $v,)*
        }
        impl $name {
            /// All of them.
            pub const ALL: &'static [$name] = &[$($name::$v),*];
            /// Its name as written in a document.
            pub const fn name(self) -> &'static str {
                match self { $($name::$v => $text,)* }
            }
        }
        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(self.name())
            }
        }
        impl $crate::material::fact::Facts for $name {
            fn facts(&self, field: &str, out: &mut Vec<$crate::material::fact::Fact>) {
                self.name().to_owned().facts(field, out);
            }
        }
    };
}
pub(super) use words;
