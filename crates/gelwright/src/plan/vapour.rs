//! What leaves the films of a casting as vapour, and what is left of them: mass in = part + waste + vapour.

use uom::si::mass::kilogram;

use super::casting::Application;
use super::layout::{Act, Mix};
use crate::error::Result;
use crate::material::{Class, Family};
use crate::mix::{ApplicationMethod, AppliedFilm, FilmKind, Role};
use crate::noun::Noun;
use crate::quantity::{Mass, MassFraction, Quantity, RelativeAmount};
use crate::source::Why;

/// Monomer and solvent that leave the films of a zone, a batch or a whole casting before they cure.
///
/// Of what is laid, not of what is left in cup and brush: that is waste, and goes outdoors.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct Vapour {
    /// Mass of it.
    pub lost: Mass,
    /// The low end of its band.
    pub low: Mass,
    /// The high end of its band.
    pub high: Mass,
    /// Monomer and solvent that there was to lose.
    pub there_was: Mass,
    /// The chain behind it.
    pub why: Why,
}

/// Low, middle and high, kg.
#[derive(Clone, Copy, Default)]
pub(super) struct Band(pub(super) [f64; 3]);

impl Band {
    pub(super) fn middle(self) -> f64 {
        self.0[1]
    }
    pub(super) fn plus(self, other: Band) -> Band {
        Band([0, 1, 2].map(|i| self.0[i] + other.0[i]))
    }
    pub(super) fn times(self, share: f64) -> Band {
        Band(self.0.map(|x| x * share))
    }
}

/// What one thing laid loses.
#[derive(Clone)]
pub(super) struct Loss {
    /// Of the resin's monomer and of reactive monomer stirred in.
    pub(super) monomer: Band,
    /// Of each solvent that takes no part in the cure, by material: all of it.
    pub(super) solvents: Vec<(String, f64)>,
    /// Monomer and solvent that there was, kg.
    pub(super) there_was: f64,
    why: Option<Why>,
}

impl Loss {
    /// Of all of it, kg.
    pub(super) fn total(&self) -> Band {
        let solvents: f64 = self.solvents.iter().map(|(_, kg)| kg).sum();
        self.monomer.plus(Band([solvents; 3]))
    }
    /// What a part of the mix loses of its own mass, kg: `monomer` is its share of the monomer there was.
    pub(super) fn of_part(&self, material: &str, monomer: f64) -> f64 {
        let solvent = self.solvents.iter().find(|(id, _)| id == material);
        solvent.map_or(self.monomer.middle() * monomer, |(_, kg)| *kg)
    }
}

fn method_of(act: Act, applied: Option<Application>, closed: bool) -> ApplicationMethod {
    match (act, applied) {
        (Act::GelCoat, Some(Application::Spray)) => ApplicationMethod::Spray,
        (Act::GelCoat, _) => ApplicationMethod::Brush,
        (Act::Laminate, _) => ApplicationMethod::Roller,
        (Act::Pour, _) if closed => ApplicationMethod::ClosedPour,
        (Act::Pour, _) => ApplicationMethod::OpenPour,
        // Bedded, or squeezed between two flanges.
        (Act::Insert | Act::Seam, _) => ApplicationMethod::ClosedPour,
    }
}

impl Mix<'_> {
    /// Monomer in a part of the mix, as a share of that part; unknown of a peroxide-cured resin whose content is not given.
    pub(super) fn monomer_in(&self, part: usize) -> Option<f64> {
        match &self.materials[part].1.class {
            Class::Resin(r) if r.family.cures_by_peroxide() => r.styrene.as_ref().map(|s| s.value.get()),
            Class::Solvent(s) if s.reactive == Some(true) => Some(1.0),
            _ => Some(0.0),
        }
    }

    /// What so much of this mix loses, laid in that way; nothing where a resin's monomer is not known.
    pub(super) fn loss(
        &self,
        net: Mass,
        act: Act,
        applied: Option<Application>,
        closed: bool,
    ) -> Result<Option<Loss>> {
        let scale = net.si() / self.unit.mass.si();
        let (mut resin, mut monomer, mut solvents) = (0.0, 0.0, Vec::new());
        for (i, ((role, material), part)) in self.materials.iter().zip(&self.unit.parts).enumerate() {
            let kg = part.mass.si() * scale;
            let Some(share) = self.monomer_in(i) else {
                return Ok(None);
            };
            let reactive = share > 0.0;
            if *role == Role::Solvent && !reactive {
                solvents.push((material.id.clone(), kg));
            } else if *role == Role::Resin || reactive {
                resin += kg;
                monomer += kg * share;
            }
        }
        let data = self.resin().resin()?;
        let of_resin = MassFraction::new(if resin > 0.0 { monomer / resin } else { 0.0 })?;
        // The panel was open: between closed faces its loss does not count.
        let panel = self
            .panel
            .filter(|_| !matches!(act, Act::Insert | Act::Seam) && !closed);
        let film = AppliedFilm {
            kind: if data.family == Family::GelCoat {
                FilmKind::GelCoat
            } else {
                FilmKind::Resin
            },
            method: method_of(act, applied, closed),
            mass: Mass::new::<kilogram>(resin),
            monomer: of_resin,
            waxed: data.waxed == Some(true),
            area: None,
            open: None,
            weighed: None,
        };
        let vapour = || match panel {
            Some(share) => film.vapour_by_panel(RelativeAmount::new(share)?),
            None => film.vapour(),
        };
        let told = (monomer > 0.0).then(vapour).transpose()?;
        let band = told
            .as_ref()
            .map_or([0.0; 3], |t| [t.low, t.lost, t.high].map(Quantity::si));
        Ok(Some(Loss {
            monomer: Band(band),
            there_was: monomer + solvents.iter().map(|(_, kg)| kg).sum::<f64>(),
            solvents,
            why: told.map(|t| t.why),
        }))
    }

    /// Volume of so much of this mix when it has cured and lost that, m³: what cures at the resin's cured density, all else
    /// at its own.
    pub(super) fn cured_volume(&self, net: Mass, loss: &Loss) -> Result<f64> {
        let scale = net.si() / self.unit.mass.si();
        let resin = self.resin();
        let liquid = resin.known_density()?.value;
        let cured = resin
            .resin()?
            .cured_density
            .as_ref()
            .map_or(liquid, |d| d.value)
            .si();
        let mut volume = -loss.monomer.middle() / cured;
        for (i, ((role, _), part)) in self.materials.iter().zip(&self.unit.parts).enumerate() {
            let kg = part.mass.si() * scale;
            let cures =
                matches!(role, Role::Resin | Role::Hardener) || self.monomer_in(i).is_some_and(|m| m > 0.0);
            volume += if cures {
                kg / cured
            } else if *role == Role::Solvent {
                0.0
            } else {
                part.volume.si() * scale
            };
        }
        Ok(volume)
    }
}

/// The sum of some losses, with what it is of; none where one of them is not known.
pub(super) fn sum<'l>(of: &str, losses: impl IntoIterator<Item = (Option<&'l Loss>, f64)>) -> Option<Vapour> {
    let (mut band, mut there_was, mut from) = (Band::default(), 0.0, Vec::new());
    for (loss, share) in losses {
        let loss = loss?;
        band = band.plus(loss.total().times(share));
        there_was += loss.there_was * share;
        from.extend(loss.why.clone());
    }
    let mass = |kg: f64| Mass::new::<kilogram>(kg);
    let [low, lost, high] = band.0.map(mass);
    Some(Vapour {
        lost,
        low,
        high,
        there_was: mass(there_was),
        why: Why::computed(
            format!("vapour from {of}"),
            crate::quantity::show(lost),
            "sum over what is laid",
            from,
        ),
    })
}
