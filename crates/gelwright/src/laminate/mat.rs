//! Published strength and stiffness of hand-laid and sprayed E-glass in polyester, by glass content.
//!
//! Default values for laminates that nobody has tested: a test panel of the shop's own lay-up wins over them.

use crate::noun::Noun;

use super::ply::Form;
use super::{check, sources};
use crate::error::{Error, Result};
use crate::quantity::{MassFraction, Pressure, Quantity, show};
use crate::source::{Source, Why};

/// How the glass gets into the mould.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Noun)]
pub enum Process {
    /// Laid and rolled by hand.
    #[default]
    HandLaid,
    /// Chopped and sprayed from a gun.
    Sprayed,
}

/// The same property by another published rule.
#[derive(Debug, Clone, PartialEq, Noun)]
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

/// Strength and stiffness of a glass-polyester laminate in its plane.
#[derive(Debug, Clone, PartialEq, Noun)]
#[noun(written)]
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
    #[noun(skip)]
    given: (Form, Process, f64),
}

impl GlassLaminate {
    /// Other published rules for comparison, without the factor: BS 4994:1987, unit modulus and unit strength (N/mm
    /// per kg/m² of glass) over the thickness constant (mm per kg/m²), for mat at 33 wt% and woven roving at 45 wt%.
    pub fn rules(&self) -> Vec<RuleStrength> {
        let (modulus, tension, constant, at) = match self.given.0 {
            Form::Mat => (14_000.0, 200.0, 2.24, 0.33),
            Form::WovenRoving => (16_000.0, 250.0, 1.25, 0.45),
            _ => return vec![],
        };
        let rule = || -> Result<RuleStrength> {
            Ok(RuleStrength {
                rule: "BS 4994 unit properties over its thickness constant".to_owned(),
                modulus: Pressure::from_si(1e6 * modulus / constant)?,
                tension: Pressure::from_si(1e6 * tension / constant)?,
                glass_content: MassFraction::new(at)?,
                source: sources::bs_4994(),
            })
        };
        rule().into_iter().collect()
    }

    /// How the modulus and the tensile strength were computed.
    pub fn why(&self) -> Why {
        let (form, process, psi) = self.given;
        let equation = match (form, process) {
            (Form::Unidirectional, _) => {
                "E = 46600 psi^2 + 7200 psi + 7250, s_t = 880 psi^2 + 140 psi + 140 MPa"
            }
            (_, Process::Sprayed) => "E = 38000 psi - 5000, s_t = 150 psi + 25 MPa",
            _ => "E = 38000 psi - 5000, s_t = 800 psi^2 - 80 psi + 37 MPa",
        };
        let mut from = vec![
            Why::given("psi, glass content by mass", format!("{:.1} wt%", 100.0 * psi)),
            Why::given(
                "factor for a laminate that is not tested",
                self.factor.to_string(),
            ),
        ];
        from.extend(self.rules().iter().map(|r| {
            Why::given(
                format!("for comparison, {} at {}", r.rule, show(r.glass_content)),
                format!("E {}, tension {}", show(r.modulus), show(r.tension)),
            )
            .with_source(&r.source)
        }));
        let why = Why::computed(
            format!("modulus of {form} in polyester"),
            show(self.modulus),
            equation,
            from,
        )
        .with_source(&sources::iso_12215_5(
            "table C.4 a), read in a public transcription",
        ));
        match &self.extrapolated {
            Some(x) => why.with_note(format!("extrapolated: {x}")),
            None => why,
        }
    }
}

/// Strength and stiffness of E-glass in polyester from its glass content (ISO 12215-5:2008, table C.4 a).
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
/// above 0.75, and for veil and loose chop, which the table does not cover.
pub fn glass_laminate(
    form: Form,
    glass_content: MassFraction,
    process: Process,
    tested: bool,
) -> Result<GlassLaminate> {
    let psi = check::glass_content("glass_content", glass_content)?;
    if matches!(form, Form::Veil | Form::Chop) {
        return Err(Error::out_of_range(
            "form",
            form,
            "mat, woven_roving, cloth, stitched, unidirectional",
            "compute a pour of loose chop from its fibre and resin ('laminate.short_fibre')",
        ));
    }
    if !(psi > 0.15 && psi <= 0.75) {
        return Err(Error::out_of_range(
            "glass_content",
            show(glass_content),
            "more than 15 wt% to 75 wt%",
            "the published fit gives no sense there: compute from fibre and resin, or test a panel",
        ));
    }
    let mut interlaminar = 22.5 - 17.5 * psi;
    let (tension, compression, flexure, shear, e, g) = if form == Form::Unidirectional {
        let t = 880.0 * psi * psi + 140.0 * psi + 140.0;
        let c = 250.0 * psi + 190.0;
        (
            t,
            c,
            2.5 * t / (1.0 + t / c),
            50.0,
            46_600.0 * psi * psi + 7_200.0 * psi + 7_250.0,
            14_380.0 * psi * psi - 10_560.0 * psi + 3_840.0,
        )
    } else {
        let sprayed = process == Process::Sprayed;
        (
            if sprayed {
                150.0 * psi + 25.0
            } else {
                800.0 * psi * psi - 80.0 * psi + 37.0
            },
            150.0 * psi + 72.0,
            if sprayed { 300.0 } else { 502.0 } * psi * psi + 107.0,
            80.0 * psi + 38.0,
            38_000.0 * psi - 5_000.0,
            1_700.0 * psi + 2_240.0,
        )
    };
    let factor = if tested { 1.0 } else { 0.8 };
    interlaminar *= factor;
    let mpa = |x: f64| Pressure::from_si(1e6 * factor * x);
    let extrapolated = (!(0.25..=0.55).contains(&psi)).then(|| {
        format!(
            "glass content {:.1} wt% is outside the 25 wt% to 55 wt% of the fit (range from memory)",
            100.0 * psi
        )
    });
    Ok(GlassLaminate {
        tension: mpa(tension)?,
        compression: mpa(compression)?,
        flexure: mpa(flexure)?,
        shear: mpa(shear)?,
        interlaminar: Pressure::from_si(1e6 * interlaminar)?,
        modulus: mpa(e)?,
        shear_modulus: mpa(g)?,
        factor,
        extrapolated,
        given: (form, process, psi),
    })
}
