//! Published strength and stiffness of hand-laid and sprayed E-glass in polyester, by glass content.
//!
//! Default values for laminates that nobody has tested: a test panel of the shop's own lay-up wins over them.

use crate::noun::{self, Noun, questions};

use super::reinforcement::ReinforcementForm;
use super::sources;
use crate::error::{Error, Result};
use crate::quantity::{MassFraction, Pressure, Quantity, show};
use crate::source::{Source, Why};

/// How the glass gets into the mould.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Default, Noun)]
pub enum Process {
    /// Laid and rolled by hand.
    #[default]
    HandLaid,
    /// Chopped and sprayed from a gun.
    Sprayed,
}

/// The same property by another published rule.
#[derive(Clone, PartialEq, Noun)]
pub struct RuleStrength {
    /// The rule.
    pub rule: String,
    /// Modulus it gives.
    pub modulus: Pressure,
    /// Tensile strength it gives.
    pub tension: Pressure,
    /// The glass content it is for.
    pub glass_content: MassFraction,
    /// Where it comes from.
    pub source: Source,
}

/// A lay-up of E-glass in polyester.
#[derive(Clone, Copy, PartialEq, Noun)]
#[noun(check)]
pub struct GlassLayUp {
    /// Form of the reinforcement.
    pub form: ReinforcementForm,
    /// Glass content by mass.
    #[noun(within(> "15 wt%", "75 wt%", "the published fit gives no sense there: compute from fibre and resin, or test a panel"))]
    pub glass_content: MassFraction,
    /// Hand-laid or, mat alone, sprayed.
    #[noun(default)]
    pub process: Process,
    /// Whether the lay-up was tested; if not, 0.8 of each value.
    #[noun(default)]
    pub tested: bool,
}

/// Strength and stiffness of a glass-polyester laminate in its plane.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct GlassLaminate {
    /// Tensile strength.
    pub tension: Pressure,
    /// Compressive strength.
    pub compression: Pressure,
    /// Flexural strength.
    pub flexure: Pressure,
    /// In-plane shear strength.
    pub shear: Pressure,
    /// Interlaminar shear strength.
    pub interlaminar: Pressure,
    /// In-plane modulus.
    pub modulus: Pressure,
    /// In-plane shear modulus.
    pub shear_modulus: Pressure,
    /// The factor all values above are multiplied by (0.8 where the laminate is not tested).
    pub factor: f64,
    /// What lies outside the fitted glass contents.
    pub extrapolated: Option<String>,
    /// Other published rules for comparison, without the factor.
    pub rules: Vec<RuleStrength>,
    /// How modulus and tensile strength were computed.
    pub why: Why,
}

/// The properties of a lay-up in MPa, without the factor.
struct Mpa {
    tension: f64,
    compression: f64,
    flexure: f64,
    shear: f64,
    modulus: f64,
    shear_modulus: f64,
}

#[questions]
impl GlassLayUp {
    /// Refuses what the table does not cover.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for veil and loose chop;
    /// [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent) for what can not be sprayed.
    pub fn check(&self) -> Result<()> {
        if matches!(self.form, ReinforcementForm::Veil | ReinforcementForm::Chop) {
            return Err(Error::out_of_range(
                "form",
                self.form,
                "mat, woven_roving, cloth, stitched, unidirectional",
                "compute a pour of loose chop from its fibre and resin ('laminate.short_fibre')",
            ));
        }
        if self.process == Process::Sprayed && self.form != ReinforcementForm::Mat {
            return Err(Error::inconsistent(
                "process",
                format!("sprayed {}", self.form),
                "sprayed mat",
                "a gun chops and sprays strands, which lie as in mat: leave the process out, or write form 'mat'",
            ));
        }
        Ok(())
    }

    /// Published strength and stiffness of E-glass in polyester by glass content; a tested panel wins over them.
    ///
    /// Source: ISO 12215-5:2008, table C.4 a), read in a public transcription.
    ///
    /// Mat, woven roving, cloth, stitched fabric by hand, in MPa: tension `800ψ² - 80ψ + 37`, compression
    /// `150ψ + 72`, flexure `502ψ² + 107`, in-plane shear `80ψ + 38`, `E = 38000ψ - 5000`, `G = 1700ψ + 2240`,
    /// interlaminar shear `22.5 - 17.5ψ`. Sprayed: tension `150ψ + 25`, flexure `300ψ² + 107`. Unidirectional along
    /// the fibre: tension `880ψ² + 140ψ + 140`, compression `250ψ + 190`, shear 50, `E = 46600ψ² + 7200ψ + 7250`,
    /// `G = 14380ψ² - 10560ψ + 3840`, flexure `2.5 σt/(1 + σt/σc)`. Untested laminates take 0.8 of each.
    ///
    /// Fitted for ψ from about 0.25 to 0.55 (range from memory); outside it the answer is marked.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for ψ at or below 0.15 (the fit's modulus nears zero) or
    /// above 0.75; else as [`GlassLayUp::check`].
    #[question("laminate.mat_properties")]
    pub fn properties(&self) -> Result<GlassLaminate> {
        noun::check(self)?;
        self.check()?;
        let psi = self.glass_content.get();
        let mpa = self.mpa();
        let factor = if self.tested { 1.0 } else { 0.8 };
        let pressure = |x: f64| Pressure::from_si(1e6 * factor * x);
        let extrapolated = (!(0.25..=0.55).contains(&psi)).then(|| {
            format!(
                "glass content {:.1} wt% is outside the 25 wt% to 55 wt% of the fit (range from memory)",
                100.0 * psi
            )
        });
        let modulus = pressure(mpa.modulus)?;
        let rules = self.rules()?;
        Ok(GlassLaminate {
            tension: pressure(mpa.tension)?,
            compression: pressure(mpa.compression)?,
            flexure: pressure(mpa.flexure)?,
            shear: pressure(mpa.shear)?,
            interlaminar: Pressure::from_si(1e6 * ((22.5 - 17.5 * psi) * factor))?,
            modulus,
            shear_modulus: pressure(mpa.shear_modulus)?,
            factor,
            why: self.why(modulus, factor, &rules, extrapolated.as_deref()),
            extrapolated,
            rules,
        })
    }

    fn mpa(&self) -> Mpa {
        let psi = self.glass_content.get();
        if self.form == ReinforcementForm::Unidirectional {
            let t = 880.0 * psi * psi + 140.0 * psi + 140.0;
            let c = 250.0 * psi + 190.0;
            return Mpa {
                tension: t,
                compression: c,
                flexure: 2.5 * t / (1.0 + t / c),
                shear: 50.0,
                modulus: 46_600.0 * psi * psi + 7_200.0 * psi + 7_250.0,
                shear_modulus: 14_380.0 * psi * psi - 10_560.0 * psi + 3_840.0,
            };
        }
        let sprayed = self.process == Process::Sprayed;
        Mpa {
            tension: if sprayed {
                150.0 * psi + 25.0
            } else {
                random_tension(psi)
            },
            compression: 150.0 * psi + 72.0,
            flexure: if sprayed { 300.0 } else { 502.0 } * psi * psi + 107.0,
            shear: 80.0 * psi + 38.0,
            modulus: 38_000.0 * psi - 5_000.0,
            shear_modulus: 1_700.0 * psi + 2_240.0,
        }
    }

    /// Other published rules: BS 4994:1987, unit modulus and unit strength (N/mm per kg/m² of glass) over the thickness
    /// constant (mm per kg/m²), for mat at 33 wt% and woven roving at 45 wt%.
    fn rules(&self) -> Result<Vec<RuleStrength>> {
        let (modulus, tension, constant, at) = match self.form {
            ReinforcementForm::Mat => (14_000.0, 200.0, 2.24, 0.33),
            ReinforcementForm::WovenRoving => (16_000.0, 250.0, 1.25, 0.45),
            _ => return Ok(vec![]),
        };
        Ok(vec![RuleStrength {
            rule: "BS 4994 unit properties over its thickness constant".to_owned(),
            modulus: Pressure::from_si(1e6 * modulus / constant)?,
            tension: Pressure::from_si(1e6 * tension / constant)?,
            glass_content: MassFraction::new(at)?,
            source: sources::bs_4994(),
        }])
    }

    fn why(&self, modulus: Pressure, factor: f64, rules: &[RuleStrength], note: Option<&str>) -> Why {
        let equation = match (self.form, self.process) {
            (ReinforcementForm::Unidirectional, _) => {
                "E = 46600 psi^2 + 7200 psi + 7250, s_t = 880 psi^2 + 140 psi + 140 MPa"
            }
            (_, Process::Sprayed) => "E = 38000 psi - 5000, s_t = 150 psi + 25 MPa",
            _ => "E = 38000 psi - 5000, s_t = 800 psi^2 - 80 psi + 37 MPa",
        };
        let mut from = vec![
            Why::given(
                "psi, glass content by mass",
                format!("{:.1} wt%", 100.0 * self.glass_content.get()),
            ),
            Why::given("factor for a laminate that is not tested", factor.to_string()),
        ];
        from.extend(rules.iter().map(|r| {
            Why::given(
                format!("for comparison, {} at {}", r.rule, show(r.glass_content)),
                format!("E {}, tension {}", show(r.modulus), show(r.tension)),
            )
            .with_source(&r.source)
        }));
        let why = Why::computed(
            format!("modulus of {} in polyester", self.form),
            show(modulus),
            equation,
            from,
        )
        .with_source(&sources::iso_12215_5(
            "table C.4 a), read in a public transcription",
        ));
        match note {
            Some(x) => why.with_note(format!("extrapolated: {x}")),
            None => why,
        }
    }
}

/// Tensile strength of hand-laid random glass by its glass content by mass, MPa: ISO 12215-5:2008, table C.4 a).
pub(super) fn random_tension(psi: f64) -> f64 {
    800.0 * psi * psi - 80.0 * psi + 37.0
}
