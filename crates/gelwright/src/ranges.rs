//! Ranges that several fields share. A range that is one field's own stands at that field.

use crate::noun::{Range, range};

/// A thermometer's reading in the shop.
pub(crate) const BENCH_TEMPERATURE: Range = range!(
    "-20 degC",
    "60 degC",
    "give the temperature that the thermometer shows"
);
/// Of a liquid resin.
pub(crate) const RESIN_TEMPERATURE: Range = range!(
    "-40 degC",
    "200 degC",
    "give the temperature of the resin, such as '18 degC'"
);
/// At which a resin cures or is cured after.
pub(crate) const CURE_TEMPERATURE: Range =
    range!("-50 degC", "400 degC", "check the unit of the temperature");
/// Of anything that heat is followed in.
pub(crate) const HEAT_TEMPERATURE: Range = range!("100 K", "1000 K", "check the unit: '20 degC', not '20 K'");
/// What the hands need.
pub(crate) const HANDS_TIME: Range = range!("0 s", "7 d", "give the time the hands need");
/// How long a cup or a wall is followed.
pub(crate) const FOLLOWED_TIME: Range = range!("0.001 s", "1e8 s", "give for example '6 h'");
/// A time of a data sheet.
pub(crate) const SHEET_TIME: Range =
    range!("1 s", "30 d", "give the data sheet's time, for example '18 min'");
/// A gel time to find the dose for.
pub(crate) const WANTED_GEL_TIME: Range =
    range!(> "0 s", .., "give the wanted gel time, for example '20 min'");
/// A gel time or an end of its band.
pub(crate) const GEL_TIME_IN_BAND: Range = range!(> "0 s", .., "give the gel time with its band");
/// A tack window's end, in gel times.
pub(crate) const AFTER_GEL_TIMES: Range = range!(1, .., "a gel coat is not laminated before it has gelled");
/// How many times thicker a mix is at gel.
pub(crate) const GEL_RISE: Range = range!(> 1, .., "2 is a doubling");
/// Order of a rate law.
pub(crate) const RATE_ORDER: Range = range!(> 0, 5, "give the order of the rate law, above 0");
/// Of a resin mix, liquid or cured.
pub(crate) const MIX_DENSITY: Range = range!("500 kg/m^3", "5000 kg/m^3", "give for example '1.12 g/mL'");
/// Of a cured resin.
pub(crate) const CURED_RESIN_DENSITY: Range = range!(
    "1 kg/m^3",
    "1e5 kg/m^3",
    "give a density above zero: cured polyester has '1.2 g/mL'"
);
/// Of a fibre.
pub(crate) const FIBRE_DENSITY: Range = range!(
    "1 kg/m^3",
    "1e5 kg/m^3",
    "give a density above zero: E-glass has '2.56 g/mL'"
);
/// Of a liquid resin, from its data sheet.
pub(crate) const RESIN_SHEET_DENSITY: Range =
    range!(> "0 g/mL", .., "write the density from its data sheet, for example '1.1 g/mL'");
/// Of what is dosed, from its data sheet.
pub(crate) const DOSED_DENSITY: Range =
    range!(> "0 g/mL", .., "write the density from its data sheet, for example '1.15 g/mL'");
/// Of a laminate, by mass.
pub(crate) const GLASS_CONTENT: Range = range!(
    "0.001 wt%",
    "99.999 wt%",
    "a laminate holds both glass and resin: hand-laid mat is written '30 wt%', woven roving '45 wt%'"
);
/// Of a laminate, by volume.
pub(crate) const VOIDS: Range =
    range!("0 vol%", < "50 vol%", "hand lay-up holds a few percent of voids: write for example '3 vol%'");
/// Of elasticity.
pub(crate) const MODULUS: Range = range!(
    "1 Pa",
    "1e7 GPa",
    "give a modulus above zero, for example '6.4 GPa'"
);
/// In any direction.
pub(crate) const STRENGTH: Range = range!(
    "1 Pa",
    "1e7 GPa",
    "give a strength above zero, for example '60 MPa'"
);
/// In any direction, of either sign.
pub(crate) const STRESS: Range = range!("-1e7 GPa", "1e7 GPa", "for example '10 MPa'");
/// On a laminate, of either sign.
pub(crate) const FORCE_PER_WIDTH: Range = range!("-1e12 N/m", "1e12 N/m", "for example '1000 N/m'");
/// On a laminate, of either sign.
pub(crate) const MOMENT_PER_WIDTH: Range = range!("-1e12 N", "1e12 N", "for example '2 N*m/m'");
/// Of a cured resin or a laminate of random fibres.
pub(crate) const POISSON: Range = range!(> -1, < 0.5, "a cured resin has 0.33 to 0.40");
/// Strain at which a layer cracks.
pub(crate) const STRAIN_TO_CRACK: Range =
    range!(> "0 %", "1e4 %", "give a strain above zero, for example '2 %'");
/// Linear thermal expansion.
pub(crate) const EXPANSION: Range = range!("-1 1/K", "1 1/K", "a cured resin expands by some '70e-6 1/K'");
/// On cure, positive for shrinking.
pub(crate) const LINEAR_SHRINKAGE: Range =
    range!("0 %", < "100 %", "give a linear shrinkage, positive for shrinking: '0.5 %'");
/// Of a ply along or across its fibres; it may grow.
pub(crate) const FREE_SHRINKAGE: Range =
    range!(.., < "100 %", "give the free linear shrinkage, positive for shrinking: '0.5 %'");
/// A side or a radius of a panel.
pub(crate) const PANEL_LENGTH: Range = range!("1 nm", "1 km", "give a length above zero: '100 mm'");
/// Of a laminate or a wall.
pub(crate) const WALL_THICKNESS: Range = range!("1 nm", "1 km", "give a thickness above zero: '3 mm'");
/// Of a ply.
pub(crate) const PLY_THICKNESS: Range = range!("1 nm", "1 km", "give a thickness above zero: '1 mm'");
/// Of a coat.
pub(crate) const COAT_THICKNESS: Range = range!(
    "1 nm",
    "1 m",
    "give a thickness above zero: a gel coat has about '0.5 mm'"
);
/// That a clamped edge must keep.
pub(crate) const EDGE_THICKNESS: Range =
    range!(> "0 mm", .., "give a thickness above zero, for example '0.5 mm'");
/// Of a cavity or its shell.
pub(crate) const CAVITY_SIZE: Range = range!(> "0 mm", .., "give a length above zero, for example '12 mm'");
/// Of a ply.
pub(crate) const PLY_ANGLE: Range = range!("-360 deg", "360 deg", "a whole turn is '360 deg'");
/// Of a face that resin may run off.
pub(crate) const SLOPE: Range = range!("0 deg", "90 deg", "0 deg is a floor, 90 deg a wall");
/// By mass of the paste.
pub(crate) const SILICA_IN_PASTE: Range = range!(
    "0 wt%",
    "30 wt%",
    "above 30 wt% the powder no longer wets; give the silica as '4 wt%' of the paste"
);
/// Of what flows.
pub(crate) const LIQUID_VISCOSITY: Range =
    range!("1e-6 Pa*s", "1e15 Pa*s", "a laminating resin is about '0.4 Pa*s'");
/// Beyond which something stops.
pub(crate) const VISCOSITY_LIMIT: Range =
    range!(> "0 Pa*s", .., "give a viscosity above zero, for example '1 Pa*s'");
/// Of a face.
pub(crate) const EMISSIVITY: Range = range!(
    0,
    1,
    "painted, resin and plaster faces are about 0.9, bright metal 0.1"
);
/// Of a face.
pub(crate) const HEAT_TRANSFER: Range = range!(
    "0.01 W/(m^2*K)",
    "1e6 W/(m^2*K)",
    "still air about '10 W/(m^2*K)' with radiation, stirred water about '500 W/(m^2*K)'"
);
/// Relative change of a thermal property.
pub(crate) const CHANGE_PER_KELVIN: Range = range!(
    "-0.02 1/K",
    "0.02 1/K",
    "a few tenths of a percent per kelvin are usual: '0.002 1/K'"
);
/// Evenly spaced times that a run keeps.
pub(crate) const KEPT_TIMES: Range = range!(0, 100000, "200 draw a smooth curve");
/// Over a card.
pub(crate) const CARD_REFLECTANCE: Range = range!(0.0001, 0.999, "a reflectance, 0 to 1");
/// Refractive index of a cured resin.
pub(crate) const RESIN_INDEX: Range = range!(1.2, 2, "polyester has about 1.55");
/// Step of a scale's display.
pub(crate) const SCALE_STEP: Range =
    range!(> "0 g", .., "write a step of the display above zero, for example '0.1 g'");
/// Dose of a data sheet.
pub(crate) const SHEET_DOSE: Range =
    range!(> "0 phr", .., "write the dose of the data sheet, for example '2 phr'");
/// Of a batch.
pub(crate) const RESIN_MASS: Range = range!(> "0 g", .., "give the mass of the resin, for example '100 g'");
/// Share mixed beyond what stays in the part.
pub(crate) const WASTE: Range = range!(
    "0 %",
    "300 %",
    "give the share mixed beyond what stays in the part"
);
/// How often a plan is drawn.
pub(crate) const DRAWS: Range = range!(1, 1_000_000, "some hundreds tell a tenth, 5000 a hundredth");
/// Points of the indices that tell what makes the difference.
pub(crate) const INDEX_POINTS: Range = range!(0, 100_000, "some hundreds; 0 for none");
