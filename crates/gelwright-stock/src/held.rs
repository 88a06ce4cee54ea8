//! How much of something there is: a mass, a volume, an area, a length or a number of pieces.

use std::fmt;

use gelwright_base::noun::{AsText, Grammar};
use gelwright_base::quantity::{self, Area, Length, Mass, Measure, Quantity, Volume};
use gelwright_base::{Error, ErrorKind, Result, text_noun};

/// How much of something there is: `"2.5 kg"`, `"0.8 L"`, `"1.2 m^2"`, `"12 m"`, `"6 pieces"`.
#[derive(Debug, Clone, Copy)]
pub struct Held {
    /// In SI, or pieces.
    pub(crate) amount: f64,
    /// Of what; none for pieces.
    measure: Option<&'static Measure>,
}

const EXAMPLE: &str = "2.5 kg";

fn si_of<Q: Quantity>(field: &str, text: &str) -> Result<f64> {
    quantity::parse::<Q>(field, text).map(Quantity::si)
}

impl Held {
    /// Reads an amount with its unit.
    ///
    /// # Errors
    /// As [`quantity::parse`] refuses a text that is none of these; [`ErrorKind::OutOfRange`] below zero.
    pub fn parse(field: &str, text: &str) -> Result<Held> {
        if let Some(count) = text
            .trim()
            .strip_suffix("pieces")
            .or(text.trim().strip_suffix("piece"))
        {
            return Held::pieces(field, text, count);
        }
        let readings: [(fn(&str, &str) -> Result<f64>, &'static Measure); 4] = [
            (si_of::<Mass>, Mass::MEASURE),
            (si_of::<Volume>, Volume::MEASURE),
            (si_of::<Area>, Area::MEASURE),
            (si_of::<Length>, Length::MEASURE),
        ];
        let mut refused = None;
        for (read, measure) in readings {
            match read(field, text) {
                Ok(si) => return Held::of_si(field, si, measure),
                // What is no mass may yet be a volume; what cannot be read at all is told as the first reading tells it.
                Err(e) => refused = refused.or(Some(e)),
            }
        }
        let refused = refused.unwrap_or_else(|| Error::new(ErrorKind::Unreadable, field));
        Err(if refused.kind() == ErrorKind::WrongDimension {
            Error::new(ErrorKind::WrongDimension, field)
                .with_value(format_args!("'{text}'"))
                .with_allowed("a mass, a volume, an area, a length or a number of pieces")
                .with_way_out(format!("write for example '{EXAMPLE}'"))
        } else {
            refused
        })
    }

    fn pieces(field: &str, text: &str, count: &str) -> Result<Held> {
        match count.trim().parse::<u32>() {
            Ok(n) => Ok(Held {
                amount: f64::from(n),
                measure: None,
            }),
            Err(_) => Err(Error::new(ErrorKind::Unreadable, field)
                .with_value(format_args!("'{text}'"))
                .with_way_out("count whole pieces, for example '6 pieces'")),
        }
    }

    fn of_si(field: &str, si: f64, measure: &'static Measure) -> Result<Held> {
        if si < 0.0 {
            return Err(Error::out_of_range(
                field,
                quantity::show_si(si, measure),
                "0 or more",
                "give what is there",
            ));
        }
        Ok(Held {
            amount: si,
            measure: Some(measure),
        })
    }

    /// Of a mass.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] below zero.
    pub fn mass(mass: Mass) -> Result<Held> {
        Held::of_si("mass", mass.si(), Mass::MEASURE)
    }
    /// Of an area.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] below zero.
    pub fn area(area: Area) -> Result<Held> {
        Held::of_si("area", area.si(), Area::MEASURE)
    }
    /// In SI, or the number of pieces.
    pub fn si(self) -> f64 {
        self.amount
    }
    /// As an area, if it is one.
    pub fn as_area(self) -> Option<Area> {
        self.measured()
    }
    /// As a volume, if it is one.
    pub fn as_volume(self) -> Option<Volume> {
        self.measured()
    }
    /// As a mass, if it is one.
    pub fn as_mass(self) -> Option<Mass> {
        self.measured()
    }
    fn measured<Q: Quantity>(self) -> Option<Q> {
        (self.kind() == Some(Q::MEASURE.name)).then(|| quantity::known(self.amount))
    }
    /// What it measures, by name; none for pieces.
    fn kind(self) -> Option<&'static str> {
        self.measure.map(|m| m.name)
    }
    /// So much of the same.
    pub(crate) fn with(self, amount: f64) -> Held {
        Held {
            amount: amount.max(0.0),
            ..self
        }
    }
    /// Refuses what is measured otherwise.
    pub(crate) fn like(self, field: &str, other: Held) -> Result<()> {
        if self.kind() == other.kind() {
            return Ok(());
        }
        Err(Error::new(ErrorKind::WrongDimension, field)
            .with_value(self)
            .with_allowed(format!("measured as {other}"))
            .with_way_out("give both in one kind of unit: a volume is its mass over its density"))
    }
}

impl PartialEq for Held {
    fn eq(&self, other: &Held) -> bool {
        self.amount == other.amount && self.kind() == other.kind()
    }
}

impl fmt::Display for Held {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.measure {
            Some(m) => f.write_str(&quantity::show_si(self.amount, m)),
            None if self.amount == 1.0 => f.write_str("1 piece"),
            None => write!(f, "{} pieces", self.amount),
        }
    }
}

impl AsText for Held {
    const MEASURED: bool = true;
    const GRAMMAR: &'static Grammar = &Grammar {
        name: "Held",
        doc: "How much there is: a mass, a volume, an area, a length or a number of pieces.",
        examples: &[EXAMPLE, "0.8 L", "1.2 m^2", "12 m", "6 pieces"],
    };
    fn from_text(text: &str) -> Result<Self> {
        Held::parse("", text)
    }
    fn to_text(&self) -> String {
        match self.measure {
            Some(m) => quantity::tagged_si(self.amount, m),
            None => self.to_string(),
        }
    }
}
text_noun!(Held);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_what_stands_on_a_tin_or_a_roll() {
        for (text, back) in [
            ("250 g", "250 g"),
            ("800 mL", "800 mL"),
            ("1.2 m^2", "1.2 m²"),
            ("6 pieces", "6 pieces"),
        ] {
            let held = Held::parse("left", text).unwrap();
            assert_eq!(held.to_string(), back);
            assert_eq!(Held::from_text(&held.to_text()).unwrap(), held);
        }
        for (text, kind) in [
            ("20 degC", ErrorKind::WrongDimension),
            ("-1 kg", ErrorKind::OutOfRange),
            ("1.5 pieces", ErrorKind::Unreadable),
            ("5", ErrorKind::BareNumber),
        ] {
            assert_eq!(Held::parse("left", text).unwrap_err().kind(), kind, "{text}");
        }
        let (kg, litre) = (Held::parse("", "1 kg").unwrap(), Held::parse("", "1 L").unwrap());
        assert!(
            kg.like("size", litre)
                .unwrap_err()
                .to_string()
                .contains("density")
        );
    }
}
