//! Paths in a tree of values, as errors tell them: `shop.bench.scale`, `zones[0].area`.

use serde_json::Value;

use crate::error::Result;
use crate::noun::{self, Noun};
use crate::quantity::spread::Input;

#[derive(Debug, Clone, PartialEq)]
enum Step {
    Field(String),
    Item(usize),
}

impl Step {
    fn of<'v>(&self, at: &'v Value) -> Option<&'v Value> {
        match self {
            Step::Field(name) => at.get(name),
            Step::Item(i) => at.get(i),
        }
    }
    fn of_mut<'v>(&self, at: &'v mut Value) -> Option<&'v mut Value> {
        match self {
            Step::Field(name) => at.get_mut(name),
            Step::Item(i) => at.get_mut(i),
        }
    }
}

/// The first step of a path, and the rest. A name of a map may hold what else parts the steps: the longest counts.
fn first<'p>(at: &Value, path: &'p str) -> Option<(Step, &'p str)> {
    let (step, rest) = match at {
        Value::Object(fields) => {
            let ends = |name: &&String| {
                path.strip_prefix(name.as_str())
                    .is_some_and(|rest| rest.is_empty() || rest.starts_with(['.', '[']))
            };
            let name = fields.keys().filter(ends).max_by_key(|name| name.len())?;
            (Step::Field(name.clone()), &path[name.len()..])
        }
        Value::Array(_) => {
            let (index, rest) = path.strip_prefix('[')?.split_once(']')?;
            (Step::Item(index.parse().ok()?), rest)
        }
        _ => return None,
    };
    Some((step, rest.strip_prefix('.').unwrap_or(rest)))
}

/// The steps of a path, as far as the tree goes, and what is left of it.
fn steps<'p>(tree: &Value, path: &'p str) -> (Vec<Step>, &'p str) {
    let (mut at, mut rest, mut steps) = (tree, path, Vec::new());
    while !rest.is_empty() {
        let Some((step, after)) = first(at, rest) else {
            break;
        };
        let Some(inner) = step.of(at) else { break };
        (at, rest) = (inner, after);
        steps.push(step);
    }
    (steps, rest)
}

fn node<'v>(tree: &'v Value, steps: &[Step]) -> Option<&'v Value> {
    steps.iter().try_fold(tree, |at, step| step.of(at))
}

fn node_mut<'v>(tree: &'v mut Value, steps: &[Step]) -> Option<&'v mut Value> {
    steps.iter().try_fold(tree, |at, step| step.of_mut(at))
}

/// Puts a value at a path; a field that its table does not have is added. None where the path leads nowhere.
pub(super) fn put(tree: &mut Value, path: &str, value: Value) -> Option<()> {
    let (steps, rest) = steps(tree, path);
    let at = node_mut(tree, &steps)?;
    match at {
        at if rest.is_empty() => *at = value,
        Value::Object(fields) if !rest.contains(['.', '[']) => {
            fields.insert(rest.to_owned(), value);
        }
        _ => return None,
    }
    Some(())
}

/// The noun as a tree with its spreads in their places: where the noun is written otherwise than its document (a dropper
/// by its calibration), that part is the document's.
pub(super) fn written<N: Noun>(value: &N, document: &Value, noted: &[(String, Input)]) -> Result<Value> {
    let mut tree = noun::to_value(value)?;
    for (path, input) in noted {
        let (steps, _) = steps(document, path);
        match node_mut(&mut tree, &steps) {
            Some(Value::String(text)) => *text = input.tagged(),
            _ => {
                let kept = (0..=steps.len())
                    .rev()
                    .find(|n| node(&tree, &steps[..*n]).is_some())
                    .unwrap_or(0);
                let part = node(document, &steps[..kept]).cloned();
                if let (Some(at), Some(part)) = (node_mut(&mut tree, &steps[..kept]), part) {
                    *at = part;
                }
            }
        }
    }
    Ok(tree)
}
