//! A size by any of the ways it can be measured: what stands in place of an area or a volume.

use gelwright_base::error::{Error, ErrorKind, Result};
use gelwright_base::noun::{Noun, questions};
use gelwright_base::quantity::{Area, Quantity, Volume};

use crate::size::{Budget, Size, given};
use crate::{Outline, Solid, TapedShape, WaterFill, WeighedTemplate};

/// A size that was measured elsewhere (a mesh, a drawing), with its standard uncertainty.
#[derive(Clone, PartialEq, Noun)]
pub struct KnownSize {
    /// How it was measured.
    pub how: String,
    /// The area.
    #[noun(within(> "0 m^2", "1e6 m^2", "give an area above zero"))]
    pub area: Option<Area>,
    /// Its standard uncertainty.
    #[noun(within("0 m^2", "1e6 m^2", "give one standard deviation"))]
    pub area_uncertainty: Option<Area>,
    /// The volume.
    #[noun(within(> "0 mL", "1e6 m^3", "give a volume above zero"))]
    pub volume: Option<Volume>,
    /// Its standard uncertainty.
    #[noun(within("0 mL", "1e6 m^3", "give one standard deviation"))]
    pub volume_uncertainty: Option<Volume>,
}

/// How a size was measured.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub enum SizeMeasurement {
    /// Elsewhere: numbers.
    Known(KnownSize),
    /// By tape, a flat shape.
    Taped(TapedShape),
    /// By its traced outline.
    Outline(Box<Outline>),
    /// By a weighed template.
    Template(WeighedTemplate),
    /// By the water that fills it.
    Water(WaterFill),
    /// By tape, a solid.
    Solid(Solid),
}

/// What a measurement tells: an area, a volume, or both.
#[derive(Clone, PartialEq, Noun)]
pub struct MeasuredSizes {
    /// The area.
    pub area: Option<Size<Area>>,
    /// The volume.
    pub volume: Option<Size<Volume>>,
}

impl SizeMeasurement {
    /// What it is called.
    pub const fn kind(&self) -> &'static str {
        match self {
            SizeMeasurement::Known(_) => "known",
            SizeMeasurement::Taped(_) => "taped",
            SizeMeasurement::Outline(_) => "outline",
            SizeMeasurement::Template(_) => "template",
            SizeMeasurement::Water(_) => "water",
            SizeMeasurement::Solid(_) => "solid",
        }
    }

    /// How it was measured, in words.
    pub fn words(&self) -> &str {
        match self {
            SizeMeasurement::Known(k) => &k.how,
            SizeMeasurement::Taped(_) => "by tape",
            SizeMeasurement::Outline(_) => "by its outline",
            SizeMeasurement::Template(_) => "by a weighed template",
            SizeMeasurement::Water(_) => "by the water that fills it",
            SizeMeasurement::Solid(_) => "by tape, as a solid",
        }
    }

    /// Whether it tells an area.
    pub const fn has_area(&self) -> bool {
        match self {
            SizeMeasurement::Known(k) => k.area.is_some(),
            SizeMeasurement::Water(_) => false,
            _ => true,
        }
    }

    /// Whether it tells a volume.
    pub const fn has_volume(&self) -> bool {
        match self {
            SizeMeasurement::Known(k) => k.volume.is_some(),
            SizeMeasurement::Water(_) | SizeMeasurement::Solid(_) => true,
            _ => false,
        }
    }
}

#[questions]
impl SizeMeasurement {
    /// The area and the volume that a measurement tells, whichever way it was made.
    ///
    /// Tape, outline and template tell an area, water a volume, a solid its face and what it holds, numbers what they say.
    ///
    /// # Errors
    /// As the way's own question; [`ErrorKind::Document`] for numbers that tell neither, and for an uncertainty of what is
    /// not told.
    #[question("mould.measured")]
    pub fn measure(&self) -> Result<MeasuredSizes> {
        let within = |e: Error| e.within(self.kind());
        let flat = |area| MeasuredSizes {
            area: Some(area),
            volume: None,
        };
        match self {
            SizeMeasurement::Known(k) => k.measure(),
            SizeMeasurement::Taped(t) => t.measure().map(|m| flat(m.area)),
            SizeMeasurement::Outline(o) => o.measure().map(|m| flat(m.area)),
            SizeMeasurement::Template(t) => t.measure().map(flat),
            SizeMeasurement::Water(w) => w.measure().map(|volume| MeasuredSizes {
                area: None,
                volume: Some(volume),
            }),
            SizeMeasurement::Solid(s) => s.measure().map(|m| MeasuredSizes {
                area: Some(m.area),
                volume: Some(m.volume),
            }),
        }
        .map_err(within)
    }
}

impl KnownSize {
    fn measure(&self) -> Result<MeasuredSizes> {
        gelwright_base::noun::check(self)?;
        if self.area.is_none() && self.volume.is_none() {
            return Err(Error::new(ErrorKind::Document, "area")
                .with_value("a size without a number")
                .with_allowed("area, volume, or both")
                .with_way_out("give what was measured, for example area = '0.026 m^2'"));
        }
        for (of, told, u) in [
            ("area", self.area.is_some(), self.area_uncertainty.is_some()),
            ("volume", self.volume.is_some(), self.volume_uncertainty.is_some()),
        ] {
            if u && !told {
                return Err(Error::new(ErrorKind::Document, format!("{of}_uncertainty"))
                    .with_value(format_args!("an uncertainty without its {of}"))
                    .with_way_out(format!("give '{of}' too")));
            }
        }
        Ok(MeasuredSizes {
            area: self.sized(self.area, self.area_uncertainty)?,
            volume: self.sized(self.volume, self.volume_uncertainty)?,
        })
    }

    fn sized<Q: Quantity>(&self, told: Option<Q>, uncertainty: Option<Q>) -> Result<Option<Size<Q>>> {
        let Some(told) = told else { return Ok(None) };
        Budget::default()
            .with(&self.how, uncertainty.map_or(0.0, Quantity::si))
            .size(told.si(), given(&self.how, told))
            .map(Some)
    }
}
