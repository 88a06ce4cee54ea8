//! Organic peroxides: active oxygen, products made equivalent by it, and what must never meet.

use super::Dose;
use super::stoichiometry::{self, OXYGEN};
use crate::check::positive;
use crate::error::{Error, ErrorKind, Result, finite};
use crate::noun::{Noun, questions};
use crate::quantity::{self, MassDensity, MassFraction, MolarMass, PartsByVolume, Phr, Quantity};
use crate::source::{Source, Standing, Why};

/// Ketone peroxides are mixtures of several compounds and hydrogen peroxide; no formula gives their active oxygen.
const KETONE_PEROXIDE_NAMES: &[&str] = &[
    "mekp",
    "methyl ethyl ketone peroxide",
    "methylethylketone peroxide",
    "mek peroxide",
    "butanone peroxide",
    "2-butanone peroxide",
    "ketone peroxide",
    "cyclohexanone peroxide",
    "acetylacetone peroxide",
    "aap",
    "mikp",
    "methyl isobutyl ketone peroxide",
];
/// Formulas of single compounds in methyl ethyl ketone peroxide: monomer, open dimer, cyclic dimer, cyclic trimer.
const KETONE_PEROXIDE_FORMULAS: &[&str] = &["C4H10O4", "C8H18O6", "C8H16O4", "C12H24O6"];

/// A peroxide of known structure, and how much of it a product holds.
#[derive(Clone, PartialEq, Noun)]
pub struct PeroxideCompound {
    /// What it is called.
    #[noun(default)]
    pub name: String,
    /// Its formula, such as `C14H10O4`.
    pub formula: String,
    /// Peroxide groups -O-O- in one molecule.
    #[noun(within(1, .., "count the groups -O-O- of one molecule (dibenzoyl peroxide has 1)"))]
    pub peroxide_groups: u8,
    /// Share of it in the product, the rest phlegmatiser, water or filler.
    #[noun(default = "100 wt%")]
    pub assay: MassFraction,
}

/// Active oxygen.
#[derive(Clone, PartialEq, Noun)]
pub struct ActiveOxygen {
    /// Of the pure compound.
    pub pure: MassFraction,
    /// Of the product.
    pub product: MassFraction,
    /// The chain behind it.
    pub why: Why,
}

#[questions]
impl PeroxideCompound {
    /// Theoretical active oxygen of a peroxide of known structure, and of a product that holds a share of it; a ketone
    /// peroxide is refused: its label says.
    ///
    /// `w = assay n M_O/M`, with `n` peroxide groups per molecule of molar mass `M` and `M_O` = 15.999 g/mol (each group
    /// -O-O- has one active oxygen).
    ///
    /// Source: United Nations, Recommendations on the Transport of Dangerous Goods, Model Regulations, 2.5.3.2 (available
    /// oxygen `16 sum(n_i c_i/m_i)`); 49 CFR 173.128(a)(4).
    ///
    /// # Errors
    /// [`ErrorKind::NoSolution`] for a ketone peroxide (MEKP and its like are mixtures: read the label);
    /// [`ErrorKind::OutOfRange`] for no peroxide groups; [`ErrorKind::Inconsistent`] for a formula with fewer oxygens than
    /// the groups need; what [`stoichiometry::molar_mass_of`] refuses.
    #[question("mix.active_oxygen")]
    pub fn active_oxygen(&self) -> Result<ActiveOxygen> {
        crate::noun::check(self)?;
        self.refuse_mixture()?;
        let formula = self.formula.trim();
        let molar_mass = stoichiometry::molar_mass_of(formula)?;
        let share = f64::from(self.peroxide_groups) * OXYGEN / (molar_mass.si() * 1e3);
        // Two oxygens to a group; hydrogen peroxide, the richest, has 47 wt%.
        if share > 0.5 || oxygens(formula) < 2 * u32::from(self.peroxide_groups) {
            return Err(Error::inconsistent(
                "peroxide_groups",
                format!("{} groups in {formula}", self.peroxide_groups),
                "two oxygens in the formula for every group",
                "check the formula and the number of groups -O-O-",
            ));
        }
        let product = MassFraction::new(share * self.assay.get())?;
        let why = Why::computed(
            "active oxygen",
            quantity::show(product),
            "w = assay n M_O/M",
            vec![
                Why::given(format!("molar mass of {formula}, M"), quantity::show(molar_mass)),
                Why::given("peroxide groups, n", self.peroxide_groups.to_string()),
                Why::given("assay", quantity::show(self.assay)),
            ],
        )
        .with_source(&Source::published(
            "United Nations",
            "Recommendations on the Transport of Dangerous Goods, Model Regulations",
            2019,
            "2.5.3.2",
        ));
        Ok(ActiveOxygen {
            pure: MassFraction::new(share)?,
            product,
            why,
        })
    }
}

impl PeroxideCompound {
    /// The pure compound.
    pub fn pure(name: &str, formula: &str, peroxide_groups: u8) -> Self {
        PeroxideCompound {
            name: name.into(),
            formula: formula.into(),
            peroxide_groups,
            assay: MassFraction::ZERO.rest(),
        }
    }

    fn refuse_mixture(&self) -> Result<()> {
        let (name, formula) = (self.name.trim(), self.formula.trim());
        if !KETONE_PEROXIDE_NAMES.contains(&name.to_lowercase().as_str())
            && !KETONE_PEROXIDE_FORMULAS.contains(&formula)
        {
            return Ok(());
        }
        Err(Error::no_solution(
            "formula",
            format!(
                "active oxygen of {}",
                if name.is_empty() { formula } else { name }
            ),
            "single compounds in it have 18 wt% to 26 wt%, solutions on sale about 9 wt%",
            "a ketone peroxide is a mixture of several compounds in a phlegmatiser, so no formula gives its active \
             oxygen: take it from the label or the data sheet",
        ))
    }
}

fn oxygens(formula: &str) -> u32 {
    let b = formula.as_bytes();
    let mut n = 0;
    for (i, c) in b.iter().enumerate() {
        if *c == b'O' && !b.get(i + 1).is_some_and(u8::is_ascii_lowercase) {
            let digits: String = formula[i + 1..]
                .chars()
                .take_while(char::is_ascii_digit)
                .collect();
            n += digits.parse::<u32>().unwrap_or(1);
        }
    }
    n
}

/// A peroxide product as its label describes it.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct PeroxideProduct {
    /// Active oxygen on the label; pure hydrogen peroxide, with 47 wt%, has the most there can be.
    #[noun(within(> "0 wt%", "47.04 wt%", "write the active oxygen, not the peroxide content, for example '9 wt%'"))]
    pub active_oxygen: MassFraction,
    /// Density.
    #[noun(within = crate::ranges::DOSED_DENSITY)]
    pub density: MassDensity,
}

/// A dose of one product that brings as much active oxygen as a dose of another.
#[derive(Clone, PartialEq, Noun)]
pub struct EquivalentDose {
    /// Dose of the other product, by mass.
    pub dose: Phr,
    /// The same by volume.
    pub dose_by_volume: PartsByVolume,
    /// Active oxygen on resin that both doses bring.
    pub active_oxygen_on_resin: Phr,
    /// Cautions.
    pub cautions: Vec<String>,
    /// The chain behind it.
    pub why: Why,
}

#[questions(known)]
impl PeroxideProduct {
    /// The dose of another peroxide product that brings as much active oxygen as a known dose.
    ///
    /// `p_2 = p_1 w_1/w_2` by mass, `q_2 = p_2 rho_resin/rho_2` by volume. Equal active oxygen is equal peroxide, not equal
    /// speed: products of one active oxygen differ in their share of monomer, dimer and hydrogen peroxide, and different
    /// peroxides need different promoters. Common practice, no source; a cup test decides.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for an active oxygen or density outside its range; [`ErrorKind::Inconsistent`] for a dose
    /// in drops.
    #[question("mix.peroxide_equivalent")]
    pub fn equivalent_dose(
        &self,
        /// The dose of this, the known product.
        dose: Dose,
        /// The product that is at hand.
        other: &PeroxideProduct,
        /// Density of the resin.
        #[noun(within(> "0 kg/m^3", .., "give the density of the resin, for example '1.1 g/mL'"))]
        resin_density: MassDensity,
    ) -> Result<EquivalentDose> {
        crate::noun::check(self)?;
        crate::noun::check(other).map_err(|e| e.within("other"))?;
        let rho_r = resin_density.si();
        // Of a dose in drops the dropper is not known here.
        let p1 = dose
            .as_phr(resin_density, self.density, None)
            .map_err(|e| e.at("dose"))?;
        let (w1, w2) = (self.active_oxygen.get(), other.active_oxygen.get());
        let p2 = Phr::new(finite("dose", p1.get() * w1 / w2)?)?;
        let why = Why::computed(
            "dose of the other product",
            quantity::show(p2),
            "p_2 = p_1 w_1/w_2",
            vec![
                Why::given("dose of the known product, p_1", quantity::show(p1)),
                Why::given("its active oxygen, w_1", quantity::show(self.active_oxygen)),
                Why::given(
                    "active oxygen of the other product, w_2",
                    quantity::show(other.active_oxygen),
                ),
            ],
        )
        .with_source(&Source::of(
            Standing::CommonPractice,
            "peroxides are compared by active oxygen",
        ))
        .with_note("equal active oxygen is equal peroxide, not equal speed: try a cup first");
        Ok(EquivalentDose {
            dose: p2,
            dose_by_volume: PartsByVolume::new(p2.per_resin() * rho_r / other.density.si())?,
            active_oxygen_on_resin: Phr::new(p1.get() * w1)?,
            cautions: cautions(),
            why,
        })
    }
}

/// What goes into a cup, in the order in which it goes.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Noun)]
#[non_exhaustive]
pub enum MixingStep {
    /// Resin or gel coat.
    Resin,
    /// Promoter (accelerator): cobalt or amine solution.
    Promoter,
    /// Organic peroxide ("catalyst").
    Peroxide,
    /// Stir until even.
    Stir,
    /// Filler, thickener, chopped fibre or pigment paste.
    Filler,
    /// Acetone or another cleaning solvent.
    Acetone,
}

/// The order that the cup needs.
const ORDER: &str = "resin first; promoter into the resin and stirred in until even; peroxide last";

/// An order of mixing.
#[derive(Clone, PartialEq, Eq, Noun)]
pub struct MixingOrder {
    /// What goes into the cup, in its order, with every stirring.
    pub steps: Vec<MixingStep>,
}

/// An order of mixing in which peroxide meets nothing that it must not meet.
#[derive(Clone, PartialEq, Eq, Noun)]
pub struct CheckedOrder {
    /// The order that was checked.
    pub steps: Vec<MixingStep>,
    /// Cautions.
    pub cautions: Vec<String>,
}

#[questions]
impl MixingOrder {
    /// Refuses an order of mixing in which peroxide meets promoter or acetone other than through stirred resin.
    ///
    /// Undiluted promoter and peroxide react at once, with fire or explosion; acetone and peroxide can form a
    /// shock-sensitive compound.
    ///
    /// Source: The Society of the Plastics Industry, Organic Peroxide Producers Safety Division, Safety and Handling of
    /// Organic Peroxides: A Guide, AS-109 (2012); Practical Action, Basic Fibreglass Boat Building, technical brief KnO
    /// 100378, p. 10: catalyst and accelerator, mixed directly, form an explosive mixture; US Defense Logistics Agency and
    /// others, Storage and Handling of Hazardous Materials, DLAI 4145.11, TM 38-410 (1999), 4.16 B: organic peroxides are
    /// incompatible with acetone, promoters and transition metal salts. That acetone's compound explodes on shock is from
    /// memory.
    ///
    /// # Errors
    /// [`ErrorKind::Inconsistent`] naming the step (`steps[2]`): the plan stops.
    #[question("mix.mixing_order")]
    pub fn check(&self) -> Result<CheckedOrder> {
        if let Some(Danger { at, what, why }) = self.danger() {
            return Err(Error::new(ErrorKind::Inconsistent, format!("steps[{at}]"))
                .with_value(what)
                .with_allowed(ORDER)
                .with_way_out(format!(
                    "stop: {why}. The product's safety data sheet comes before this answer"
                )));
        }
        Ok(CheckedOrder {
            steps: self.steps.clone(),
            cautions: cautions(),
        })
    }
}

/// A step that must not be taken.
struct Danger {
    at: usize,
    what: &'static str,
    why: &'static str,
}

const UNDILUTED: &str =
    "promoter and peroxide must never meet undiluted: they react at once, with fire or explosion";
const SHOCK: &str = "acetone and peroxide can form a compound that explodes on shock";

impl MixingOrder {
    /// The first dangerous step.
    fn danger(&self) -> Option<Danger> {
        let (mut resin, mut loose_promoter, mut loose_peroxide) = (false, false, false);
        let (mut acetone, mut peroxide) = (false, false);
        for (at, step) in self.steps.iter().enumerate() {
            let found = match step {
                MixingStep::Promoter if loose_peroxide => {
                    Some(("promoter onto peroxide that is not stirred in", UNDILUTED))
                }
                MixingStep::Peroxide if loose_promoter => {
                    Some(("peroxide onto promoter that is not stirred in", UNDILUTED))
                }
                MixingStep::Peroxide if acetone => Some(("peroxide into acetone", SHOCK)),
                MixingStep::Peroxide if !resin => Some((
                    "peroxide into an empty cup",
                    "peroxide goes into the resin, never the resin or anything else onto peroxide",
                )),
                MixingStep::Acetone if peroxide => Some(("acetone onto peroxide", SHOCK)),
                _ => None,
            };
            if let Some((what, why)) = found {
                return Some(Danger { at, what, why });
            }
            match step {
                MixingStep::Resin => resin = true,
                // Stirred in is only what has resin to be stirred into.
                MixingStep::Stir if resin => (loose_promoter, loose_peroxide) = (false, false),
                MixingStep::Promoter => loose_promoter = true,
                MixingStep::Peroxide => (loose_peroxide, peroxide) = (true, true),
                MixingStep::Acetone => acetone = true,
                MixingStep::Stir | MixingStep::Filler => {}
            }
        }
        None
    }
}

/// Available oxygen of a mixture of peroxides: `w = sum(n_i c_i M_O/m_i)`, with mass fraction `c_i`, molar mass `m_i`
/// and `n_i` peroxide groups per molecule.
///
/// Source: as [`PeroxideCompound::active_oxygen`].
///
/// # Errors
/// [`ErrorKind::OutOfRange`] for fractions that add up to more than 1 or a molar mass that is not above zero.
pub fn available_oxygen(mixture: &[(u8, MassFraction, MolarMass)]) -> Result<MassFraction> {
    let total: f64 = mixture.iter().map(|(_, c, _)| c.get()).sum();
    if total > 1.0 + 1e-12 {
        return Err(Error::out_of_range(
            "mixture",
            format!("{} wt% together", quantity::figures(100.0 * total)),
            "100 wt% at most",
            "give each peroxide's share of the whole product",
        ));
    }
    let mut share = 0.0;
    for (i, (n, c, m)) in mixture.iter().enumerate() {
        let m = positive("molar_mass", *m).map_err(|e| e.within(format!("mixture[{i}]")))?;
        share += f64::from(*n) * c.get() * OXYGEN * 1e-3 / m;
    }
    MassFraction::new(share)
}

/// The cautions that go with every peroxide dose.
pub(crate) fn cautions() -> Vec<String> {
    vec![
        "never bring peroxide and promoter together: promoter into the resin first, stirred in, peroxide last".into(),
        "goggles and gloves: peroxide in an eye can blind; rinse at once with plenty of water for 15 minutes and get \
         medical help"
            .into(),
        "no acetone, rust, dust, heat or flame near peroxide; do not return it to its bottle".into(),
        "the product's data sheet and safety data sheet, local codes and licensed practice come before this answer"
            .into(),
    ]
}
