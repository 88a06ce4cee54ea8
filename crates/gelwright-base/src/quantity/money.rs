//! What things cost: an amount in a currency, and a price per mass, volume, area, length or piece.

use std::fmt;

use super::number::{self, Fault};
use super::typed::{self, LONGEST_TEXT};
use super::unit::{self, Dimension, Expected};
use super::{Area, Length, Mass, Quantity, Volume};
use crate::error::{Error, ErrorKind, Result};
use crate::noun::{AsText, Grammar};
use crate::text_noun;

/// A currency by its ISO 4217 code ("EUR").
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Currency([u8; 3]);

impl Currency {
    /// From its three-letter code.
    ///
    /// # Errors
    /// [`ErrorKind::Unreadable`] unless it is three capital letters.
    pub fn new(code: &str) -> Result<Self> {
        match code.as_bytes() {
            [a, b, c] if [a, b, c].iter().all(|x| x.is_ascii_uppercase()) => Ok(Currency([*a, *b, *c])),
            _ => Err(Error::new(ErrorKind::Unreadable, "currency")
                .with_value(format_args!("'{code}'"))
                .with_way_out("write the three-letter ISO 4217 code, for example 'EUR'")),
        }
    }
    /// The code.
    pub fn code(&self) -> &str {
        std::str::from_utf8(&self.0).unwrap_or("XXX")
    }
}

/// An amount of money.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Money {
    /// How much.
    pub amount: f64,
    /// Of what.
    pub currency: Currency,
}

impl Money {
    /// Adds two amounts of one currency.
    ///
    /// # Errors
    /// [`ErrorKind::Inconsistent`] for two currencies: no rate is known here.
    pub fn plus(self, other: Money) -> Result<Money> {
        if self.currency == other.currency {
            Ok(Money {
                amount: self.amount + other.amount,
                ..self
            })
        } else {
            Err(Error::inconsistent(
                "price",
                format!("{self} + {other}"),
                "one currency",
                "give all prices in one currency",
            ))
        }
    }
    /// Reads `"12.50 EUR"`.
    ///
    /// # Errors
    /// [`ErrorKind::Unreadable`]; [`ErrorKind::NotFinite`]; [`ErrorKind::OutOfRange`] if negative, or too small to be
    /// told from zero.
    pub fn parse(field: &str, text: &str) -> Result<Money> {
        const EXAMPLE: &str = "12.50 EUR";
        typed::check_length(field, text, LONGEST_TEXT, EXAMPLE)?;
        let plain = typed::plain(text.trim());
        let refuse = |fault: Fault| fault.refuse(field, text, "amount", "an amount and a currency", EXAMPLE);
        let (number, code) = number::split(&plain).map_err(refuse)?;
        if code.trim().is_empty() {
            return Err(refuse(Fault::Missing));
        }
        let amount = number.scaled(0);
        let shown = format!("'{}'", text.trim());
        if !amount.is_finite() {
            return Err(Error::new(ErrorKind::NotFinite, field)
                .with_value(shown)
                .with_way_out(format!("give a finite amount, for example '{EXAMPLE}'")));
        }
        if amount < 0.0 || (amount == 0.0 && !number.is_zero()) {
            return Err(Error::out_of_range(
                field,
                shown,
                "0 or more, and not too small to be told from 0",
                "give a price of zero or more",
            ));
        }
        let currency = Currency::new(code.trim()).map_err(|e| e.at(field))?;
        Ok(Money { amount, currency })
    }
}

impl fmt::Display for Money {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write_amount(f, self.amount)?;
        write!(f, " {}", self.currency.code())
    }
}

/// What a price is for one of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PriceBasis {
    /// Per kilogram.
    Mass,
    /// Per cubic metre.
    Volume,
    /// Per square metre.
    Area,
    /// Per metre.
    Length,
    /// Per piece.
    Piece,
}

impl PriceBasis {
    fn unit(self) -> &'static str {
        match self {
            PriceBasis::Mass => "kg",
            PriceBasis::Volume => "L",
            PriceBasis::Area => "m^2",
            PriceBasis::Length => "m",
            PriceBasis::Piece => "piece",
        }
    }
    fn si_per_unit(self) -> f64 {
        if self == PriceBasis::Volume { 1e-3 } else { 1.0 }
    }
}

/// What a price may be for one of, besides a piece.
const BASES: [(Dimension, PriceBasis); 4] = [
    (Mass::DIMENSION, PriceBasis::Mass),
    (Volume::DIMENSION, PriceBasis::Volume),
    (Area::DIMENSION, PriceBasis::Area),
    (Length::DIMENSION, PriceBasis::Length),
];

/// A price: money per kilogram, litre, square metre, metre or piece. Written `"18.40 EUR/kg"`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Price {
    /// Money for one SI unit of the basis (kg, m³, m², m) or one piece.
    per_si: f64,
    /// In what.
    pub currency: Currency,
    /// For what.
    pub basis: PriceBasis,
}

impl Price {
    /// Reads `"18.40 EUR/kg"`, `"3.20 EUR/m^2"`, `"95 USD/gal"`, `"2 EUR/piece"`.
    ///
    /// # Errors
    /// [`ErrorKind::Unreadable`], [`ErrorKind::UnknownUnit`], [`ErrorKind::WrongDimension`], and as [`Money::parse`].
    pub fn parse(field: &str, text: &str) -> Result<Price> {
        const EXAMPLE: &str = "18.40 EUR/kg";
        typed::check_length(field, text, LONGEST_TEXT, EXAMPLE)?;
        let (money, per) = text.split_once('/').ok_or_else(|| {
            Error::new(ErrorKind::BareNumber, field)
                .with_value(format_args!("'{text}'"))
                .with_way_out(format!("say what the price is for, for example '{EXAMPLE}'"))
        })?;
        let money = Money::parse(field, money)?;
        if matches!(per.trim(), "piece" | "pc") {
            return Ok(Price {
                per_si: money.amount,
                currency: money.currency,
                basis: PriceBasis::Piece,
            });
        }
        let unit = unit::read_as(
            field,
            per,
            Expected {
                any_of: &BASES.map(|b| b.0),
                example: EXAMPLE,
            },
        )?;
        let basis = BASES
            .iter()
            .find(|(d, _)| unit.fits(*d))
            .map(|b| b.1)
            .ok_or_else(|| {
                Error::new(ErrorKind::WrongDimension, field)
                    .with_value(format_args!("'{text}'"))
                    .with_allowed(
                        "per kg, L, m^2, m or piece (or another unit of mass, volume, area, length)",
                    )
                    .with_way_out(format!("write for example '{EXAMPLE}'"))
            })?;
        let per_si = money.amount / unit.size();
        if !per_si.is_finite() || (per_si == 0.0 && money.amount != 0.0) {
            return Err(Error::new(ErrorKind::NotFinite, field)
                .with_value(format_args!("'{text}'"))
                .with_way_out(format!(
                    "give a price that fits its unit, for example '{EXAMPLE}'"
                )));
        }
        Ok(Price {
            per_si,
            currency: money.currency,
            basis,
        })
    }

    /// What `amount` (in kg, m³, m², m or pieces, as the basis says) costs.
    pub fn of(&self, amount: f64) -> Money {
        Money {
            amount: self.per_si * amount,
            currency: self.currency,
        }
    }
}

impl fmt::Display for Price {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let per_unit = self.per_si * self.basis.si_per_unit();
        // Shortest decimals that read back as written; a price rarely needs more than two.
        for decimals in 2..12 {
            let text = format!("{per_unit:.decimals$}");
            if text
                .parse::<f64>()
                .is_ok_and(|x| (x - per_unit).abs() <= 1e-12 * per_unit.abs())
            {
                return write!(f, "{text} {}/{}", self.currency.code(), self.basis.unit());
            }
        }
        write!(f, "{per_unit} {}/{}", self.currency.code(), self.basis.unit())
    }
}

/// The shortest decimals, two at least, that read back to the amount exactly: a plan's costs survive its document.
fn write_amount(f: &mut fmt::Formatter<'_>, amount: f64) -> fmt::Result {
    for decimals in 2..16 {
        let text = format!("{amount:.decimals$}");
        if text.parse::<f64>().is_ok_and(|x| x == amount) {
            return f.write_str(&text);
        }
    }
    write!(f, "{amount}")
}

impl AsText for Money {
    const MEASURED: bool = true;
    const GRAMMAR: &'static Grammar = &Grammar {
        name: "Money",
        doc: "An amount of money.",
        examples: &["12.50 EUR"],
    };
    fn from_text(text: &str) -> Result<Self> {
        Money::parse("", text)
    }
    fn to_text(&self) -> String {
        self.to_string()
    }
}
text_noun!(Money);

impl AsText for Price {
    const GRAMMAR: &'static Grammar = &Grammar {
        name: "Price",
        doc: "Money for a kilogram, litre, square metre, metre or piece.",
        examples: &["18.40 EUR/kg"],
    };
    fn from_text(text: &str) -> Result<Self> {
        Price::parse("", text)
    }
    fn to_text(&self) -> String {
        self.to_string()
    }
}
text_noun!(Price);
