//! Peroxides, doses and drops-as-doses against printed values.

use gelwright::ErrorKind;
use gelwright::mix::peroxide::{
    MixingOrder, MixingStep, PeroxideCompound, PeroxideProduct, available_oxygen,
};
use gelwright::mix::stoichiometry::molar_mass_of;
use gelwright::mix::{Dose, Dropper, ResinDose};
use gelwright::quantity::{self, *};

fn q<Q: Quantity>(text: &str) -> Q {
    quantity::parse("x", text).unwrap()
}

/// Form: United Nations, Model Regulations, 2.5.3.2, `16 sum(n_i c_i/m_i)`. Values as peroxide makers print them (from
/// memory): dibenzoyl peroxide 6.61, tert-butyl perbenzoate 8.24, cumene hydroperoxide 10.51, tert-butyl hydroperoxide
/// 17.75, di-tert-butyl peroxide 10.94, dicumyl peroxide 5.92, hydrogen peroxide 47.04 %. Tolerance: the last figure.
#[test]
fn theoretical_active_oxygen_of_known_structures() {
    for (name, formula, percent) in [
        ("dibenzoyl peroxide", "C14H10O4", 6.61),
        ("tert-butyl perbenzoate", "C11H14O3", 8.24),
        ("cumene hydroperoxide", "C9H12O2", 10.51),
        ("tert-butyl hydroperoxide", "C4H10O2", 17.75),
        ("di-tert-butyl peroxide", "C8H18O2", 10.94),
        ("dicumyl peroxide", "C18H22O2", 5.92),
        ("hydrogen peroxide", "H2O2", 47.04),
    ] {
        let ao = PeroxideCompound::pure(name, formula, 1)
            .active_oxygen()
            .unwrap()
            .pure;
        assert!(
            (100.0 * ao.get() - percent).abs() <= 0.0101,
            "{name}: {} against {percent}",
            100.0 * ao.get()
        );
        let by_sum = available_oxygen(&[(
            1,
            MassFraction::new(1.0).unwrap(),
            molar_mass_of(formula).unwrap(),
        )])
        .unwrap();
        assert!((by_sum.get() - ao.get()).abs() < 1e-15);
    }
}

/// Published: half of a benzoyl peroxide paste is phlegmatiser, so it has half the active oxygen (3.3 %; makers print 3.30,
/// from memory).
#[test]
fn a_paste_has_its_share() {
    let mut paste = PeroxideCompound::pure("", "C14H10O4", 1);
    paste.assay = q("50 wt%");
    let found = paste.active_oxygen().unwrap();
    assert!((100.0 * found.product.get() - 3.30).abs() < 0.01);
}

/// The single compounds in it differ from 18 to 26 % (CDC lists C8H18O6, the International Chemical Safety Card 1028
/// C8H16O4 for the same name), so a formula is refused, by name and by any of the formulas.
#[test]
fn methyl_ethyl_ketone_peroxide_is_read_from_its_label() {
    for c in [
        PeroxideCompound::pure("MEKP", "C8H18O6", 2),
        PeroxideCompound::pure("methyl ethyl ketone peroxide", "", 2),
        PeroxideCompound::pure("", "C8H16O4", 2),
        PeroxideCompound::pure("", "C8H18O6", 3),
    ] {
        let e = c.active_oxygen().unwrap_err();
        assert_eq!(e.kind(), ErrorKind::NoSolution, "{e}");
        assert!(e.to_string().contains("label"), "{e}");
    }
}

#[test]
fn impossible_structures_are_refused() {
    assert_eq!(
        PeroxideCompound::pure("", "C14H10O4", 0)
            .active_oxygen()
            .unwrap_err()
            .kind(),
        ErrorKind::OutOfRange
    );
    assert_eq!(
        PeroxideCompound::pure("", "C14H10O4", 3)
            .active_oxygen()
            .unwrap_err()
            .kind(),
        ErrorKind::Inconsistent
    );
    assert!(PeroxideCompound::pure("", "nonsense", 1).active_oxygen().is_err());
    let over = [
        (1, q::<MassFraction>("60 wt%"), q::<MolarMass>("242 g/mol")),
        (1, q("60 wt%"), q("242 g/mol")),
    ];
    assert_eq!(available_oxygen(&over).unwrap_err().kind(), ErrorKind::OutOfRange);
}

/// Analytic: 2 phr of a 9.0 % product bring as much active oxygen as 2 x 9.0/8.6 = 2.093 phr of an 8.6 % one.
#[test]
fn products_are_made_equivalent_by_active_oxygen() {
    let product = |ao: &str, rho: &str| PeroxideProduct {
        active_oxygen: q(ao),
        density: q(rho),
    };
    let known = product("9 wt%", "1.17 g/mL");
    let equivalent =
        |other: &PeroxideProduct| known.equivalent_dose("2 phr".parse().unwrap(), other, q("1.10 g/mL"));
    let e = equivalent(&product("8.6 wt%", "1.10 g/mL")).unwrap();
    assert!((e.dose.get() - 2.0 * 9.0 / 8.6).abs() < 1e-12);
    assert!((e.dose_by_volume.get() - 0.02 * 9.0 / 8.6 * 1.10 / 1.10).abs() < 1e-12);
    assert!(e.why.to_string().contains("not equal speed"));
    let none = equivalent(&product("0 wt%", "1.1 g/mL"));
    assert_eq!(none.unwrap_err().field(), "other.active_oxygen");
}

/// Practical Action, Basic Fibreglass Boat Building, technical brief KnO 100378, p. 10: catalyst and accelerator, mixed
/// directly, form an explosive mixture. Acetone: US Defense Logistics Agency and others, Storage and Handling of Hazardous
/// Materials, DLAI 4145.11, TM 38-410 (1999), 4.16 B.
#[test]
fn promoter_and_peroxide_never_meet() {
    use MixingStep::{Acetone, Filler, Peroxide, Promoter, Resin, Stir};
    let order = |steps: &[MixingStep]| MixingOrder {
        steps: steps.to_vec(),
    };
    for good in [
        &[Resin, Peroxide, Stir][..],
        &[Resin, Promoter, Stir, Peroxide, Stir],
        &[Resin, Promoter, Stir, Filler, Stir, Peroxide, Stir],
    ] {
        order(good).check().unwrap();
    }
    for (bad, at) in [
        (&[Promoter, Peroxide][..], "steps[1]"),
        (&[Promoter, Stir, Peroxide], "steps[2]"),
        (&[Resin, Promoter, Peroxide, Stir], "steps[2]"),
        (&[Resin, Peroxide, Promoter, Stir], "steps[2]"),
        (&[Peroxide, Resin], "steps[0]"),
        (&[Resin, Acetone, Peroxide], "steps[2]"),
        (&[Resin, Peroxide, Stir, Acetone], "steps[3]"),
    ] {
        let e = order(bad).check().unwrap_err();
        assert_eq!(
            (e.kind(), e.field()),
            (ErrorKind::Inconsistent, at),
            "{bad:?}: {e}"
        );
        assert!(e.to_string().contains("stop"), "{e}");
    }
}

/// A fibreglass supplier's chart and a marketplace guide equate 2 % with 20 mL to 1 kg. With a peroxide of 1.10 to 1.18 g/mL
/// that is 2.2 to 2.4 % by mass (arithmetic): different, named things.
#[test]
fn two_percent_is_not_twenty_millilitres_per_kilogram() {
    let resin: MassDensity = q("1.10 g/mL");
    for (rho, phr) in [("1.10 g/mL", 2.2), ("1.18 g/mL", 2.36)] {
        let dose: Dose = "20 mL/kg".parse().unwrap();
        let by_mass = dose.as_phr(resin, q(rho), None).unwrap();
        assert!((by_mass.get() - phr).abs() < 1e-9, "{by_mass:?}");
    }
    // A polyester casting guide: "2 % = 10 cc per lb", 2.4 to 2.6 % by mass at the same densities.
    let per_pound: Dose = "10 cc/lb".parse().unwrap();
    let low = per_pound.as_phr(resin, q("1.10 g/mL"), None).unwrap().get();
    let high = per_pound.as_phr(resin, q("1.18 g/mL"), None).unwrap().get();
    assert!(
        (2.4..2.45).contains(&low) && (2.55..2.65).contains(&high),
        "{low} {high}"
    );
}

/// Essential Surfing, as quoted in a surfboard builders' forum: to one US quart 1/2 % 5 cc, 3/4 % 7, 1 % 9, 1 1/2 % 14, 2 %
/// 18 cc. These are percent by mass: with resin and peroxide both of 1.10 g/mL (neither is printed) every row comes out
/// within 6 %, which whole cc and unknown densities explain.
#[test]
fn cc_to_a_quart_are_percent_by_mass() {
    for (cc, percent) in [(5.0, 0.5), (7.0, 0.75), (9.0, 1.0), (14.0, 1.5), (18.0, 2.0)] {
        let dose: Dose = format!("{cc} cc/qt").parse().unwrap();
        let phr = dose.as_phr(q("1.10 g/mL"), q("1.10 g/mL"), None).unwrap().get();
        assert!((phr / percent - 1.0).abs() < 0.06, "{cc} cc: {phr} %");
    }
}

/// Common practice, no source (what the trade calls a tenth-ounce rule): one drop per 0.1 fl oz of laminating resin, two of
/// gel coat: about 1 % and 2 % for a drop near 0.03 mL; 0.8 fl oz of gel coat takes 16 drops, 0.5 fl oz of resin 5.
#[test]
fn tenth_ounce_rule() {
    let dropper = Dropper::uncalibrated();
    let resin: Dose = "1 drop/0.1 fl oz".parse().unwrap();
    let gel_coat: Dose = "2 drops/0.1 fl oz".parse().unwrap();
    let phr = |d: Dose| {
        d.as_phr(q("1.10 g/mL"), q("1.10 g/mL"), Some(&dropper))
            .unwrap()
            .get()
    };
    assert!((phr(resin) - 1.0).abs() < 0.02, "{}", phr(resin));
    assert!((phr(gel_coat) - 2.0).abs() < 0.04, "{}", phr(gel_coat));
    let drops = |d: Dose, v: &str| match d {
        Dose::Drops(rate) => rate.drops_for(q(v)),
        _ => unreachable!(),
    };
    assert!((drops(gel_coat, "0.8 fl oz") - 16.0).abs() < 1e-9);
    assert!((drops(resin, "0.5 fl oz") - 5.0).abs() < 1e-9);
}

/// Published rules call 4 drops an ounce 1 % (a car repair guide) and quote 13 drops an ounce as a fast set (Essential
/// Surfing): drops of 0.074 and 0.023 mL. The uncalibrated dropper's 95 % interval spans a factor of that size, and a dose in
/// drops without any dropper is refused.
#[test]
fn a_drop_is_not_a_unit() {
    let v = Dropper::uncalibrated().count(1e6).unwrap();
    let (low, high) = v.input().ends();
    assert!(high / low >= 13.0 / 4.0, "{v:?}");
    let e = "10 drops/fl oz"
        .parse::<Dose>()
        .unwrap()
        .as_phr(q("1.1 g/mL"), q("1.1 g/mL"), None)
        .unwrap_err();
    assert_eq!((e.kind(), e.field()), (ErrorKind::Inconsistent, "dropper"), "{e}");
}

#[test]
fn a_slip_of_ten_is_suspected() {
    let finding = |dose: &str, lowest: Option<&str>, highest: Option<&str>| {
        let dosed = ResinDose {
            dose: dose.parse().unwrap(),
            resin_mass: Some(q("250 g")),
            resin_volume: None,
            resin_density: q("1.10 g/mL"),
            dose_density: q("1.15 g/mL"),
            dropper: None,
            lowest: lowest.map(q),
            highest: highest.map(q),
        };
        dosed.measure().map(|d| d.finding.unwrap_or_default())
    };
    let both = |dose: &str| finding(dose, Some("1 phr"), Some("2.5 phr")).unwrap();
    for slip in ["0.2 phr", "20 phr"] {
        assert!(both(slip).contains("2 phr lies inside"), "{}", both(slip));
    }
    assert_eq!(both("2 phr"), "");
    assert_eq!(both("4 phr"), "4 phr is outside 1 phr to 2.5 phr");
    // One bound alone counts as well, and none is left out without a word.
    assert!(
        finding("20 phr", None, Some("2.5 phr"))
            .unwrap()
            .contains("2 phr lies inside")
    );
    assert!(
        finding("0.2 phr", Some("1 phr"), None)
            .unwrap()
            .contains("2 phr lies inside")
    );
    let e = finding("2 phr", Some("3 phr"), Some("1 phr")).unwrap_err();
    assert_eq!((e.kind(), e.field()), (ErrorKind::Inconsistent, "lowest"), "{e}");
}
