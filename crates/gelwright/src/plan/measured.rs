//! A casting as the bench measures it: read with its spreads, and with those of its instruments.

use gelwright_base::Uncertain;

use super::Casting;
use crate::error::Result;
use crate::noun::questions;
use crate::quantity::spread::Spread;

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

    /// A casting with the spreads that the bench's thermometer brings: those of the shop's temperatures that stand without
    /// one get it ([`Thermometer::reading`](crate::mix::Thermometer::reading)). Without a thermometer nothing changes.
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
        let shop = &casting.value().shop;
        let Some(thermometer) = &shop.bench.thermometer else {
            return Ok(casting.clone());
        };
        let mut made = casting.clone();
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
