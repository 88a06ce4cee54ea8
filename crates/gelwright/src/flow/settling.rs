//! Fillers that sink, or hollow spheres that rise, before the resin gels.

use crate::noun::{self, Noun, questions};

use super::viscosity::ViscosityHistory;
use crate::constants::GRAVITY;
use crate::error::{Error, Result};
use crate::quantity::{Length, MassDensity, Pressure, Quantity, Time, VolumeFraction, show};
use crate::source::{Source, Standing, Why};

/// A filler in a pour.
///
/// One grain sinks at `v = (rho_p - rho) g d^2/(18 eta)` (Stokes); in company at `v (1 - phi)^n`, `n` = 4.65 for slow
/// grains (Richardson and Zaki). The way to gel is `v` integrated over the rising viscosity. A yield stress above
/// `0.048 (rho_p - rho) g d` holds a grain for good.
///
/// Sources: G. G. Stokes, Trans. Cambridge Philos. Soc. 9, 8 (1851); J. F. Richardson, W. N. Zaki, Trans. Inst. Chem.
/// Eng. 32, 35 (1954); A. N. Beris et al., J. Fluid Mech. 158, 219 (1985): a sphere is held above the yield number
/// 0.143 = 3 tau_y/(d (rho_p - rho) g), from memory.
#[derive(Clone, PartialEq, Noun)]
pub struct Settling {
    /// Diameter of a grain.
    #[noun(within(> "0 um", ..))]
    pub diameter: Length,
    /// Density of a grain; below the resin's it rises.
    #[noun(within(> "0 g/mL", ..))]
    pub grain_density: MassDensity,
    /// Density of the liquid resin.
    #[noun(within(> "0 g/mL", ..))]
    pub resin_density: MassDensity,
    /// Filler in the mix.
    pub filler: VolumeFraction,
    /// Depth of the pour.
    #[noun(within(> "0 mm", ..))]
    pub depth: Length,
    /// Viscosity of the resin without the filler, until gel.
    pub viscosity: ViscosityHistory,
    /// Yield stress of the resin.
    #[noun(default = "0 Pa", within("0 Pa", ..))]
    pub yield_stress: Pressure,
    /// Packing of the settled filler: loose grains unless given (common practice).
    #[noun(default = "60 vol%", within(> "0 vol%", ..))]
    pub settled_packing: VolumeFraction,
}

/// What has settled at gel.
#[derive(Clone, Noun)]
#[non_exhaustive]
pub struct Settled {
    /// Way of the front between clear resin and filled resin: down for sinking, up for rising filler.
    pub clear_layer: Length,
    /// That as a fraction of the depth, 0 to 1.
    pub clear_fraction: f64,
    /// Thickness of the packed layer at the bottom (or top).
    pub packed_layer: Length,
    /// The filler has settled as far as it can.
    pub complete: bool,
    /// The filler rises (hollow spheres) instead of sinking.
    pub rises: bool,
    /// The yield stress holds the grains.
    pub held: bool,
    /// Yield stress that would hold them.
    pub yield_stress_to_hold: Pressure,
    /// What is outside which range, if anything is.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

/// Terminal speed of one sphere, m/s, positive down, by Stokes.
pub(super) fn stokes(diameter: f64, excess_density: f64, viscosity: f64) -> f64 {
    excess_density * GRAVITY * diameter * diameter / (18.0 * viscosity)
}

/// How much slower a crowd of slow grains settles than one: `(1 - phi)^4.65`.
pub fn hindrance(filler: VolumeFraction) -> f64 {
    (1.0 - filler.get()).powf(4.65)
}

#[questions]
impl Settling {
    /// How far a filler sinks, or hollow spheres rise, before gel.
    ///
    /// [`Settling`] gives equations and sources.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for sizes and densities that are not above zero, and for
    /// a filler content at or above its packing; else as [`ViscosityHistory::check`].
    #[question("flow.settling")]
    pub fn settled(&self) -> Result<Settled> {
        noun::check(self)?;
        self.viscosity.check().map_err(|e| e.within("viscosity"))?;
        let (d, depth, rho) = (self.diameter.si(), self.depth.si(), self.resin_density.si());
        let packing = self.settled_packing.get();
        let phi = self.filler.get();
        if phi >= packing {
            return Err(Error::out_of_range(
                "filler",
                show(self.filler),
                format!("below its packing, {:.0} vol%", 100.0 * packing),
                "filler at its packing can not settle, nor pour: use less",
            ));
        }
        let tau = self.yield_stress.si();
        let excess = self.grain_density.si() - rho;
        let hold = 0.143 / 3.0 * excess.abs() * GRAVITY * d;
        let held = excess == 0.0 || (hold <= tau && tau > 0.0);
        let theta = self.viscosity.fluidity(f64::INFINITY);
        let way = if held {
            0.0
        } else {
            stokes(d, excess.abs(), 1.0) * hindrance(self.filler) * theta
        };
        // all the filler is in the packed layer once the front meets it
        let most = depth * (1.0 - phi / packing);
        let clear = way.min(most);
        // the front has sunk by `clear`; the filler it passed is in the packed layer
        let packed = if packing > phi {
            phi * clear / (packing - phi)
        } else {
            0.0
        };
        let first = self.viscosity.at(Time::default())?.map_or(f64::MAX, Quantity::si);
        let reynolds = rho * stokes(d, excess.abs(), first) * d / first;
        let extrapolated = (reynolds > 0.2)
            .then(|| format!("Reynolds number {reynolds:.2} of a grain is above the slow range, to 0.2"));
        let clear_layer = Length::from_si(clear)?;
        let why = self.why(clear_layer, theta, held, extrapolated.as_deref());
        Ok(Settled {
            clear_layer,
            clear_fraction: clear / depth,
            packed_layer: Length::from_si(packed)?,
            complete: way >= most && phi > 0.0,
            rises: excess < 0.0,
            held,
            yield_stress_to_hold: Pressure::from_si(hold)?,
            extrapolated,
            why,
        })
    }

    fn why(&self, clear_layer: Length, theta: f64, held: bool, extrapolated: Option<&str>) -> Why {
        let mut why = Why::computed(
            "clear layer at gel",
            show(clear_layer),
            "z = (rho_p - rho) g d^2 (1 - phi)^4.65/18 int dt/eta, at most depth (1 - phi/phi_packed)",
            vec![
                Why::given("d, grain", show(self.diameter)),
                Why::given(
                    "rho_p, rho",
                    format!("{}, {}", show(self.grain_density), show(self.resin_density)),
                ),
                Why::given("phi, filler", show(self.filler)),
                Why::given("phi_packed, settled filler", show(self.settled_packing)).with_source(
                    &Source::of(Standing::CommonPractice, "loose grains settle to about 60 vol%"),
                ),
                Why::given(
                    "int dt/eta",
                    format!("{theta:.4e} 1/Pa over {}", show(self.viscosity.end())),
                ),
            ],
        )
        .with_source(&Source::published(
            "J. F. Richardson, W. N. Zaki",
            "Sedimentation and fluidisation: Part I, Trans. Inst. Chem. Eng. 32",
            1954,
            "p. 35",
        ));
        if held {
            why = why.with_note("held by the yield stress (A. N. Beris et al., 1985, from memory)");
        } else if let Some(note) = extrapolated {
            why = why.with_note(format!("extrapolated: {note}"));
        }
        why
    }
}
