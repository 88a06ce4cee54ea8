//! Conversion factors against a published table.
//!
//! Source: A. Thompson, B. N. Taylor, Guide for the Use of the International System of Units, NIST SP 811
//! (2008), appendix B.8: printed to seven figures (exact ones in bold there). Tolerance: half a unit of the
//! seventh figure.

use gelwright::quantity::*;

fn si<Q: Quantity>(text: &str) -> f64 {
    parse::<Q>("x", text).unwrap().si()
}

#[test]
fn nist_sp_811_factors() {
    #[rustfmt::skip]
    let cases: &[(f64, f64)] = &[
        (si::<Length>("1 mil"), 2.54e-5),
        (si::<Length>("1 ft"), 3.048e-1),
        (si::<Mass>("1 oz"), 2.834952e-2),
        (si::<Mass>("1 lb"), 4.535924e-1),
        (si::<Volume>("1 fl oz"), 2.957353e-5),
        (si::<Volume>("1 imp fl oz"), 2.841306e-5),
        (si::<Volume>("1 gal"), 3.785412e-3),
        (si::<Volume>("1 imp gal"), 4.54609e-3),
        (si::<Volume>("1 imp pint"), 5.682612e-4),
        (si::<Volume>("1 qt"), 9.463529e-4),
        (si::<Volume>("1 pt"), 4.731765e-4),
        (si::<Volume>("1 cup"), 2.365882e-4),
        (si::<Volume>("1 tbsp"), 1.478676e-5),
        (si::<Volume>("1 tsp"), 4.928922e-6),
        (si::<ArealMassDensity>("1 oz/ft^2"), 3.051517e-1),
        (si::<ArealMassDensity>("1 oz/yd^2"), 3.390575e-2),
        (si::<ArealMassDensity>("1 lb/ft^2"), 4.882428),
        (si::<MassDensity>("1 lb/ft^3"), 1.601846e1),
        (si::<MassDensity>("1 lb/gal"), 1.198264e2),
        (si::<MassDensity>("1 oz/in^3"), 1.729994e3),
        (si::<Pressure>("1 psi"), 6.894757e3),
        (si::<AvailableEnergy>("1 Btu/lb"), 2.326e3),
        (si::<DynamicViscosity>("1 cP"), 1.0e-3),
    ];
    for (i, (got, printed)) in cases.iter().enumerate() {
        let half_a_unit = 0.5 * 10f64.powf(printed.log10().floor() - 6.0);
        assert!(
            (got - printed).abs() <= half_a_unit * 1.001,
            "case {i}: {got} against printed {printed}"
        );
    }
}

#[test]
fn temperature_scales() {
    // NIST SP 811 (2008) B.8: t/degC = (t/degF - 32)/1.8; an interval of 1 degF is 5/9 K.
    assert!((si::<ThermodynamicTemperature>("88 degF") - (273.15 + (88.0 - 32.0) / 1.8)).abs() < 1e-9);
    assert!((si::<ThermodynamicTemperature>("0 degF") - (273.15 - 32.0 / 1.8)).abs() < 1e-9);
    assert!((si::<TemperatureInterval>("1 delta_degF") - 5.0 / 9.0).abs() < 1e-12);
}

#[test]
fn trade_ounces_of_mat_and_cloth() {
    // Exact: 1.5 oz/ft^2 mat = 457.7 g/m^2; 10 oz/yd^2 cloth = 339.1 g/m^2 (from the definitions of ounce and yard).
    assert!((si::<ArealMassDensity>("1.5 oz/ft^2") * 1e3 - 457.7).abs() < 0.05);
    assert!((si::<ArealMassDensity>("10 oz/yd^2") * 1e3 - 339.1).abs() < 0.05);
    assert!((si::<ArealMassDensity>("9 oz/yd^2") / si::<ArealMassDensity>("1 oz/ft^2") - 1.0).abs() < 1e-12);
}
