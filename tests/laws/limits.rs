//! Limits that can be kept: each is measured by something, a plan without findings exists for each chemistry, a cure cures and
//! worsens nothing, and every input of a casting counts.

use std::collections::BTreeSet;

use gelwright::limit::{Finding, Lever, LimitQuantity, Limits, Protects, Severity};
use gelwright::plan::{Casting, Plan};
use gelwright::quantity::*;
use gelwright::{Cancel, ErrorKind, Standing};
use serde_json::{Value, json};

const CAREFUL: &str = include_str!("../../crates/gelwright/demo/moth_lantern.toml");
const CARELESS: &str = include_str!("../../crates/gelwright/demo/moth_lantern_careless.toml");

fn read(toml: &str) -> Casting {
    Casting::from_toml(toml).unwrap()
}

/// The findings alone: the cures are looked for where they are tested.
fn plan(toml: &str) -> Plan {
    read(toml).plan_without_cures(Cancel::NEVER).unwrap()
}

fn shop(celsius: f64, humidity: u8) -> String {
    format!(
        r#"
version = 2
name = "tray"
[shop]
temperature = "{celsius} degC"
humidity = "{humidity} %"
start = "09:00"
bench = {{ scale = {{ readability = "0.01 g" }} }}
"#
    )
}

/// A resin of the shop with what its tin says: gel times at 15 and 25 °C.
fn tin(id: &str, base: &str, dose: &str, minutes: [u32; 2]) -> String {
    let [cool, warm] = minutes;
    format!(
        r#"[material.{id}]
base = "{base}"
[material.{id}.resin.gel_times]
initiator = "mekp_9"
source = "tin"
rows = [
  {{ temperature = "15 degC", dose = "{dose}", time = "{cool} min" }},
  {{ temperature = "25 degC", dose = "{dose}", time = "{warm} min" }},
]
"#
    )
}

/// A tray of polyester: a gel coat, and the plies behind it.
fn tray(celsius: f64, gel_coat: &str, plies: &str) -> String {
    format!(
        r#"{}
[mould]
wall = "grp_mould"
thickness = "6 mm"
release = [{{ material = "release_wax", coats = 4 }}]
[recipes.coat]
resin = "coat"
parts = [{{ material = "mekp_9", dose = "2 phr" }}]
[recipes.wall]
resin = "resin"
parts = [{{ material = "mekp_9", dose = "1.5 phr" }}]
[[zones]]
name = "tray"
area = "0.1 m^2"
layers = [{{ gel_coat = {{ recipe = "coat", {gel_coat} }} }}, {{ laminate = {{ recipe = "wall", plies = [{plies}] }} }}]
[cure]
in_mould = "40 h"
[source.tin]
title = "invented for this test"
standing = "invented"
{}{}"#,
        shop(celsius, 55),
        tin("coat", "white_gel_coat", "2 phr", [28, 13]),
        tin("resin", "ortho_polyester", "1.5 phr", [38, 19])
    )
}

/// A tray of a resin with a measured hardener, or of a vinyl ester with its gel times.
fn other(chemistry: &str, celsius: f64, humidity: u8, pour: &str, extra: &str) -> String {
    let (resin, parts) = match chemistry {
        "epoxy" => (
            "laminating_epoxy",
            r#"{ material = "epoxy_hardener_slow", dose = "30 phr" }"#,
        ),
        "polyurethane" => (
            "casting_polyol",
            r#"{ material = "casting_isocyanate", dose = "109.5 phr" }"#,
        ),
        _ => ("vinyl", r#"{ material = "mekp_9", dose = "1.5 phr" }"#),
    };
    format!(
        r#"{}
[mould]
wall = "silicone_mould"
thickness = "10 mm"
release = [{{ material = "release_wax", coats = 4 }}]
[recipes.fill]
resin = "{resin}"
parts = [{parts}{extra}]
[[zones]]
name = "block"
area = "0.02 m^2"
layers = [{{ pour = {{ recipe = "fill", thickness = "{pour}" }} }}]
[cure]
in_mould = "48 h"
[pace]
mixing = "1 min"
pour_per_litre = "4 min"
[source.tin]
title = "invented for this test"
standing = "invented"
{}"#,
        shop(celsius, humidity),
        tin("vinyl", "vinyl_ester", "1.5 phr", [50, 25])
    )
}

fn names(findings: &[Finding]) -> Vec<&str> {
    findings.iter().map(|f| f.limit.as_str()).collect()
}

/// Nothing but what a spray gun, each chemistry, each wall of the catalogue, thinner, filler, pigment, an edge, a seam, an oven
/// and a lamp measure: together they measure every limit. One that nothing measures, or that is for a method or a subject that
/// nobody uses, fails here.
#[test]
fn every_limit_is_measured_by_something() {
    let mut castings = vec![CAREFUL.to_owned(), CARELESS.to_owned()];
    castings.push(tray(
        20.0,
        r#"wet_thickness = "0.4 mm", applied = "spray""#,
        r#""woven_roving_600", "glass_cloth_200""#,
    ));
    castings.push(tray(20.0, r#"wet_thickness = "0.4 mm""#, r#""csm_300""#).replace("grp_mould", "plaster"));
    castings.push(
        tray(20.0, r#"wet_thickness = "0.4 mm""#, r#""csm_300""#).replace("grp_mould", "aluminium_mould"),
    );
    castings.push(tray(20.0, r#"wet_thickness = "0.4 mm""#, r#""csm_300""#).replace(
        r#"resin = "resin"
parts = ["#,
        r#"resin = "resin"
parts = [{ material = "acetone", dose = "2 phr" }, { material = "styrene", dose = "2 phr" }, { material = "talc", dose = "5 phr" }, { material = "white_pigment_paste", dose = "3 phr" }, "#,
    ).replace(r#"resin = "coat"
parts = ["#, r#"resin = "coat"
parts = [{ material = "white_pigment_paste", dose = "3 phr" }, "#));
    let epoxy = other("epoxy", 21.0, 50, "5 mm", "");
    castings.push(epoxy + "[[cure.post_cure]]\ntemperature = \"60 degC\"\ntime = \"4 h\"\n");
    let urethane = other(
        "polyurethane",
        21.0,
        40,
        "5 mm",
        r#", { material = "talc", dose = "20 phr" }"#,
    );
    castings.push(urethane + "[[cure.post_cure]]\ntemperature = \"60 degC\"\ntime = \"4 h\"\n");
    castings.push(
        other(
            "vinyl_ester",
            21.0,
            50,
            "5 mm",
            r#", { material = "fumed_silica", dose = "1 phr" }"#,
        ) + "[[cure.post_cure]]\ntemperature = \"80 degC\"\ntime = \"4 h\"\n",
    );
    castings.push(
        CAREFUL
            .replace("[cure]\n", "[cure]\nin_use = \"50 degC\"\n")
            .replace(
                "dropper = { calibrated = false }",
                "syringe = { graduation = \"0.05 mL\" }",
            ),
    );
    let mut measured = BTreeSet::new();
    for toml in &castings {
        let p = match read(toml).plan_without_cures(Cancel::NEVER) {
            Ok(p) => p,
            Err(e) => panic!("{e}\n{toml}"),
        };
        measured.extend(p.findings.iter().chain(&p.kept).map(|f| f.limit.clone()));
    }
    let limits = Limits::generic().unwrap();
    let never: Vec<&str> = limits
        .iter()
        .map(|l| l.id.as_str())
        .filter(|id| !measured.contains(*id))
        .collect();
    assert!(never.is_empty(), "nothing measures {never:?}");
}

/// A limit for a method that nothing of its quantity is done by, for a word of method that is none, for a subject that is none:
/// refused. One that this casting does not measure is told as without effect.
#[test]
fn limits_that_nothing_measures_are_refused_or_told() {
    let with = |rows: &str| {
        let toml = format!(
            "{}[[limit]]\nid = \"own\"\n{rows}severity = \"warning\"\nmessage = \"m\"\nway_out = \"w\"\nsource = \"tin\"\n",
            tray(20.0, r#"wet_thickness = "0.5 mm""#, r#""csm_300""#)
        );
        read(&toml).plan_without_cures(Cancel::NEVER)
    };
    let e = with("quantity = \"pour_thickness\"\nmethod = \"spray\"\nhigh = \"5 mm\"\n").unwrap_err();
    assert_eq!(e.kind(), ErrorKind::Inconsistent, "{e}");
    assert!(e.field().ends_with("own.method"), "{e}");
    let e = with("quantity = \"pour_thickness\"\nmethod = \"dip\"\nhigh = \"5 mm\"\n").unwrap_err();
    assert_eq!(e.kind(), ErrorKind::UnknownName, "{e}");
    let e = with("quantity = \"pour_thickness\"\napplies_to = [\"poor\"]\nhigh = \"5 mm\"\n").unwrap_err();
    assert_eq!(
        (e.kind(), e.field()),
        (ErrorKind::UnknownName, "limit[0].applies_to[0]"),
        "{e}"
    );
    let p = with("quantity = \"pour_thickness\"\nhigh = \"5 mm\"\n").unwrap();
    assert!(
        p.without_effect.iter().any(|w| w.field == "limit.own"),
        "{:?}",
        p.without_effect.len()
    );
    let p = with("quantity = \"session_thickness\"\nhigh = \"0.5 mm\"\n").unwrap();
    assert!(names(&p.findings).contains(&"own"));
}

/// Stops rest on a published source or protect somebody and name the data sheet, or licensed practice where there is none.
/// `Limit::judged_as` holds others back.
#[test]
fn stops_rest_on_a_source_or_protect_somebody() {
    for l in Limits::generic()
        .unwrap()
        .iter()
        .filter(|l| l.severity == Severity::Stop)
    {
        assert_eq!(l.judged_as(), Severity::Stop, "{}", l.id);
        match l.protects {
            Protects::Person => assert!(
                l.way_out.contains("data sheet") || l.way_out.contains("licensed"),
                "{}: {}",
                l.id,
                l.way_out
            ),
            Protects::Part => assert!(l.source.standing >= Standing::Derived, "{}", l.id),
        }
    }
}

/// One coat and the whole film are two things. Swept from 0.10 to 0.80 mm: some thickness of a single coat breaks nothing, and
/// two coats of half the thickness break no more than one coat did.
#[test]
fn a_gel_coat_can_be_as_thick_as_the_limits_want() {
    let of_film = |gel_coat: &str| -> Vec<String> {
        let p = plan(&tray(22.0, gel_coat, r#""csm_300""#));
        let film = [LimitQuantity::GelCoatWetThickness, LimitQuantity::GelCoatFilm];
        p.findings
            .iter()
            .filter(|f| film.contains(&f.quantity))
            .map(|f| f.limit.clone())
            .collect()
    };
    let mut free = 0;
    for n in 1..=16 {
        let mm = 0.05 * f64::from(n);
        let one = of_film(&format!("wet_thickness = \"{mm} mm\""));
        let two = of_film(&format!("wet_thickness = \"{} mm\", coats = 2", 0.5 * mm));
        assert!(
            two.len() <= one.len(),
            "{mm} mm: {one:?} in one coat, {two:?} in two"
        );
        free += usize::from(one.is_empty());
    }
    assert!(free >= 2, "{free} thicknesses");
}

/// Room, mould and tin at one temperature: some between 13 and 26 °C breaks nothing.
#[test]
fn some_temperature_of_the_shop_is_free_of_findings() {
    let free: Vec<u32> = (13..=26)
        .filter(|t| {
            let p = plan(&tray(
                f64::from(*t),
                r#"wet_thickness = "0.5 mm""#,
                r#""surfacing_veil", "csm_300""#,
            ));
            println!("{t}: {:?}", names(&p.findings));
            p.findings.is_empty()
        })
        .collect();
    assert!(!free.is_empty());
    println!("free of findings: {free:?}");
}

/// Mat and roving each at its own content: by hand 450/0.286 and 600/0.45 g/m² are 35.9 wt% together, above what mat takes and
/// below what roving does. Each form is held against its own rule.
#[test]
fn mat_and_roving_are_each_held_against_their_own_rule() {
    let together: f64 = (450.0 + 600.0) / (450.0 / 0.286 + 600.0 / 0.45);
    assert!((together - 0.361).abs() < 1e-3);
    let p = plan(&tray(
        22.0,
        r#"wet_thickness = "0.5 mm""#,
        r#""csm_450", "woven_roving_600""#,
    ));
    let glass = |f: &&Finding| f.quantity == LimitQuantity::GlassContent;
    assert_eq!(p.findings.iter().filter(glass).count(), 0);
    assert!(p.kept.iter().filter(glass).count() >= 4);
}

/// What was passed over in silence.
#[test]
fn what_was_silent_is_told() {
    let base = tray(20.0, r#"wet_thickness = "0.5 mm""#, r#""csm_300""#);
    let of = |from: &str, to: &str| {
        assert!(base.contains(from), "{from}");
        plan(&base.replace(from, to))
    };
    let stops = |p: &Plan, limit: &str| {
        p.findings
            .iter()
            .any(|f| f.limit == limit && f.severity == Severity::Stop)
    };
    let wax = r#"release = [{ material = "release_wax", coats = 4 }]"#;
    assert!(stops(&of(wax, "release = []"), "release_none"));
    let plaster = of("grp_mould", "plaster");
    assert!(stops(&plaster, "open_pores"));
    let wood = base
        .replace("\"grp_mould\"", "\"board\"")
        .replace(wax, "release = []")
        + "[material.board]\nbase = \"plaster\"\nname = \"wooden board\"\n";
    let wood = plan(&wood);
    assert!(
        stops(&wood, "open_pores") && stops(&wood, "release_none"),
        "{:?}",
        names(&wood.findings)
    );
    let hour = plan(&CAREFUL.replace("in_mould = \"18 h\"", "in_mould = \"1 h\""));
    assert!(names(&hour.findings).contains(&"demould_cure"));
    let oven = of(
        "in_mould = \"40 h\"",
        "in_mould = \"40 h\"\npost_cure = [{ temperature = \"120 degC\", time = \"2 h\" }]",
    );
    assert!(names(&oven.findings).contains(&"oven_polyester"));
    let thinned = of(
        "resin = \"resin\"\nparts = [",
        "resin = \"resin\"\nparts = [{ material = \"acetone\", dose = \"10 phr\" }, ",
    );
    assert!(stops(&thinned, "thinner_acetone"));
    let weak = plan(&CAREFUL.replace("force = \"60 N\"", "force = \"6 N\""));
    assert!(
        weak.findings
            .iter()
            .any(|f| f.quantity == LimitQuantity::ClampPressure || f.quantity == LimitQuantity::SeamSpread)
    );
    for chemistry in ["epoxy", "polyurethane"] {
        let early =
            other(chemistry, 21.0, 40, "5 mm", "").replace("in_mould = \"48 h\"", "in_mould = \"10 min\"");
        assert!(
            names(&plan(&early).findings).contains(&"demould_sheet"),
            "{chemistry}"
        );
    }
    // By hand: 100 g of polyol with 0.05 % and 40 g of filler with 0.5 % of water hold 0.25 g, 13.9 mmol, 0.34 L of gas.
    let damp = other(
        "polyurethane",
        21.0,
        40,
        "5 mm",
        r#", { material = "damp", dose = "40 phr" }"#,
    ) + "[material.damp]\nbase = \"talc\"\n[material.damp.filler]\nmoisture = { value = \"0.5 wt%\", source = \"tin\" }\n";
    let damp = plan(&damp);
    let foam = damp
        .findings
        .iter()
        .find(|f| f.limit == "foam_from_water")
        .expect("it foams");
    let growth: f64 = foam
        .value
        .as_ref()
        .unwrap()
        .si("", RelativeAmount::MEASURE)
        .unwrap();
    let mix: f64 = 100.0 / 1.05 + 109.5 / 1.15 + 40.0 / 2.75;
    let by_hand = 0.25 / 18.015 * 8.314 * 296.15 / 101_325.0 * 1e6 / mix;
    assert!((growth / by_hand - 1.0).abs() < 0.01, "{growth} {by_hand}");
    for (resin, cure, dose) in [
        ("ortho_polyester", "mekp_9", "1.5 phr"),
        ("laminating_epoxy", "epoxy_hardener_slow", "30 phr"),
        ("casting_polyol", "casting_isocyanate", "109.5 phr"),
    ] {
        for celsius in [-20.0, 5.0, 45.0] {
            let recipe =
                gelwright::mix::Recipe::new(resin).with(cure, gelwright::mix::Dose::parse("", dose).unwrap());
            let cup = recipe.mix(
                gelwright::mix::Amount::Mass(parse("", "100 g").unwrap()),
                &gelwright::mix::Bench::with_scale(parse("", "0.01 g").unwrap()),
                temperature::celsius(celsius),
                None,
                gelwright::material::Catalogue::generic(),
            );
            // Beyond what a bench can be, refused; else a finding that names the temperature.
            if let Ok(cup) = cup {
                let cold = |f: &&Finding| {
                    matches!(
                        f.quantity,
                        LimitQuantity::ShopTemperature | LimitQuantity::ResinTemperature
                    )
                };
                assert!(
                    cup.findings.iter().any(|f| cold(&f)),
                    "{resin} at {celsius}: {:?}",
                    names(&cup.findings)
                );
            }
        }
    }
}

/// What the limit on the dose judges is what the card prints: the farther end of the 95 % range.
#[test]
fn the_dose_is_judged_as_it_is_printed() {
    let p = plan(CAREFUL);
    let mut judged = 0;
    for b in &p.batches {
        let dose = b.batch.cure_dose.as_ref().unwrap().by_mass;
        let printed =
            ((dose.high.get() - dose.value.get()).max(dose.value.get() - dose.low.get())) / dose.value.get();
        let finding = p
            .findings
            .iter()
            .chain(&p.kept)
            .find(|f| f.limit == "dose_uncertain" && f.subject == b.name);
        let value = finding
            .unwrap()
            .value
            .as_ref()
            .unwrap()
            .si("", RelativeSpread::MEASURE)
            .unwrap();
        assert!((value - printed).abs() < 1e-12);
        judged += 1;
    }
    assert!(judged > 3);
}

/// For each chemistry some casting breaks nothing, and a search over temperature, humidity and depth finds it.
#[test]
fn for_each_chemistry_a_plan_without_findings_is_found() {
    let found = |castings: Vec<String>| -> Option<String> {
        castings.into_iter().find(|toml| {
            let p = read(toml).plan_without_cures(Cancel::NEVER);
            p.is_ok_and(|p| {
                println!("{:?}", names(&p.findings));
                p.findings.is_empty()
            })
        })
    };
    let temperatures = [18.0, 20.0, 22.0, 24.0];
    let polyester = temperatures.iter().map(|t| {
        tray(
            *t,
            r#"wet_thickness = "0.5 mm""#,
            r#""surfacing_veil", "csm_300", "csm_300""#,
        )
    });
    assert!(found(polyester.collect()).is_some(), "polyester");
    for chemistry in ["vinyl_ester", "epoxy", "polyurethane"] {
        let mut castings = Vec::new();
        for depth in ["8 mm", "5 mm", "3 mm"] {
            for t in temperatures {
                for humidity in [60, 40] {
                    castings.push(other(chemistry, t, humidity, depth, ""));
                }
            }
        }
        assert!(found(castings).is_some(), "{chemistry}");
    }
}

/// Sets what a cure sets, where it is a value of the document.
fn set(casting: &Casting, fields: &[String], to: &str) -> Option<Casting> {
    let mut value = gelwright::noun::to_value(casting).unwrap();
    for field in fields {
        let pointer = format!(
            "/{}",
            field.replace("].", "/").replace(['.', '['], "/").replace(']', "")
        );
        let (parent, last) = pointer.rsplit_once('/').unwrap();
        let parent = value.pointer_mut(parent)?;
        let to = match to.parse::<u32>() {
            Ok(n) => json!(n),
            Err(_) => json!(to),
        };
        match parent {
            Value::Object(map) => {
                map.insert(last.to_owned(), to);
            }
            _ => return None,
        }
    }
    Casting::from_json(&value.to_string()).ok()
}

/// Following a smallest cure: planned again the finding is gone, no other is worse or as bad, there are not more of them, and a
/// change of half as much does not do.
#[test]
fn a_smallest_cure_cures_and_worsens_nothing() {
    let cold = tray(14.0, r#"wet_thickness = "0.2 mm""#, r#""csm_300""#);
    let thick = tray(21.0, r#"wet_thickness = "0.9 mm""#, r#""csm_300""#);
    let weak = tray(22.0, r#"wet_thickness = "0.5 mm""#, r#""csm_300""#)
        .replace("\"2 phr\"", "\"1.1 phr\"")
        .replace("in_mould = \"40 h\"", "in_mould = \"5 h\"")
        .replace("coats = 4", "coats = 1");
    let dry = tray(22.0, r#"wet_thickness = "0.5 mm""#, r#""csm_300""#)
        .replace("plies =", "glass_content = \"45 wt%\", plies =");
    let deep = other("epoxy", 22.0, 50, "30 mm", "");
    let damp = other("polyurethane", 22.0, 60, "5 mm", "");
    let (mut cured, mut none) = (0, 0);
    for toml in [cold, thick, weak, dry, deep, damp] {
        let casting = read(&toml);
        let before = casting.plan_without_cures(Cancel::NEVER).unwrap();
        for f in &before.findings {
            let answer = casting
                .smallest_cure(&f.limit, Some(&f.subject), Cancel::NEVER)
                .unwrap();
            let Some(cure) = answer.cure else {
                assert!(answer.finding.no_cure);
                println!("{}: none", f.limit);
                none += 1;
                continue;
            };
            println!("{}: {:?} {:?} -> {:?}", f.limit, cure.lever, cure.from, cure.to);
            cured += 1;
            let to = cure.to.as_ref().unwrap().as_str().to_owned();
            let Some(changed) = set(&casting, &cure.fields, &to) else {
                continue;
            };
            if matches!(cure.lever, Lever::Coats | Lever::PourLayers | Lever::Sessions) {
                continue;
            }
            let after = changed.plan_without_cures(Cancel::NEVER).unwrap();
            let same = |o: &&Finding| o.limit == f.limit && o.subject == f.subject;
            assert!(
                !after.findings.iter().any(|o| same(&o)),
                "{}: {:?} {to}",
                f.limit,
                cure.lever
            );
            assert!(
                after.findings.len() <= before.findings.len(),
                "{}: {:?}",
                f.limit,
                names(&after.findings)
            );
            for new in after
                .findings
                .iter()
                .filter(|n| !names(&before.findings).contains(&n.limit.as_str()))
            {
                assert!(new.severity < f.severity, "{} brings {}", f.limit, new.limit);
                assert!(cure.brings.contains(&new.limit), "{} is not told", new.limit);
            }
            let measure = cure.lever.measure();
            // The least: half of the change does not do, where it is more than what a hand can set.
            let whole = matches!(
                cure.lever,
                Lever::ReleaseCoats | Lever::Clamps | Lever::Syringe | Lever::Scale
            );
            let Some(from) = cure.from.as_ref().filter(|_| !whole) else {
                continue;
            };
            let (from, to) = (
                from.si("", measure).unwrap(),
                cure.to.as_ref().unwrap().si("", measure).unwrap(),
            );
            let step = match cure.lever {
                Lever::MouldTemperature | Lever::ResinTemperature | Lever::ShopTemperature => 0.5,
                Lever::InMouldTime => 3600.0,
                _ => 0.1 * to.abs(),
            };
            if (to - from).abs() > 2.0 * step {
                let text = gelwright::limit::QuantityText::of_si(0.5 * (from + to), measure);
                let half = set(&casting, &cure.fields, text.as_str()).unwrap();
                let after = half.plan_without_cures(Cancel::NEVER).unwrap();
                assert!(
                    after.findings.iter().any(|o| same(&o)),
                    "{}: {text:?} does",
                    f.limit
                );
            }
        }
    }
    assert!(cured >= 8, "{cured} cured, {none} without");
}

#[test]
fn a_cure_is_asked_of_a_finding_that_is_there() {
    let casting = read(&tray(14.0, r#"wet_thickness = "0.5 mm""#, r#""csm_300""#));
    let e = casting
        .smallest_cure("shop_hot", None, Cancel::NEVER)
        .unwrap_err();
    assert_eq!((e.kind(), e.field()), (ErrorKind::UnknownName, "limit"), "{e}");
    assert!(e.to_string().contains("shop_cold"), "{e}");
    let e = casting
        .smallest_cure("shop_cold", Some("the moon"), Cancel::NEVER)
        .unwrap_err();
    assert_eq!((e.kind(), e.field()), (ErrorKind::UnknownName, "subject"), "{e}");
}

/// A casting in which each input of each noun stands.
fn rich() -> Casting {
    let toml = tray(20.0, r#"wet_thickness = "0.5 mm""#, r#""csm_300", "csm_300""#)
        .replace(
            "bench = { scale = { readability = \"0.01 g\" } }",
            "end = \"18:00\"\nresin_temperature = \"20 degC\"\nmould_temperature = \"20 degC\"\n\
             bench = { scale = { readability = \"0.1 g\", repeatability = \"0.05 g\" }, syringe = { graduation = \"0.1 mL\", tolerance = \"2 %\" } }",
        )
        .replace("coats = 4 }", "coats = 4, wait = \"1 h\" }")
        .replace(
            "area = \"0.1 m^2\"",
            "area = \"0.1 m^2\"\nsize = \"0.3 m\"\nstance = \"level_up\"\npulled_edge = { length = \"60 mm\", width = \"100 mm\", pull = \"10 N\", tip_thickness = \"1.5 mm\" }",
        )
        .replace("plies =", "glass_content = \"29 wt%\", plies =")
        .replace(
            "[cure]",
            "[[inserts]]\nname = \"block\"\nrecipe = \"paste\"\nvolume = \"10 mL\"\n\
             [[seams]]\nname = \"rim\"\nrecipe = \"paste\"\nlength = \"0.5 m\"\nwidth = \"8 mm\"\nheight = \"4 mm\"\nflange = \"12 mm\"\n\
             [clamping]\nclamps = 8\nforce = \"40 N\"\n\
             [recipes.paste]\nresin = \"resin\"\nparts = [{ material = \"mekp_9\", dose = \"1.5 phr\" }, { material = \"fumed_silica\", dose = \"5 phr\" }]\n\
             [waste]\ngel_coat = \"90 %\"\nlaminate = \"10 %\"\n[pace]\nmixing = \"4 min\"\n[stock]\nmekp_9 = \"50 g\"\n[cure]\nin_use = \"45 degC\"\npost_cure = [{ temperature = \"40 degC\", time = \"10 h\", rise = \"1 h\" }]",
        );
    let toml = toml.replace(
        "\"csm_300\", \"csm_300\"] } }]",
        "\"csm_300\", \"csm_300\"] } }, { pour = { recipe = \"wall\", thickness = \"1 mm\" } }]",
    );
    assert!(toml.contains("pour = {"));
    read(&toml)
}

/// Another value of an input: a number a tenth more, a yes a no. Words and dates are not inputs of a computation.
fn another(leaf: &Value) -> Option<Value> {
    match leaf {
        Value::Bool(b) => Some(json!(!b)),
        Value::Number(n) => Some(json!(n.as_u64()? + 1)),
        Value::String(text) => {
            let (number, unit) = text.split_once(' ')?;
            let x: f64 = number.parse().ok()?;
            Some(json!(format!(
                "{} {unit}",
                if unit == "degC" { x + 3.0 } else { 1.1 * x }
            )))
        }
        _ => None,
    }
}

fn leaves(value: &Value, path: &str, all: &mut Vec<(String, Value)>) {
    match value {
        Value::Object(map) => map
            .iter()
            .for_each(|(k, v)| leaves(v, &format!("{path}/{k}"), all)),
        Value::Array(list) => list
            .iter()
            .enumerate()
            .for_each(|(i, v)| leaves(v, &format!("{path}/{i}"), all)),
        leaf => all.push((path.to_owned(), leaf.clone())),
    }
}

/// Inputs that change nothing, with the reason. Whatever else is changed changes some answer of the plan.
const COUNTS_ELSEWHERE: &[(&str, &str)] = &[
    ("/version", "what the document is, no input"),
    (
        "/shop/bench/cup_graduation",
        "no part is measured by the cup where a scale stands",
    ),
];

#[test]
fn every_input_of_a_casting_changes_an_answer_or_is_listed() {
    let casting = rich();
    let value = gelwright::noun::to_value(&casting).unwrap();
    let answer = |c: &Casting| {
        c.plan_without_cures(Cancel::NEVER)
            .map(|p| gelwright::noun::to_value(&p).unwrap())
    };
    let plain = casting.plan_without_cures(Cancel::NEVER).unwrap();
    let first = gelwright::noun::to_value(&plain).unwrap();
    let mut all = Vec::new();
    leaves(&value, "", &mut all);
    let (mut counted, mut silent) = (0, Vec::new());
    for (path, leaf) in all {
        // The casting's own materials, sources and limits are looked at where they are read.
        if ["/material", "/source", "/limit"]
            .iter()
            .any(|p| path.starts_with(p))
        {
            continue;
        }
        let Some(other) = another(&leaf) else { continue };
        let mut changed = value.clone();
        *changed.pointer_mut(&path).unwrap() = other;
        let Ok(changed) = Casting::from_json(&changed.to_string()) else {
            continue;
        };
        counted += 1;
        // Refused is an answer.
        if answer(&changed).is_ok_and(|a| a == first) {
            silent.push(path);
        }
    }
    assert!(counted > 50, "{counted}");
    let dotted = |path: &str| path.trim_start_matches('/').replace('/', ".");
    silent.retain(|path| {
        let told = plain.without_effect.iter().any(|w| {
            let field = w.field.replace('[', ".").replace(']', "");
            dotted(path).starts_with(&field)
        });
        !told && !COUNTS_ELSEWHERE.iter().any(|(p, _)| p == path)
    });
    assert!(silent.is_empty(), "changed without any effect: {silent:?}");
}
