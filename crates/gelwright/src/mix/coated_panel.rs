//! A panel coated and weighed over time: how much vapour its coat gives off in this shop.

use super::bench::Scale;
use super::measurement::Estimate;
use crate::error::{Error, ErrorKind, Result};
use crate::noun::{Noun, questions};
use crate::quantity::{self, Area, ArealMassDensity, Mass, MassFraction, Quantity, Time};
use crate::source::{Source, Standing, Why};

/// A panel coated like the part and left on the scale, or put back on it, while its coat cures.
#[derive(Clone, PartialEq, Noun)]
#[noun(check)]
pub struct CoatedPanel {
    /// Area of the coat.
    #[noun(within(> "0 m^2", "100 m^2", "give the area that was coated, for example '0.09 m^2'"))]
    pub area: Area,
    /// Mass of the coat as it was laid: panel with coat, less the bare panel.
    #[noun(within(> "0 g", .., "give what the wet coat weighs, for example '55.0 g'"))]
    pub coat: Mass,
    /// Monomer or solvent in the coat as mixed, by mass.
    #[noun(within(> "0 wt%", .., "give the monomer of the mix, for example '35 wt%'"))]
    pub monomer: MassFraction,
    /// Its weighings after that, in order.
    pub weighings: Vec<PanelWeighing>,
    /// The scale.
    pub scale: Scale,
}

/// A weighing of a coated panel.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct PanelWeighing {
    /// How long after it was coated.
    #[noun(within(> "0 s", .., "give the time since coating, for example '30 min'"))]
    pub after: Time,
    /// Mass of the coat then: panel with coat, less the bare panel.
    #[noun(within("0 g", .., "give what the coat weighs then, for example '51.4 g'"))]
    pub coat: Mass,
}

/// What a coat gave off.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct VapourLost {
    /// From the area, at the last weighing.
    pub per_area: Estimate<ArealMassDensity>,
    /// Of the monomer in the coat.
    pub share_of_monomer: Estimate<MassFraction>,
    /// Of the coat as laid: what emission rules give per mass applied.
    pub share_of_coat: Estimate<MassFraction>,
    /// Whether the last two weighings differ by no more than the scale tells (95 %): else it goes on losing.
    pub settled: bool,
    /// The chain behind it.
    pub why: Why,
}

#[questions]
impl CoatedPanel {
    /// Weighings in order.
    fn check(&self) -> Result<()> {
        if self.weighings.is_empty() {
            return Err(Error::new(ErrorKind::Document, "weighings")
                .with_value("an empty list")
                .with_way_out("weigh the panel again, when the coat has gelled"));
        }
        let unordered =
            (1..self.weighings.len()).find(|i| self.weighings[*i].after <= self.weighings[i - 1].after);
        match unordered {
            Some(i) => Err(Error::inconsistent(
                format!("weighings[{i}].after"),
                quantity::show(self.weighings[i].after),
                format!("after {}", quantity::show(self.weighings[i - 1].after)),
                "give the weighings in the order of time",
            )),
            None => Ok(()),
        }
    }

    /// Vapour lost from a coated panel that was weighed over time: per area, of its monomer, of its coat.
    ///
    /// `lost = m_0 - m_last`; every mass is a difference of two readings (`u` as [`Scale::net_uncertainty`]), so that the loss has
    /// `u^2 = 2 u_net^2`. What else the coat takes up or gives off (water, the peroxide's own solvent) is counted with it.
    ///
    /// # Errors
    /// [`ErrorKind::Inconsistent`] for a coat that gained more than the scale can be off, for more lost than there is monomer,
    /// and for weighings that are not in order; [`ErrorKind::Document`] without a weighing.
    #[question("mix.vapour_lost")]
    pub fn vapour_lost(&self) -> Result<VapourLost> {
        crate::noun::check(self)?;
        self.check()?;
        let net = self.scale.net_uncertainty().si();
        let u = 2f64.sqrt() * net;
        let least = 2.0 * u;
        let mut before = self.coat.si();
        for (i, w) in self.weighings.iter().enumerate() {
            if w.coat.si() > before + least {
                return Err(Error::inconsistent(
                    format!("weighings[{i}].coat"),
                    quantity::show(w.coat),
                    format!(
                        "at most {} (the weighing before, and what the scale can be off)",
                        quantity::show(Mass::from_si(before + least)?)
                    ),
                    "a curing coat gains no mass: check the bare panel's mass and the readings",
                ));
            }
            before = w.coat.si();
        }
        let (last, coat) = (self.weighings[self.weighings.len() - 1], self.coat.si());
        let lost = (coat - last.coat.si()).max(0.0);
        let there_is = self.monomer.get() * coat;
        if lost > there_is + least {
            return Err(Error::inconsistent(
                format!("weighings[{}].coat", self.weighings.len() - 1),
                quantity::show(last.coat),
                format!(
                    "{} or more: all of its monomer gone",
                    quantity::show(Mass::from_si(coat - there_is)?)
                ),
                "more is lost than there was monomer: check the monomer of the mix, and that nothing ran off the panel",
            ));
        }
        let settled = match self.weighings.as_slice() {
            [.., a, b] => a.coat.si() - b.coat.si() <= least,
            _ => false,
        };
        let share = |of: f64| Estimate::normal(MassFraction::new((lost / of).min(1.0))?, u / of);
        let per_area = Estimate::normal(
            ArealMassDensity::from_si(lost / self.area.si())?,
            u / self.area.si(),
        )?;
        Ok(VapourLost {
            share_of_monomer: share(there_is)?,
            share_of_coat: share(coat)?,
            settled,
            why: Why::computed(
                "vapour lost",
                per_area.to_string(),
                "(m_0 - m_last)/A, u^2 = 2 u_net^2/A^2",
                vec![
                    Why::given("coat as laid, m_0", quantity::show(self.coat)),
                    Why::given(
                        format!("coat after {}, m_last", quantity::show(last.after)),
                        quantity::show(last.coat),
                    ),
                    Why::given("area, A", quantity::show(self.area)),
                ],
            )
            .with_source(&Source::of(
                Standing::MeasuredHere,
                "a coated panel weighed over time",
            )),
            per_area,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mix::Bench;

    fn panel(after: &[(f64, f64)]) -> CoatedPanel {
        CoatedPanel {
            area: Area::from_si(0.09).unwrap(),
            coat: Mass::from_si(0.055).unwrap(),
            monomer: MassFraction::new(0.35).unwrap(),
            weighings: after
                .iter()
                .map(|(minutes, grams)| PanelWeighing {
                    after: Time::from_si(60.0 * minutes).unwrap(),
                    coat: Mass::from_si(1e-3 * grams).unwrap(),
                })
                .collect(),
            scale: Bench::with_scale(Mass::from_si(1e-4).unwrap()).scale,
        }
    }

    #[test]
    fn the_loss_is_the_difference_with_the_scale_s_uncertainty() {
        let lost = panel(&[(30.0, 51.5), (90.0, 49.5), (180.0, 49.5)])
            .vapour_lost()
            .unwrap();
        // analytic: 5.5 g from 0.09 m2; u = sqrt(2) 0.1 g sqrt(2/12) = 0.0577 g
        assert!((lost.per_area.value.si() - 0.0055 / 0.09).abs() < 1e-12);
        assert!((lost.per_area.standard_uncertainty.si() * 0.09 - 5.773_502_7e-5).abs() < 1e-10);
        assert!((lost.share_of_monomer.value.get() - 5.5 / (0.35 * 55.0)).abs() < 1e-12);
        assert!((lost.share_of_coat.value.get() - 0.1).abs() < 1e-12);
        assert!(
            lost.settled
                && !panel(&[(30.0, 51.5), (90.0, 49.5)])
                    .vapour_lost()
                    .unwrap()
                    .settled
        );
    }

    #[test]
    fn no_coat_gains_and_none_loses_more_than_its_monomer() {
        for (bad, field) in [
            (panel(&[(30.0, 56.0)]), "weighings[0].coat"),
            (panel(&[(30.0, 51.0), (60.0, 30.0)]), "weighings[1].coat"),
            (panel(&[(60.0, 51.0), (30.0, 50.0)]), "weighings[1].after"),
            (panel(&[]), "weighings"),
        ] {
            let e = bad.vapour_lost().unwrap_err();
            assert_eq!(e.field(), field, "{e}");
        }
    }
}
