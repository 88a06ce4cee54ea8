//! What a shop measures with its scale: densities, of a liquid from a known volume and of a cured piece from its weight in water; the mass
//! of a reinforcement per area, the glass in a laminate, what a coat of release agent takes.

use super::bench::Scale;
use super::measurement::{self, Estimate};
use crate::constants::ZERO_CELSIUS;
use crate::error::{Error, Result};
use crate::noun::{Noun, questions};
use crate::quantity::{
    self, Area, ArealMassDensity, Mass, MassDensity, MassFraction, Quantity, ThermodynamicTemperature, Volume,
};
use crate::source::{Source, Standing, Why};

/// A density that was measured in this shop.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct MeasuredDensity {
    /// The density.
    pub density: Estimate<MassDensity>,
    /// The chain behind it.
    pub why: Why,
}

/// A liquid of known volume on the scale.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct WeighedVolume {
    /// Its volume.
    #[noun(within(> "0 mL", "1000 L", "give the volume that was drawn up, for example '50 mL'"))]
    pub volume: Volume,
    /// What it weighs, its vessel tared.
    #[noun(within(> "0 g", .., "give what it weighs without its vessel, for example '55.2 g'"))]
    pub mass: Mass,
    /// One division of the syringe or cylinder.
    #[noun(default = "1 mL", within(> "0 mL", .., "give one division, for example '1 mL'"))]
    pub graduation: Volume,
    /// The scale.
    pub scale: Scale,
}

/// A cured piece weighed in air and hanging in water.
#[derive(Clone, Copy, PartialEq, Noun)]
#[noun(check)]
pub struct WeighedInWater {
    /// Its mass in air.
    #[noun(within(> "0 g", .., "give what it weighs in air, for example '24.0 g'"))]
    pub in_air: Mass,
    /// What the scale shows while it hangs in water, wholly under and without bubbles.
    #[noun(within("0 g", .., "give what the scale shows in water, for example '3.9 g'"))]
    pub in_water: Mass,
    /// Temperature of the water.
    #[noun(
        default = "20 degC",
        within("5 degC", "40 degC", "use water of the shop's temperature")
    )]
    pub water: ThermodynamicTemperature,
    /// The scale.
    pub scale: Scale,
}

/// A dry piece of mat, cloth or veil on the scale.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct WeighedArea {
    /// Its area: a square metre is sure, a hand's breadth is not.
    #[noun(within(> "0 m^2", "100 m^2", "give the area that was cut, for example '0.25 m^2'"))]
    pub area: Area,
    /// What it weighs.
    #[noun(within(> "0 g", .., "give what it weighs, for example '7.6 g'"))]
    pub mass: Mass,
    /// The scale.
    pub scale: Scale,
}

impl WeighedArea {
    /// Mass of it per area, `m/A`, with `u` of the net mass; the area is taken as cut.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for an area or mass that is not above zero.
    pub fn areal_mass(&self) -> Result<Estimate<ArealMassDensity>> {
        crate::noun::check(self)?;
        let area = self.area.si();
        let u = self.scale.net_uncertainty().si() / area;
        Estimate::normal(ArealMassDensity::from_si(self.mass.si() / area)?, u)
    }
}

/// A laminate of one reinforcement, weighed with what went into it.
#[derive(Clone, Copy, PartialEq, Noun)]
#[noun(check)]
pub struct WeighedLaminate {
    /// Its reinforcement, dry.
    #[noun(within(> "0 g", .., "give what the dry glass weighed, for example '45 g'"))]
    pub glass: Mass,
    /// The laminate, cured and trimmed to the glass.
    #[noun(within(> "0 g", .., "give what the laminate weighs, for example '150 g'"))]
    pub laminate: Mass,
    /// The scale.
    pub scale: Scale,
}

impl WeighedLaminate {
    /// More laminate than glass.
    fn check(&self) -> Result<()> {
        if self.glass < self.laminate {
            return Ok(());
        }
        Err(Error::inconsistent(
            "glass",
            quantity::show(self.glass),
            format!("less than the laminate, {}", quantity::show(self.laminate)),
            "weigh the dry glass before, and the laminate after",
        ))
    }

    /// Glass content of it, `w = m_glass/m_laminate`: `u^2 = u_net^2 (1 + w^2)/m_laminate^2`.
    ///
    /// # Errors
    /// [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent) for no more laminate than glass.
    pub fn glass_content(&self) -> Result<Estimate<MassFraction>> {
        crate::noun::check(self)?;
        self.check()?;
        let (glass, all) = (self.glass.si(), self.laminate.si());
        let w = glass / all;
        Estimate::normal(
            MassFraction::new(w)?,
            self.scale.net_uncertainty().si() * (1.0 + w * w).sqrt() / all,
        )
    }
}

/// A tin of release agent, weighed before and after a mould was coated from it.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct WeighedTin {
    /// What was used.
    #[noun(within(> "0 g", .., "give what the tin lost, for example '4.2 g'"))]
    pub used: Mass,
    /// The area that was coated.
    #[noun(within(> "0 m^2", "1000 m^2", "give the area that was coated, for example '0.3 m^2'"))]
    pub area: Area,
    /// How many coats it took.
    #[noun(default = 1, within(1, 20, "count the coats"))]
    pub coats: u8,
    /// The scale.
    pub scale: Scale,
}

impl WeighedTin {
    /// What a coat takes per area, `m/(n A)`, with `u` of the net mass.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a mass or area that is not above zero.
    pub fn coverage(&self) -> Result<Estimate<ArealMassDensity>> {
        crate::noun::check(self)?;
        let coated = self.area.si() * f64::from(self.coats);
        let u = self.scale.net_uncertainty().si() / coated;
        Estimate::normal(ArealMassDensity::from_si(self.used.si() / coated)?, u)
    }
}

/// Density of water between 5 °C and 40 °C, kg/m³: `1000 [1 - (t + 288.9414)(t - 3.9863)^2/(508929.2 (t + 68.12963))]` (S. C.
/// McCutcheon, J. L. Martin, T. O. Barnwell, Water quality, in Handbook of Hydrology, 1993, p. 11.3; from memory).
fn water_density(celsius: f64) -> f64 {
    1000.0 * (1.0 - (celsius + 288.9414) * (celsius - 3.9863).powi(2) / (508_929.2 * (celsius + 68.12963)))
}

fn measured(
    value: f64,
    relative: f64,
    equation: &str,
    from: Vec<Why>,
    source: &Source,
) -> Result<MeasuredDensity> {
    let density = Estimate::normal(MassDensity::from_si(value)?, relative * value)?;
    Ok(MeasuredDensity {
        why: Why::computed("density", density.to_string(), equation, from).with_source(source),
        density,
    })
}

#[questions]
impl WeighedVolume {
    /// Density of a liquid from a known volume of it on the scale: `rho = m/V`.
    ///
    /// `u^2 = (u_m/m)^2 + 2 (g^2/12)/V^2`: the net mass, and a volume that is a difference of two readings within half a division `g`.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a volume or mass that is not above zero.
    #[question("mix.weighed_density")]
    pub fn density(&self) -> Result<MeasuredDensity> {
        crate::noun::check(self)?;
        let (m, v) = (self.mass.si(), self.volume.si());
        let of_volume = 2f64.sqrt() * measurement::of_step(self.graduation.si()) / v;
        let relative = (self.scale.net_uncertainty().si() / m).hypot(of_volume);
        measured(
            m / v,
            relative,
            "rho = m/V",
            vec![
                Why::given("m", quantity::show(self.mass)),
                Why::given("V", quantity::show(self.volume)),
            ],
            &Source::of(Standing::MeasuredHere, "a known volume weighed"),
        )
    }
}

#[questions]
impl WeighedInWater {
    /// A piece that sinks.
    fn check(&self) -> Result<()> {
        if self.in_water < self.in_air {
            return Ok(());
        }
        Err(Error::inconsistent(
            "in_water",
            quantity::show(self.in_water),
            format!("less than {} in air", quantity::show(self.in_air)),
            "water carries a part of it: check which reading is which",
        ))
    }

    /// Density of a cured piece from its weight in air and in water: `rho = rho_w m_air/(m_air - m_water)`.
    ///
    /// Each mass is a difference of two readings; with `r = m_water/m_air`: `u^2 = u_net^2 (1 + r^2)/(m_air - m_water)^2`, nearly.
    /// Bubbles on the piece, and what hangs it up, are not counted.
    ///
    /// # Errors
    /// [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent) for a piece that is no lighter in water.
    #[question("mix.density_in_water")]
    pub fn density(&self) -> Result<MeasuredDensity> {
        crate::noun::check(self)?;
        self.check()?;
        let (air, water) = (self.in_air.si(), self.in_water.si());
        let net = self.scale.net_uncertainty().si();
        let r = water / air;
        let relative = net * (1.0 + r * r).sqrt() / (air - water);
        measured(
            water_density(self.water.si() - ZERO_CELSIUS) * air / (air - water),
            relative,
            "rho = rho_w m_air/(m_air - m_water)",
            vec![
                Why::given("m_air", quantity::show(self.in_air)),
                Why::given("m_water", quantity::show(self.in_water)),
                Why::given("temperature of the water", quantity::show(self.water)),
            ],
            &Source::published(
                "International Organization for Standardization",
                "ISO 1183-1, Methods for determining the density of non-cellular plastics",
                2019,
                "method A, immersion",
            )
            .from_memory(),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mix::Bench;

    #[test]
    fn densities_follow_from_their_readings() {
        let scale = Bench::with_scale(Mass::from_si(1e-4).unwrap()).scale;
        let liquid = WeighedVolume {
            volume: Volume::from_si(50e-6).unwrap(),
            mass: Mass::from_si(0.055).unwrap(),
            graduation: Volume::from_si(1e-6).unwrap(),
            scale,
        };
        // analytic: 1100 kg/m3; 0.0408/55 and 1 mL sqrt(2/12)/50 mL
        let rho = liquid.density().unwrap().density;
        assert!((rho.value.si() - 1100.0).abs() < 1e-9);
        assert!((rho.relative() - (0.0408248_f64 / 55.0).hypot(0.408248 / 50.0)).abs() < 1e-6);
        // water at 20 degC 998.20 kg/m3 (handbook, from memory): 24 g in air, 4 g in water
        let cured = WeighedInWater {
            in_air: Mass::from_si(0.024).unwrap(),
            in_water: Mass::from_si(0.004).unwrap(),
            water: ThermodynamicTemperature::from_si(293.15).unwrap(),
            scale,
        };
        assert!((cured.density().unwrap().density.value.si() - 998.2 * 1.2).abs() < 0.1);
        let floats = WeighedInWater {
            in_water: cured.in_air,
            ..cured
        };
        assert_eq!(floats.density().unwrap_err().field(), "in_water");
    }

    #[test]
    fn water_is_as_dense_as_the_tables_say() {
        // from memory: handbook values, kg/m3
        for (celsius, rho) in [
            (5.0, 999.97),
            (10.0, 999.70),
            (15.0, 999.10),
            (20.0, 998.20),
            (25.0, 997.05),
            (30.0, 995.65),
            (40.0, 992.2),
        ] {
            assert!(
                (water_density(celsius) - rho).abs() < 0.05,
                "{celsius} degC: {}",
                water_density(celsius)
            );
        }
    }
}
