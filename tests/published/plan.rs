//! The plan against published rules and values, and the two castings of the demo.

use gelwright::Cancel;
use gelwright::card::{Language, page_of};
use gelwright::limit::{Finding, LimitQuantity, Limits, Measured, Severity};
use gelwright::plan::{Casting, Plan, Rule, Work, dew_point};
use gelwright::quantity::*;

const CAREFUL: &str = include_str!("../../crates/gelwright/demo/moth_lantern.toml");
const CARELESS: &str = include_str!("../../crates/gelwright/demo/moth_lantern_careless.toml");

/// The smallest cures are looked for in `laws/limits.rs`.
fn plan(toml: &str) -> Plan {
    Casting::from_toml(toml)
        .unwrap()
        .plan_without_cures(Cancel::NEVER)
        .unwrap()
}

/// A wall of mat behind a gel coat, from the generic catalogue.
fn panel(extra: &str) -> Plan {
    plan(&format!(
        r#"
version = 2
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
    // The zone's mass as laid, its vapour with it, less glass and gel coat: 0.1 m² x 0.5 mm of 10.85 lb/gal with 2.5 phr of 1.12 g/mL.
    let coat = 5e-5 * 1.025 / (1.0 / (10.85 * 453.592_37e-3 / 3785.412e-6) + 0.025 / 1120.0);
    let zone = &p.zones[0];
    let laid = zone.mass.si() + zone.vapour.as_ref().unwrap().lost.si();
    let taken = laid - 0.045 - coat;
    assert!(
        (taken / 0.1125 - 1.0).abs() < 3e-3,
        "the first rule is the one taken: {taken}"
    );
}

/// Published: "never over 2 %" (common practice), "2 to 3 % by volume", "1.2 to 3 %", "1 to 4 %". At 2.5 phr the first is broken
/// and the others are kept; all stand with their sources, and the highest of them is judged: 1.2 to 3 %.
#[test]
fn gel_coat_upper_dose_conflict_is_shown() {
    let p = panel("");
    let c = p.conflicts.iter().find(|c| c.about.contains("gel coat")).unwrap();
    for high in ["2 phr", "3 phr", "4 phr"] {
        let same = |r: &Rule| r.high.as_ref().is_some_and(|h| h.as_str() == high);
        assert!(c.rules.iter().any(same), "{high}: {:?}", c.rules);
    }
    let dose = |f: &&Finding| f.quantity == LimitQuantity::CatalystDose && f.subject == "coat";
    assert_eq!(
        p.findings.iter().filter(dose).count(),
        0,
        "what was judged is kept"
    );
    let told: Vec<_> = p.kept.iter().filter(dose).collect();
    let beyond_two = |f: &&&Finding| f.high.as_ref().is_some_and(|h| h.as_str() == "2 phr");
    let f = told.iter().find(beyond_two).expect("never over 2 %");
    let by: f64 = f.margin.as_ref().unwrap().si("margin", Phr::MEASURE).unwrap();
    assert!((by + 0.5).abs() < 1e-12 && f.broken && f.set_aside, "{f:?}");
    let judged: Vec<&str> = told
        .iter()
        .filter(|f| !f.set_aside)
        .map(|f| f.high.as_ref().unwrap().as_str())
        .collect();
    assert_eq!(
        judged.len(),
        3,
        "the permitted, the best and the outermost: {judged:?}"
    );
    assert!(judged.contains(&"3 phr"), "{judged:?}");
}

/// Equal volumes of silica and epoxy stop flowing (a conservation mailing list, 1996; 2.3 lb/ft³ and 4 lb in
/// 10 gal bulk: 37 and 48 g/L, so 3.3 to 4.4 parts by mass, derived) against "mayonnaise, 4 to 6 %" (from memory:
/// 4.2 to 6.4 phr). A paste of 4 phr keeps the first, which is judged, and breaks the second, which is told.
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
    assert!(!by("silica_stops_flowing").broken && !by("silica_stops_flowing").set_aside);
    assert!(by("silica_seam_runs").broken && by("silica_seam_runs").set_aside);
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
    for expected in ["peroxide_on_gel_coat_outside_all", "pour_polyester_solid"] {
        assert!(stops.contains(&expected), "{expected}: {stops:?}");
    }
    let warned = |limit: &str| careless.findings.iter().any(|f| f.limit == limit);
    for expected in [
        "gel_coat_cracks",
        "silica_stops_flowing",
        "humidity_polyester",
        "shop_cold",
        "chop_paste",
    ] {
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

/// By hand: gel coat of the body, 2 x 0.022 m² x 0.5 mm x 1.3001 g/mL (10.85 lb/gal; the peroxide of 2 phr makes the mix
/// 1.296) = 28.5 g net. 15 % of that is less than what stays behind: at 17 °C 18 Pa*s are 30 Pa*s (45 kJ/mol), worked 4.6 Pa*s
/// (thixotropic index 6.5), a film of 0.25 mm (4.6/0.45)^0.32 on stick and brush (0.015 m²) and on the wall of a cup as high as wide.
#[test]
fn gel_coat_of_the_lantern_by_hand() {
    let p = plan(CAREFUL);
    let rho = 10.85 * 453.592_37 / 3785.412;
    let mix = 1.02 / (1.0 / rho + 0.02 / 1.12);
    let volume: f64 = 2.0 * 220.0 * 0.05;
    let net = volume * mix;
    let worked = 18.0 * (45e3 / 8.314_462_618 * (1.0 / 290.15 - 1.0 / 298.15_f64)).exp() / 6.5;
    let film = 0.025 * (worked / 0.45_f64).powf(0.32);
    let wide = (4.0 * volume / std::f64::consts::PI).cbrt();
    let wetted = 150.0 + 1.25 * std::f64::consts::PI * wide * wide;
    let by_hand = (net * 1.15).max(net + wetted * film * mix);
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
    if let Some(block) = &mut c.inserts[1].carries {
        block.zone = c.zones[0].name.clone();
    }
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
        // The page has one of its own, which keeps the record of the day.
        let own = usize::from(html.starts_with("<!DOCTYPE"));
        assert_eq!(html.matches("<script").count(), own);
        assert!(html.contains("&lt;script&gt;"));
        assert!(html.contains("Größe 蛾"));
        assert!(!html.contains("http"), "the page needs no network");
    }
    assert!(p.sheet(Language::English).contains("Größe 蛾"));
}

/// The demo with a line of its cure or shop exchanged.
fn lantern(changes: &[(&str, &str)]) -> Plan {
    let mut toml = CAREFUL.to_owned();
    for (from, to) in changes {
        assert!(toml.contains(from), "{from}");
        toml = toml.replacen(from, to, 1);
    }
    plan(&toml)
}

const OVEN: &str = r#"post_cure = [{ temperature = "40 degC", time = "16 h" }]"#;

/// The plan's own post-cure judged. Anchors: a post-cure never lowers the glass transition (definition of cure); 40 °C
/// overnight takes a polyester further than a night at 17 °C (J. Appl. Polym. Sci. 97:2221 (2005), abstract: some 80 % of the
/// styrene after a day at room temperature, about all after 2 h at 100 °C); an oven of 120 °C is above any polyester's glass
/// transition after a night, so it softens, and hotter than a polyester shell is post-cured (from memory).
#[test]
fn the_plans_own_post_cure_is_judged() {
    let careful = lantern(&[]);
    for z in &careful.zones {
        let c = z.cure.as_ref().expect("the demo's resins have their cups");
        let night = &c.at_demould;
        let oven = &c.after_holds[0];
        let least = z.exotherm.as_ref().unwrap().cure_at_demould.unwrap();
        println!(
            "{} ({}): {:?} (heat {:?}), Tg {:?}; oven {:?} {:?}; softest {:?} at {}; ready {:?} sure {:?}",
            z.zone,
            c.layer,
            night.conversion,
            least,
            night.glass_transition,
            oven.conversion,
            oven.glass_transition,
            c.softest,
            c.softest_at,
            c.ready.map(|t| t.to_string()),
            c.sure.map(|t| t.to_string())
        );
        // One number for one thing: along its own temperature the layer cures as the zone's heat says.
        assert!(
            (night.conversion.get() - least.get()).abs() < 2e-3,
            "{night:?} {least:?}"
        );
        assert!(night.vitrified.is_some() && oven.conversion > night.conversion);
        assert!(oven.glass_transition.unwrap().value > night.glass_transition.unwrap().value);
        assert!(
            oven.conversion.get() < 0.999,
            "a night at 40 degC is no full cure: {oven:?}"
        );
        assert!(c.ready.is_some() && c.earliest <= c.ready);
        assert!(c.in_use.is_none() && c.needed.is_none());
    }
    let last = careful.steps.last().unwrap();
    let oven = &careful.steps[careful.steps.len() - 2];
    assert_eq!((last.work, oven.work), (Work::Cool, Work::PostCure));
    assert!(last.start.since(oven.end).si() >= 16.0 * 3600.0 - 1.0);
    assert!(oven.text.contains(&oven.end.to_string()), "{}", oven.text);
    assert!((oven.until.unwrap().since(oven.end).si() - 16.0 * 3600.0).abs() < 1.0);

    let hot = lantern(&[(
        OVEN,
        r#"post_cure = [{ temperature = "120 degC", time = "2 h" }]"#,
    )]);
    let broken = |p: &Plan, q: LimitQuantity| p.findings.iter().filter(|f| f.quantity == q).count();
    assert!(
        broken(&hot, LimitQuantity::OvenOverGlass) == 4 && broken(&hot, LimitQuantity::OvenTemperature) >= 1
    );
    assert!(
        hot.zones
            .iter()
            .all(|z| z.cure.as_ref().unwrap().softest.si() > 20.0)
    );
}

/// A night that cools cures less; a deadline that is met by a warmer shop is met by it; heat in use is held against the low end
/// of the glass transition.
#[test]
fn a_cold_night_a_deadline_and_a_lamp() {
    let start = "start = \"08:30\"\n";
    let cold = lantern(&[(
        start,
        "start = \"08:30\"\nday = [{ at = \"08:30\", temperature = \"17 degC\" }, { at = \"18:30\", temperature = \"17 degC\" }, \
         { at = \"05:00 +1 d\", temperature = \"8 degC\" }, { at = \"12:00 +3 d\", temperature = \"17 degC\" }]\n",
    )]);
    let warm = lantern(&[]);
    for (c, w) in cold.zones.iter().zip(&warm.zones) {
        let (c, w) = (c.cure.as_ref().unwrap(), w.cure.as_ref().unwrap());
        println!(
            "{:?} against {:?}",
            c.at_demould.conversion, w.at_demould.conversion
        );
        assert!(c.at_demould.conversion < w.at_demould.conversion);
    }
    let criterion = r#"demould = { conversion = "88 %", source = { title = "chosen for this test", standing = "invented" } }"#;
    let asked = format!("{OVEN}\n{criterion}\ndemould_by = \"02:00 +1 d\"\nin_use = \"60 degC\"");
    let p = lantern(&[(OVEN, &asked)]);
    for z in &p.zones {
        let c = z.cure.as_ref().unwrap();
        let u = c.in_use.as_ref().unwrap();
        println!(
            "{}: needs {:?}, ready {:?}, use {:?} {:?}",
            z.zone,
            c.needed,
            c.ready.map(|t| t.to_string()),
            u.stays,
            u.margin_low
        );
        assert!(u.margin_low <= u.margin && u.margin <= u.margin_high);
        let late = p
            .findings
            .iter()
            .any(|f| f.limit == "demould_by" && f.subject == z.zone);
        let by: gelwright::plan::Clock =
            gelwright::document::from_json("\"02:00 +1 d\"", Cancel::NEVER).unwrap();
        assert_eq!(late, c.ready.is_none_or(|t| t.since(by).si() > 0.0));
        let softens = p
            .findings
            .iter()
            .any(|f| f.quantity == LimitQuantity::GlassOverUse && f.subject == z.zone);
        assert_eq!(softens, u.margin_low.si() < 0.0);
        assert!(c.needed.is_some());
    }
}
