//! A flange of wet laminate, clamped between the halves of its mould: how thin it gets, and how much resin leaves it.
//!
//! The plies stay and pack, the resin flows between their strands to both long sides. With the fibres' share `phi`, their own
//! stress `sigma(phi)` ([`FibreBed`]), the in-plane permeability `K(phi)` and `Theta = int dt/eta`, Darcy's law over a strip of width
//! `W` gives `-dh/dTheta = 12 K h (p - sigma)/W^2`: Stefan's strip with `K` in place of `h^2/12`, which is its bound for fibres
//! so far apart that they do not hinder. The permeability is that of random fibres in layers, along them,
//!
//! `K = r^2 e (e - e_p)^(a+2) / (8 ln^2 e (1 - e_p)^a [(a+1) e - e_p]^2)`, `e_p` = 0.11, `a` = 0.521,
//!
//! with the radius `r` of the wetted strands and the room `e` that they leave. Strands and not filaments: what flows passes between
//! them.
//!
//! Sources: M. M. Tomadakis, T. J. Robertson, "Viscous permeability of random fiber structures: comparison of electrical and
//! diffusional estimates with experimental and analytical results", J. Compos. Mater. 39, 163 (2005), its constants from memory;
//! consolidation by Darcy's law and a bed that carries part of the load: T. G. Gutowski, T. Morigaki, Z. Cai, "The consolidation of
//! laminate composites", J. Compos. Mater. 21, 172 (1987), from memory.

use super::squeeze::{FibreBed, Press, Shape, StoppedBy};
use super::viscosity::{Strand, ViscosityHistory};
use crate::error::{Error, Result};
use crate::noun::{self, Noun, questions};
use crate::quantity::{
    Area, ArealMassDensity, Length, MassDensity, MassFraction, Pressure, Quantity, VolumeFraction, known,
    show,
};
use crate::source::{Source, Why};

/// Room between strands at which none of it connects along the layers, and the exponent.
const CLOSED: f64 = 0.11;
const EXPONENT: f64 = 0.521;
/// Room between strands in which the law is held against measurements (from memory).
const FITTED_ROOM: std::ops::RangeInclusive<f64> = 0.3..=0.99;

/// Permeability over the square of the strands' radius, of strands in layers that leave so much room, along the layers.
pub(super) fn relative_permeability(room: f64) -> f64 {
    if room <= CLOSED {
        return 0.0;
    }
    // Single strands in a sea: the law has no end there, and the gap between the faces is narrower.
    let e = room.min(1.0 - 1e-6);
    let ln = e.ln();
    e * (e - CLOSED).powf(EXPONENT + 2.0)
        / (8.0 * ln * ln * (1.0 - CLOSED).powf(EXPONENT) * ((EXPONENT + 1.0) * e - CLOSED).powi(2))
}

/// How the strands that stay between the faces let the resin through.
#[derive(Clone, Copy)]
pub(super) struct Through {
    /// Of the wetted strands, m.
    pub(super) radius: f64,
    /// Glass in a strand.
    pub(super) glass_in_strand: f64,
    /// What a permeability is off by.
    pub(super) times: f64,
}

impl Through {
    /// Permeability at a glass content, m2.
    pub(super) fn permeability(&self, glass: f64) -> f64 {
        let strands = (glass / self.glass_in_strand).min(1.0);
        self.times * self.radius * self.radius * relative_permeability(1.0 - strands)
    }
}

impl Strand {
    /// A strand of mat as it is sold: 50 mm long, of filaments of 13 um (from memory).
    pub fn of_mat() -> Strand {
        Strand::of_mat_of(known(13e-6))
    }

    /// The same of filaments of another diameter.
    pub(crate) fn of_mat_of(filament: Length) -> Strand {
        Strand::as_sold(known(0.05), filament)
    }
}

/// A flange, or the edge of a part, of wet laminate between the faces of a mould that is closed on it.
#[derive(Clone, PartialEq, Noun)]
pub struct WetEdge {
    /// Width that is pressed, from one long side at which resin leaves to the other.
    #[noun(within(> "0 mm", ..))]
    pub width: Length,
    /// Mean pressure of the clamps on it.
    #[noun(within(> "0 kPa", .., "the force of a clamp over its spacing and the flange's width"))]
    pub pressure: Pressure,
    /// Glass between the faces: all plies of all that lies there.
    #[noun(within(> "0 g/m^2", ..))]
    pub glass: ArealMassDensity,
    /// Glass content as it was laid.
    #[noun(within("5 wt%", "75 wt%", "mat laid by hand holds about 30 wt%"))]
    pub glass_content: MassFraction,
    /// Density of the glass.
    #[noun(default = "2560 kg/m^3", within(> "0 g/mL", ..))]
    pub glass_density: MassDensity,
    /// Density of the liquid resin.
    #[noun(within(> "0 g/mL", ..))]
    pub resin_density: MassDensity,
    /// Viscosity of the resin from closing to gel.
    pub viscosity: ViscosityHistory,
    /// The strands of the mat.
    #[noun(default = Strand::of_mat())]
    pub strand: Strand,
    /// How the fibres carry load; a random mat of strands unless given.
    #[noun(default)]
    pub bed: FibreBed,
    /// Stops between the halves, which close no further; none unless given.
    #[noun(default = "0 mm", within("0 mm", ..))]
    pub stops: Length,
}

/// What the clamps leave of a wet edge.
#[derive(Clone, Noun)]
#[non_exhaustive]
pub struct PressedWet {
    /// Thickness as it was laid.
    pub laid: Length,
    /// Thickness when it gels.
    pub thickness: Length,
    /// Low end of it: fibres that pack at a third of the pressure and let three times as much through.
    pub thickness_low: Length,
    /// High end of it: the other way round.
    pub thickness_high: Length,
    /// Thickness if it never gelled: where the fibres carry the clamps, or the stops do.
    pub rest_thickness: Length,
    /// What stops it.
    pub stopped_by: StoppedBy,
    /// Resin that has left, on the area of the edge; half of it to each long side.
    pub resin_out: ArealMassDensity,
    /// Low end of it.
    pub resin_out_low: ArealMassDensity,
    /// High end of it.
    pub resin_out_high: ArealMassDensity,
    /// Glass content of what is left.
    pub glass_content: MassFraction,
    /// Low end of it.
    pub glass_content_low: MassFraction,
    /// High end of it.
    pub glass_content_high: MassFraction,
    /// Glass in it, by volume.
    pub glass: VolumeFraction,
    /// Permeability along the plies as it was laid.
    pub permeability: Area,
    /// What is outside which range, if anything is.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

/// How far permeability and stress of the fibres may be off either way: in-plane permeabilities of one cloth spread by a factor of
/// some ten over laboratories (R. Arbter et al., "Experimental determination of the permeability of textiles: a benchmark exercise",
/// Composites A 42, 1157 (2011), from memory); of the stress the authors' choice.
const OFF: f64 = 3.0;

#[questions]
impl WetEdge {
    /// How thin a wet edge gets under its clamps until it gels, how much resin leaves it, and what glass content that leaves.
    ///
    /// See [this module](self) for equation and sources. The band holds what fibres and permeability may be off; that of the
    /// viscosity is for who asks. Not modelled: glass that flows along, air, a gradient of thickness over the width, and what the
    /// resin does once it has left.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for sizes and contents out of range, and for an edge thicker than it
    /// is wide; else as [`ViscosityHistory::check`] and [`Strand::diameter`].
    #[question("flow.wet_edge")]
    pub fn pressed(&self) -> Result<PressedWet> {
        noun::check(self)?;
        self.viscosity.check().map_err(|e| e.within("viscosity"))?;
        let (rho_g, rho_r) = (self.glass_density.si(), self.resin_density.si());
        let by_mass = self.glass_content.get();
        let by_volume = (by_mass / rho_g) / (by_mass / rho_g + (1.0 - by_mass) / rho_r);
        // Glass alone, m3 on m2.
        let solid = self.glass.si() / rho_g;
        let laid = solid / by_volume;
        let width = self.width.si();
        if laid > width {
            return Err(Error::out_of_range(
                "width",
                show(self.width),
                format!(
                    "at least the edge's thickness as laid, {}",
                    show(Length::from_si(laid)?)
                ),
                "the flow is computed for edges that are thin against their width",
            ));
        }
        let chop = self.strand.chop().map_err(|e| e.within("strand"))?;
        let theta = self.viscosity.fluidity(f64::INFINITY);
        let press = |off: f64| {
            let through = Through {
                radius: 0.5 * chop.strand_diameter.si(),
                glass_in_strand: chop.glass_in_strand.get(),
                times: off,
            };
            let bed = FibreBed {
                pressure: self.bed.pressure / off,
                ..self.bed
            };
            Press::of_bed(
                Shape::Strip { width, length: 1.0 },
                (self.pressure.si() * width, laid, self.stops.si()),
                (by_volume, &bed),
                through,
            )
        };
        let (usual, soft, stiff) = (press(1.0), press(OFF), press(1.0 / OFF));
        let rest = usual.rest()?;
        let h = usual.thickness(theta)?;
        let (low, high) = (soft.thickness(theta)?, stiff.thickness(theta)?);
        let out = |h: f64| ArealMassDensity::from_si((laid - h).max(0.0) * rho_r);
        let content =
            |h: f64| MassFraction::new(self.glass.si() / (self.glass.si() + (h - solid).max(0.0) * rho_r));
        let permeability = Area::from_si(usual.permeability_at(laid))?;
        let stopped_by = if rest >= laid * (1.0 - 1e-9) {
            StoppedBy::Fibres
        } else {
            usual.stopped_by(rest, h)
        };
        let room = 1.0 - solid / h / chop.glass_in_strand.get();
        let extrapolated = (!FITTED_ROOM.contains(&room)).then(|| {
            format!(
                "strands that leave {:.0} % of room are outside the permeability law's range, 30 to 99 %",
                100.0 * room
            )
        });
        let thickness = Length::from_si(h)?;
        let mut why = Why::computed(
            "thickness of the wet edge at gel",
            show(thickness),
            "-dh/dTheta = 12 K h (p - sigma)/W^2, sigma = p_r (phi/phi_r)^(1/B), K along random fibres in layers",
            vec![
                Why::given("W, width", show(self.width)),
                Why::given("p, clamps", show(self.pressure)),
                Why::given("thickness as laid", show(Length::from_si(laid)?)),
                Why::given("phi, glass as laid", show(VolumeFraction::new(by_volume)?)),
                Why::given("diameter of the wetted strands", show(chop.strand_diameter)),
                Why::given("K as laid", format!("{:.3e} m^2", permeability.si())),
                Why::given(
                    "int dt/eta",
                    format!("{theta:.4e} 1/Pa over {}", show(self.viscosity.end())),
                ),
            ],
        )
        .with_source(&Source::published(
                "M. M. Tomadakis, T. J. Robertson",
                "Viscous permeability of random fiber structures, J. Compos. Mater. 39",
                2005,
                "p. 163",
            ).from_memory());
        if let Some(note) = &extrapolated {
            why = why.with_note(format!("extrapolated: {note}"));
        }
        Ok(PressedWet {
            laid: Length::from_si(laid)?,
            thickness,
            thickness_low: Length::from_si(low)?,
            thickness_high: Length::from_si(high)?,
            rest_thickness: Length::from_si(rest)?,
            stopped_by,
            resin_out: out(h)?,
            resin_out_low: out(high)?,
            resin_out_high: out(low)?,
            glass_content: content(h)?,
            glass_content_low: content(high)?,
            glass_content_high: content(low)?,
            glass: VolumeFraction::new((solid / h).min(1.0))?,
            permeability,
            extrapolated,
            why,
        })
    }
}
