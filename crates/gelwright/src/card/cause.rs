//! Findings grouped by what is wrong in the shop: one cold room breaks five rules, and is told once.

use crate::limit::{Cause, Finding, Severity};

/// All findings of one cause on one side of their bounds.
pub(super) struct Grouped<'p> {
    pub(super) cause: Cause,
    pub(super) low: bool,
    /// Of one quantity of one subject each, or of several subjects with the same value: the most severe rule first.
    pub(super) values: Vec<OneValue<'p>>,
}

/// What one value, or the same value of several subjects, breaks.
pub(super) struct OneValue<'p> {
    pub(super) subjects: Vec<&'p str>,
    pub(super) findings: Vec<&'p Finding>,
}

impl Grouped<'_> {
    pub(super) fn severity(&self) -> Severity {
        self.worst().severity
    }
    /// The finding that names the trouble.
    pub(super) fn worst(&self) -> &Finding {
        self.values[0].findings[0]
    }
}

/// Every finding once: by cause and side, the worst first.
pub(super) fn grouped(findings: &[Finding]) -> Vec<Grouped<'_>> {
    let key = |f: &Finding| {
        let cause = Cause::of(f);
        (cause, cause.has_sides() && f.is_low())
    };
    let mut values: Vec<OneValue> = Vec::new();
    for f in findings {
        let same = |v: &&mut OneValue| {
            let first = v.findings[0];
            first.quantity == f.quantity && first.subject == f.subject && key(first) == key(f)
        };
        match values.iter_mut().find(same) {
            Some(v) => v.findings.push(f),
            None => values.push(OneValue {
                subjects: vec![&f.subject],
                findings: vec![f],
            }),
        }
    }
    let mut merged: Vec<OneValue> = Vec::new();
    for mut v in values {
        v.findings.sort_by_key(|f| std::cmp::Reverse(f.severity));
        let same = |m: &&mut OneValue| {
            m.findings.len() == v.findings.len()
                && m.findings
                    .iter()
                    .zip(&v.findings)
                    .all(|(a, b)| a.limit == b.limit && a.value == b.value && a.value.is_some())
        };
        match merged.iter_mut().find(same) {
            Some(m) => m.subjects.extend(v.subjects),
            None => merged.push(v),
        }
    }
    let mut groups: Vec<Grouped> = Vec::new();
    for v in merged {
        let (cause, low) = key(v.findings[0]);
        match groups.iter_mut().find(|g| g.cause == cause && g.low == low) {
            Some(g) => g.values.push(v),
            None => groups.push(Grouped {
                cause,
                low,
                values: vec![v],
            }),
        }
    }
    for g in &mut groups {
        g.values
            .sort_by_key(|v| std::cmp::Reverse(v.findings[0].severity));
    }
    // What no one change cures stands before what one cures.
    groups.sort_by_key(|g| (std::cmp::Reverse(g.severity()), !g.worst().no_cure, g.cause));
    groups
}
