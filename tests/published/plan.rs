//! The plan against published rules and values, and the two castings of the demo.

use gelwright::Cancel;
use gelwright::card::{Language, page_of};
use gelwright::limit::{Finding, LimitQuantity, Limits, Measured, Severity};
use gelwright::plan::{Casting, Plan, Rule, dew_point};
use gelwright::quantity::*;

const CAREFUL: &str = include_str!("../../crates/gelwright/demo/moth_lantern.toml");
const CARELESS: &str = include_str!("../../crates/gelwright/demo/moth_lantern_careless.toml");

fn plan(toml: &str) -> Plan {
    Casting::from_toml(toml).unwrap().plan(Cancel::NEVER).unwrap()
}

/// A wall of mat behind a gel coat, from the generic catalogue.
fn panel(extra: &str) -> Plan {
    plan(&format!(
        r#"
version = 1
name = "panel"
[shop]
temperature = "20 degC"
humidity = "50 %"
start = "09:00"
bench = {{ scale = {{ readability = "0.01 g" }} }}
[mould]
wall = "grp_mould"
thickness = "6 mm"
[recipes.coat]
resin = "white_gel_coat"
parts = [{{ material = "mekp_9", dose = "2.5 phr" }}]
[recipes.wall]
resin = "ortho_polyester"
parts = [{{ material = "mekp_9", dose = "1.5 phr" }}]
[recipes.paste]
resin = "ortho_polyester"
parts = [{{ material = "mekp_9", dose = "1.5 phr" }}, {{ material = "fumed_silica", dose = "4 phr" }}]
[[zones]]
name = "panel"
area = "0.1 m^2"
layers = [
  {{ gel_coat = {{ recipe = "coat", wet_thickness = "0.5 mm" }} }},
  {{ laminate = {{ recipe = "wall", plies = ["csm_450"] }} }},
]
[[seams]]
name = "rim"
recipe = "paste"
length = "0.5 m"
width = "8 mm"
height = "3 mm"
{extra}
"#
    ))
}

/// 2.5 parts of resin to one of mat (28.6 % of glass: FAO and trade guides) against 30 % (a worked example) and 33 %
/// (BS 4994): all are shown, each with its source; the one taken is one of them and no mean. By hand for 0.1 m² of
/// 450 g/m² mat, 45 g: 112.5 g of resin at 2.5:1, 105 g at 30 %, 91.4 g at 33 %. Tolerance: 28.6 is printed to
/// three figures, 0.3 %.
#[test]
fn resin_to_mat_rules_are_both_shown_and_never_averaged() {
    let p = panel("");
    let c = p
        .conflicts
        .iter()
        .find(|c| c.about.starts_with("glass content"))
        .expect("the conflict is shown");
    assert!(c.rules.len() >= 3 && c.zone.as_deref() == Some("panel"), "{c:?}");
    assert!(c.rules.iter().all(|r| !r.sources.is_empty() && r.low == r.high));
    for (percent, grams) in [(28.6, 112.5), (30.0, 105.0), (33.0, 91.36)] {
        let says = |r: &&Rule| {
            let w: MassFraction = r.low.as_ref().unwrap().read("low").unwrap();
            (w.get() - percent / 100.0).abs() < 5e-4
        };
        let resin = c.rules.iter().find(says).unwrap().resin.unwrap();
        assert!(
            (resin.si() * 1e3 / grams - 1.0).abs() < 3e-3,
            "{percent} {grams}: {resin:?}"
        );
    }
    let net = |material: &str| {
        let n = p.needs.iter().find(|n| n.material == material).unwrap();
        n.mass.si() - n.waste.si()
    };
    assert!((net("csm_450") - 0.045).abs() < 1e-9);
    let wall = p.batches.iter().find(|b| b.recipe == "wall").unwrap();
    let taken = wall.batch.mass.si() / 1.10;
    assert!(
        (taken / 0.1125 - 1.0).abs() < 3e-3,
        "the first rule is the one taken: {taken}"
    );
}

/// Published: "never over 2 %", "2 to 3 % by volume", "1.2 to 3 %", "1 to 4 %". At 2.5 phr the first is broken and
/// the others are kept; all stand with their sources.
#[test]
fn gel_coat_upper_dose_conflict_is_shown() {
    let p = panel("");
    let c = p.conflicts.iter().find(|c| c.about.contains("gel coat")).unwrap();
    for high in ["2 phr", "3 phr", "4 phr"] {
        let same = |r: &Rule| r.high.as_ref().is_some_and(|h| h.as_str() == high);
        assert!(c.rules.iter().any(same), "{high}: {:?}", c.rules);
    }
    let dose = |f: &&Finding| f.quantity == LimitQuantity::CatalystDose && f.subject == "coat";
    let broken: Vec<_> = p.findings.iter().filter(dose).collect();
    let kept: Vec<_> = p.kept.iter().filter(dose).collect();
    let beyond_two = |f: &&&Finding| f.high.as_ref().is_some_and(|h| h.as_str() == "2 phr");
    let f = broken.iter().find(beyond_two).expect("never over 2 %");
    let by: f64 = f.margin.as_ref().unwrap().si("margin", Phr::MEASURE).unwrap();
    assert!(
        (by + 0.5).abs() < 1e-12 && f.value.as_ref().unwrap().as_str() == "2.5 phr",
        "{f:?}"
    );
    assert!(kept.len() >= 3 && kept.iter().all(|f| !f.set_aside));
    // A conflict among rules is worth knowing; it stops nobody.
    assert!(
        broken.iter().all(|f| f.severity == Severity::Advice),
        "{broken:?}"
    );
}

/// Equal volumes of silica and epoxy stop flowing (a conservation mailing list, 1996; 2.3 lb/ft³ and 4 lb in
/// 10 gal bulk: 37 and 48 g/L, so 3.3 to 4.4 parts by mass, derived) against "mayonnaise, 4 to 6 %" (from memory:
/// 4.2 to 6.4 phr). A paste of 4 phr keeps the first and breaks the second.
#[test]
fn silica_by_consistency_is_held_against_both_rules() {
    // The derivation by hand: g/L of heap over g/L of resin at 1.1 g/mL.
    let bulk: [f64; 2] = [2.3 * 453.592_37 / 28.316_85, 4.0 * 453.592_37 / 37.854_12];
    assert!((bulk[0] - 36.84).abs() < 0.01 && (bulk[1] - 47.93).abs() < 0.01);
    assert!((bulk[0] / 11.0 - 3.35).abs() < 0.01 && (bulk[1] / 11.0 - 4.36).abs() < 0.01);
    let p = panel("");
    let by = |limit: &str| {
        p.findings
            .iter()
            .chain(&p.kept)
            .find(|f| f.limit == limit)
            .unwrap()
    };
    assert!(!by("silica_stops_flowing").broken);
    assert!(by("silica_seam_runs").broken);
    assert!(by("silica_stops_flowing").source != by("silica_seam_runs").source);
}

/// The product's data sheet, entered by the user, wins: general rules are shown as set aside.
#[test]
fn a_data_sheet_limit_of_the_user_wins() {
    let p = panel(
        r#"
[source.sheet]
title = "data sheet of the tin in hand"
standing = "data_sheet"
[[limit]]
id = "tin"
quantity = "catalyst_dose"
applies_to = ["white_gel_coat"]
low = "1.5 phr"
high = "2.2 phr"
severity = "stop"
message = "the sheet says so"
way_out = "dose as on the sheet"
source = "sheet"
"#,
    );
    assert!(p.stopped);
    let coat = |f: &&Finding| f.quantity == LimitQuantity::CatalystDose && f.subject == "coat";
    let broken: Vec<_> = p.findings.iter().filter(coat).map(|f| f.limit.as_str()).collect();
    assert_eq!(broken, ["tin"]);
    assert!(p.kept.iter().filter(coat).all(|f| f.set_aside));
    assert!(
        p.kept.iter().filter(coat).count() >= 4,
        "the set-aside rules are still shown"
    );
    // Other quantities and subjects keep the general limits.
    assert!(
        p.kept
            .iter()
            .any(|f| f.limit.starts_with("ortho_polyester.dose_window") && !f.set_aside)
    );
}

/// Dew points by ASHRAE Handbook of Fundamentals (2017), chapter 1: 25 °C and 80 % give 21.3094 °C; the others an
/// independent computation of its equations. The Magnus form agrees within 0.02 K over the range of a shop.
#[test]
fn dew_point_against_ashrae() {
    #[rustfmt::skip]
    let cases = [
        (25.0, 0.80, 21.3094), (20.0, 0.40, 6.00), (20.0, 0.50, 9.27), (20.0, 0.60, 12.01), (20.0, 0.80, 16.45),
        (25.0, 0.60, 16.70), (15.0, 0.50, 4.67), (30.0, 0.80, 26.17),
    ];
    for (t, rh, dew) in cases {
        let got = dew_point(temperature::celsius(t), RelativeHumidity::new(rh).unwrap()).unwrap();
        let c = temperature::to_celsius(got);
        assert!((c - dew).abs() < 0.02, "{t} degC, {rh}: {c} against {dew}");
    }
    assert!(dew_point(temperature::celsius(20.0), RelativeHumidity::new(0.0).unwrap()).is_err());
    assert!(dew_point(temperature::celsius(100.0), RelativeHumidity::new(0.5).unwrap()).is_err());
}

/// Coatings practice: the surface 3 K above the dew point at least: 19 degC on a dew point of 15 passes, 13 on 11
/// fails.
#[test]
fn three_kelvin_above_the_dew_point() {
    let limits = Limits::generic().unwrap();
    let broken = |kelvin: f64| {
        let above = TemperatureInterval::from_si(kelvin).unwrap();
        let m = Measured::new(LimitQuantity::AboveDewPoint, "mould", &[], above);
        limits.check(&m).unwrap().iter().any(|f| f.broken)
    };
    assert!(!broken(19.0 - 15.0));
    assert!(broken(13.0 - 11.0));
}

#[test]
fn the_careful_lantern_has_no_stop_and_the_hurried_one_the_expected() {
    let careful = plan(CAREFUL);
    assert!(!careful.stopped);
    assert!(
        careful.findings.iter().all(|f| f.severity < Severity::Stop),
        "{:?}",
        careful.findings
    );
    assert!(!careful.steps.is_empty() && !careful.batches.is_empty() && !careful.cautions.is_empty());
    let careless = plan(CARELESS);
    assert!(careless.stopped);
    let stops: Vec<&str> = careless
        .findings
        .iter()
        .filter(|f| f.severity == Severity::Stop)
        .map(|f| f.limit.as_str())
        .collect();
    for expected in [
        "shop_cold_stop",
        "peroxide_on_gel_coat_outside_all",
        "pour_polyester_solid",
        "chop_paste",
    ] {
        assert!(stops.contains(&expected), "{expected}: {stops:?}");
    }
    let warned = |limit: &str| careless.findings.iter().any(|f| f.limit == limit);
    for expected in ["gel_coat_cracks", "silica_seam_runs", "humidity_polyester"] {
        assert!(warned(expected), "{expected}");
    }
    let slip = careless
        .findings
        .iter()
        .find(|f| f.limit == "peroxide_on_gel_coat_outside_all")
        .and_then(|f| f.slip.clone())
        .unwrap();
    assert_eq!(slip.times, 10.0);
    assert!(
        careless
            .sheet(Language::English)
            .contains("ten times as much catalyst")
    );
}

/// By hand: gel coat of the upper body, 0.022 m² x 0.5 mm x 1.3001 g/mL (10.85 lb/gal; the peroxide of 2 phr makes
/// the mix 1.2968) = 14.27 g net, 15 % waste.
#[test]
fn gel_coat_of_the_lantern_by_hand() {
    let p = plan(CAREFUL);
    let rho = 10.85 * 453.592_37 / 3785.412;
    let mix = 1.02 / (1.0 / rho + 0.02 / 1.15);
    let by_hand = 2.0 * 220.0 * 0.05 * mix * 1.15;
    let got: f64 = p
        .batches
        .iter()
        .filter(|b| b.recipe == "body_gel_coat")
        .map(|b| b.batch.mass.si() * 1e3)
        .sum();
    assert!((got - by_hand).abs() < 1e-3 * by_hand, "{got} {by_hand}");
}

/// Whatever is written into a casting's names stays text on the page.
#[test]
fn names_are_escaped_on_the_page() {
    let evil = "<script>alert('x')</script>&\"";
    let mut c = Casting::from_toml(CAREFUL).unwrap();
    c.name = evil.into();
    c.note = Some(evil.into());
    c.zones[0].name = format!("{evil} Größe 蛾");
    c.inserts[0].name = evil.into();
    c.seams[0].name = evil.into();
    let recipe = c.recipes.remove("body_gel_coat").unwrap();
    c.recipes.insert(evil.into(), recipe);
    for z in &mut c.zones {
        for l in &mut z.layers {
            if let gelwright::plan::ZoneLayer::GelCoat(g) = l
                && g.recipe == "body_gel_coat"
            {
                g.recipe = evil.into();
            }
        }
    }
    let white = c.material.get_mut("theatre_gel_coat").unwrap();
    white["name"] = serde_json::json!(evil);
    let p = c.plan(Cancel::NEVER).unwrap();
    for html in [
        page_of(std::slice::from_ref(&p), Language::English),
        p.fragment(Language::German),
    ] {
        assert!(
            !html.contains("<script"),
            "{}",
            &html[html.find("<script").unwrap()..][..80]
        );
        assert!(html.contains("&lt;script&gt;"));
        assert!(html.contains("Größe 蛾"));
        assert!(!html.contains("http"), "the page needs no network");
    }
    assert!(p.sheet(Language::English).contains("Größe 蛾"));
}
