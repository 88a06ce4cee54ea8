//! Organic peroxides: active oxygen, products made equivalent by it, and what must never meet.

use crate::noun::Noun;

use super::stoichiometry::{self, OXYGEN};
use crate::check::positive;
use crate::error::{Error, ErrorKind, Result, finite};
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

/// A peroxide of known structure.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct Compound {
    /// What it is called.
    #[noun(default)]
    pub name: String,
    /// Its formula, such as `C14H10O4`.
    pub formula: String,
    /// Peroxide groups -O-O- in one molecule.
    pub peroxide_groups: u8,
}

/// Theoretical active oxygen of a pure peroxide of known structure: `w = n M_O/M`, with `n` peroxide groups per molecule
/// of molar mass `M` and `M_O` = 15.999 g/mol (each group -O-O- has one active oxygen).
///
/// Source: United Nations, Recommendations on the Transport of Dangerous Goods, Model Regulations, 2.5.3.2 (available
/// oxygen `16 sum(n_i c_i/m_i)`); 49 CFR 173.128(a)(4).
///
/// # Errors
/// [`ErrorKind::NoSolution`] for a ketone peroxide (MEKP and its like are mixtures: read the label);
/// [`ErrorKind::OutOfRange`] for no peroxide groups; [`ErrorKind::Inconsistent`] for a formula with fewer oxygens than
/// the groups need; what [`stoichiometry::molar_mass_of`] refuses.
pub fn theoretical_active_oxygen(compound: &Compound) -> Result<MassFraction> {
    let name = compound.name.trim().to_lowercase();
    let formula = compound.formula.trim();
    if KETONE_PEROXIDE_NAMES.contains(&name.as_str()) || KETONE_PEROXIDE_FORMULAS.contains(&formula) {
        return Err(Error::no_solution(
            "formula",
            format!(
                "active oxygen of {}",
                if name.is_empty() {
                    formula
                } else {
                    compound.name.trim()
                }
            ),
            "single compounds in it have 18 wt% to 26 wt%, solutions on sale about 9 wt%",
            "a ketone peroxide is a mixture of several compounds in a phlegmatiser, so no formula gives its active \
             oxygen: take it from the label or the data sheet",
        ));
    }
    if compound.peroxide_groups == 0 {
        return Err(Error::out_of_range(
            "peroxide_groups",
            0,
            "1 or more",
            "count the groups -O-O- of one molecule (dibenzoyl peroxide has 1)",
        ));
    }
    let molar_mass = stoichiometry::molar_mass_of(formula)?.si() * 1e3;
    let share = f64::from(compound.peroxide_groups) * OXYGEN / molar_mass;
    // Two oxygens to a group; hydrogen peroxide, the richest, has 47 wt%.
    if share > 0.5 || oxygens(formula) < 2 * u32::from(compound.peroxide_groups) {
        return Err(Error::inconsistent(
            "peroxide_groups",
            format!("{} groups in {formula}", compound.peroxide_groups),
            "two oxygens in the formula for every group",
            "check the formula and the number of groups -O-O-",
        ));
    }
    MassFraction::new(share)
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

/// Active oxygen of a product that holds `assay` of the pure peroxide, the rest phlegmatiser, water or filler:
/// `w = assay w_pure`.
///
/// # Errors
/// Never for fractions; the product of two fractions is one.
pub fn active_oxygen_of_product(pure: MassFraction, assay: MassFraction) -> Result<MassFraction> {
    MassFraction::new(pure.get() * assay.get())
}

/// A peroxide product as its label describes it.
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
pub struct PeroxideProduct {
    /// Active oxygen on the label.
    pub active_oxygen: MassFraction,
    /// Density.
    pub density: MassDensity,
}

impl PeroxideProduct {
    fn check(&self) -> Result<(f64, f64)> {
        let ao = positive("active_oxygen", self.active_oxygen)?;
        // Hydrogen peroxide, with 47 wt%, is the most there can be.
        if ao > 0.4704 {
            return Err(Error::out_of_range(
                "active_oxygen",
                quantity::show(self.active_oxygen),
                "above 0 wt%, 47 wt% at most (pure hydrogen peroxide)",
                "give the active oxygen, not the peroxide content, for example '9 wt%'",
            ));
        }
        Ok((ao, positive("density", self.density)?))
    }
}

/// A dose of one product that brings as much active oxygen as a dose of another.
#[derive(Debug, Clone, PartialEq, Noun)]
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

/// The dose of `other` that brings as much active oxygen as `dose` of `known`: `p_2 = p_1 w_1/w_2` by mass,
/// `q_2 = p_2 rho_resin/rho_2` by volume.
///
/// Equal active oxygen is equal peroxide, not equal speed: products of one active oxygen differ in their share of
/// monomer, dimer and hydrogen peroxide, and different peroxides need different promoters. Common practice, no source;
/// a cup test decides.
///
/// # Errors
/// [`ErrorKind::OutOfRange`] for an active oxygen or density outside its range (fields `known`, `other`).
pub fn equivalent_dose(
    dose: Phr,
    known: &PeroxideProduct,
    other: &PeroxideProduct,
    resin_density: MassDensity,
) -> Result<EquivalentDose> {
    let (w1, _) = known.check().map_err(|e| e.within("known"))?;
    let (w2, rho2) = other.check().map_err(|e| e.within("other"))?;
    let rho_r = positive("resin_density", resin_density)?;
    let p2 = Phr::new(finite("dose", dose.get() * w1 / w2)?)?;
    let q2 = PartsByVolume::new(p2.per_resin() * rho_r / rho2)?;
    let on_resin = Phr::new(dose.get() * w1)?;
    let why = Why::computed(
        "dose of the other product",
        quantity::show(p2),
        "p_2 = p_1 w_1/w_2",
        vec![
            Why::given("dose of the known product, p_1", quantity::show(dose)),
            Why::given("its active oxygen, w_1", quantity::show(known.active_oxygen)),
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
        dose_by_volume: q2,
        active_oxygen_on_resin: on_resin,
        cautions: cautions(),
        why,
    })
}

/// A slip of a factor of ten: where `dose` lies outside `low..=high` but ten times or a tenth of it lies inside, the
/// dose that was probably meant.
pub fn suspected_slip(dose: Phr, low: Phr, high: Phr) -> Option<Phr> {
    let inside = |x: f64| (low.get()..=high.get()).contains(&x);
    if inside(dose.get()) {
        return None;
    }
    [dose.get() * 10.0, dose.get() / 10.0]
        .into_iter()
        .find(|x| inside(*x))
        .and_then(|x| Phr::new(x).ok())
}

/// What goes into a cup, in the order in which it goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Noun)]
#[non_exhaustive]
pub enum Step {
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

/// Refuses an order of mixing in which a peroxide meets a promoter, or acetone, other than through well stirred resin.
///
/// Undiluted promoter and peroxide react at once, with fire or explosion; acetone and peroxide can form a
/// shock-sensitive compound.
///
/// Source: The Society of the Plastics Industry, Organic Peroxide Producers Safety Division, Safety and Handling of
/// Organic Peroxides: A Guide, AS-109 (2012); Curing of Unsaturated Polyester Resins (a peroxide maker's guide), safety
/// rule 3: never mix peroxides and accelerators together, add each separately to the resin.
///
/// # Errors
/// [`ErrorKind::Inconsistent`] naming the step (`steps[2]`): the plan stops.
pub fn check_order(steps: &[Step]) -> Result<()> {
    let stop = |i: usize, value: &str, why: &str| {
        Err(Error::new(ErrorKind::Inconsistent, format!("steps[{i}]"))
            .with_value(value)
            .with_allowed(ORDER)
            .with_way_out(format!(
                "stop: {why}. The product's safety data sheet comes before this answer"
            )))
    };
    let (mut resin, mut loose_promoter, mut loose_peroxide, mut acetone, mut peroxide) =
        (false, false, false, false, false);
    for (i, step) in steps.iter().enumerate() {
        match step {
            Step::Resin => resin = true,
            Step::Stir => {
                if resin {
                    loose_promoter = false;
                    loose_peroxide = false;
                }
            }
            Step::Promoter => {
                if loose_peroxide {
                    return stop(
                        i,
                        "promoter onto peroxide that is not stirred in",
                        "promoter and peroxide must never meet undiluted: they react at once, with fire or explosion",
                    );
                }
                loose_promoter = true;
            }
            Step::Peroxide => {
                if loose_promoter {
                    return stop(
                        i,
                        "peroxide onto promoter that is not stirred in",
                        "promoter and peroxide must never meet undiluted: they react at once, with fire or explosion",
                    );
                }
                if acetone {
                    return stop(
                        i,
                        "peroxide into acetone",
                        "acetone and peroxide can form a compound that explodes on shock",
                    );
                }
                if !resin {
                    return stop(
                        i,
                        "peroxide into an empty cup",
                        "peroxide goes into the resin, never the resin or anything else onto peroxide",
                    );
                }
                loose_peroxide = true;
                peroxide = true;
            }
            Step::Acetone => {
                if peroxide {
                    return stop(
                        i,
                        "acetone onto peroxide",
                        "acetone and peroxide can form a compound that explodes on shock",
                    );
                }
                acetone = true;
            }
            Step::Filler => {}
        }
    }
    Ok(())
}

/// Available oxygen of a mixture of peroxides: `w = sum(n_i c_i M_O/m_i)`, with mass fraction `c_i`, molar mass `m_i`
/// and `n_i` peroxide groups per molecule.
///
/// Source: as [`theoretical_active_oxygen`].
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
