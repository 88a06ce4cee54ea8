//! What must hold for any text that is read as a casting.

use std::sync::atomic::{AtomicUsize, Ordering};

use gelwright::card::{Language, page_of};
use gelwright::plan::{Casting, Plan};
use gelwright::{Cancel, document};
use serde_json::Value;

use super::answer;

/// Planning is stopped when it looks for the so many-th time whether to go on.
const LOOKS: usize = 24;
/// A casting of more layers and seams than this is read, not planned.
const SMALL: usize = 24;

/// A casting is read or refused; what is read survives its JSON; a small one is planned soundly or refused.
pub(crate) fn check(text: &str) {
    let casting = match Casting::from_toml(text) {
        Ok(casting) => casting,
        Err(e) => return answer::refused(&e),
    };
    let json = casting
        .to_json()
        .unwrap_or_else(|e| panic!("a casting that was read can not be written: {e}"));
    let again = Casting::from_json(&json)
        .unwrap_or_else(|e| panic!("a casting that was written is refused: {e}\n{json}"));
    assert_eq!(again, casting, "a casting changes in its JSON");
    let layers: usize = casting.zones.iter().map(|z| z.layers.len()).sum();
    if layers + casting.seams.len() + casting.inserts.len() > SMALL {
        return;
    }
    let looks = AtomicUsize::new(0);
    let enough = || looks.fetch_add(1, Ordering::Relaxed) >= LOOKS;
    match casting.plan(Cancel::when(&enough)) {
        Ok(plan) => planned(text, &plan),
        Err(e) => answer::refused(&e),
    }
}

fn planned(text: &str, plan: &Plan) {
    let json = document::to_json(plan).unwrap_or_else(|e| panic!("a plan can not be written: {e}"));
    answer::sound(text, &json);
    let again: Plan = document::from_json(&json, Cancel::NEVER)
        .unwrap_or_else(|e| panic!("a plan that was written is refused: {e}"));
    assert_eq!(&again, plan, "a plan changes in its JSON");
    for shown in [
        plan.sheet(Language::German),
        page_of(std::slice::from_ref(plan), Language::English),
    ] {
        answer::sound(text, &Value::from(shown).to_string());
    }
}
