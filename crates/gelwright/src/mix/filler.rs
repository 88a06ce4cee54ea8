//! Fillers, thickeners and chopped fibre: what they do to density, volume and price, how much fits, and what they take.

use crate::check::positive;
use crate::error::{Error, Result, finite};
use crate::flow::viscosity::{CONTACTS, SLENDER};
use crate::noun::{Noun, questions};
use crate::quantity::{
    self, ArealMassDensity, Length, Mass, MassDensity, MassFraction, Money, Phr, Price, PriceBasis, Quantity,
    RelativeAmount, Volume, VolumeFraction,
};
use crate::source::Why;

/// A part of a mix: resin, filler, fibre, paste.
#[derive(Clone, PartialEq, Noun)]
pub struct Component {
    /// What it is.
    #[noun(default)]
    pub name: String,
    /// How much of it.
    #[noun(within("0 g", .., "write its mass in the mix, for example '250 g'"))]
    pub mass: Mass,
    /// Its density; of a powder or fibre, of the particles, not of the heap.
    #[noun(within(> "0 g/mL", .., "write its density, for example '2.7 g/mL'"))]
    pub density: MassDensity,
    /// What it costs.
    pub price: Option<Price>,
    /// Whether it is a filler: particles that must fit between one another.
    #[noun(default)]
    pub filler: bool,
    /// Largest volume fraction a filler's particles can pack to, where known.
    #[noun(within(> "0 vol%", .., "grains pack to about 64 vol% at random, chopped fibres to far less"))]
    pub max_packing: Option<VolumeFraction>,
}

/// One part's share of a mix.
#[derive(Clone, PartialEq, Noun)]
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
#[derive(Clone, PartialEq, Noun)]
pub struct FilledMix {
    /// The parts of the mix.
    pub components: Vec<Component>,
    /// Air stirred in, of the volume.
    #[noun(default = "0 vol%", within("0 vol%", < "100 vol%", "a hand-stirred mix holds a few vol% of air"))]
    pub air: VolumeFraction,
}

/// What a mix weighs, fills and costs.
#[derive(Clone, PartialEq, Noun)]
pub struct MixProperties {
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
    /// Parts without a price, where others have one: why there is no cost.
    #[noun(default)]
    pub without_price: Vec<String>,
    /// The chain behind it.
    pub why: Why,
}

#[questions]
impl FilledMix {
    /// Density, volume, shares, packing and cost of a filled mix, with and without entrained air.
    ///
    /// Volumes add, `rho = sum(m_i)/sum(m_i/rho_i)`; with an air content `a` of the volume, `rho_a = rho (1 - a)`.
    ///
    /// Range: volumes of liquids and solids that do not dissolve in one another add exactly; a liquid that dissolves in
    /// another can contract by about 1 %, which is not counted. Fillers of several kinds are held against the packing of
    /// each, `sum(phi_i/phi_max,i) <= 1`: on the safe side, since small particles fit between large ones.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a mass or density outside its range (named by its part) and for fillers above their
    /// packing limit; [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent) for a mix that is all filler, and for the packing of what is none.
    #[question("mix.filled_density")]
    pub fn properties(&self) -> Result<MixProperties> {
        crate::noun::check(self)?;
        let volumes: Vec<f64> = self
            .components
            .iter()
            .map(|c| c.mass.si() / c.density.si())
            .collect();
        let (mut mass, mut volume, mut resin, mut filler_volume) = (0.0, 0.0, 0.0, 0.0);
        for (c, v) in self.components.iter().zip(&volumes) {
            mass += c.mass.si();
            volume += v;
            if c.filler {
                filler_volume += v;
            } else {
                resin += c.mass.si();
            }
        }
        if finite("mass", mass)? <= 0.0 || resin <= 0.0 {
            return Err(Error::inconsistent(
                "components",
                "no resin",
                "at least one part with a mass above zero that is no filler",
                "add the resin, with 'filler' false",
            ));
        }
        let filler_content = VolumeFraction::new((filler_volume / volume).min(1.0))?;
        let of_packing = self.of_packing(&volumes, volume, filler_content)?;
        let share = |(c, v): (&Component, &f64)| {
            Ok(Share {
                name: c.name.clone(),
                mass_fraction: MassFraction::new((c.mass.si() / mass).min(1.0))?,
                volume_fraction: VolumeFraction::new((v / volume).min(1.0))?,
                on_resin: Phr::new(100.0 * c.mass.si() / resin)?,
            })
        };
        let shares = self.components.iter().zip(&volumes).map(share);
        let cost = cost(&self.components, &volumes)?;
        let air = self.air.get();
        Ok(MixProperties {
            mass: Mass::from_si(mass)?,
            volume: Volume::from_si(volume)?,
            density: MassDensity::from_si(mass / volume)?,
            volume_with_air: Volume::from_si(volume / (1.0 - air))?,
            density_with_air: MassDensity::from_si(mass / volume * (1.0 - air))?,
            filler_content,
            of_packing,
            shares: shares.collect::<Result<_>>()?,
            cost,
            cost_per_litre: cost.map(|c| Money {
                amount: c.amount / (volume * 1e3),
                ..c
            }),
            without_price: self.without_price(),
            why: self.why(MassDensity::from_si(mass / volume)?),
        })
    }
}

impl FilledMix {
    /// The chain behind the density.
    fn why(&self, density: MassDensity) -> Why {
        let part = |(i, c): (usize, &Component)| {
            let said = format!("{} at {}", quantity::show(c.mass), quantity::show(c.density));
            Why::given(self.called(i), said)
        };
        let mut from: Vec<Why> = self.components.iter().enumerate().map(part).collect();
        if self.air.get() > 0.0 {
            from.push(
                Why::given("air, a", quantity::show(self.air)).with_note("with it rho_a = rho (1 - a)"),
            );
        }
        Why::computed(
            "density without air",
            quantity::show(density),
            "rho = sum(m_i)/sum(m_i/rho_i)",
            from,
        )
        .with_note("volumes add: a liquid that dissolves in another can contract by about 1 %")
    }

    /// A part's name or, where it has none, its place.
    fn called(&self, i: usize) -> String {
        match self.components[i].name.as_str() {
            "" => format!("components[{i}]"),
            name => name.to_owned(),
        }
    }

    /// The parts that keep a mix from having a cost.
    fn without_price(&self) -> Vec<String> {
        if self.components.iter().all(|c| c.price.is_none()) {
            return Vec::new();
        }
        let unpriced = self
            .components
            .iter()
            .enumerate()
            .filter(|(_, c)| c.price.is_none());
        unpriced.map(|(i, _)| self.called(i)).collect()
    }

    /// How much of the room that packing leaves the fillers take; none where a filler's packing is not known.
    fn of_packing(
        &self,
        volumes: &[f64],
        volume: f64,
        filler_content: VolumeFraction,
    ) -> Result<Option<RelativeAmount>> {
        let mut of_packing = Some(0.0);
        for (i, (c, v)) in self.components.iter().zip(volumes).enumerate() {
            match c.max_packing {
                Some(max) if !c.filler => {
                    return Err(Error::inconsistent(
                        format!("components[{i}].max_packing"),
                        quantity::show(max),
                        "none, of a part that is no filler",
                        "only a filler's particles pack: write 'filler' true, or leave the packing out",
                    ));
                }
                _ if !c.filler || *v == 0.0 => {}
                Some(max) => of_packing = of_packing.map(|p| p + v / volume / max.get()),
                None => of_packing = None,
            }
        }
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
        of_packing.map(RelativeAmount::new).transpose()
    }
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
/// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a density that is not above zero.
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
/// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a density that is not above zero.
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
/// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a mix that is all filler.
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

/// A filler's particles, and one measurement of how densely they pack: oil absorption, tapped heap, or a fibre's size.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct FillerParticles {
    /// Density of the particles.
    #[noun(within(> "0 g/mL", .., "write the density of the particles, not of the heap, for example '2.7 g/mL'"))]
    pub density: MassDensity,
    /// Density of the resin.
    #[noun(within(> "0 g/mL", .., "write the density of the resin, for example '1.1 g/mL'"))]
    pub resin_density: MassDensity,
    /// Oil absorption by spatula rub-out (ISO 787-5, ASTM D281): grams of linseed oil on 100 g of powder, written in phr.
    #[noun(within(> "0 phr", .., "write the oil on 100 g of powder, for example '20 phr'"))]
    pub oil_absorption: Option<Phr>,
    /// Density of the tapped heap.
    #[noun(within(> "0 g/mL", .., "write the density of the heap with its air, for example '0.9 g/mL'"))]
    pub apparent_density: Option<MassDensity>,
    /// Length of a chopped fibre, with its diameter.
    #[noun(within(> "0 mm", .., "write the length of the fibre, for example '6 mm'"))]
    pub fibre_length: Option<Length>,
    /// Diameter of the fibre (of the bundle, where it stays together).
    #[noun(within(> "0 mm", .., "write the diameter of the fibre, for example '13 um'"))]
    pub fibre_diameter: Option<Length>,
}

/// How densely a filler packs.
#[derive(Clone, PartialEq, Noun)]
pub struct FillerPacking {
    /// Largest volume fraction.
    pub max_packing: VolumeFraction,
    /// The same on the resin, by mass.
    pub most_on_resin: Phr,
    /// The chain behind it.
    pub why: Why,
}

#[questions]
impl FillerParticles {
    /// Largest loading of a filler or chopped fibre, from its oil absorption, its tapped heap, or its length and diameter.
    ///
    /// Oil absorption: the volume at which linseed oil just fills the pores, `phi_max = 1/(1 + OA rho_f/(100 rho_oil))`,
    /// with `OA` grams of oil on 100 g of powder and oil of 0.935 g/mL (the paint trade's critical pigment volume
    /// concentration, 93.5 in its constant). It assumes that resin wets the powder as linseed oil does. Source: W. K.
    /// Asbeck, M. Van Loo, Critical Pigment Volume Relationships, Ind. Eng. Chem. 41 (1949) 1470; form with 93.5 as printed
    /// in Effect of Pigment Volume Concentration on Coatings Properties, part II (2014).
    ///
    /// Heap: `phi = rho_apparent/rho_f`. A tapped heap is near what stirring can reach; a loose heap of a fume or of chopped
    /// fibre is not a limit, since both give way.
    ///
    /// Random packing of straight stiff rods: `phi_max = c D/L` with `c = 5.4` (random contacts), length over diameter from
    /// 15 up; shorter rods pack denser than spheres do and are not covered. Bundles that stay together count with the
    /// bundle's diameter. Source: A. P. Philipse, The Random Contact Equation and Its Implications for (Colloidal) Rods in
    /// Packings, Suspensions, and Anisotropic Powders, Langmuir 12 (1996) 1127; constant 5.4 ± 0.2 (from memory).
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a field outside its range or a fibre below 15 diameters; [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent)
    /// for none or several of the three measurements, and for a heap denser than its particles.
    #[question("mix.filler_packing")]
    pub fn packing(&self) -> Result<FillerPacking> {
        crate::noun::check(self)?;
        let (max, equation, given) = match (self.oil_absorption, self.apparent_density, self.fibre()?) {
            (Some(oa), None, None) => {
                const LINSEED_OIL: f64 = 935.0;
                (
                    VolumeFraction::new(1.0 / (1.0 + oa.per_resin() * self.density.si() / LINSEED_OIL))?,
                    "phi = 1/(1 + OA rho/(100 rho_oil)), rho_oil = 0.935 g/mL",
                    Why::given("oil absorption", quantity::show(oa)),
                )
            }
            (None, Some(heap), None) => (
                solid_in_heap(heap, self.density)?,
                "phi = rho_apparent/rho",
                Why::given("density of the heap", quantity::show(heap)),
            ),
            (None, None, Some((l, d))) => (
                packing_of_rods(l, d)?,
                "phi = 5.4 D/L",
                Why::given(
                    "length and diameter of the fibre",
                    format!("{}, {}", quantity::show(l), quantity::show(d)),
                ),
            ),
            _ => {
                return Err(Error::inconsistent(
                    "oil_absorption",
                    "none or several of the three ways",
                    "one of 'oil_absorption', 'apparent_density', 'fibre_length' with 'fibre_diameter'",
                    "give one",
                ));
            }
        };
        let mass = mass_fraction(max, self.density, self.resin_density)?;
        Ok(FillerPacking {
            max_packing: max,
            most_on_resin: phr_of(mass)?,
            why: Why::computed(
                "largest volume fraction",
                quantity::show(max),
                equation,
                vec![
                    given,
                    Why::given("density of the particles", quantity::show(self.density)),
                ],
            ),
        })
    }
}

impl FillerParticles {
    /// Length and diameter, where it is a fibre.
    fn fibre(&self) -> Result<Option<(Length, Length)>> {
        match (self.fibre_length, self.fibre_diameter) {
            (Some(l), Some(d)) => Ok(Some((l, d))),
            (None, None) => Ok(None),
            _ => Err(Error::inconsistent(
                "fibre_length",
                "one of length and diameter",
                "both or none",
                "give 'fibre_length' and 'fibre_diameter' together",
            )),
        }
    }
}

fn solid_in_heap(apparent_density: MassDensity, density: MassDensity) -> Result<VolumeFraction> {
    if apparent_density > density {
        return Err(Error::inconsistent(
            "apparent_density",
            quantity::show(apparent_density),
            format!("below the particles' {}", quantity::show(density)),
            "the apparent density is that of the heap with its air",
        ));
    }
    VolumeFraction::new(apparent_density.si() / density.si())
}

fn packing_of_rods(length: Length, diameter: Length) -> Result<VolumeFraction> {
    let aspect = length.si() / diameter.si();
    if aspect < SLENDER {
        return Err(Error::out_of_range(
            "fibre_length",
            format!("{} diameters", quantity::figures(aspect)),
            "15 diameters or more",
            "a short fibre or grain packs otherwise: give its packing from its oil absorption or a tapped heap",
        ));
    }
    VolumeFraction::new(CONTACTS / aspect)
}

/// Parts on a hundred of resin of a powder heaped to `heaps` times the resin's volume:
/// `p = 100 heaps rho_apparent/rho_r`.
///
/// # Errors
/// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a density that is not above zero.
pub fn phr_of_heap(
    heaps: RelativeAmount,
    apparent_density: MassDensity,
    resin_density: MassDensity,
) -> Result<Phr> {
    let heap = positive("apparent_density", apparent_density)?;
    Phr::new(100.0 * heaps.get() * heap / positive("resin_density", resin_density)?)
}

/// Dry mat or cloth that is to be wetted out to a glass content.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct DryReinforcement {
    /// Mass of dry reinforcement per area.
    #[noun(within(> "0 g/m^2", .., "write the mass of the dry mat or cloth, for example '450 g/m^2'"))]
    pub areal_mass: ArealMassDensity,
    /// Glass content wanted, by mass.
    #[noun(within(> "0 wt%", .., "write the glass content of the laminate, for example '30 wt%'"))]
    pub glass_content: MassFraction,
}

/// Resin for a dry reinforcement.
#[derive(Clone, PartialEq, Noun)]
pub struct WetOutResin {
    /// Resin per area, without waste.
    pub resin: ArealMassDensity,
    /// Resin on glass.
    pub resin_on_glass: RelativeAmount,
    /// The chain behind it.
    pub why: Why,
}

#[questions]
impl DryReinforcement {
    /// Resin that wets out a mat or cloth to a glass content.
    ///
    /// `m = W (1 - w)/w` per area, with the dry reinforcement `W` and the glass content `w`.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a field outside its range.
    #[question("mix.wet_out")]
    pub fn wet_out(&self) -> Result<WetOutResin> {
        crate::noun::check(self)?;
        let w = self.glass_content.get();
        let resin = ArealMassDensity::from_si(self.areal_mass.si() * (1.0 - w) / w)?;
        Ok(WetOutResin {
            resin,
            resin_on_glass: RelativeAmount::new(resin.si() / self.areal_mass.si())?,
            why: Why::computed(
                "resin per area",
                quantity::show(resin),
                "m = W (1 - w)/w",
                vec![
                    Why::given("dry reinforcement, W", quantity::show(self.areal_mass)),
                    Why::given("glass content, w", quantity::show(self.glass_content)),
                ],
            ),
        })
    }
}

/// Least resin that a heap of chopped fibre or powder needs to fill its pores, on the mass of the heap:
/// `m_r/m_f = rho_r (1/rho_apparent - 1/rho_f)`, with the density of the heap as it will lie in the cup.
///
/// # Errors
/// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a density that is not above zero, [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent) for a heap denser than its
/// particles.
pub fn resin_to_fill_heap(
    apparent_density: MassDensity,
    density: MassDensity,
    resin_density: MassDensity,
) -> Result<RelativeAmount> {
    positive("apparent_density", apparent_density)?;
    positive("density", density)?;
    let phi = solid_in_heap(apparent_density, density)?.get();
    let rho_r = positive("resin_density", resin_density)?;
    RelativeAmount::new((rho_r * (1.0 - phi) / (phi * density.si())).max(0.0))
}

/// A dose of catalyst for a resin with a filler in it.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct CatalystWithFiller {
    /// Dose that is to work, by mass on resin.
    pub dose: Phr,
    /// Filler on resin.
    pub filler_on_resin: Phr,
    /// Catalyst that a mass of the filler takes up: measured with cups, as the extra catalyst that brings the gel time of
    /// the filled cup back to the unfilled one's. No dry filler takes up more than 10 wt%.
    #[noun(
        default = "0 wt%",
        within(
            "0 wt%",
            "10 wt%",
            "write the mass of catalyst taken up by a mass of filler, for example '0.2 wt%'"
        )
    )]
    pub uptake: MassFraction,
}

/// Catalyst where a filler takes some up.
#[derive(Clone, PartialEq, Noun)]
pub struct CatalystToAdd {
    /// Dose to add, by mass on resin (not on the filled mix).
    pub dose: Phr,
    /// The dose that goes wrong when it is taken of the whole filled mix.
    pub dose_if_taken_of_the_whole: Phr,
    /// The chain behind it.
    pub why: Why,
    /// Cautions.
    pub cautions: Vec<String>,
}

#[questions]
impl CatalystWithFiller {
    /// Catalyst to add to a filled mix: on the resin alone, plus what the filler takes up.
    ///
    /// `p + u f`, with `p` the dose wanted to work, `f` the filler on resin and `u` the catalyst that a mass of filler takes
    /// up. No source gives a general `u`; where it is zero the answer is the plain dose.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for an uptake above 10 wt%.
    #[question("mix.catalyst_with_filler")]
    pub fn to_add(&self) -> Result<CatalystToAdd> {
        crate::noun::check(self)?;
        let dose = Phr::new(self.dose.get() + self.uptake.get() * self.filler_on_resin.get())?;
        let note = if self.uptake.get() > 0.0 {
            "uptake as measured"
        } else {
            "no uptake given: none counted. No source gives one in general; a filled cup that gels late shows it"
        };
        Ok(CatalystToAdd {
            dose,
            dose_if_taken_of_the_whole: Phr::new(self.dose.get() * (1.0 + self.filler_on_resin.per_resin()))?,
            why: Why::computed(
                "catalyst on resin",
                quantity::show(dose),
                "p + u f",
                vec![
                    Why::given("dose that is to work, p", quantity::show(self.dose)),
                    Why::given("filler on resin, f", quantity::show(self.filler_on_resin)),
                    Why::given("uptake, u", quantity::show(self.uptake)),
                ],
            )
            .with_note(note),
            cautions: super::peroxide::cautions(),
        })
    }
}

/// A mix or a cured piece that holds air.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct AeratedMix {
    /// Density as weighed in a cup of known volume, or of a cured piece.
    #[noun(within(> "0 g/mL", .., "write the measured density, for example '1.05 g/mL'"))]
    pub measured: MassDensity,
    /// Density without air.
    #[noun(within(> "0 g/mL", .., "write the density without air, for example '1.1 g/mL'"))]
    pub without_air: MassDensity,
}

/// Air in a mix.
#[derive(Clone, PartialEq, Noun)]
pub struct EntrainedAir {
    /// Air, of the volume.
    pub air: VolumeFraction,
    /// The chain behind it.
    pub why: Why,
}

#[questions]
impl AeratedMix {
    /// Air in a mix or a cured piece from its measured density.
    ///
    /// `a = 1 - rho_measured/rho`.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a density that is not above zero; [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent) for a measured density
    /// above that of the mix without air (by more than 1 %, which uncertain densities allow; then the air is none).
    #[question("mix.entrained_air")]
    pub fn entrained_air(&self) -> Result<EntrainedAir> {
        crate::noun::check(self)?;
        let ratio = self.measured.si() / self.without_air.si();
        if ratio > 1.01 {
            return Err(Error::inconsistent(
                "measured",
                quantity::show(self.measured),
                format!(
                    "at most the density without air, {}",
                    quantity::show(self.without_air)
                ),
                "check the densities and masses of the parts",
            ));
        }
        let air = VolumeFraction::new((1.0 - ratio).max(0.0))?;
        Ok(EntrainedAir {
            air,
            why: Why::computed(
                "entrained air",
                quantity::show(air),
                "a = 1 - rho_measured/rho",
                vec![
                    Why::given("measured density", quantity::show(self.measured)),
                    Why::given("density without air", quantity::show(self.without_air)),
                ],
            ),
        })
    }
}
