//! One ply of glass in cured resin: thickness, weight, resin demand, and how many are needed.

use crate::check;
use crate::noun::{self, Noun, questions};

use super::mat::{GlassLayUp, Process};
use super::reinforcement::{Reinforcement, ReinforcementForm};
use super::usual::{cured_polyester_density, laminate_poisson};
use super::{ForcePerWidth, plate_stiffness, sources};
use crate::error::{Error, ErrorKind, Result};
use crate::quantity::{
    ArealMassDensity, Energy, Index, Length, MassDensity, MassFraction, Pressure, Quantity, VolumeFraction,
    show,
};
use crate::source::{Source, Why};

/// Fibre volume fraction from glass content by mass: `Vf = (1 - v) (ψ/ρf) / (ψ/ρf + (1 - ψ)/ρr)`. Exact.
pub(super) fn fibre_volume(psi: f64, rf: f64, rr: f64, v: f64) -> f64 {
    (1.0 - v) * (psi / rf) / (psi / rf + (1.0 - psi) / rr)
}

/// The inverse of [`fibre_volume`]: `ψ = ρf Vf / (ρf Vf + ρr (1 - Vf - v))`. Exact.
fn mass_content(vf: f64, rf: f64, rr: f64, v: f64) -> f64 {
    rf * vf / (rf * vf + rr * (1.0 - vf - v))
}

fn pct(x: f64) -> String {
    format!("{:.1} wt%", 100.0 * x)
}

/// A ply as it is laid: dry reinforcement, and how much resin it is to take.
#[derive(Clone, Copy, PartialEq, Noun)]
#[noun(check)]
pub struct LaidPly {
    /// The dry reinforcement.
    pub reinforcement: Reinforcement,
    /// Glass content by mass.
    #[noun(within = crate::ranges::GLASS_CONTENT)]
    pub glass_content: MassFraction,
    /// Density of the cured resin; as ISO 12215-5:2008, annex C computes where not given.
    #[noun(
        default = cured_polyester_density(),
        within = crate::ranges::CURED_RESIN_DENSITY
    )]
    pub resin_density: MassDensity,
    /// Voids by volume.
    #[noun(default = "0 vol%", within = crate::ranges::VOIDS)]
    pub voids: VolumeFraction,
}

/// A thickness as one published rule gives it.
#[derive(Clone, PartialEq, Noun)]
pub struct RuleThickness {
    /// The rule.
    pub rule: String,
    /// The thickness it gives for this areal mass.
    pub thickness: Length,
    /// The glass content it is for.
    pub glass_content: MassFraction,
    /// Where it comes from.
    pub source: Source,
    /// Where it is used outside its glass content.
    pub extrapolated: Option<String>,
}

/// A ply after cure.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct CuredPly {
    /// Its thickness.
    pub thickness: Length,
    /// Mass of glass and resin per area.
    pub areal_mass: ArealMassDensity,
    /// Mass of resin per area that stays in it (without what stays on tools, in cups, and on the mould).
    pub resin: ArealMassDensity,
    /// Resin over glass by mass, as the trade says "2.5 to 1".
    pub resin_to_glass: f64,
    /// Glass content by mass.
    pub glass_content: MassFraction,
    /// Fibre volume fraction.
    pub fibre_volume: VolumeFraction,
    /// Voids by volume.
    pub voids: VolumeFraction,
    /// Density of the cured ply.
    pub density: MassDensity,
    /// What lies outside the contents found in hand lay-up.
    pub extrapolated: Option<String>,
    /// The published thickness rules for E-glass and polyester, side by side: they differ, and both are kept.
    pub rules: Vec<RuleThickness>,
    /// How its thickness was computed.
    pub why: Why,
}

/// What a number of plies is wanted for.
#[derive(Clone, Copy, PartialEq, Noun)]
#[non_exhaustive]
pub enum PlyTarget {
    /// At least this thickness of laminate.
    Thickness(Length),
    /// At least this mass of glass and resin per area.
    ArealMass(ArealMassDensity),
    /// At least this stretching stiffness E t, for example "12e6 N/m".
    StretchingStiffness(ForcePerWidth),
    /// At least this bending stiffness E t³/12/(1 - ν²) per width, for example "25 N*m".
    BendingStiffness(Energy),
}

/// In-plane stiffness of a laminate.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct LaminateStiffness {
    /// In-plane modulus.
    #[noun(within = crate::ranges::MODULUS)]
    pub modulus: Pressure,
    /// Poisson's ratio; from memory where not given.
    #[noun(default = laminate_poisson(), within(> -1, < 0.5, "a laminate's Poisson's ratio in its plane is about 0.3"))]
    pub poisson: Index,
}

impl LaminateStiffness {
    /// Of a modulus, with the Poisson's ratio that is taken where a document gives none.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for a modulus out of range.
    pub fn of(modulus: Pressure) -> Result<Self> {
        let made = LaminateStiffness {
            modulus,
            poisson: laminate_poisson(),
        };
        noun::check(&made)?;
        Ok(made)
    }
}

/// A number of plies and what it reaches.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct PlyCount {
    /// The least whole number of plies.
    pub plies: u32,
    /// The number before rounding up.
    pub exact: f64,
    /// Laminate thickness (without gel coat).
    pub thickness: Length,
    /// Mass of glass and resin per area.
    pub areal_mass: ArealMassDensity,
    /// Stretching stiffness E t in N/m, where a modulus is known.
    #[noun(name = "stretching_stiffness_N_per_m")]
    pub stretching_stiffness_n_per_m: Option<f64>,
    /// Bending stiffness E t³/12/(1 - ν²) in N·m, where a modulus is known.
    #[noun(name = "bending_stiffness_N_m")]
    pub bending_stiffness_n_m: Option<f64>,
    /// What lies outside usual ranges.
    pub extrapolated: Option<String>,
    /// How it was computed.
    pub why: Why,
}

#[questions(ply)]
impl LaidPly {
    /// A ply of a fibre volume fraction: its glass content is `ψ = ρf Vf / (ρf Vf + ρr (1 - Vf - v))`.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for a fraction that leaves no room for resin; else as [`LaidPly::cured`].
    pub fn of_fibre_volume(
        reinforcement: Reinforcement,
        fibre_volume: VolumeFraction,
        resin_density: MassDensity,
        voids: VolumeFraction,
    ) -> Result<LaidPly> {
        let (vf, v) = (fibre_volume.get(), voids.get());
        if vf <= 0.0 || vf + v >= 1.0 {
            return Err(Error::out_of_range(
                "fibre_volume",
                show(fibre_volume),
                "more than 0 and less than what the voids leave",
                "a laminate holds both glass and resin: hand-laid mat is about '17 vol%'",
            ));
        }
        let (rf, rr) = (reinforcement.fibre_density.si(), resin_density.si());
        let ply = LaidPly {
            reinforcement,
            glass_content: MassFraction::new(mass_content(vf, rf, rr, v))?,
            resin_density,
            voids,
        };
        noun::check(&ply)?;
        ply.check()?;
        Ok(ply)
    }

    /// Refuses more glass than its form can be packed to ([`ReinforcementForm::packing_limit`]).
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`], naming the most.
    pub fn check(&self) -> Result<()> {
        self.reinforcement
            .check()
            .map_err(|e| e.within("reinforcement"))?;
        let form = self.reinforcement.form;
        let (psi, rf, rr, v) = self.si();
        let vf = fibre_volume(psi, rf, rr, v);
        let limit = form.packing_limit();
        if vf <= limit {
            return Ok(());
        }
        let most = MassFraction::new(mass_content(limit.min(1.0 - v - 1e-9), rf, rr, v))?;
        let (low, high) = form.usual_glass_content();
        Err(Error::out_of_range(
            "glass_content",
            format!(
                "{} ({} of fibre)",
                show(self.glass_content),
                show(VolumeFraction::new(vf)?)
            ),
            format!(
                "at most {} for {form}, the packing limit of {limit} by volume [{}]",
                show(most),
                form.packing_source().standing
            ),
            format!("hand lay-up of {form} reaches {} to {}", pct(low), pct(high)),
        ))
    }

    fn si(&self) -> (f64, f64, f64, f64) {
        (
            self.glass_content.get(),
            self.reinforcement.fibre_density.si(),
            self.resin_density.si(),
            self.voids.get(),
        )
    }

    /// Thickness, weight, resin demand and fibre volume of a ply from its dry areal mass and glass content.
    ///
    /// `t = w (1/ρf + (1/ψ - 1)/ρr)/(1 - v)`, resin `w (1/ψ - 1)`; w dry areal mass, ψ glass content by mass,
    /// densities of fibre and *cured* resin, v voids. With 2.56 and 1.20 g/cm³ and no voids this is exactly the
    /// relation of ISO 12215-5:2008, annex C. Marks contents outside hand lay-up as extrapolated.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for fields out of range, and more glass than the form can be packed to.
    #[question("laminate.ply_thickness")]
    pub fn cured(&self) -> Result<CuredPly> {
        noun::check(self)?;
        self.check()?;
        let w = self.reinforcement.areal_mass.si();
        let (psi, rf, rr, v) = self.si();
        let t = w * (1.0 / rf + (1.0 / psi - 1.0) / rr) / (1.0 - v);
        let thickness = Length::from_si(t)?;
        let extrapolated = self.outside_hand_lay_up();
        let rules = self.rules()?;
        Ok(CuredPly {
            thickness,
            areal_mass: ArealMassDensity::from_si(w / psi)?,
            resin: ArealMassDensity::from_si(w * (1.0 / psi - 1.0))?,
            resin_to_glass: 1.0 / psi - 1.0,
            glass_content: self.glass_content,
            fibre_volume: VolumeFraction::new(fibre_volume(psi, rf, rr, v))?,
            voids: self.voids,
            density: MassDensity::from_si(w / psi / t)?,
            why: self.why(thickness, &rules, extrapolated.as_deref()),
            extrapolated,
            rules,
        })
    }

    fn outside_hand_lay_up(&self) -> Option<String> {
        let (psi, form) = (self.glass_content.get(), self.reinforcement.form);
        let (low, high) = form.usual_glass_content();
        (psi < low || psi > high).then(|| {
            format!(
                "glass content {} is outside the {} to {} of {form} by hand [{}]",
                pct(psi),
                pct(low),
                pct(high),
                form.usual_source().standing
            )
        })
    }

    /// The published thickness rules.
    ///
    /// * ISO 12215-5:2008, annex C: `t/w = (2.56/ψ - 1.36)/3.072` mm per kg/m², which is [`LaidPly::cured`] with glass
    ///   2.56 and resin 1.20 g/cm³ and no voids.
    /// * BS 4994:1987: thickness constant 2.24 mm per kg/m² for mat at 33 wt% glass, 1.25 for woven roving at 45 wt%.
    ///
    /// At 33 wt% mat the second is 7.6 % above the first.
    fn rules(&self) -> Result<Vec<RuleThickness>> {
        let (w, psi) = (self.reinforcement.areal_mass.si(), self.glass_content.get());
        let mut rules = vec![RuleThickness {
            rule: "ISO 12215-5 annex C".to_owned(),
            thickness: Length::from_si(1e-3 * w * (2.56 / psi - 1.36) / 3.072)?,
            glass_content: self.glass_content,
            source: sources::iso_12215_5("annex C, t/w = (2.56/psi - 1.36)/3.072"),
            extrapolated: None,
        }];
        let constant = match self.reinforcement.form {
            ReinforcementForm::Mat => Some((2.24, 0.33)),
            ReinforcementForm::WovenRoving => Some((1.25, 0.45)),
            _ => None,
        };
        if let Some((mm_per_kg, at)) = constant {
            rules.push(RuleThickness {
                rule: "BS 4994 thickness constant".to_owned(),
                thickness: Length::from_si(1e-3 * w * mm_per_kg)?,
                glass_content: MassFraction::new(at)?,
                source: sources::bs_4994(),
                extrapolated: ((psi - at).abs() > 0.01)
                    .then(|| format!("the constant is for {} glass, here {}", pct(at), pct(psi))),
            });
        }
        Ok(rules)
    }

    fn why(&self, thickness: Length, rules: &[RuleThickness], note: Option<&str>) -> Why {
        let r = &self.reinforcement;
        let mut why = Why::computed(
            format!("thickness of one ply of {}", r.form),
            show(thickness),
            "t = w (1/rho_f + (1/psi - 1)/rho_r) / (1 - v)",
            vec![
                Why::given("w, dry areal mass", show(r.areal_mass)),
                Why::given("psi, glass content by mass", show(self.glass_content)),
                Why::given("rho_f, density of the fibre", show(r.fibre_density)),
                Why::given("rho_r, density of the cured resin", show(self.resin_density)),
                Why::given("v, voids", show(self.voids)),
            ],
        )
        .with_source(&sources::iso_12215_5(
            "annex C, with the densities and voids of this ply in place of 2.56, 1.20 and none",
        ));
        for rule in rules {
            why.from.push(
                Why::given(format!("for comparison, {}", rule.rule), show(rule.thickness))
                    .with_source(&rule.source),
            );
        }
        match note {
            Some(x) => why.with_note(format!("extrapolated: {x}")),
            None => why,
        }
    }

    /// How many plies reach a wanted thickness, weight or stiffness.
    ///
    /// `n = ⌈t/t₁⌉`, `⌈m/m₁⌉`, `⌈S/(E t₁)⌉` or `⌈(12 D (1 - ν²)/E)^(1/3)/t₁⌉`, t₁ and m₁ of one ply.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for fields out of range and a target not above zero; [`ErrorKind::NoSolution`] above
    /// 1000 plies.
    #[question("laminate.plies_for")]
    pub fn plies_for(
        &self,
        /// What is to be reached.
        target: &PlyTarget,
        /// Stiffness of the laminate. Where a stiffness is wanted and none given, ISO 12215-5:2008 (untested).
        stiffness: Option<&LaminateStiffness>,
    ) -> Result<PlyCount> {
        const MOST: f64 = 1000.0;
        let ply = self.cured()?;
        let (t1, m1) = (ply.thickness.si(), ply.areal_mass.si());
        let (stiffness, stiffness_why) = self.stiffness_for(target, stiffness)?;
        let elastic = stiffness.map(|s| (s.modulus.si(), s.poisson.get()));
        let need = || {
            elastic.ok_or_else(|| {
                Error::new(ErrorKind::Document, "stiffness")
                    .with_value("no modulus")
                    .with_way_out("a stiffness needs the laminate's modulus: add it, for example '6.4 GPa'")
            })
        };
        let exact = match *target {
            PlyTarget::Thickness(t) => check::positive("target.thickness", t)? / t1,
            PlyTarget::ArealMass(m) => check::positive("target.areal_mass", m)? / m1,
            PlyTarget::StretchingStiffness(s) => {
                check::positive("target.stretching_stiffness", s)? / (need()?.0 * t1)
            }
            PlyTarget::BendingStiffness(d) => {
                let (d, (e, nu)) = (check::positive("target.bending_stiffness", d)?, need()?);
                (12.0 * d * (1.0 - nu * nu) / e).cbrt() / t1
            }
        };
        if exact > MOST {
            return Err(Error::no_solution(
                "plies",
                format!("{exact:.0} plies"),
                format!("{MOST:.0} plies"),
                "ask for less, or use a heavier reinforcement or a core",
            ));
        }
        // A target met to rounding needs no further ply.
        let n = (exact * (1.0 - 1e-12)).ceil().max(1.0);
        let t = n * t1;
        let mut from = vec![ply.why];
        from.extend(stiffness_why);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let plies = n as u32;
        Ok(PlyCount {
            plies,
            exact,
            thickness: Length::from_si(t)?,
            areal_mass: ArealMassDensity::from_si(n * m1)?,
            stretching_stiffness_n_per_m: elastic.map(|(e, _)| e * t),
            bending_stiffness_n_m: elastic.map(|(e, nu)| plate_stiffness(e, t, nu)),
            extrapolated: ply.extrapolated,
            why: Why::computed(
                "number of plies",
                plies.to_string(),
                "n = ceil(t/t1), ceil(m/m1), ceil(S/(E t1)) or ceil((12 D (1 - nu^2)/E)^(1/3)/t1)",
                from,
            )
            .with_source(&sources::plates()),
        })
    }

    /// The stiffness given, or the published one where one is wanted; and its chain.
    fn stiffness_for(
        &self,
        target: &PlyTarget,
        given: Option<&LaminateStiffness>,
    ) -> Result<(Option<LaminateStiffness>, Option<Why>)> {
        if let Some(s) = given {
            noun::check(s).map_err(|e| e.within("stiffness"))?;
            return Ok((Some(*s), Some(Why::given("E, modulus", show(s.modulus)))));
        }
        if let PlyTarget::Thickness(_) | PlyTarget::ArealMass(_) = target {
            return Ok((None, None));
        }
        let published = GlassLayUp {
            form: self.reinforcement.form,
            glass_content: self.glass_content,
            process: Process::HandLaid,
            tested: false,
        }
        .properties()
        .map_err(|e| e.within("ply"))?;
        Ok((
            Some(LaminateStiffness::of(published.modulus)?),
            Some(published.why),
        ))
    }
}

pub(super) fn no_plies() -> Error {
    Error::out_of_range(
        "plies",
        "no ply",
        "one or more",
        "add the plies from the mould face inward",
    )
}
