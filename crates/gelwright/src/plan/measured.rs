//! A casting as the bench measures it: read with its spreads, and with those of its instruments.

use gelwright_base::Uncertain;

use super::casting::ZoneLayer;
use super::{Casting, sized};
use crate::error::Result;
use crate::mix::Estimate;
use crate::noun::questions;
use crate::quantity::Quantity;
use crate::quantity::spread::{Distribution, Input, Spread};

#[questions(READING)]
impl Casting {
    /// Reads a casting from TOML, in which any quantity may have a spread (`temperature = "17 +/- 1 degC"`), and dose too.
    ///
    /// # Errors
    /// As [`Casting::from_toml`]; a spread that can not be, or of which an end can not stand where it stands.
    #[question("plan.read_casting")]
    pub fn read(
        /// The text of the document.
        text: &str,
    ) -> Result<Uncertain<Casting>> {
        Uncertain::from_toml(text)
    }

    /// A casting with the spreads of what it was measured with: the bench's thermometer, and whatever measured its zones.
    ///
    /// Those of the shop's temperatures that stand without a spread get the thermometer's
    /// ([`Thermometer::reading`](crate::mix::Thermometer::reading)); without a thermometer they stay as they are. A zone or a
    /// pour that was `measured` becomes its area or volume with the measurement's standard uncertainty, unless a spread
    /// stands within the measurement: then that counts, and nothing is added to it.
    ///
    /// A temperature that is not said is the air's, and moves with it. Temperatures that are each said are taken to be off
    /// each by itself: that one thermometer's calibration moves them together is not modelled. Scale, syringe and dropper
    /// have their say in the uncertainty of every batch's dose, with or without this.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a temperature so close to the end of its range that the
    /// thermometer reaches beyond.
    #[question("plan.as_measured")]
    pub fn as_measured(
        /// The casting.
        casting: &Uncertain<Casting>,
    ) -> Result<Uncertain<Casting>> {
        let mut made = with_sizes(casting)?;
        let shop = &casting.value().shop;
        let Some(thermometer) = &shop.bench.thermometer else {
            return Ok(made);
        };
        for (path, read) in [
            ("shop.temperature", Some(shop.temperature)),
            ("shop.resin_temperature", shop.resin_temperature),
            ("shop.mould_temperature", shop.mould_temperature),
        ] {
            let given = casting.inputs().iter().any(|(p, _)| *p == path);
            if let Some(t) = read.filter(|_| !given) {
                made = made.with(path, &Spread::input(&thermometer.reading(t)?))?;
            }
        }
        Ok(made)
    }
}

/// The casting whose measured zones and pours have their sizes with a spread in place of their measurements.
fn with_sizes(casting: &Uncertain<Casting>) -> Result<Uncertain<Casting>> {
    let mut inputs: Vec<(String, Input)> = casting
        .inputs()
        .into_iter()
        .map(|(path, input)| (path.to_owned(), input))
        .collect();
    let spread = |at: &str| inputs.iter().any(|(path, _)| path.starts_with(&format!("{at}.")));
    let (sized, sizes) = sized::sized(casting.value())?;
    let mut made = casting.value().clone();
    let mut more = vec![];
    for (i, (zone, told)) in made.zones.iter_mut().zip(&sizes).enumerate() {
        if let Some(area) = told.area.as_ref().and_then(|s| s.area.as_ref())
            && !spread(&format!("zones[{i}].measured"))
        {
            (zone.measured, zone.area) = (None, sized.zones[i].area);
            more.extend(input(&area.estimate)?.map(|spread| (format!("zones[{i}].area"), spread)));
        }
        for (j, told) in told.volumes.iter().enumerate() {
            let at = format!("zones[{i}].layers[{j}].pour");
            if let Some(volume) = told.as_ref().and_then(|s| s.volume.as_ref())
                && !spread(&format!("{at}.measured"))
                && let ZoneLayer::Pour(pour) = &mut zone.layers[j]
            {
                (pour.measured, pour.volume) = (None, Some(volume.value()));
                more.extend(input(&volume.estimate)?.map(|spread| (format!("{at}.volume"), spread)));
            }
        }
    }
    if made == *casting.value() {
        return Ok(casting.clone());
    }
    inputs.extend(more);
    Uncertain::new(&made, inputs)
}

/// None of what is exact.
fn input<Q: Quantity>(of: &Estimate<Q>) -> Result<Option<Input>> {
    let u = of.standard_uncertainty.si();
    if u == 0.0 {
        return Ok(None);
    }
    Ok(Some(Spread::new(of.value, Distribution::Normal(u))?.input()))
}
