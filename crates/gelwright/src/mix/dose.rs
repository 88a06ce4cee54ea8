//! A dose and its basis: by mass, by volume, millilitres per kilogram and drops per volume are different things.
//!
//! 2 % by mass is not 20 mL per kg, and a drop is not a unit: drops become grams only through a
//! [`Dropper`], calibrated or with its wide spread shown.

use std::fmt;

use crate::noun::{AsText, Grammar};
use gelwright_base::text_noun;

use super::bench::Dropper;
use crate::check::{not_negative, positive};
use crate::error::{Error, ErrorKind, Result, finite};
use crate::quantity::{
    Mass, MassDensity, Measure, PartsByVolume, Phr, Quantity, SpecificVolume, Volume, parse, tagged,
};

/// What a dose text may look like; for error messages.
const HOW_TO_WRITE: &str = "write '2 wt% on resin' (2 g to 100 g of resin), '2 vol% on resin', '20 mL/kg' or \
                            '10 drops/fl oz'";

/// How much of a small part (catalyst, promoter, pigment, wax solution) goes to the resin, with its basis.
///
/// Read from and written to one text: `"2 wt% on resin"` or `"2 phr"`, `"2 vol% on resin"`, `"20 mL/kg"`,
/// `"10 drops/fl oz"`, `"1 drop/0.1 fl oz"`; also `"20 g/kg"`, `"18 cc/qt"`. A bare `"2 %"` is refused.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Dose {
    /// Parts by mass to a hundred parts by mass of resin.
    ByMass(Phr),
    /// Volume to a volume of resin.
    ByVolume(PartsByVolume),
    /// Volume to a mass of resin.
    VolumePerMass(SpecificVolume),
    /// Drops to a volume of resin.
    Drops(DropRate),
}

/// Drops to a volume of resin, as written: 1 drop to 0.1 fl oz is the same dose as 10 drops to 1 fl oz, written
/// differently.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DropRate {
    drops: f64,
    per: Volume,
}

impl DropRate {
    /// `drops` to every `per` of resin.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for negative drops or a volume that is not above zero,
    /// [`ErrorKind::NotFinite`] for NaN and infinities.
    pub fn new(drops: f64, per: Volume) -> Result<Self> {
        let n = finite("drops", drops)?;
        if n < 0.0 {
            return Err(Error::out_of_range("drops", n, "0 or more", HOW_TO_WRITE));
        }
        let volume = positive("volume of resin", per)?;
        finite("drops", n / volume)?;
        Ok(DropRate { drops, per })
    }
    /// The number of drops to `resin`.
    pub fn drops_for(self, resin: Volume) -> f64 {
        self.drops * (resin.si() / self.per.si())
    }
}

impl fmt::Display for DropRate {
    /// With the volume in fluid ounces or millilitres, whichever reads back to the same bits with fewest figures.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        const FL_OZ: f64 = 29.573_529_562_5e-6;
        const ML: f64 = 1e-6;
        let noun = if self.drops == 1.0 { "drop" } else { "drops" };
        for decimals in 0..17 {
            for (unit, size) in [("fl oz", FL_OZ), ("mL", ML)] {
                let text = format!("{:.decimals$} {unit}", self.per.si() / size);
                if parse::<Volume>("", &text).is_ok_and(|v| v == self.per) {
                    let text = text.strip_prefix("1 ").unwrap_or(&text);
                    return write!(f, "{} {noun}/{text}", self.drops);
                }
            }
        }
        write!(f, "{} {noun}/{}", self.drops, tagged(self.per))
    }
}

impl Dose {
    /// So many parts by mass to a hundred parts by mass of resin.
    ///
    /// # Errors
    /// As [`Phr::new`].
    pub fn phr(parts: f64) -> Result<Self> {
        Phr::new(parts).map(Dose::ByMass)
    }

    /// The dose as a text would say it is measured: "by mass", "by volume", ...
    pub const fn basis(self) -> &'static str {
        match self {
            Dose::ByMass(_) => "by mass on resin",
            Dose::ByVolume(_) => "by volume on resin",
            Dose::VolumePerMass(_) => "volume per mass of resin",
            Dose::Drops(_) => "drops per volume of resin",
        }
    }

    /// The mass of the dosed part for `resin_mass` of resin.
    ///
    /// With resin mass `m`, resin density `rho_r`, density of the dosed part `rho_d` and drop volume `v`:
    /// by mass `m p/100`; by volume `m (rho_d/rho_r) q`; per mass `m rho_d s`; drops `(m/rho_r) n v rho_d`.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for a negative mass or a density that is not positive,
    /// [`ErrorKind::Inconsistent`] for a dose in drops without a dropper.
    pub fn mass_for(
        self,
        resin_mass: Mass,
        resin_density: MassDensity,
        dose_density: MassDensity,
        dropper: Option<&Dropper>,
    ) -> Result<Mass> {
        let m = not_negative("resin_mass", resin_mass)?;
        Mass::from_si(m * self.mass_ratio(resin_density, dose_density, dropper)?)
    }

    /// The same dose by mass on resin.
    ///
    /// # Errors
    /// As [`Dose::mass_for`].
    pub fn as_phr(
        self,
        resin_density: MassDensity,
        dose_density: MassDensity,
        dropper: Option<&Dropper>,
    ) -> Result<Phr> {
        Phr::new(100.0 * self.mass_ratio(resin_density, dose_density, dropper)?)
    }

    /// The same dose by volume on resin: `q = (m_d/m_r) rho_r/rho_d`.
    ///
    /// # Errors
    /// As [`Dose::mass_for`].
    pub fn as_parts_by_volume(
        self,
        resin_density: MassDensity,
        dose_density: MassDensity,
        dropper: Option<&Dropper>,
    ) -> Result<PartsByVolume> {
        let ratio = self.mass_ratio(resin_density, dose_density, dropper)?;
        PartsByVolume::new(ratio * resin_density.si() / dose_density.si())
    }

    /// The same dose in volume per mass of resin: `s = (m_d/m_r)/rho_d`.
    ///
    /// # Errors
    /// As [`Dose::mass_for`].
    pub fn as_volume_per_mass(
        self,
        resin_density: MassDensity,
        dose_density: MassDensity,
        dropper: Option<&Dropper>,
    ) -> Result<SpecificVolume> {
        let ratio = self.mass_ratio(resin_density, dose_density, dropper)?;
        SpecificVolume::from_si(ratio / dose_density.si())
    }

    /// Mass of the dosed part over mass of resin.
    pub(crate) fn mass_ratio(
        self,
        resin_density: MassDensity,
        dose_density: MassDensity,
        dropper: Option<&Dropper>,
    ) -> Result<f64> {
        let rho_r = positive("resin_density", resin_density)?;
        let rho_d = positive("dose_density", dose_density)?;
        let ratio = match self {
            Dose::ByMass(p) => p.per_resin(),
            Dose::ByVolume(q) => q.get() * rho_d / rho_r,
            Dose::VolumePerMass(s) => not_negative("dose", s)? * rho_d,
            Dose::Drops(rate) => {
                let dropper = dropper.ok_or_else(|| {
                    Error::inconsistent(
                        "dropper",
                        self,
                        "a dose in drops needs a dropper",
                        "a drop is not a unit: weigh N drops on a scale and give the calibration, or dose by \
                         mass ('2 wt% on resin')",
                    )
                })?;
                rate.drops_for(dropper.drop_volume) * rho_d / rho_r
            }
        };
        finite("dose", ratio)
    }

    /// Reads a dose from its text; see [`Dose`].
    ///
    /// # Errors
    /// [`ErrorKind::BareNumber`] for a number alone, [`ErrorKind::WrongDimension`] for a percent that does not
    /// say of what, or for another quantity, and what [`parse`] refuses.
    pub fn parse(field: &str, text: &str) -> Result<Self> {
        let text = text.trim();
        if let Some(at) = text.find("drop") {
            return DropRate::read(field, text, at).map(Dose::Drops);
        }
        let by_mass = match parse::<Phr>(field, text) {
            Ok(p) => return Ok(Dose::ByMass(p)),
            Err(e) => e,
        };
        if let Ok(q) = parse::<PartsByVolume>(field, text) {
            return Ok(Dose::ByVolume(q));
        }
        if let Ok(s) = parse::<SpecificVolume>(field, text) {
            not_negative(field, s)?;
            return Ok(Dose::VolumePerMass(s));
        }
        // "20 g/kg" and "18 cc/qt": a ratio that says of what by its units.
        if let Some((upper, lower)) = split_per(text) {
            let lower = one_of(lower);
            let of = |what: &str, per: &str| (parse::<Mass>("", what), parse::<Mass>("", per));
            if let (Ok(a), Ok(b)) = of(upper, &lower)
                && b.si() > 0.0
            {
                let phr = Phr::new(100.0 * a.si() / b.si()).map_err(|e| e.at(field))?;
                return Ok(Dose::ByMass(phr));
            }
            if let (Ok(a), Ok(b)) = (parse::<Volume>("", upper), parse::<Volume>("", &lower))
                && b.si() > 0.0
            {
                let q = PartsByVolume::new(a.si() / b.si()).map_err(|e| e.at(field))?;
                return Ok(Dose::ByVolume(q));
            }
        }
        Err(match by_mass.kind() {
            ErrorKind::WrongDimension if text.contains('%') => Error::new(ErrorKind::WrongDimension, field)
                .with_value(format_args!("'{text}'"))
                .with_allowed("a dose with its basis")
                .with_way_out(format!("a percent must say of what: {HOW_TO_WRITE}")),
            ErrorKind::WrongDimension | ErrorKind::BareNumber => Error::new(by_mass.kind(), field)
                .with_value(format_args!("'{text}'"))
                .with_allowed("a dose with its basis")
                .with_way_out(HOW_TO_WRITE),
            ErrorKind::UnknownUnit => by_mass.with_way_out(HOW_TO_WRITE),
            _ => by_mass,
        })
    }
}

impl DropRate {
    fn read(field: &str, text: &str, at: usize) -> Result<Self> {
        let bad = || {
            Error::new(ErrorKind::Unreadable, field)
                .with_value(format_args!("'{text}'"))
                .with_way_out(
                    "write drops to a volume of resin, for example '10 drops/fl oz' or '1 drop/0.1 fl oz'",
                )
        };
        let drops: f64 = match text[..at].trim() {
            "" => return Err(bad()),
            number => number.parse().map_err(|_| bad())?,
        };
        let word = text[at..].trim_start_matches("drops").trim_start_matches("drop");
        let word = word.trim_start();
        let per = word
            .strip_prefix('/')
            .or_else(|| word.strip_prefix("per "))
            .ok_or_else(bad)?;
        let per = parse::<Volume>(field, &one_of(per))?;
        DropRate::new(drops, per).map_err(|e| {
            if e.kind() == ErrorKind::NotFinite {
                bad()
            } else {
                e.within(field)
            }
        })
    }
}

/// Splits `2 g/kg` or `2 g per kg` at its division.
fn split_per(text: &str) -> Option<(&str, &str)> {
    text.split_once('/').or_else(|| text.split_once(" per "))
}

/// A unit alone stands for one of it: `fl oz` is `1 fl oz`.
fn one_of(text: &str) -> String {
    let text = text.trim();
    // `½` is a number, too: a one before it would make it one and a half.
    if text.starts_with(|c: char| c.is_numeric() || matches!(c, '.' | '-' | '+' | '\u{2212}')) {
        text.to_owned()
    } else {
        format!("1 {text}")
    }
}

impl fmt::Display for Dose {
    /// Exactly, so that [`Dose::parse`] gives back the same dose.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Dose::ByMass(p) => write!(f, "{} wt% on resin", p.get()),
            Dose::ByVolume(q) => f.write_str(&tagged(*q)),
            Dose::VolumePerMass(s) => f.write_str(&tagged(*s)),
            Dose::Drops(rate) => rate.fmt(f),
        }
    }
}

impl std::str::FromStr for Dose {
    type Err = Error;
    fn from_str(text: &str) -> Result<Self> {
        Dose::parse("dose", text)
    }
}

impl AsText for Dose {
    const GRAMMAR: &'static Grammar = &Grammar {
        name: "Dose",
        doc: "A dose with its basis. In a request with a spread or without ('2 +/- 0.1 wt% on resin', '20 mL/kg, u = 2 \
              %'); a dose in drops has none of its own: it has its dropper's.",
        examples: &["2 wt% on resin", "2 vol% on resin", "20 mL/kg", "10 drops/fl oz"],
    };
    const SPREADS: &'static [&'static Measure] =
        &[Phr::MEASURE, PartsByVolume::MEASURE, SpecificVolume::MEASURE];
    const MEASURED: bool = true;
    fn from_text(text: &str) -> Result<Self> {
        Dose::parse("", text)
    }
    fn to_text(&self) -> String {
        self.to_string()
    }
}
text_noun!(Dose);

#[cfg(test)]
mod tests {
    use super::*;

    fn dose(text: &str) -> Dose {
        Dose::parse("catalyst", text).unwrap()
    }

    #[test]
    fn the_four_bases_are_read() {
        assert_eq!(dose("2 wt% on resin"), dose("2 phr"));
        assert_eq!(dose("20 g/kg"), dose("2 phr"));
        assert_eq!(dose("2 vol% on resin"), dose("20 mL/L"));
        assert!(matches!(dose("20 mL/kg"), Dose::VolumePerMass(_)));
        assert!(matches!(dose("10 cc/lb"), Dose::VolumePerMass(_)));
        let rho = MassDensity::from_si(1100.0).unwrap();
        let d = Dropper::uncalibrated();
        let a = dose("1 drop/0.1 fl oz").as_phr(rho, rho, Some(&d)).unwrap();
        let b = dose("10 drops/fl oz").as_phr(rho, rho, Some(&d)).unwrap();
        assert!((a.get() - b.get()).abs() < 1e-12);
        assert_eq!(dose("10 drops per fl oz"), dose("10 drops/fl oz"));
        assert_eq!(dose("10 drops/½ cup"), dose("10 drops/0.5 cup"));
        assert_eq!(dose("10 g/½ kg"), dose("20 g/kg"));
    }

    #[test]
    fn a_percent_must_say_of_what() {
        for text in ["2 %", "2 wt%", "2 vol%"] {
            let e = Dose::parse("catalyst", text).unwrap_err();
            assert_eq!(e.kind(), ErrorKind::WrongDimension, "{e}");
            assert!(e.to_string().contains("2 wt% on resin"), "{e}");
        }
        assert_eq!(
            Dose::parse("catalyst", "2").unwrap_err().kind(),
            ErrorKind::BareNumber
        );
        for text in [
            "2 drops",
            "drops/fl oz",
            "-3 drops/fl oz",
            "3 drops/g",
            "-2 phr",
            "-20 mL/kg",
            "2 bananas",
        ] {
            assert!(Dose::parse("catalyst", text).is_err(), "{text}");
        }
    }

    #[test]
    fn what_is_written_reads_back() {
        for text in [
            "2 phr",
            "1.37 vol% on resin",
            "17.3 mL/kg",
            "7 drops/fl oz",
            "0.3 drops/mL",
            "1 drop/7 mL",
        ] {
            let d = dose(text);
            assert_eq!(dose(&d.to_string()), d, "{text} -> {d}");
        }
        assert_eq!(dose("1 drop/0.1 fl oz").to_string(), "1 drop/0.1 fl oz");
        assert_eq!(dose("2 phr").to_string(), "2 wt% on resin");
    }
}
