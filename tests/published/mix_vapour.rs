//! Vapour from open films against the rules that name it, and the casting's mass balance with it.

use gelwright::mix::{ApplicationMethod, AppliedFilm, FilmKind, WeighedPanel};
use gelwright::plan::{Casting, Plan};
use gelwright::quantity::*;
use gelwright::{Cancel, ErrorKind};

const CAREFUL: &str = include_str!("../../crates/gelwright/demo/moth_lantern.toml");

fn film(kind: FilmKind, method: ApplicationMethod, percent: f64) -> AppliedFilm {
    AppliedFilm {
        kind,
        method,
        mass: Mass::from_si(1.0).unwrap(),
        monomer: MassFraction::new(percent / 100.0).unwrap(),
        waxed: false,
        area: None,
        open: None,
        weighed: None,
    }
}

/// kg of vapour on 1000 kg.
fn per_tonne(kind: FilmKind, method: ApplicationMethod, percent: f64) -> f64 {
    1e3 * film(kind, method, percent).vapour().unwrap().lost.si()
}

/// Maryland COMAR 26.11.19.26-1, Rhode Island 250-RICR-120-05-51.7 and Illinois 35 Ill. Adm. Code 219.891 print monomer
/// contents (40 CFR 63 subpart VVVV, table 2) with what is equivalent to them in kg/Mg, in whole kilograms. Two of them do not
/// follow from the relations of table 3: pigmented gel coat (rule 2.2 % above) and tooling resin without a gun (rule 7.4 % below).
#[test]
fn relations_give_the_rules_equivalents_and_its_two_exceptions() {
    use ApplicationMethod::{Brush, Roller, Spray};
    use FilmKind::{GelCoat, Resin};
    for (kind, method, percent, rule, off) in [
        (Resin, Spray, 28.0, 46.0, 0.0),
        (Resin, Roller, 35.0, 46.0, 0.0),
        (GelCoat, Brush, 33.0, 159.0, -0.022),
        (GelCoat, Spray, 48.0, 291.0, 0.0),
        (Resin, Spray, 30.0, 54.0, 0.0),
        (Resin, Roller, 39.0, 54.0, 0.080),
        (GelCoat, Brush, 40.0, 214.0, 0.0),
    ] {
        let found = per_tonne(kind, method, percent);
        let apart = found / rule - 1.0;
        // Rounded to a whole kilogram, up where it is a limit: 1 kg.
        assert!(
            (found - rule * (1.0 + off)).abs() < 1.0,
            "{percent} %: {found} against {rule}, {apart}"
        );
        assert!(
            (off == 0.0) == ((found - rule).abs() < 1.0),
            "an exception is smoothed: {found}"
        );
    }
}

/// The white and the clear gel coat and the laminating resin by a calculator: 0.445 x 35.8^1.675 = 178, 0.445 x 38^1.675 = 197,
/// 0.014 x 44^2.275 = 77 kg/Mg.
#[test]
fn the_catalogues_resins() {
    use ApplicationMethod::{Brush, Roller};
    assert!((per_tonne(FilmKind::GelCoat, Brush, 35.8) - 178.0).abs() < 0.6);
    assert!((per_tonne(FilmKind::GelCoat, Brush, 38.0) - 197.0).abs() < 0.6);
    assert!((per_tonne(FilmKind::Resin, Roller, 44.0) - 77.0).abs() < 0.6);
}

/// 40 CFR 63 subpart WWWW, table 3, footnote 3: a gel coat by hand counts as one by atomized spray.
#[test]
fn a_brushed_gel_coat_counts_as_sprayed_and_not_as_hand_lay_up() {
    let of = |kind, method| per_tonne(kind, method, 36.0);
    let brushed = of(FilmKind::GelCoat, ApplicationMethod::Brush);
    assert_eq!(brushed, of(FilmKind::GelCoat, ApplicationMethod::Spray));
    assert!(brushed > 2.0 * of(FilmKind::Resin, ApplicationMethod::Roller));
}

/// The older set of factors (AP-42, 4.4) was found too low by 1.6 to 2.5 times (E. Kong and others, Evaluation of pollution
/// prevention options, EPA/600/SR-97/018, 1997, abstract). Its middles (from memory): 30.5 % of the monomer for gel coat, 7.5 %
/// for hand lay-up. The band overlaps that.
#[test]
fn bands_reach_what_was_measured_against_the_older_factors() {
    for (kind, percent, middle) in [(FilmKind::GelCoat, 38.0, 0.305), (FilmKind::Resin, 38.0, 0.075)] {
        let v = film(kind, ApplicationMethod::Brush, percent).vapour().unwrap();
        let of_monomer = |m: Mass| m.si() / (percent / 100.0);
        assert!(
            of_monomer(v.low) < 1.6 * middle && of_monomer(v.high) > 1.6 * middle,
            "{v:?}"
        );
        assert!(
            of_monomer(v.high) > 2.0 * middle && of_monomer(v.low) < 2.0 * middle,
            "{v:?}"
        );
    }
}

/// Four castings of polymer concrete, 43 wt% styrene: 0.46 to 1.13 % of the styrene (ecrminc.com/page12.html).
#[test]
fn a_closed_pour_keeps_its_monomer() {
    let v = film(FilmKind::Resin, ApplicationMethod::ClosedPour, 43.0)
        .vapour()
        .unwrap();
    assert!((v.low.si() / 0.43 - 0.0046).abs() < 1e-9 && (v.high.si() / 0.43 - 0.0113).abs() < 1e-9);
    assert!((v.of_monomer.get() - (0.0046 + 0.0113 + 0.0101 + 0.0102) / 4.0).abs() < 1e-9);
}

/// A. Säämänen and others (Appl. Occup. Environ. Hyg. 6:790, 1991): 30 to 60 % less in total with a resin that seals itself.
#[test]
fn wax_holds_a_third_to_two_thirds_back() {
    let mut of = film(FilmKind::Resin, ApplicationMethod::Roller, 44.0);
    let open = of.vapour().unwrap().lost.si();
    of.waxed = true;
    let sealed = of.vapour().unwrap().lost.si();
    assert!((0.4..=0.7).contains(&(sealed / open)), "{}", sealed / open);
}

/// By hand: 12.4 g laid, 11.0 g left: 11.3 wt% lost. Of a resin with 10 wt% of monomer that can not be.
#[test]
fn a_weighed_panel_replaces_the_relation_and_can_not_lose_what_is_not_there() {
    let mut of = film(FilmKind::GelCoat, ApplicationMethod::Brush, 35.8);
    let gram = |g: f64| Mass::from_si(1e-3 * g).unwrap();
    of.weighed = Some(WeighedPanel {
        laid: gram(12.4),
        left: gram(11.0),
    });
    let v = of.vapour().unwrap();
    assert!((v.of_film.get() - 1.4 / 12.4).abs() < 1e-12 && v.low == v.high);
    of.monomer = MassFraction::new(0.10).unwrap();
    assert_eq!(of.vapour().unwrap_err().kind(), ErrorKind::Inconsistent);
    of.weighed = Some(WeighedPanel {
        laid: gram(12.4),
        left: gram(12.5),
    });
    assert_eq!(of.vapour().unwrap_err().kind(), ErrorKind::Inconsistent);
}

fn demo() -> Plan {
    Casting::from_toml(CAREFUL).unwrap().plan(Cancel::NEVER).unwrap()
}

/// The demo by a calculator: 0.5 mm of white gel coat, 1.30 g/mL, loses 17.8 % and cures to 1.38 g/mL: 0.5 x 1.30 x 0.822 / 1.38
/// = 0.387 mm; its initiator (2 phr, which neither leaves nor cures) makes that 0.390 mm. A body half of 55.5 g laid keeps 50.6 g
/// (resin alone; 50.8 g with the initiators of both mixes). Some 14 g of styrene leave the coats and laminates.
#[test]
fn the_demos_gel_coat_body_and_vapour() {
    let p = demo();
    let body = &p.zones[0];
    let shrunk = body.thickness.unwrap().si() - body.cured_thickness.unwrap().si();
    assert!(shrunk > 0.11e-3, "the coat alone loses 0.11 mm: {shrunk}");
    assert!((body.mass.si() - 50.7e-3).abs() < 0.3e-3, "{:?}", body.mass);
    let laid = body.mass.si() + body.vapour.as_ref().unwrap().lost.si();
    assert!((laid - 55.5e-3).abs() < 0.2e-3, "{laid}");
    let coats_and_laminates: f64 = p
        .batches
        .iter()
        .filter(|b| b.recipe.ends_with("gel_coat") || b.recipe == "body_laminate")
        .map(|b| b.vapour.as_ref().unwrap().lost.si())
        .sum();
    assert!(
        (coats_and_laminates - 14e-3).abs() < 0.7e-3,
        "{coats_and_laminates}"
    );
    let all = p.vapour.unwrap();
    assert!(all.low < all.lost && all.lost < all.high && all.high <= all.there_was);
}

/// Mass is conserved: what is mixed and cut is part, waste and vapour.
#[test]
fn mass_in_is_part_and_waste_and_vapour() {
    let p = demo();
    let sum = |of: fn(&gelwright::plan::Need) -> Mass| p.needs.iter().map(|n| of(n).si()).sum::<f64>();
    let (mass, waste, vapour) = (sum(|n| n.mass), sum(|n| n.waste), sum(|n| n.vapour));
    let part = p.part_mass.si();
    assert!(
        (mass - (part + waste + vapour)).abs() < 1e-12 * mass,
        "{mass} {part} {waste} {vapour}"
    );
    let zones: f64 = p.zones.iter().map(|z| z.vapour.as_ref().unwrap().lost.si()).sum();
    let batches: f64 = p
        .batches
        .iter()
        .map(|b| b.vapour.as_ref().unwrap().lost.si())
        .sum();
    let all = p.vapour.unwrap().lost.si();
    assert!((batches - all).abs() < 1e-12 * all && (vapour - all).abs() < 1e-12 * all && zones < all);
}

/// Closing the mould over a pour keeps nearly all of its monomer in it.
#[test]
fn a_pour_under_a_closed_mould_is_heavier() {
    let open = demo();
    let text = CAREFUL.replace("thickness = \"2 mm\" }", "thickness = \"2 mm\", closed = true }");
    assert_ne!(text, CAREFUL);
    let closed = Casting::from_toml(&text).unwrap().plan(Cancel::NEVER).unwrap();
    let wings = |p: &Plan| p.zones[2].mass.si();
    assert!(wings(&closed) > wings(&open) && closed.cost == open.cost);
}
