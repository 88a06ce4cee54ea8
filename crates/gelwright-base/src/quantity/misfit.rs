//! What is said where a unit measures something else than what is asked for.

use super::Dimension;
use super::parse::Asked;
use super::unit::{self, Kind, Tag, Unit};
use crate::error::{Error, ErrorKind, cut_at};

pub(super) fn refusal(asked: &Asked<'_>, unit_text: &str, unit: &Unit) -> Error {
    let (wanted, name) = (asked.wanted, asked.name);
    let write = format!("write for example '{}'", asked.example);
    if unit_text.is_empty() {
        return asked.refuse(
            ErrorKind::BareNumber,
            format!(
                "{} needs a unit{}: {write}",
                one(name),
                few(&unit::names_for(wanted))
            ),
        );
    }
    let way_out = match (wanted.kind, unit.tag) {
        (Kind::Interval, Tag::Scale) => {
            format!(
                "a temperature interval has no zero point: write '10 K' or '10 delta_degC', not '{}'",
                cut_at(unit_text, 80)
            )
        }
        (Kind::Point, Tag::Delta) => format!("a temperature is a point, not an interval: {write}"),
        (Kind::MassFraction | Kind::VolumeFraction | Kind::Phr | Kind::VolumeOnResin, Tag::Percent) => {
            format!(
                "a percent must say of what: a {name} is written like '{}'",
                asked.example
            )
        }
        (Kind::MassFraction, Tag::Phr) | (Kind::Phr, Tag::WeightPercent) => {
            "parts per hundred resin are not a percentage of the whole: convert first (10 phr are 9.09 wt%)"
                .to_owned()
        }
        _ => {
            let hint = match (wanted.exponents, unit.exponents) {
                ([3, 0, 0, 0, 0], [0, 1, 0, 0, 0]) => " ('oz' is a mass, 'fl oz' a volume)",
                ([0, 1, 0, 0, 0], [3, 0, 0, 0, 0]) => " ('fl oz' is a volume, 'oz' a mass)",
                _ => "",
            };
            format!("{} is needed{hint}: {write}", one(name))
        }
    };
    Error::new(ErrorKind::WrongDimension, asked.field)
        .with_value(format_args!(
            "'{}' ({})",
            cut_at(asked.text.trim(), 100),
            measures(unit)
        ))
        .with_allowed(one(name))
        .with_way_out(way_out)
}

/// What the unit measures, in words.
fn measures(unit: &Unit) -> String {
    let word = match unit.tag {
        Tag::Percent => "percent",
        Tag::WeightPercent => "percent by mass",
        Tag::VolumePercent => "percent by volume",
        Tag::Phr => "parts per hundred resin",
        Tag::VolumeOnResin => "volume on resin",
        Tag::HydroxylNumber => "hydroxyl number",
        Tag::Angle => "angle",
        Tag::Delta => "temperature interval",
        Tag::One => "plain number",
        _ => {
            let plain = Dimension {
                exponents: unit.exponents,
                kind: Kind::Plain,
            };
            return plain.to_string();
        }
    };
    word.to_owned()
}

/// A few of the names in parentheses; nothing where a unit has no name of its own, as '1/K'.
pub(super) fn few(names: &[String]) -> String {
    const MOST: usize = 6;
    match names.len() {
        0 => String::new(),
        n if n > MOST => format!(" ({} ...)", names[..MOST].join(", ")),
        _ => format!(" ({})", names.join(", ")),
    }
}

/// "a length", "an area".
pub(super) fn one(name: &str) -> String {
    let article = if name.starts_with(['a', 'e', 'i', 'o']) {
        "an"
    } else {
        "a"
    };
    format!("{article} {name}")
}
