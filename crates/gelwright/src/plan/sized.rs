//! Zones and pours whose size was measured: the casting with their areas and volumes, and how sure these are.

use std::borrow::Cow;

use super::casting::{Casting, Pour, Zone, ZoneLayer};
use super::job::Job;
use super::layout::{Act, Item};
use crate::error::{Error, ErrorKind, Result};
use crate::mould::{Size, SizeMeasurement};
use crate::noun::Noun;
use crate::quantity::{Area, Volume};

/// A size of a zone as it was measured.
#[derive(Clone, PartialEq, Noun)]
pub struct ZoneSize {
    /// Which: its area, or the volume of a pour.
    pub of: String,
    /// How it was measured.
    pub how: String,
    /// The area.
    pub area: Option<Size<Area>>,
    /// The volume.
    pub volume: Option<Size<Volume>>,
}

/// What was measured of a zone.
#[derive(Clone, Default)]
pub(super) struct ZoneSizes {
    pub(super) area: Option<ZoneSize>,
    /// By layer.
    pub(super) volumes: Vec<Option<ZoneSize>>,
}

impl ZoneSizes {
    pub(super) fn all(&self) -> Vec<ZoneSize> {
        self.area
            .iter()
            .chain(self.volumes.iter().flatten())
            .cloned()
            .collect()
    }

    /// Relative standard uncertainty of the amount of a layer that comes from what was measured, and what to call that
    /// measurement among those of the zone.
    fn of_layer(&self, layer: usize, with: &ZoneLayer) -> Option<(usize, f64)> {
        let volume = self.volumes.get(layer).and_then(|v| v.as_ref()?.volume.as_ref());
        match with {
            ZoneLayer::Pour(_) if volume.is_some() => volume.map(|v| (layer + 1, v.relative())),
            ZoneLayer::Pour(Pour { volume: Some(_), .. }) => None,
            _ => self.area.as_ref()?.area.as_ref().map(|a| (0, a.relative())),
        }
    }
}

/// A measurement of the casting: its zone; 0 for its area, else the pour's layer counted from 1.
pub(super) type Measurement = (usize, usize);

impl Job<'_> {
    /// The measurement that the amount of an item follows, and its relative standard uncertainty.
    pub(super) fn measure_of(&self, item: &Item) -> Option<(Measurement, f64)> {
        if item.act >= Act::Insert {
            return None;
        }
        let i = self.casting.zones.iter().position(|z| z.name == item.zone)?;
        let layer = self.casting.zones[i].layers.get(item.layer)?;
        let (which, u) = self.sizes.get(i)?.of_layer(item.layer, layer)?;
        Some(((i, which), u))
    }
}

/// The casting with the sizes of its zones and pours in place of their measurements, and these; the casting itself where
/// none was measured.
pub(super) fn sized(casting: &Casting) -> Result<(Cow<'_, Casting>, Vec<ZoneSizes>)> {
    let none = |zone: &Zone| zone.measured.is_none() && pours(zone).all(|(_, p)| p.measured.is_none());
    if casting.zones.iter().all(none) {
        return Ok((
            Cow::Borrowed(casting),
            vec![ZoneSizes::default(); casting.zones.len()],
        ));
    }
    let mut made = casting.clone();
    let mut sizes = vec![];
    let mut mistakes = vec![];
    for (i, zone) in made.zones.iter_mut().enumerate() {
        let told = zone
            .sized()
            .and_then(|told| crate::noun::check(&*zone).map(|()| told));
        match told {
            Ok(told) => sizes.push(told),
            Err(e) => mistakes.push(e.within(format_args!("zones[{i}]"))),
        }
    }
    match Error::several(mistakes) {
        Some(e) => Err(e),
        None => Ok((Cow::Owned(made), sizes)),
    }
}

fn pours(zone: &Zone) -> impl Iterator<Item = (usize, &Pour)> {
    zone.layers
        .iter()
        .enumerate()
        .filter_map(|(j, layer)| match layer {
            ZoneLayer::Pour(p) => Some((j, p)),
            _ => None,
        })
}

fn tells_no(what: &str, by: &SizeMeasurement) -> Error {
    Error::new(ErrorKind::Document, "measured")
        .with_value(format_args!("a measurement ({}) that tells no {what}", by.kind()))
        .with_way_out(match what {
            "area" => "measure an area: by tape, outline, template or solid",
            _ => "measure a volume: by water or solid",
        })
}

impl Zone {
    /// Takes the sizes that were measured.
    fn sized(&mut self) -> Result<ZoneSizes> {
        let mut told = ZoneSizes {
            area: None,
            volumes: vec![None; self.layers.len()],
        };
        if let Some(by) = self.measured.take() {
            let size = by.measure().map_err(|e| e.within("measured"))?.area;
            let size = size.ok_or_else(|| tells_no("area", &by))?;
            self.area = Some(size.value());
            told.area = Some(ZoneSize {
                of: "area".to_owned(),
                how: by.words().to_owned(),
                area: Some(size),
                volume: None,
            });
        }
        for (j, layer) in self.layers.iter_mut().enumerate() {
            let ZoneLayer::Pour(Pour { measured, volume, .. }) = layer else {
                continue;
            };
            let Some(by) = measured.take() else { continue };
            let within = |e: Error| e.within(format_args!("layers[{j}].pour"));
            let size = by.measure().map_err(|e| within(e.within("measured")))?.volume;
            let size = size.ok_or_else(|| within(tells_no("volume", &by)))?;
            *volume = Some(size.value());
            told.volumes[j] = Some(ZoneSize {
                of: format!("volume of layer {}", j + 1),
                how: by.words().to_owned(),
                area: None,
                volume: Some(size),
            });
        }
        Ok(told)
    }

    /// Refuses a size that is told twice, or by what does not tell it.
    pub(super) fn check_measured(&self) -> Result<()> {
        let area = match (&self.measured, self.area) {
            (Some(_), Some(area)) => Err(twice("area", crate::quantity::show(area).to_string())),
            (Some(by), None) if !by.has_area() => Err(tells_no("area", by)),
            _ => Ok(()),
        };
        let volumes = pours(self).map(|(j, p)| {
            match (&p.measured, p.volume) {
                (Some(_), Some(volume)) => Err(twice("volume", crate::quantity::show(volume).to_string())),
                (Some(by), None) if !by.has_volume() => Err(tells_no("volume", by)),
                _ => Ok(()),
            }
            .map_err(|e| e.within(format_args!("layers[{j}].pour")))
        });
        Error::none_of(std::iter::once(area).chain(volumes))
    }
}

fn twice(what: &str, value: String) -> Error {
    Error::inconsistent(
        "measured",
        format!("{what} = {value} beside a measurement"),
        format!("exactly one of {what}, measured"),
        "leave one of them out",
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Cancel;
    use crate::quantity::Quantity;
    use gelwright_base::Uncertain;

    const DEMO: &str = include_str!("../../demo/moth_lantern.toml");

    /// The fore wings' template of the demo.
    const TEMPLATE: &str = "measured = { template = { template = \"7.8 g\", square = \"3.0 g\", side = \"100 mm\", readability = \"0.1 g\" } }";

    /// The demo with something else in place of the fore wings' measurement.
    fn with(words: &str) -> String {
        assert!(DEMO.contains(TEMPLATE));
        DEMO.replace(TEMPLATE, words)
    }

    #[test]
    fn a_measured_zone_is_planned_as_one_of_that_area() {
        let by_template = Casting::from_toml(DEMO).unwrap().plan(Cancel::NEVER).unwrap();
        let by_number = Casting::from_toml(&with("area = \"0.026 m^2\"")).unwrap();
        let by_number = by_number.plan(Cancel::NEVER).unwrap();
        for (a, b) in by_template.needs.iter().zip(&by_number.needs) {
            assert!((a.mass.si() / b.mass.si() - 1.0).abs() < 1e-12, "{}", a.name);
        }
        let wings = by_template.zones.iter().find(|z| z.zone == "fore wings").unwrap();
        let area = wings.sizes[0].area.as_ref().unwrap();
        assert!((area.value().si() - 0.026).abs() < 1e-12 && wings.sizes[0].how.contains("template"));
        assert!(
            by_number
                .zones
                .iter()
                .find(|z| z.zone == "fore wings")
                .unwrap()
                .sizes
                .is_empty()
        );
        // The clear gel coat goes to the fore wings, 26 parts of it, and to the hind wings, 18: they alone are told by number.
        let need = |of: &crate::plan::Plan| {
            of.needs
                .iter()
                .find(|n| n.name == "clear gel coat")
                .unwrap()
                .clone()
        };
        let (told, mass) = (
            need(&by_template).size_uncertainty.unwrap(),
            need(&by_template).mass,
        );
        let expected = area.relative() * mass.si() * 26.0 / 44.0;
        assert!((told.si() / expected - 1.0).abs() < 1e-9, "{told:?}");
        assert_eq!(need(&by_number).size_uncertainty, None);
    }

    #[test]
    fn as_measured_it_has_the_measurements_spread() {
        let casting = Casting::read(DEMO).unwrap();
        let measured = Casting::as_measured(&casting).unwrap();
        let inputs = measured.inputs();
        let (_, area) = inputs.iter().find(|(path, _)| *path == "zones[2].area").unwrap();
        let relative = area.standard_uncertainty() / area.value;
        assert!((0.01..0.03).contains(&relative), "{relative}");
        assert_eq!(measured.value().zones[2].measured, None);
        assert!(inputs.iter().any(|(path, _)| *path == "zones[0].area"));
        // A spread within the measurement counts by itself.
        let own = with(&TEMPLATE.replace("7.8 g", "7.8 g +/- 0.3 g"));
        let own: Uncertain<Casting> = Casting::read(&own).unwrap();
        let measured = Casting::as_measured(&own).unwrap();
        let paths: Vec<&str> = measured.inputs().iter().map(|(p, _)| *p).collect();
        assert!(paths.contains(&"zones[2].measured.template.template") && !paths.contains(&"zones[2].area"));
    }

    #[test]
    fn a_size_is_told_once_and_by_what_tells_it() {
        let refused = |words: &str, kind: ErrorKind, field: &str, says: &str| {
            let e = Casting::from_toml(&with(words))
                .and_then(|c| c.plan(Cancel::NEVER))
                .unwrap_err();
            assert_eq!((e.kind(), e.field()), (kind, field), "{e}");
            assert!(e.to_string().contains(says), "{e}");
        };
        let twice = format!("area = \"0.026 m^2\"\n{TEMPLATE}");
        refused(
            &twice,
            ErrorKind::Inconsistent,
            "zones[2].measured",
            "exactly one of area, measured",
        );
        let water =
            "measured = { water = { mass = \"500 g\", temperature = \"17 degC\", readability = \"1 g\" } }";
        refused(water, ErrorKind::Document, "zones[2].measured", "tells no area");
        let nothing = TEMPLATE.replace("3.0 g", "0 g");
        refused(
            &nothing,
            ErrorKind::OutOfRange,
            "zones[2].measured.template.square",
            "more than 0 g",
        );
        let huge = TEMPLATE.replace("7.8 g", "78 kg");
        refused(&huge, ErrorKind::OutOfRange, "zones[2].area", "100 m^2");
    }
}
