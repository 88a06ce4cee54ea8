//! The day and its steps against published guides of the trade. Each guide is named so that another person finds it.

use gelwright::Cancel;
use gelwright::limit::Severity;
use gelwright::plan::{Casting, Plan, Work, WorkStep};
use gelwright::quantity::*;

const CAREFUL: &str = include_str!("../../crates/gelwright/demo/moth_lantern.toml");

fn changed(from: &str, to: &str) -> Plan {
    assert!(CAREFUL.contains(from), "{from}");
    let casting = Casting::from_toml(&CAREFUL.replacen(from, to, 1)).unwrap();
    casting.plan_without_cures(Cancel::NEVER).unwrap()
}

fn careful() -> Plan {
    Casting::from_toml(CAREFUL)
        .unwrap()
        .plan_without_cures(Cancel::NEVER)
        .unwrap()
}

fn steps(p: &Plan, work: Work) -> Vec<&WorkStep> {
    p.steps.iter().filter(|s| s.work == work).collect()
}

fn minutes(t: Time) -> f64 {
    t.si() / 60.0
}

/// "Three coats of hard wax, carnauba type, buffing between each coat": How-to guide, hand lay-up on fiberglass molds, a
/// fibreglass supplier, 3 November 2016, step 1 (blog-fgci.com/2016/11/03/how-to-guide-hand-lay-up-on-fiberglass-molds).
/// And the film over it is "allowed to dry". Two coats are found to be few.
#[test]
fn three_coats_of_wax_each_buffed() {
    let few = |p: &Plan| {
        p.findings
            .iter()
            .find(|f| f.limit == "release_wax_few")
            .map(|f| f.severity)
    };
    assert_eq!(few(&changed("coats = 4", "coats = 3")), None);
    let two = changed("coats = 4", "coats = 2");
    assert_eq!(few(&two), Some(Severity::Warning));
    let coats = steps(&two, Work::Release);
    assert!(
        coats[0].watch[0].contains("buff") && coats[2].watch[0].contains("dry"),
        "{:?}",
        coats[0].watch
    );
}

/// "Leave for 30 minutes and then polish, repeat this for 3 to 4 applications": The use of mould polishes and cutting pastes
/// for preparing and polishing glassfibre moulds and plugs, a moulding supplier (kcmouldings.co.uk/html/mouldpolishuse.html).
/// It is the wait where the casting gives none; the film's is the catalogue's longer end, 60 min (from memory).
#[test]
fn the_waits_of_wax_and_film_where_the_casting_gives_none() {
    let casting = CAREFUL
        .replacen("coats = 4, wait = \"45 min\"", "coats = 4", 1)
        .replacen("coats = 1, wait = \"40 min\"", "coats = 1", 1);
    let p = Casting::from_toml(&casting)
        .unwrap()
        .plan_without_cures(Cancel::NEVER)
        .unwrap();
    let coats = steps(&p, Work::Release);
    for two in coats[..4].windows(2) {
        assert!(minutes(two[1].start.since(two[0].end)) >= 30.0 - 0.02);
    }
    let first = &p.batches[0];
    assert!(minutes(first.start.since(coats[4].end)) >= 60.0 - 0.02);
}

/// "The easiest stage to trim is just after the resin has set, when the moulding is rubbery and can be cut with a sharp
/// knife. [It] lasts only about thirty minutes. [...] Do not trim too soon": Practical Action, Fibreglass boat building,
/// technical brief, page 10. The flange is trimmed after the upper end of the gel band, and within thirty minutes of it.
#[test]
fn the_flange_is_trimmed_while_it_is_rubbery() {
    let p = careful();
    let trim = steps(&p, Work::TrimFlange)[0];
    let laid = steps(&p, Work::LayUp)[0];
    let cup = p
        .batches
        .iter()
        .find(|b| Some(&b.name) == laid.batch.as_ref())
        .unwrap();
    let gel = cup.gel_time.as_ref().unwrap();
    let waited = minutes(trim.start.since(laid.end));
    assert!(
        waited >= minutes(gel.high) - 0.02 && waited <= minutes(gel.high) + 30.0,
        "{waited} min"
    );
}

/// The order of the same supplier's guide: mould, gel coat and its test, laminate "with roller until all white areas have
/// disappeared and all air bubbles have escaped", tools into acetone, "shake all acetone out of brushes: drips can result in
/// uncured spots", trim, demould. Catalyst and accelerator undiluted explode (Practical Action, as above): the caution
/// stands beside the first mixing where both are there.
#[test]
fn the_order_and_the_cautions_of_the_guides() {
    let p = careful();
    let at = |w: Work| steps(&p, w)[0].number;
    let order = [
        Work::Clean,
        Work::Release,
        Work::GelCoat,
        Work::TouchTest,
        Work::LayUp,
        Work::TrimFlange,
        Work::Demould,
    ];
    assert!(order.windows(2).all(|w| at(w[0]) < at(w[1])));
    let roll = &steps(&p, Work::LayUp)[0].watch;
    assert!(
        roll[0].contains("white spot") && roll[0].contains("bubble"),
        "{roll:?}"
    );
    assert!(
        p.consumables
            .iter()
            .any(|c| c.name.contains("acetone") && c.purpose.contains("away from the catalyst"))
    );
    let mixed = p.steps.iter().find(|s| s.batch.is_some()).unwrap().number;
    let acetone = p
        .cautions
        .iter()
        .find(|c| c.about == ["acetone with peroxide"])
        .unwrap();
    assert_eq!(acetone.step, Some(mixed));
    let trimmed = p.cautions.iter().find(|c| c.about == ["sanding"]).unwrap();
    assert_eq!(trimmed.step, Some(at(Work::Trim)));
}
