//! Which value of the catalogue moves an answer of the demo, and whether it is published or can be measured in the shop.

use std::collections::BTreeMap;

use gelwright::material::Material;
use gelwright::plan::Casting;
use gelwright::{Cancel, Standing, noun};
use serde_json::Value;

const DEMO: &str = include_str!("../../crates/gelwright/demo/moth_lantern.toml");
/// An answer that moves by more than this share is moved.
const MOVED: f64 = 0.05;

/// A number in an answer, with its unit as text.
fn number(text: &str) -> Option<f64> {
    if let Some((hours, rest)) = text.split_once(':').filter(|(h, _)| h.len() == 2) {
        // A clock, as minutes from midnight of the first day.
        let (minutes, days) = rest.split_at_checked(2)?;
        let days: f64 = days
            .chars()
            .filter(char::is_ascii_digit)
            .collect::<String>()
            .parse()
            .unwrap_or(0.0);
        return Some(hours.parse::<f64>().ok()? * 60.0 + minutes.parse::<f64>().ok()? + days * 1440.0);
    }
    let first = text.split_whitespace().next()?;
    first.parse().ok()
}

/// What is told beside the answers: reasons, sources, curves, the bands and their drivers, what was put in, and findings (their values
/// are answers of their own).
const NOT_ANSWERS: [&str; 25] = [
    "why",
    "source",
    "sources",
    "findings",
    "kept",
    "bench",
    "cure_laws",
    "conflicts",
    "cautions",
    "version",
    "without_effect",
    "assumed",
    "schedule",
    "shown",
    "as_shown",
    "steps",
    "peak_error",
    "band",
    "wall",
    "low",
    "high",
    "extrapolated",
    "basis",
    "design",
    "shop_tests",
];

fn flatten(path: &str, value: &Value, out: &mut BTreeMap<String, f64>) {
    match value {
        Value::Object(fields) => {
            for (key, inner) in fields.iter().filter(|(k, _)| !NOT_ANSWERS.contains(&k.as_str())) {
                flatten(&format!("{path}.{key}"), inner, out);
            }
        }
        Value::Array(rows) => {
            out.insert(format!("{path}.rows"), rows.len() as f64);
            for (i, inner) in rows.iter().enumerate() {
                flatten(&format!("{path}[{i}]"), inner, out);
            }
        }
        Value::Number(n) => {
            out.insert(path.to_owned(), n.as_f64().unwrap_or(f64::NAN));
        }
        Value::String(text) => {
            if let Some(n) = number(text) {
                out.insert(path.to_owned(), n);
            }
        }
        _ => {}
    }
}

fn answers(casting: &Casting) -> Result<BTreeMap<String, f64>, String> {
    let plan = casting
        .plan_without_cures(Cancel::NEVER)
        .map_err(|e| e.to_string())?;
    let mut out = BTreeMap::new();
    flatten("", &noun::to_value(&plan).unwrap(), &mut out);
    Ok(out)
}

/// The place in a material's tables that a fact's field names: `resin.gel_times.rows[2]`.
fn place<'v>(tables: &'v mut Value, field: &str) -> Option<&'v mut Value> {
    field
        .split('.')
        .try_fold(tables, |at, key| match key.split_once('[') {
            Some((list, index)) => at
                .get_mut(list)?
                .get_mut(index.trim_end_matches(']').parse::<usize>().ok()?),
            None => at.get_mut(key),
        })
}

/// The answer that moves most, and by how much, when `field` of `material` goes to `end`.
fn moved(
    casting: &Casting,
    base: &BTreeMap<String, f64>,
    material: &Material,
    field: &str,
    end: &str,
) -> Option<(f64, String)> {
    let mut tables = noun::to_value(material).unwrap();
    let at = place(&mut tables, field)?.as_object_mut()?;
    if at.contains_key("value") {
        at.remove("low");
        at.remove("high");
        at.insert("value".into(), end.into());
    } else {
        // A window without a value: that end is all there is of it.
        at.insert("low".into(), end.into());
        at.insert("high".into(), end.into());
    }
    let mut other = casting.clone();
    other.material.insert(material.id.clone(), tables);
    let found = match answers(&other) {
        Ok(found) => found,
        Err(why) => return Some((f64::INFINITY, why)),
    };
    base.iter()
        .filter_map(|(path, was)| {
            let is = found.get(path)?;
            // A temperature or a clock near zero moves by degrees and minutes, not by shares of them.
            let least = if path.contains("temperature") || path.contains("peak") || path.contains("softest") {
                20.0
            } else {
                1e-9
            };
            let by = (is - was).abs() / was.abs().max(least);
            Some((by, format!("{path}: {was} -> {is}")))
        })
        .filter(|(by, _)| *by > MOVED)
        .max_by(|a, b| a.0.total_cmp(&b.0))
}

/// The values of the demo's materials that move an answer and that nothing published, derived or measured here stands behind yet: a
/// material, its field, and why no test of the shop replaces it. `cargo test -- --ignored movers` tells when one is missing.
const KNOWN: &str = include_str!("movers.txt");

fn known() -> Vec<(&'static str, &'static str)> {
    let rows = KNOWN
        .lines()
        .filter(|l| !l.starts_with('#') && !l.trim().is_empty());
    rows.filter_map(|l| {
        l.split_once(' ')
            .map(|(m, rest)| (m, rest.split(' ').next().unwrap_or_default()))
    })
    .collect()
}

/// Whether a test of the shop that the library reads takes the field's place.
fn can_be_tested(field: &str) -> bool {
    gelwright::plan::REPLACED.iter().any(|(f, _)| *f == field)
}

fn unsourced(standing: Standing) -> bool {
    matches!(standing, Standing::FromMemory | Standing::CommonPractice)
}

/// The list holds no value that has since been published, replaced or removed.
#[test]
fn the_list_of_movers_is_no_longer_than_it_must_be() {
    let catalogue = Casting::from_toml(DEMO).unwrap().catalogue().unwrap();
    for (material, field) in known() {
        let facts = catalogue.get(material).unwrap().facts();
        let fact = facts.iter().find(|f| f.field == field);
        let standing = fact.and_then(|f| f.source.as_ref()).map(|s| s.standing);
        assert!(
            standing.is_some_and(unsourced),
            "{material} {field}: strike it from movers.txt"
        );
        assert!(
            !can_be_tested(field),
            "{material} {field}: a shop test replaces it"
        );
    }
}

/// Every value that moves an answer of the demo by more than 5 % within its range is published, derived, replaced by a shop test, or on the
/// list of what is still open. A plan for each end of each value: some minutes.
#[test]
#[ignore = "a plan for each end of each value: minutes"]
fn what_moves_the_demo_is_published_or_can_be_measured_here() {
    let casting = Casting::from_toml(DEMO).unwrap();
    let base = answers(&casting).unwrap();
    let catalogue = casting.catalogue().unwrap();
    let plan = casting.plan_without_cures(Cancel::NEVER).unwrap();
    let mut ids: Vec<String> = plan.needs.iter().map(|n| n.material.clone()).collect();
    ids.push(casting.mould.wall.clone());
    let mut open = Vec::new();
    for id in &ids {
        let m = catalogue.get(id).unwrap();
        for f in m.facts() {
            let Some(source) = f.source.as_ref().filter(|s| unsourced(s.standing)) else {
                continue;
            };
            let ends = f
                .low
                .iter()
                .chain(&f.high)
                .filter(|end| Some(*end) != f.value.as_ref());
            let most = ends
                .filter_map(|end| moved(&casting, &base, m, &f.field, end))
                .max_by(|a, b| a.0.total_cmp(&b.0));
            let Some((by, what)) = most else { continue };
            let tested = can_be_tested(&f.field);
            println!(
                "{id} {} [{}{}]: {:.0} %, {what}",
                f.field,
                source.standing,
                if tested { ", shop test" } else { "" },
                100.0 * by
            );
            if !tested && !known().contains(&(id.as_str(), f.field.as_str())) {
                open.push(format!("{id} {}", f.field));
            }
        }
    }
    assert!(open.is_empty(), "{} values:\n{}", open.len(), open.join("\n"));
}
