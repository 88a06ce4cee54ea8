//! Fillers, thickeners and chopped fibre: what they do to density, volume and price, how much fits, and what they take.

use crate::noun::Noun;

use crate::check::{not_negative, positive};
use crate::error::{Error, ErrorKind, Result, finite};
use crate::quantity::{
    self, ArealMassDensity, Index, Length, Mass, MassDensity, MassFraction, Money, Phr, Price, PriceBasis,
    Quantity, RelativeAmount, Volume, VolumeFraction,
};
use crate::source::{Source, Standing};

/// A part of a mix: resin, filler, fibre, paste.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct Component {
    /// What it is.
    #[noun(default)]
    pub name: String,
    /// How much of it.
    pub mass: Mass,
    /// Its density; of a powder or fibre, of the particles, not of the heap.
    pub density: MassDensity,
    /// What it costs.
    pub price: Option<Price>,
    /// Whether it is a filler: particles that must fit between one another.
    #[noun(default)]
    pub filler: bool,
    /// Largest volume fraction its particles can pack to, where known.
    pub max_packing: Option<VolumeFraction>,
}

/// One part's share of a mix.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct Share {
    /// What it is.
    pub name: String,
    /// Share of the mass.
    pub mass_fraction: MassFraction,
    /// Share of the volume.
    pub volume_fraction: VolumeFraction,
    /// By mass on all that is no filler.
    pub on_resin: Phr,
}

/// A mix of parts whose volumes add.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct FilledMix {
    /// Mass.
    pub mass: Mass,
    /// Volume without air.
    pub volume: Volume,
    /// Density without air.
    pub density: MassDensity,
    /// Volume with the entrained air.
    pub volume_with_air: Volume,
    /// Density with the entrained air.
    pub density_with_air: MassDensity,
    /// Fillers together, of the volume without air.
    pub filler_content: VolumeFraction,
    /// How much of the room that packing leaves the fillers take: 1 is a dry heap with its pores just filled. None
    /// where a filler's packing is not known.
    pub of_packing: Option<RelativeAmount>,
    /// The parts' shares, in the order given.
    pub shares: Vec<Share>,
    /// What the mix costs, where every part has a price by mass or volume in one currency.
    pub cost: Option<Money>,
    /// Cost of a litre of it, without air.
    pub cost_per_litre: Option<Money>,
}

/// What a mix weighs, fills and costs: volumes add, `rho = sum(m_i)/sum(m_i/rho_i)`; with an air content `a` of the
/// volume, `rho_a = rho (1 - a)`.
///
/// Range: volumes of liquids and solids that do not dissolve in one another add exactly; a liquid that dissolves in
/// another can contract by about 1 %, which is not counted. Fillers of several kinds are held against the packing of
/// each, `sum(phi_i/phi_max,i) <= 1`: on the safe side, since small particles fit between large ones.
///
/// # Errors
/// [`ErrorKind::OutOfRange`] for a mass or density that is not above zero (named by its part), for fillers above their
/// packing limit, or an air content of 1; [`ErrorKind::Inconsistent`] for a mix that is all filler.
pub fn filled(components: &[Component], air: VolumeFraction) -> Result<FilledMix> {
    let (mut mass, mut volume, mut resin, mut filler_volume) = (0.0, 0.0, 0.0, 0.0);
    let mut volumes = Vec::with_capacity(components.len());
    for (i, c) in components.iter().enumerate() {
        let at = |e: Error| e.within(format!("components[{i}]"));
        let m = not_negative("mass", c.mass).map_err(at)?;
        let v = m / positive("density", c.density).map_err(at)?;
        mass += m;
        volume += v;
        if c.filler {
            filler_volume += v;
        } else {
            resin += m;
        }
        volumes.push(v);
    }
    if finite("mass", mass)? <= 0.0 || resin <= 0.0 {
        return Err(Error::inconsistent(
            "components",
            "no resin",
            "at least one part with a mass above zero that is no filler",
            "add the resin, with 'filler' false",
        ));
    }
    if air.get() >= 1.0 {
        return Err(Error::out_of_range(
            "air",
            quantity::show(air),
            "below 100 vol%",
            "a hand-stirred mix holds a few vol% of air",
        ));
    }
    let mut of_packing = Some(0.0);
    for (i, (c, v)) in components.iter().zip(&volumes).enumerate() {
        if !c.filler || *v == 0.0 {
            continue;
        }
        match c.max_packing {
            Some(max) if max.get() > 0.0 => of_packing = of_packing.map(|p| p + v / volume / max.get()),
            Some(max) => {
                return Err(Error::out_of_range(
                    format!("components[{i}].max_packing"),
                    quantity::show(max),
                    "above 0 vol%",
                    "grains pack to about 64 vol% at random, chopped fibres to far less",
                ));
            }
            None => of_packing = None,
        }
    }
    let filler_content = VolumeFraction::new((filler_volume / volume).min(1.0))?;
    if let Some(p) = of_packing.filter(|p| *p > 1.0) {
        return Err(Error::out_of_range(
            "components",
            format!(
                "{} of filler, {} % of what can pack",
                quantity::show(filler_content),
                quantity::figures(100.0 * p)
            ),
            format!(
                "{} at most of these fillers in this proportion",
                quantity::show(VolumeFraction::new((filler_content.get() / p).min(1.0))?)
            ),
            "take less filler or more resin: above the packing limit there is not enough resin to fill the pores",
        ));
    }
    let mix_mass = Mass::from_si(mass)?;
    let mix_volume = Volume::from_si(volume)?;
    let shares = components
        .iter()
        .zip(&volumes)
        .map(|(c, v)| {
            Ok(Share {
                name: c.name.clone(),
                mass_fraction: MassFraction::new((c.mass.si() / mass).min(1.0))?,
                volume_fraction: VolumeFraction::new((v / volume).min(1.0))?,
                on_resin: Phr::new(100.0 * c.mass.si() / resin)?,
            })
        })
        .collect::<Result<Vec<_>>>()?;
    let cost = cost(components, &volumes)?;
    let cost_per_litre = cost.map(|c| Money {
        amount: c.amount / (volume * 1e3),
        ..c
    });
    Ok(FilledMix {
        mass: mix_mass,
        volume: mix_volume,
        density: MassDensity::from_si(mass / volume)?,
        volume_with_air: Volume::from_si(volume / (1.0 - air.get()))?,
        density_with_air: MassDensity::from_si(mass / volume * (1.0 - air.get()))?,
        filler_content,
        of_packing: of_packing.map(RelativeAmount::new).transpose()?,
        shares,
        cost,
        cost_per_litre,
    })
}

fn cost(components: &[Component], volumes: &[f64]) -> Result<Option<Money>> {
    let mut total: Option<Money> = None;
    for (i, (c, v)) in components.iter().zip(volumes).enumerate() {
        let Some(price) = c.price else { return Ok(None) };
        let amount = match price.basis {
            PriceBasis::Mass => c.mass.si(),
            PriceBasis::Volume => *v,
            _ => {
                return Err(Error::inconsistent(
                    format!("components[{i}].price"),
                    price,
                    "a price per mass or per volume",
                    "write for example '6.50 EUR/kg'",
                ));
            }
        };
        let part = price.of(amount);
        total = Some(match total {
            None => part,
            Some(t) => t.plus(part).map_err(|e| e.within(format!("components[{i}]")))?,
        });
    }
    Ok(total)
}

/// Mass fraction of a filler from its volume fraction: `w = phi rho_f/(phi rho_f + (1 - phi) rho_r)`.
///
/// # Errors
/// [`ErrorKind::OutOfRange`] for a density that is not above zero.
pub fn mass_fraction(
    content: VolumeFraction,
    filler_density: MassDensity,
    resin_density: MassDensity,
) -> Result<MassFraction> {
    let f = content.get() * positive("filler_density", filler_density)?;
    let r = content.rest().get() * positive("resin_density", resin_density)?;
    MassFraction::new(f / (f + r))
}

/// Volume fraction of a filler from its mass fraction: `phi = (w/rho_f)/(w/rho_f + (1 - w)/rho_r)`.
///
/// # Errors
/// [`ErrorKind::OutOfRange`] for a density that is not above zero.
pub fn volume_fraction(
    content: MassFraction,
    filler_density: MassDensity,
    resin_density: MassDensity,
) -> Result<VolumeFraction> {
    let f = content.get() / positive("filler_density", filler_density)?;
    let r = content.rest().get() / positive("resin_density", resin_density)?;
    VolumeFraction::new(f / (f + r))
}

/// Parts on a hundred of resin from a mass fraction of the whole: `phr = 100 w/(1 - w)`.
///
/// # Errors
/// [`ErrorKind::OutOfRange`] for a mix that is all filler.
pub fn phr_of(content: MassFraction) -> Result<Phr> {
    if content.get() >= 1.0 {
        return Err(Error::out_of_range(
            "content",
            quantity::show(content),
            "below 100 wt%",
            "a mix needs some resin",
        ));
    }
    Phr::new(100.0 * content.get() / content.rest().get())
}

/// Mass fraction of the whole from parts on a hundred of resin: `w = phr/(100 + phr)`.
///
/// # Errors
/// Never for finite parts.
pub fn mass_fraction_of_phr(on_resin: Phr) -> Result<MassFraction> {
    MassFraction::new(on_resin.get() / (100.0 + on_resin.get()))
}

/// Largest volume fraction that a powder can fill, from its oil absorption: the volume at which linseed oil just fills
/// the pores, `phi_max = 1/(1 + OA rho_f/(100 rho_oil))`, with `OA` grams of oil on 100 g of powder and oil of
/// 0.935 g/mL (the paint trade's critical pigment volume concentration, 93.5 in its constant).
///
/// Range: powders whose oil absorption was measured by spatula rub-out (ISO 787-5, ASTM D281); it assumes that resin
/// wets the powder as linseed oil does.
///
/// Source: W. K. Asbeck, M. Van Loo, Critical Pigment Volume Relationships, Ind. Eng. Chem. 41 (1949) 1470; form with
/// 93.5 as printed in Effect of Pigment Volume Concentration on Coatings Properties, part II (2014).
///
/// # Errors
/// [`ErrorKind::OutOfRange`] for a density that is not above zero or an oil absorption of zero.
pub fn packing_from_oil_absorption(oil_absorption: Phr, density: MassDensity) -> Result<VolumeFraction> {
    const LINSEED_OIL: f64 = 935.0;
    let oa = positive("oil_absorption", oil_absorption)? / 100.0;
    let rho = positive("density", density)?;
    VolumeFraction::new(1.0 / (1.0 + oa * rho / LINSEED_OIL))
}

/// Volume fraction of solid in a dry heap: `phi = rho_apparent/rho_f`. A tapped heap is near what stirring can reach; a
/// loose heap of a fume or of chopped fibre is not a limit, since both give way.
///
/// # Errors
/// [`ErrorKind::OutOfRange`] for a density that is not above zero, [`ErrorKind::Inconsistent`] for a heap denser than
/// its particles.
pub fn solid_in_heap(apparent_density: MassDensity, density: MassDensity) -> Result<VolumeFraction> {
    let heap = positive("apparent_density", apparent_density)?;
    let solid = positive("density", density)?;
    if heap > solid {
        return Err(Error::inconsistent(
            "apparent_density",
            quantity::show(apparent_density),
            format!("below the particles' {}", quantity::show(density)),
            "the apparent density is that of the heap with its air",
        ));
    }
    VolumeFraction::new(heap / solid)
}

/// Random packing of straight stiff rods: `phi_max = c D/L` with `c = 5.4` (random contacts), for slender ones.
///
/// Range: length over diameter from 15 up. Shorter rods pack denser than spheres do and are not covered: an error.
/// Bundles that stay together count with the bundle's diameter.
///
/// Source: A. P. Philipse, The Random Contact Equation and Its Implications for (Colloidal) Rods in Packings,
/// Suspensions, and Anisotropic Powders, Langmuir 12 (1996) 1127; constant 5.4 ± 0.2 (from memory).
///
/// # Errors
/// [`ErrorKind::OutOfRange`] for lengths that are not above zero or a ratio below 15.
pub fn packing_of_rods(length: Length, diameter: Length) -> Result<VolumeFraction> {
    const CONTACTS: f64 = 5.4;
    const SLENDER: f64 = 15.0;
    let aspect = positive("length", length)? / positive("diameter", diameter)?;
    if aspect < SLENDER {
        return Err(Error::out_of_range(
            "length",
            format!("{} diameters", quantity::figures(aspect)),
            "15 diameters or more",
            "a short fibre or grain packs otherwise: give its packing from its oil absorption or a tapped heap",
        ));
    }
    VolumeFraction::new(CONTACTS / aspect)
}

/// What the heap of a powder adds to the look of a cup: its heap volume over the resin's, `(p/100) rho_r/rho_apparent`
/// for `p` parts on a hundred of resin. Fumed silica doubles a cup's heap at a few parts.
///
/// # Errors
/// [`ErrorKind::OutOfRange`] for a density that is not above zero.
pub fn heap_on_resin(
    on_resin: Phr,
    apparent_density: MassDensity,
    resin_density: MassDensity,
) -> Result<RelativeAmount> {
    let heap = positive("apparent_density", apparent_density)?;
    RelativeAmount::new(on_resin.per_resin() * positive("resin_density", resin_density)? / heap)
}

/// Parts on a hundred of resin of a powder heaped to `heaps` times the resin's volume: the inverse of
/// [`heap_on_resin`].
///
/// # Errors
/// [`ErrorKind::OutOfRange`] for a density that is not above zero.
pub fn phr_of_heap(
    heaps: RelativeAmount,
    apparent_density: MassDensity,
    resin_density: MassDensity,
) -> Result<Phr> {
    let heap = positive("apparent_density", apparent_density)?;
    Phr::new(100.0 * heaps.get() * heap / positive("resin_density", resin_density)?)
}

/// Resin that wets out a dry reinforcement to a glass content `w`: `m_r = W (1 - w)/w` per area.
///
/// # Errors
/// [`ErrorKind::OutOfRange`] for an areal mass that is not above zero or a glass content of zero.
pub fn wet_out(areal_mass: ArealMassDensity, glass_content: MassFraction) -> Result<ArealMassDensity> {
    let w = positive("glass_content", glass_content)?;
    ArealMassDensity::from_si(positive("areal_mass", areal_mass)? * (1.0 - w) / w)
}

/// Least resin that a heap of chopped fibre or powder needs to fill its pores, on the mass of the heap:
/// `m_r/m_f = rho_r (1/rho_apparent - 1/rho_f)`, with the density of the heap as it will lie in the cup.
///
/// # Errors
/// As [`solid_in_heap`].
pub fn resin_to_fill_heap(
    apparent_density: MassDensity,
    density: MassDensity,
    resin_density: MassDensity,
) -> Result<RelativeAmount> {
    let phi = solid_in_heap(apparent_density, density)?.get();
    let rho_r = positive("resin_density", resin_density)?;
    RelativeAmount::new((rho_r * (1.0 - phi) / (phi * density.si())).max(0.0))
}

/// Catalyst to add where a filler takes some of it up: `p + u f`, with `p` the dose wanted to work, `f` the filler on
/// resin and `u` the catalyst that a mass of filler takes up.
///
/// No source gives a general `u`: it is measured, as the extra catalyst that brings the gel time of the filled cup back
/// to the unfilled one's. Zero if not known, and then the answer is the plain dose.
///
/// # Errors
/// [`ErrorKind::OutOfRange`] for an uptake above 10 wt%: no dry filler takes up that much.
pub fn dose_with_uptake(dose: Phr, filler_on_resin: Phr, uptake: MassFraction) -> Result<Phr> {
    if uptake.get() > 0.10 {
        return Err(Error::out_of_range(
            "uptake",
            quantity::show(uptake),
            "0 wt% to 10 wt%",
            "give the mass of catalyst taken up by a mass of filler, for example '0.2 wt%'",
        ));
    }
    Phr::new(dose.get() + uptake.get() * filler_on_resin.get())
}

/// Air in a mix or a cured part from its measured density: `a = 1 - rho_measured/rho`.
///
/// # Errors
/// [`ErrorKind::Inconsistent`] for a measured density above that of the mix without air (by more than 1 %, which
/// uncertain densities allow; then the air is none).
pub fn entrained_air(measured: MassDensity, without_air: MassDensity) -> Result<VolumeFraction> {
    let ratio = positive("measured", measured)? / positive("without_air", without_air)?;
    if ratio > 1.01 {
        return Err(Error::new(ErrorKind::Inconsistent, "measured")
            .with_value(quantity::show(measured))
            .with_allowed(format!(
                "at most the density without air, {}",
                quantity::show(without_air)
            ))
            .with_way_out("check the densities and masses of the parts"));
    }
    VolumeFraction::new((1.0 - ratio).max(0.0))
}

/// Random close packing of equal spheres: 0.637.
///
/// Source: G. D. Scott, D. M. Kilgour, The density of random close packing of spheres, J. Phys. D 2 (1969) 863
/// (from memory).
pub fn packing_of_spheres() -> (VolumeFraction, Source) {
    let mut source = Source::published(
        "G. D. Scott, D. M. Kilgour",
        "The density of random close packing of spheres",
        1969,
        "J. Phys. D 2, 863",
    );
    source.standing = Standing::FromMemory;
    (VolumeFraction::new(0.637).unwrap_or(VolumeFraction::ZERO), source)
}

/// Length of a fibre over its diameter.
///
/// # Errors
/// [`ErrorKind::OutOfRange`] for lengths that are not above zero.
pub fn aspect_ratio(length: Length, diameter: Length) -> Result<Index> {
    Index::new(positive("length", length)? / positive("diameter", diameter)?)
}
