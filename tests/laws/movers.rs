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
        let days = days.trim().trim_start_matches('+').trim_end_matches('d').trim();
        return Some(
            hours.parse::<f64>().ok()? * 60.0
                + minutes.parse::<f64>().ok()?
                + days.parse::<f64>().unwrap_or(0.0) * 1440.0,
        );
    }
    let first = text.split_whitespace().next()?;
    first.parse().ok()
}

/// What is told beside the answers: reasons, sources, curves, the bands and their drivers, what was put in, and findings (their values
/// are answers of their own).
const NOT_ANSWERS: [&str; 22] = [
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
    let plan = casting.plan(Cancel::NEVER).map_err(|e| e.to_string())?;
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

#[test]
fn what_moves_the_demo_is_published_or_can_be_measured_here() {
    let started = std::time::Instant::now();
    let casting = Casting::from_toml(DEMO).unwrap();
    let base = answers(&casting).unwrap();
    let catalogue = casting.catalogue().unwrap();
    let plan = casting.plan(Cancel::NEVER).unwrap();
    let mut ids: Vec<String> = plan.needs.iter().map(|n| n.material.clone()).collect();
    ids.push(casting.mould.wall.clone());
    let mut jobs = Vec::new();
    for id in &ids {
        let m = catalogue.get(id).unwrap();
        for f in m.facts() {
            let Some(source) = &f.source else { continue };
            if std::env::var("ALL").is_err() && source.standing > Standing::CommonPractice {
                continue;
            }
            for end in f.low.iter().chain(&f.high) {
                if Some(end) != f.value.as_ref() {
                    jobs.push((id.clone(), f.field.clone(), end.clone(), source.standing));
                }
            }
        }
    }
    println!("{} plans, {:?} for two", jobs.len(), started.elapsed());
    for (id, field, end, standing) in &jobs {
        if let Some((by, what)) = moved(&casting, &base, catalogue.get(id).unwrap(), field, end) {
            println!(
                "MOVER {id} {field} = {end} [{standing}]: {:.0} % {what}",
                100.0 * by
            );
        }
    }
}
