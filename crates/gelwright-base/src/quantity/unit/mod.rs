//! Units and what they measure: the units people write (`table`), the reading of unit expressions such as
//! `W/(m^2*K)` (`read`), and what was probably meant by a unit that is not known (`hint`).

pub(super) mod hint;
mod read;
mod table;

use std::fmt;

pub use read::read;
pub(super) use read::{Expected, read_as};
pub use table::{all_names, notes};
pub(super) use table::{lookup, names_for};

/// What a dimensionless number is a ratio of, or how a temperature is meant; [`Kind::Plain`] for all else.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[allow(missing_docs)]
#[non_exhaustive]
pub enum Kind {
    Plain,
    /// A temperature point.
    Point,
    /// A temperature interval.
    Interval,
    Angle,
    MassFraction,
    VolumeFraction,
    Phr,
    VolumeOnResin,
    DegreeOfCure,
    Strain,
    Humidity,
    Probability,
    Relative,
    /// A standard deviation over its mean.
    Spread,
    /// Milligrams of potassium hydroxide that match one gram of a polyol.
    HydroxylNumber,
    Number,
}

/// Exponents of length, mass, time, temperature and amount, and the [`Kind`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Dimension {
    /// Exponents of length, mass, time, thermodynamic temperature, amount of substance.
    pub exponents: [i8; 5],
    /// What sort of number with these exponents it is.
    pub kind: Kind,
}

impl Dimension {
    /// A dimension from its exponents.
    pub const fn new(l: i8, m: i8, t: i8, th: i8, n: i8, kind: Kind) -> Self {
        Dimension {
            exponents: [l, m, t, th, n],
            kind,
        }
    }
}

impl fmt::Display for Dimension {
    /// In the words of the trade where there is one, else as a product of base units.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match (self.exponents, self.kind) {
            (_, Kind::MassFraction) => "mass fraction",
            (_, Kind::VolumeFraction) => "volume fraction",
            (_, Kind::Phr) => "parts per hundred resin",
            (_, Kind::VolumeOnResin) => "volume on resin",
            (_, Kind::Angle) => "angle",
            (_, Kind::Interval) => "temperature interval",
            (_, Kind::Point) => "temperature",
            (_, Kind::HydroxylNumber) => "hydroxyl number",
            (_, Kind::Number) => "plain number",
            ([0, 0, 0, 0, 0], _) => "ratio",
            ([1, 0, 0, 0, 0], _) => "length",
            ([2, 0, 0, 0, 0], _) => "area",
            ([3, 0, 0, 0, 0], _) => "volume",
            ([0, 1, 0, 0, 0], _) => "mass",
            ([0, 0, 1, 0, 0], _) => "time",
            ([0, 0, 0, 1, 0], _) => "temperature",
            ([-3, 1, 0, 0, 0], _) => "density",
            ([-2, 1, 0, 0, 0], _) => "areal mass",
            ([-1, 1, -2, 0, 0], _) => "pressure",
            ([1, 1, -2, 0, 0], _) => "force",
            ([-1, 1, -1, 0, 0], _) => "dynamic viscosity",
            ([2, 1, -2, 0, 0], _) => "energy",
            ([2, 1, -3, 0, 0], _) => "power",
            ([3, -1, 0, 0, 0], _) => "volume per mass",
            (e, _) => {
                let mut first = true;
                for (n, unit) in e.iter().zip(["m", "kg", "s", "K", "mol"]) {
                    if *n != 0 {
                        if !first {
                            f.write_str("*")?;
                        }
                        first = false;
                        write!(f, "{unit}")?;
                        if *n != 1 {
                            write!(f, "^{n}")?;
                        }
                    }
                }
                return Ok(());
            }
        })
    }
}

/// Special meaning of a unit that its exponents do not show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Tag {
    Plain,
    /// `%` alone: a ratio of something, fine only where the field says of what.
    Percent,
    WeightPercent,
    VolumePercent,
    Phr,
    VolumeOnResin,
    HydroxylNumber,
    /// Kelvin and rankine: a point or an interval.
    Absolute,
    /// Degrees Celsius and Fahrenheit: a point with its own zero.
    Scale,
    /// `delta_degC`: an interval only.
    Delta,
    Angle,
    One,
}

/// A unit as written: SI value = number × 10^`pow10` × `factor` + `offset`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    pub(super) exponents: [i8; 5],
    pub(super) factor: f64,
    pub(super) pow10: i32,
    pub(super) offset: f64,
    pub(super) tag: Tag,
}

impl Unit {
    pub(super) const ONE: Unit = Unit {
        exponents: [0; 5],
        factor: 1.0,
        pow10: 0,
        offset: 0.0,
        tag: Tag::One,
    };

    /// Whether a quantity of dimension `d` can be written in this unit.
    pub fn fits(&self, d: Dimension) -> bool {
        if self.exponents != d.exponents {
            return false;
        }
        match d.kind {
            Kind::Plain => self.tag == Tag::Plain,
            Kind::Point => matches!(self.tag, Tag::Absolute | Tag::Scale),
            Kind::Interval => matches!(self.tag, Tag::Absolute | Tag::Delta),
            Kind::Angle => self.tag == Tag::Angle,
            Kind::MassFraction => self.tag == Tag::WeightPercent,
            Kind::VolumeFraction => self.tag == Tag::VolumePercent,
            Kind::Phr => self.tag == Tag::Phr,
            Kind::VolumeOnResin => self.tag == Tag::VolumeOnResin,
            Kind::DegreeOfCure
            | Kind::Strain
            | Kind::Humidity
            | Kind::Probability
            | Kind::Relative
            | Kind::Spread => self.tag == Tag::Percent,
            Kind::HydroxylNumber => self.tag == Tag::HydroxylNumber,
            Kind::Number => self.tag == Tag::One,
        }
    }

    /// The dimension that a number in this unit measures.
    pub fn dimension(&self) -> Dimension {
        let kind = match self.tag {
            Tag::Plain | Tag::Percent => Kind::Plain,
            Tag::WeightPercent => Kind::MassFraction,
            Tag::VolumePercent => Kind::VolumeFraction,
            Tag::Phr => Kind::Phr,
            Tag::VolumeOnResin => Kind::VolumeOnResin,
            Tag::HydroxylNumber => Kind::HydroxylNumber,
            Tag::Absolute | Tag::Scale => Kind::Point,
            Tag::Delta => Kind::Interval,
            Tag::Angle => Kind::Angle,
            Tag::One => Kind::Number,
        };
        Dimension {
            exponents: self.exponents,
            kind,
        }
    }

    /// Its size in SI.
    pub(super) fn size(&self) -> f64 {
        self.factor * pow10(self.pow10)
    }

    /// SI value to this unit's number.
    pub fn number_of(&self, si: f64) -> f64 {
        let scaled = (si - self.offset) / self.factor;
        if self.pow10 >= 0 {
            scaled / pow10(self.pow10)
        } else {
            scaled * pow10(-self.pow10)
        }
    }
}

/// 10 to a whole power.
pub fn pow10(n: i32) -> f64 {
    10f64.powi(n)
}
