//! A batch: a recipe at an amount, on a bench: what to weigh, count and pour, what it costs, how sure it is.

use crate::noun::Noun;
use uom::si::mass::kilogram;
use uom::si::volume::cubic_meter;

use super::measurement::Estimate;
use super::recipe::{Recipe, Role};
use super::{Bench, Dose};
use crate::error::{Error, Result};
use crate::material::{Catalogue, Class, Material};
use crate::quantity::{
    self, Mass, MassDensity, MassFraction, Money, Phr, PriceBasis, Quantity, RelativeSpread, Volume,
};
use crate::source::Why;

/// How much is mixed.
#[derive(Clone, Copy, PartialEq, Noun)]
#[non_exhaustive]
pub enum Amount {
    /// Mass of the whole mix.
    Mass(Mass),
    /// Volume of the whole mix, without entrained air.
    Volume(Volume),
    /// Mass of the resin in it.
    ResinMass(Mass),
    /// Volume of the resin in it.
    ResinVolume(Volume),
}

/// One part of a batch, as it is measured on the bench.
#[derive(Clone, PartialEq, Noun)]
pub struct BatchPart {
    /// Material id.
    pub material: String,
    /// What a person calls it.
    pub name: String,
    /// What it does in the mix.
    pub role: Role,
    /// Mass to weigh.
    pub mass: Mass,
    /// Standard uncertainty of that mass by the way it is measured (`measured_by`).
    pub mass_uncertainty: Mass,
    /// Its own volume (of a powder: of its particles, not of its heap).
    pub volume: Volume,
    /// As the instrument that it is measured best with shows it: to the scale's step, to the syringe's division, in whole drops.
    /// Nothing where that instrument shows none of it.
    pub shown: Option<Mass>,
    /// Drops, for a liquid dosed with a dropper; to be rounded to a whole number.
    pub drops: Option<f64>,
    /// The least number of drops that may be the dose: the low end of the 95 % that the dropper is known to.
    pub drops_low: Option<f64>,
    /// The greatest number of drops that may be the dose.
    pub drops_high: Option<f64>,
    /// How it is measured best on this bench: "scale", "syringe" or "dropper".
    pub measured_by: MeasuredBy,
    /// By mass on the resin.
    pub on_resin: Phr,
    /// What it costs, where its price is known.
    pub cost: Option<Money>,
}

/// How a part is measured.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Noun)]
#[non_exhaustive]
pub enum MeasuredBy {
    /// On the scale.
    Scale,
    /// With the syringe.
    Syringe,
    /// By counting drops.
    Dropper,
}

impl std::fmt::Display for MeasuredBy {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(match self {
            MeasuredBy::Scale => "scale",
            MeasuredBy::Syringe => "syringe",
            MeasuredBy::Dropper => "dropper",
        })
    }
}

/// A recipe at an amount.
#[derive(Clone, PartialEq, Noun)]
pub struct Batch {
    /// Its parts, the resin first.
    pub parts: Vec<BatchPart>,
    /// Mass of the whole.
    pub mass: Mass,
    /// Volume of the whole, the parts' volumes added, without entrained air.
    pub volume: Volume,
    /// Density of the whole.
    pub density: MassDensity,
    /// Fillers, thickeners and chopped fibre over the whole.
    pub filler_content: MassFraction,
    /// Glass fibre stirred in, over the whole.
    pub glass_content: MassFraction,
    /// Initiator or hardener on resin, with the uncertainty of how it and the resin are measured.
    pub cure_dose: Option<CureDose>,
    /// What it costs, where all prices are known; else what the priced parts cost.
    pub cost: Option<Money>,
    /// Parts whose price is not known.
    #[noun(default)]
    pub without_price: Vec<String>,
    /// The chain behind the initiator's or hardener's amount (behind the mass, where there is none).
    pub why: Why,
}

/// The dose that decides the cure, as it will come out on this bench.
#[derive(Clone, PartialEq, Noun)]
pub struct CureDose {
    /// Material id of the initiator or hardener.
    pub material: String,
    /// As the recipe gives it.
    pub dose: Dose,
    /// By mass on the resin, with its uncertainty.
    pub by_mass: Estimate<Phr>,
    /// The dose that results from the figures shown for it and for the resin; nothing where an instrument shows none.
    pub as_shown: Option<Phr>,
    /// The relative standard uncertainty of it.
    pub uncertainty: RelativeSpread,
    /// The same if it is weighed on the scale.
    pub uncertainty_weighed: RelativeSpread,
    /// The same if drops are counted, where there is a dropper.
    pub uncertainty_in_drops: Option<RelativeSpread>,
}

/// Ratio of a part's mass to the resin's, and the part's material.
struct Proportion<'c> {
    role: Role,
    material: &'c Material,
    density: f64,
    ratio: f64,
}

fn proportions<'c>(recipe: &Recipe, catalogue: &'c Catalogue, bench: &Bench) -> Result<Vec<Proportion<'c>>> {
    let materials = recipe.materials(catalogue)?;
    let density_of = |m: &Material| m.known_density().map(|d| d.value);
    let (_, resin) = materials[0];
    let resin_density = density_of(resin)?;
    let unit = Mass::new::<kilogram>(1.0);
    let mut all = vec![Proportion {
        role: Role::Resin,
        material: resin,
        density: resin_density.si(),
        ratio: 1.0,
    }];
    for (i, ((role, material), part)) in materials[1..].iter().zip(&recipe.parts).enumerate() {
        let density = density_of(material)?;
        let ratio = part
            .dose
            .mass_for(unit, resin_density, density, bench.dropper.as_ref())
            .map_err(|e| e.within(format!("parts[{i}]")))?
            .si();
        check_dose(*role, ratio, part.dose).map_err(|e| e.within(format!("parts[{i}]")))?;
        all.push(Proportion {
            role: *role,
            material,
            density: density.si(),
            ratio,
        });
    }
    Ok(all)
}

/// What no mix can be, whatever its data sheet says: kept wide; the limits say what is good.
fn check_dose(role: Role, ratio: f64, dose: Dose) -> Result<()> {
    let (most, what) = match role {
        Role::Initiator => (0.20, "an initiator solution"),
        Role::Promoter => (0.20, "a promoter solution"),
        Role::Pigment => (1.0, "pigment paste"),
        Role::Solvent => (1.0, "a thinner"),
        Role::Hardener | Role::Filler | Role::Resin => (20.0, "a hardener or filler"),
    };
    if (0.0..=most).contains(&ratio) {
        Ok(())
    } else if role == Role::Initiator && (0.0..=most).contains(&(ratio / 10.0)) {
        Err(Error::out_of_range(
            "dose",
            dose,
            format!("0 phr to {} phr for {what}", 100.0 * most),
            format!(
                "a slip of ten? a tenth of it, {}, was probably meant, or ten times the resin",
                quantity::show(Phr::new(10.0 * ratio)?)
            ),
        ))
    } else {
        Err(Error::out_of_range(
            "dose",
            dose,
            format!("0 phr to {} phr for {what}", 100.0 * most),
            "write the dose of the data sheet, for example '2 wt% on resin'",
        ))
    }
}

impl Batch {
    /// The batch of `recipe` at `amount`, measured on `bench`.
    ///
    /// With the ratio `r_i = m_i/m_resin` of each part from its [`Dose`]: `m = m_resin (1 + sum r_i)`,
    /// `V = m_resin sum(r_i/rho_i)` (volumes add, no air), `rho = m/V`. The dose's relative standard uncertainty
    /// is `u^2 = (u_part/m_part)^2 + (u_resin/m_resin)^2` (JCGM 100:2008, 5.1.6, product rule).
    ///
    /// # Errors
    /// Unknown materials, a material without density, a dose in drops without a dropper, an amount that is not
    /// above zero or above a tonne, doses beyond what a mix can be.
    pub fn new(recipe: &Recipe, amount: Amount, catalogue: &Catalogue, bench: &Bench) -> Result<Batch> {
        bench.check().map_err(|e| e.within("bench"))?;
        let proportions = proportions(recipe, catalogue, bench)?;
        let mass_ratio: f64 = proportions.iter().map(|p| p.ratio).sum();
        let volume_ratio: f64 = proportions.iter().map(|p| p.ratio / p.density).sum();
        let resin = resin_mass(amount, mass_ratio, volume_ratio, proportions[0].density)?;
        let parts = proportions
            .iter()
            .map(|p| measured(p, resin, bench))
            .collect::<Result<Vec<_>>>()?;
        let mass = resin * mass_ratio;
        let share = |counts: &dyn Fn(&Proportion) -> bool| {
            MassFraction::new(
                proportions
                    .iter()
                    .filter(|p| counts(p))
                    .map(|p| p.ratio)
                    .sum::<f64>()
                    / mass_ratio,
            )
        };
        let cost = parts
            .iter()
            .filter_map(|p| p.cost)
            .try_fold(None::<Money>, |sum, c| {
                sum.map_or(Ok(c), |s: Money| s.plus(c)).map(Some)
            })
            .map_err(|e| e.within("material"))?;
        let cure = proportions.iter().position(|p| p.role.cures());
        let cure_dose = cure
            .map(|i| cure_dose(&proportions[i], &parts[0], &parts[i], recipe, bench))
            .transpose()?;
        Ok(Batch {
            why: why(recipe, &proportions, &parts, cure, bench, amount),
            without_price: parts
                .iter()
                .filter(|p| p.cost.is_none() && p.mass.si() > 0.0)
                .map(|p| p.material.clone())
                .collect(),
            mass: Mass::new::<kilogram>(mass),
            volume: Volume::new::<cubic_meter>(resin * volume_ratio),
            density: MassDensity::from_si(mass_ratio / volume_ratio)?,
            filler_content: share(&|p| p.role == Role::Filler)?,
            glass_content: share(&|p| is_glass_fibre(p.material))?,
            cure_dose,
            cost,
            parts,
        })
    }

    /// The part of a material.
    pub fn part(&self, material: &str) -> Option<&BatchPart> {
        self.parts.iter().find(|p| p.material == material)
    }

    /// The resin.
    pub fn resin(&self) -> &BatchPart {
        &self.parts[0]
    }

    /// The initiator or hardener.
    pub fn cure_part(&self) -> Option<&BatchPart> {
        self.parts.iter().find(|p| p.role.cures())
    }
}

fn is_glass_fibre(m: &Material) -> bool {
    matches!(&m.class, Class::Filler(f) if f.shape == crate::material::ParticleShape::Fibre)
}

fn resin_mass(amount: Amount, mass_ratio: f64, volume_ratio: f64, resin_density: f64) -> Result<f64> {
    let (resin, shown) = match amount {
        Amount::Mass(m) => (m.si() / mass_ratio, quantity::show(m)),
        Amount::Volume(v) => (v.si() / volume_ratio, quantity::show(v)),
        Amount::ResinMass(m) => (m.si(), quantity::show(m)),
        Amount::ResinVolume(v) => (v.si() * resin_density, quantity::show(v)),
    };
    // A tonne is no bench batch; below a milligram nothing is weighed.
    if (1e-6..=1000.0).contains(&resin) {
        Ok(resin)
    } else {
        Err(Error::out_of_range(
            "amount",
            shown,
            "1 mg to 1000 kg of resin",
            "give the amount to mix, for example '250 g' or '8 fl oz'",
        ))
    }
}

fn measured(p: &Proportion, resin: f64, bench: &Bench) -> Result<BatchPart> {
    let mass = p.ratio * resin;
    let volume = Volume::new::<cubic_meter>(mass / p.density);
    let by_scale = bench.scale.net_uncertainty().si();
    let mut best = (MeasuredBy::Scale, by_scale);
    let mut drops = None;
    // Only thin liquids are counted or drawn up; the resin itself is weighed.
    if matches!(p.role, Role::Initiator | Role::Promoter) && mass > 0.0 {
        if let Some(syringe) = &bench.syringe {
            let u = syringe.uncertainty(volume).si() * p.density;
            if u < best.1 {
                best = (MeasuredBy::Syringe, u);
            }
        }
        if let Some(dropper) = &bench.dropper {
            let n = dropper.drops_for(volume)?;
            drops = Some(n);
            let u = in_drops(bench, n).unwrap_or(1.0) * mass;
            if u < best.1 {
                best = (MeasuredBy::Dropper, u);
            }
        }
    }
    let shown = shown(best.0, mass, p.density, drops, bench)?;
    let factor = drops.and_then(|n| drops_factor(bench, n));
    let ends = drops.zip(factor).map(|(n, f)| (n / f, n * f));
    let cost = p.material.price.as_ref().map(|price| match price.value.basis {
        PriceBasis::Mass => Ok(price.value.of(mass)),
        PriceBasis::Volume => Ok(price.value.of(volume.si())),
        _ => Err(Error::inconsistent(
            "price",
            price.value,
            "a price per mass or volume",
            "what is stirred into a mix is priced like '18.40 EUR/kg'",
        )
        .within(&p.material.id)),
    });
    Ok(BatchPart {
        material: p.material.id.clone(),
        name: p.material.name.clone(),
        role: p.role,
        mass: Mass::new::<kilogram>(mass),
        mass_uncertainty: Mass::new::<kilogram>(best.1),
        volume,
        shown,
        drops,
        drops_low: ends.map(|e| e.0),
        drops_high: ends.map(|e| e.1),
        measured_by: best.0,
        on_resin: Phr::new(100.0 * p.ratio)?,
        cost: cost.transpose()?,
    })
}

/// A mass as an instrument shows it; nothing where it shows none.
fn shown(by: MeasuredBy, mass: f64, density: f64, drops: Option<f64>, bench: &Bench) -> Result<Option<Mass>> {
    let whole = |amount: f64, step: f64| (amount / step).round() * step;
    let mass = match (by, &bench.syringe, drops) {
        (MeasuredBy::Syringe, Some(s), _) => whole(mass / density, s.graduation.si()) * density,
        (MeasuredBy::Dropper, _, Some(n)) if n > 0.0 => n.round() * mass / n,
        _ => whole(mass, bench.scale.readability.si()),
    };
    (mass > 0.0).then(|| Mass::from_si(mass)).transpose()
}

/// By what factor, either way, `n` drops may be off at 95 %: log-normal.
fn drops_factor(bench: &Bench, n: f64) -> Option<f64> {
    let u = in_drops(bench, n)?;
    Some((super::measurement::COVERAGE_FACTOR_95 * (u * u).ln_1p().sqrt()).exp())
}

/// Relative standard uncertainty of `n` counted drops: the dropper's own and that of rounding to whole drops.
fn in_drops(bench: &Bench, n: f64) -> Option<f64> {
    let dropper = bench.dropper.as_ref()?;
    let rounding = super::measurement::of_step(1.0) / n.max(1.0);
    Some(dropper.relative_uncertainty(n).hypot(rounding))
}

fn cure_dose(
    p: &Proportion,
    resin: &BatchPart,
    part: &BatchPart,
    recipe: &Recipe,
    bench: &Bench,
) -> Result<CureDose> {
    let of_resin = resin.mass_uncertainty.si() / resin.mass.si();
    let relative = |u: f64| {
        if part.mass.si() > 0.0 {
            (u / part.mass.si()).hypot(of_resin)
        } else {
            0.0
        }
    };
    let u = relative(part.mass_uncertainty.si());
    let dose = recipe
        .parts
        .iter()
        .find(|x| x.material == p.material.id)
        .map_or(Dose::ByMass(Phr::ZERO), |x| x.dose);
    let by_mass = match part.measured_by {
        MeasuredBy::Dropper => Estimate::log_normal(part.on_resin, u)?,
        _ => Estimate::normal(part.on_resin, u * part.on_resin.get())?,
    };
    Ok(CureDose {
        material: p.material.id.clone(),
        dose,
        by_mass,
        as_shown: match (part.shown, resin.shown) {
            (Some(part), Some(resin)) => Some(Phr::new(100.0 * part.si() / resin.si())?),
            _ => None,
        },
        uncertainty: RelativeSpread::new(u)?,
        uncertainty_weighed: RelativeSpread::new(relative(bench.scale.net_uncertainty().si()))?,
        uncertainty_in_drops: part
            .drops
            .and_then(|n| in_drops(bench, n))
            .map(|r| RelativeSpread::new(r.hypot(of_resin)))
            .transpose()?,
    })
}

fn why(
    recipe: &Recipe,
    proportions: &[Proportion],
    parts: &[BatchPart],
    cure: Option<usize>,
    bench: &Bench,
    amount: Amount,
) -> Why {
    let density = |p: &Proportion, what: &str| {
        p.material
            .density
            .as_ref()
            .map(|d| d.why(format!("density of {what}")))
    };
    let amount = match amount {
        Amount::Mass(m) => Why::given("amount of mix", quantity::show(m)),
        Amount::Volume(v) => Why::given("amount of mix", quantity::show(v)),
        Amount::ResinMass(m) => Why::given("amount of resin", quantity::show(m)),
        Amount::ResinVolume(v) => Why::given("amount of resin", quantity::show(v)),
    };
    let mut resin = vec![amount];
    resin.extend(density(&proportions[0], &parts[0].name));
    let resin = Why::computed(
        format!("mass of {}", parts[0].name),
        quantity::show(parts[0].mass),
        "m_resin = m/(1 + sum r_i), or V/sum(r_i/rho_i)",
        resin,
    );
    let Some(i) = cure else { return resin };
    let dose = recipe
        .parts
        .get(i - 1)
        .map_or_else(String::new, |p| p.dose.to_string());
    let mut from = vec![resin, Why::given("dose in the recipe", dose)];
    from.extend(density(&proportions[i], &parts[i].name));
    if parts[i].drops.is_some() {
        from.extend(bench.dropper.as_ref().map(|d| d.why()));
    }
    Why::computed(
        format!("mass of {}", parts[i].name),
        quantity::show(parts[i].mass),
        "m = m_resin r, with r from the dose and its basis",
        from,
    )
}
