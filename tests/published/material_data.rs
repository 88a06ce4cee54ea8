//! The generic catalogue against sources other than the ones it cites.
//!
//! Independent computations: `chemicals` 1.5.2 and `thermo` 0.6.1 (open Python libraries with the data of DIPPR,
//! the CRC Handbook and IEC 60079-20-1), run once, values copied here. Analytic: standard atomic weights (IUPAC
//! 2021, abridged) and X-ray densities `rho = Z M/(N_A V)` from published unit cells.

use gelwright::Property;
use gelwright::material::{Catalogue, ExposureLimits, LimitForm, Material};
use gelwright::quantity::{self, Quantity};

fn material(id: &str) -> &'static Material {
    Catalogue::generic().get(id).unwrap()
}

/// The value lies within `rtol` of the expected one, and its range takes the expected one in (where it has one).
fn near<Q: Quantity>(what: &str, p: &Option<Property<Q>>, expected: &str, rtol: f64) {
    let p = p.as_ref().unwrap_or_else(|| panic!("{what}: no value"));
    let x = quantity::parse::<Q>(what, expected).unwrap().si();
    assert!(
        (p.value.si() - x).abs() <= rtol * x.abs(),
        "{what}: {} against {expected}, tolerance {rtol}",
        quantity::show(p.value)
    );
    if let Some((low, high)) = p.range {
        assert!(
            low.si() <= x && x <= high.si(),
            "{what}: {expected} outside {} to {}",
            quantity::show(low),
            quantity::show(high)
        );
    }
}

/// Grams per mole from standard atomic weights, IUPAC 2021 abridged: C 12.011, H 1.008, O 15.999, N 14.007.
fn molar_mass(c: f64, h: f64, o: f64, n: f64) -> f64 {
    12.011 * c + 1.008 * h + 15.999 * o + 14.007 * n
}

#[test]
fn styrene_and_acetone_agree_with_open_thermophysical_data() {
    // chemicals/thermo: liquid density, viscosity, surface tension, vapour pressure; tolerances are the spread
    // between correlations of that property (density 0.3 %, transport 5 %, vapour pressure rounded to 1 mmHg).
    let styrene = material("styrene");
    let s = styrene.solvent().unwrap();
    near(
        "styrene density, 20 degC",
        &styrene.density,
        "904.97 kg/m^3",
        3e-3,
    );
    near("styrene viscosity", &s.viscosity, "0.7018 mPa*s", 0.05);
    near("styrene surface tension", &s.surface_tension, "30.84 mN/m", 0.05);
    near("styrene vapour pressure", &s.vapour_pressure, "608.5 Pa", 0.10);
    near("styrene boiling point", &s.boiling_point, "145.3 degC", 2e-3);
    near(
        "styrene flash point (IEC 60079-20-1, 2010)",
        &s.flash_point,
        "30 degC",
        5e-3,
    );
    near(
        "styrene refractive index (CRC Handbook, 25 degC)",
        &s.refractive_index,
        "1.5440",
        2e-3,
    );
    near(
        "styrene autoignition (IEC 60079-20-1, 2010)",
        &s.autoignition,
        "490 degC",
        5e-3,
    );

    let acetone = material("acetone");
    let a = acetone.solvent().unwrap();
    near(
        "acetone density, 25 degC",
        &acetone.density,
        "784.77 kg/m^3",
        3e-3,
    );
    near("acetone viscosity", &a.viscosity, "0.3159 mPa*s", 0.05);
    near("acetone surface tension", &a.surface_tension, "23.34 mN/m", 0.05);
    near("acetone vapour pressure", &a.vapour_pressure, "24.66 kPa", 0.10);
    near("acetone boiling point", &a.boiling_point, "56.07 degC", 2e-3);
    near(
        "acetone flash point (IEC 60079-20-1, 2010)",
        &a.flash_point,
        "-20 degC",
        0.01,
    );
    near(
        "acetone lower explosive limit (IEC 60079-20-1, 2010)",
        &a.lower_explosive_limit,
        "2.5 vol%",
        1e-9,
    );
    near(
        "acetone refractive index (CRC Handbook)",
        &a.refractive_index,
        "1.3588",
        1e-3,
    );
}

#[test]
fn molar_masses_follow_from_atomic_weights() {
    let grams = |m: &Material| m.solvent().unwrap().molar_mass.as_ref().unwrap().value.si() * 1e3;
    // styrene C8H8, acetone C3H6O; the catalogue's figures are printed to two decimals
    assert!((grams(material("styrene")) - molar_mass(8.0, 8.0, 0.0, 0.0)).abs() < 0.02);
    assert!((grams(material("acetone")) - molar_mass(3.0, 6.0, 1.0, 0.0)).abs() < 0.005);
    // MDI C15H10N2O2, MEKP as C8H16O4 (the formula its limit was converted with)
    let agent = |id: &str| {
        ExposureLimits::generic()
            .agent(id)
            .unwrap()
            .molar_mass
            .unwrap()
            .si()
            * 1e3
    };
    assert!((agent("diphenylmethane_diisocyanate") - molar_mass(15.0, 10.0, 2.0, 2.0)).abs() < 0.1);
    assert!((agent("methyl_ethyl_ketone_peroxide") - molar_mass(8.0, 16.0, 4.0, 0.0)).abs() < 0.1);
}

#[test]
fn mineral_fillers_have_their_x_ray_density() {
    const AVOGADRO: f64 = 6.022_140_76e23; // exact, SI Brochure 2019
    // Handbook of Mineralogy (Anthony et al., 2001-2005), cell data in ångström:
    // calcite a 4.9896, c 17.0610, Z 6, M 100.087; gibbsite a 8.684, b 5.078, c 9.736, beta 94.54 deg, Z 8, M 78.003
    let calcite = 6.0 * 100.087 / AVOGADRO / (4.9896f64.powi(2) * 17.0610 * (3f64.sqrt() / 2.0) * 1e-24);
    let gibbsite = 8.0 * 78.003 / AVOGADRO / (8.684 * 5.078 * 9.736 * 94.54f64.to_radians().sin() * 1e-24);
    for (id, expected) in [("calcium_carbonate", calcite), ("aluminium_trihydrate", gibbsite)] {
        let m = material(id);
        // 0.5 %: a natural mineral against its perfect crystal
        near(id, &m.density, &format!("{expected} g/mL"), 5e-3);
    }
    // Gibbsite's refractive indices 1.56 to 1.60 (same handbook) hold the filler's single one.
    let n = material("aluminium_trihydrate")
        .filler()
        .unwrap()
        .refractive_index
        .as_ref()
        .unwrap()
        .value
        .get();
    assert!((1.56..=1.60).contains(&n));
}

#[test]
fn glass_silica_and_metals_agree_with_a_second_source() {
    // E-glass: a weaver's table of measured values (2.6 g/cm³, 75 GPa, 3.2 GPa, 763 J/(kg K), 1.0 W/(m K),
    // 5.6e-6 1/K, n 1.560), "properties of glass fiber"; another maker, another melt: 12 %.
    let mat = material("csm_450");
    let r = mat.reinforcement().unwrap();
    let close = |what: &str, value: f64, expected: f64, rtol: f64| {
        assert!(
            (value - expected).abs() <= rtol * expected,
            "{what}: {value} against {expected}"
        );
    };
    close("density", mat.density.as_ref().unwrap().value.si(), 2600.0, 0.02);
    close(
        "modulus",
        r.fibre_modulus.as_ref().unwrap().value.si(),
        75e9,
        0.12,
    );
    close(
        "strength",
        r.fibre_strength.as_ref().unwrap().value.si(),
        3.2e9,
        0.15,
    );
    close(
        "specific heat",
        r.specific_heat.as_ref().unwrap().value.si(),
        763.0,
        0.12,
    );
    close(
        "expansion",
        r.thermal_expansion.as_ref().unwrap().value.si(),
        5.6e-6,
        0.12,
    );
    close(
        "index",
        r.refractive_index.as_ref().unwrap().value.get(),
        1.560,
        0.005,
    );
    // Fused silica in a public materials database: 2.2 g/cm³, 1.4 W/(m K), 720 J/(kg K), printed to two figures.
    let silica = material("fumed_silica");
    let f = silica.filler().unwrap();
    close(
        "silica density",
        silica.density.as_ref().unwrap().value.si(),
        2200.0,
        0.025,
    );
    close(
        "silica conductivity",
        f.conductivity.as_ref().unwrap().value.si(),
        1.4,
        0.04,
    );
    close(
        "silica specific heat",
        f.specific_heat.as_ref().unwrap().value.si(),
        720.0,
        0.05,
    );
    // Tin bronze C51900 in the same database: 8.8 g/cm³, 380 J/(kg K); wrought aluminium 6008, 6065, 6082:
    // 2.7 to 2.8 g/cm³, 160 to 190 W/(m K), 890 to 900 J/(kg K), 23e-6 1/K.
    let bronze = material("bronze_powder");
    close(
        "bronze density",
        bronze.density.as_ref().unwrap().value.si(),
        8800.0,
        0.01,
    );
    close(
        "bronze specific heat",
        bronze
            .filler()
            .unwrap()
            .specific_heat
            .as_ref()
            .unwrap()
            .value
            .si(),
        380.0,
        0.03,
    );
    let aluminium = material("aluminium_mould");
    let w = aluminium.mould_wall().unwrap();
    close(
        "aluminium density",
        aluminium.density.as_ref().unwrap().value.si(),
        2700.0,
        0.01,
    );
    close(
        "aluminium conductivity",
        w.conductivity.as_ref().unwrap().value.si(),
        175.0,
        0.09,
    );
    close(
        "aluminium specific heat",
        w.specific_heat.as_ref().unwrap().value.si(),
        895.0,
        0.01,
    );
    close(
        "aluminium expansion",
        w.thermal_expansion.as_ref().unwrap().value.si(),
        23e-6,
        0.03,
    );
}

#[test]
fn resin_to_mat_rules_are_the_printed_ones_side_by_side() {
    // 2.5 : 1 by mass (Practical Action, Fibreglass boat building) is 1/3.5 of glass; BS 4994:1987 as quoted in a
    // design sheet prints 33 wt% and resin:glass 2.03 for mat, 45 wt% and 1.22 for woven roving.
    let contents = |id: &str| -> Vec<f64> {
        let r = material(id).reinforcement().unwrap();
        r.glass_content.iter().map(|p| p.value.get()).collect()
    };
    let mat = contents("csm_450");
    assert!(
        (mat[0] - 1.0 / 3.5).abs() < 5e-4,
        "the first one is what a plan takes"
    );
    let ratio = |w: f64| (1.0 - w) / w;
    assert!(mat.iter().any(|w| (ratio(*w) - 2.03).abs() < 5e-3));
    assert!(
        contents("woven_roving_600")
            .iter()
            .any(|w| (ratio(*w) - 1.22).abs() < 5e-3)
    );
    assert!(
        contents("woven_roving_600")
            .iter()
            .any(|w| (ratio(*w) - 1.25).abs() < 5e-3)
    );
    let (low, high) = mat
        .iter()
        .fold((1.0f64, 0.0f64), |(l, h), w| (l.min(*w), h.max(*w)));
    assert!(
        high / low > 1.4,
        "the rules disagree and are not averaged: {low} to {high}"
    );
}

#[test]
fn mats_and_cloths_weigh_what_their_names_say() {
    // NIST SP 811 (2008) B.8: oz/ft² = 0.305 151 7 kg/m², oz/yd² = 0.033 905 75 kg/m²; the trade sells
    // "1 1/2 oz" mat as 450 g/m² and "6 oz" cloth as 200 g/m²: within 2 %.
    let areal = |id: &str| material(id).reinforcement().unwrap().areal_mass.value.si();
    assert!((areal("csm_15_oz") - 1.5 * 0.305_151_7).abs() < 1e-6);
    assert!((areal("csm_15_oz") / areal("csm_450") - 1.0).abs() < 0.02);
    assert!((areal("csm_075_oz") / areal("csm_225") - 1.0).abs() < 0.02);
    assert!((areal("glass_cloth_80") - 2.3 * 0.033_905_75).abs() < 1e-6);
    assert!((6.0 * 0.033_905_75 / areal("glass_cloth_200") - 1.0).abs() < 0.02);
}

#[test]
fn exposure_limits_by_volume_and_by_mass_agree() {
    // NIOSH Pocket Guide: mg/m³ = ppm x M/24.45 at 25 degC and 1 atm. The bodies round: 5 % (the peroxide's 1.44
    // is printed as 1.5).
    let all = ExposureLimits::generic();
    let mut compared = 0;
    for agent in all.agents() {
        let Some(m) = agent.molar_mass else { continue };
        for l in all.of(&agent.id).unwrap() {
            if let (Some(x), Some(mass)) = (l.in_air, l.mass) {
                let expected = x.get() * 1e6 * (m.si() * 1e3) / 24.45 * 1e-6;
                assert!(
                    (mass.si() / expected - 1.0).abs() < 0.05,
                    "{} of {}: {} kg/m³ against {expected}",
                    agent.id,
                    l.body,
                    mass.si()
                );
                compared += 1;
            }
        }
    }
    assert!(compared >= 8, "{compared}");
}

#[test]
fn the_limits_of_styrene_are_all_there() {
    // OSHA 29 CFR 1910.1000 Z-2: 100 ppm TWA, 200 ppm ceiling, 600 ppm peak; NIOSH 2005: 50 ppm TWA, 100 ppm ST.
    let limits = ExposureLimits::generic().of("styrene").unwrap();
    let ppm = |body: &str, form: LimitForm| {
        limits
            .iter()
            .find(|l| l.body.starts_with(body) && l.form == form)
            .and_then(|l| l.in_air)
            .map(|x| x.get() * 1e6)
    };
    for (body, form, expected) in [
        ("OSHA", LimitForm::TimeWeightedAverage, 100.0),
        ("OSHA", LimitForm::Ceiling, 200.0),
        ("OSHA", LimitForm::Peak, 600.0),
        ("NIOSH", LimitForm::TimeWeightedAverage, 50.0),
        ("NIOSH", LimitForm::ShortTerm, 100.0),
    ] {
        let x = ppm(body, form).unwrap();
        assert!((x - expected).abs() < 1e-9, "{body} {form}: {x}");
    }
}

#[test]
fn the_gel_coat_is_the_one_on_its_data_sheet() {
    // White gel coat data sheet (2003): 10.7 to 11.0 lb/gal, 34.8 to 36.8 % styrene. In g/mL with NIST SP 811:
    // 1 lb/gal = 0.119 826 4 g/mL.
    let m = material("white_gel_coat");
    let (low, high) = m.density.as_ref().unwrap().range.unwrap();
    assert!((low.si() - 10.7 * 119.8264).abs() < 0.01 && (high.si() - 11.0 * 119.8264).abs() < 0.01);
    let w = m.resin().unwrap().styrene.as_ref().unwrap().value.get();
    assert!((0.348..=0.368).contains(&w));
}
