//! A recipe: what goes to a hundred parts of resin, each part with its dose and the basis of that dose.

use crate::noun::Noun;

use super::Dose;
use crate::error::{Error, Result};
use crate::material::{Catalogue, Class, Material};

/// Proportions: a resin, and everything that goes to it.
#[derive(Clone, PartialEq, Noun)]
pub struct Recipe {
    /// The resin, a material id: the doses are on its mass or volume, before anything else is added.
    pub resin: String,
    /// What goes to it.
    #[noun(default)]
    pub parts: Vec<Part>,
}

/// A part of a recipe.
#[derive(Clone, PartialEq, Noun)]
pub struct Part {
    /// The material, by id: initiator, promoter, hardener, filler, chopped fibre, pigment paste, monomer.
    pub material: String,
    /// How much goes to the resin, with its basis ("2 wt% on resin", "20 mL/kg", "1 drop/0.1 fl oz").
    pub dose: Dose,
}

/// What a part does in the mix, by the kind of its material.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Noun)]
#[non_exhaustive]
pub enum Role {
    /// The resin.
    Resin,
    /// The peroxide solution ("catalyst" in the trade).
    Initiator,
    /// The promoter (accelerator).
    Promoter,
    /// The second part of an epoxy or polyurethane.
    Hardener,
    /// Filler, thickener or chopped fibre.
    Filler,
    /// Pigment paste.
    Pigment,
    /// Monomer or thinner.
    Solvent,
}

impl Role {
    /// Whether it starts or makes the cure: initiator or hardener.
    pub fn cures(self) -> bool {
        matches!(self, Role::Initiator | Role::Hardener)
    }
}

impl Recipe {
    /// A recipe of the resin alone.
    pub fn new(resin: impl Into<String>) -> Self {
        Recipe {
            resin: resin.into(),
            parts: Vec::new(),
        }
    }

    /// With a part more.
    #[must_use]
    pub fn with(mut self, material: impl Into<String>, dose: Dose) -> Self {
        self.parts.push(Part {
            material: material.into(),
            dose,
        });
        self
    }

    /// The same recipe with another dose of its initiator or hardener.
    ///
    /// # Errors
    /// If it has none.
    pub fn with_cure_dose(&self, dose: Dose, catalogue: &Catalogue) -> Result<Recipe> {
        let mut changed = self.clone();
        for part in &mut changed.parts {
            if role_of(catalogue.get(&part.material)?)?.cures() {
                part.dose = dose;
                return Ok(changed);
            }
        }
        Err(Error::inconsistent(
            "parts",
            "no initiator and no hardener",
            "one of them",
            "add a part that cures the resin",
        ))
    }

    /// The materials with their roles, the resin first; refuses names that are not in the catalogue, a part
    /// that can not go into a mix, a promoter without an initiator's company, two parts of the same material.
    ///
    /// # Errors
    /// [`ErrorKind::UnknownName`](crate::ErrorKind::UnknownName) with the nearest material;
    /// [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent).
    pub fn materials<'c>(&self, catalogue: &'c Catalogue) -> Result<Vec<(Role, &'c Material)>> {
        let resin = catalogue.get(&self.resin).map_err(|e| e.at("resin"))?;
        resin.resin().map_err(|e| e.at("resin"))?;
        let mut all = vec![(Role::Resin, resin)];
        for (i, part) in self.parts.iter().enumerate() {
            let at = |e: Error| e.at(format!("parts[{i}].material"));
            let material = catalogue.get(&part.material).map_err(at)?;
            let role = role_of(material).map_err(at)?;
            if all.iter().any(|(_, m)| m.id == material.id) {
                return Err(Error::inconsistent(
                    format!("parts[{i}].material"),
                    format!("'{}' twice", material.id),
                    "each material once",
                    "add the two doses into one part",
                ));
            }
            all.push((role, material));
        }
        let cures = all.iter().filter(|(r, _)| r.cures()).count();
        if cures > 1 {
            return Err(Error::inconsistent(
                "parts",
                format!("{cures} parts that cure"),
                "one initiator or hardener",
                "blend hardeners first and give the blend as one material",
            ));
        }
        Ok(all)
    }
}

/// What a material does in a mix.
///
/// # Errors
/// [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent) for what does not go into one (a mat, a release
/// agent, a mould wall, a second resin).
pub fn role_of(material: &Material) -> Result<Role> {
    Ok(match &material.class {
        Class::Initiator(_) => Role::Initiator,
        Class::Promoter(_) => Role::Promoter,
        Class::Hardener(_) => Role::Hardener,
        Class::Filler(_) => Role::Filler,
        Class::Pigment(_) => Role::Pigment,
        Class::Solvent(_) => Role::Solvent,
        other => {
            return Err(Error::inconsistent(
                "",
                format!("'{}' is a {}", material.id, other.name().replace('_', " ")),
                "initiator, promoter, hardener, filler, pigment or solvent",
                "mat and cloth are plies of a layer, a release agent is put on the mould: neither is stirred in",
            ));
        }
    })
}
