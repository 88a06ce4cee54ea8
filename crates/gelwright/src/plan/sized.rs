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
            (Some(_), Some(area)) => Err(twice("area", crate::quantity::show(area))),
            (Some(by), None) if !by.has_area() => Err(tells_no("area", by)),
            _ => Ok(()),
        };
        let volumes = pours(self).map(|(j, p)| {
            match (&p.measured, p.volume) {
                (Some(_), Some(volume)) => Err(twice("volume", crate::quantity::show(volume))),
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
