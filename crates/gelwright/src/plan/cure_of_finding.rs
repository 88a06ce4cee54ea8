//! The least change of one input that cures a finding, proved by planning again; what the plan tells for its worst.

use super::casting::Casting;
use super::exotherm::{Extent, Laws};
use super::job::Job;
use super::levers::{self, Change};
use super::planned;
use crate::cancel::Cancel;
use crate::error::{Error, ErrorKind, Result};
use crate::limit::{Cause, Finding, LimitQuantity, Limits, QuantityText, SmallestCure, as_written};
use crate::material::Catalogue;
use crate::noun::{AsText, Noun};
use crate::quantity::Measure;

/// A finding, and what cures it.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct CureOfFinding {
    /// The finding that was asked for.
    pub finding: Finding,
    /// The least change of one input that cures it; nothing where none within its range does.
    pub cure: Option<SmallestCure>,
}

/// What no change of a casting's inputs touches: its catalogue, its limits, the laws of its resins' cure.
pub(super) struct Ground {
    pub(super) catalogue: Catalogue,
    pub(super) limits: Limits,
    pub(super) laws: Laws,
}

/// How much longer than planned a zone must stay in its mould, s; nothing where waiting does not help.
pub(super) struct ZoneWait {
    pub(super) zone: String,
    pub(super) wait: Option<f64>,
}

/// For how many causes a plan looks for the cure of the worst finding.
const WORST: usize = 3;

/// The worst finding of each of the worst causes, in the order that the card tells them.
fn worst_of_causes(findings: &[Finding]) -> Vec<usize> {
    let mut causes: Vec<(Cause, bool, usize)> = Vec::new();
    for (i, f) in findings.iter().enumerate() {
        let cause = Cause::of(f);
        let low = cause.has_sides() && f.is_low();
        match causes.iter_mut().find(|c| (c.0, c.1) == (cause, low)) {
            Some(known) if findings[known.2].severity < f.severity => known.2 = i,
            Some(_) => {}
            None => causes.push((cause, low, i)),
        }
    }
    causes.sort_by_key(|c| (std::cmp::Reverse(findings[c.2].severity), c.0));
    causes.into_iter().take(WORST).map(|c| c.2).collect()
}

impl Ground {
    /// Looks for the smallest cure of a plan's worst findings, and tells those that have none before the others.
    pub(super) fn cure_the_worst(
        &self,
        casting: &Casting,
        findings: &mut [Finding],
        waits: &[ZoneWait],
        cancel: Cancel<'_>,
    ) -> Result<()> {
        for i in worst_of_causes(findings) {
            let f = findings[i].clone();
            let alike = alike(&f, findings);
            let cure = self.smallest(casting, findings, &f, waits, cancel)?;
            for f in findings.iter_mut().filter(|f| alike.contains(&Key::of(f))) {
                f.smallest_cure = cure.clone();
                f.no_cure = cure.is_none();
            }
        }
        findings.sort_by_key(|f| (std::cmp::Reverse(f.severity), !f.no_cure));
        Ok(())
    }

    /// The cure of a finding by its limit's name.
    pub(super) fn cure_of(
        &self,
        casting: &Casting,
        findings: &[Finding],
        limit: &str,
        subject: Option<&str>,
        waits: &[ZoneWait],
        cancel: Cancel<'_>,
    ) -> Result<CureOfFinding> {
        let of_limit: Vec<&Finding> = findings.iter().filter(|f| f.limit == limit).collect();
        if of_limit.is_empty() {
            let mut known: Vec<&str> = findings.iter().map(|f| f.limit.as_str()).collect();
            known.dedup();
            return Err(Error::unknown_name("limit", limit, known));
        }
        let mut finding = match subject {
            None => of_limit[0],
            Some(s) => of_limit.iter().find(|f| f.subject == s).copied().ok_or_else(|| {
                Error::unknown_name("subject", s, of_limit.iter().map(|f| f.subject.as_str()))
            })?,
        }
        .clone();
        let cure = self.smallest(casting, findings, &finding, waits, cancel)?;
        finding.smallest_cure = cure.clone();
        finding.no_cure = cure.is_none();
        Ok(CureOfFinding { finding, cure })
    }

    /// The first lever that cures, by its least change.
    fn smallest(
        &self,
        casting: &Casting,
        findings: &[Finding],
        finding: &Finding,
        waits: &[ZoneWait],
        cancel: Cancel<'_>,
    ) -> Result<Option<SmallestCure>> {
        let alike = alike(finding, findings);
        let search = Search {
            ground: self,
            casting,
            findings,
            finding,
            alike: &alike,
            cancel,
        };
        for change in levers::of(casting, &self.catalogue, finding, &search.subjects(), waits)? {
            if let Some(cure) = search.least(&change)? {
                return Ok(Some(cure));
            }
        }
        Ok(None)
    }

    fn findings(&self, casting: &Casting, extent: Extent<'_>, cancel: Cancel<'_>) -> Result<Vec<Finding>> {
        casting.check()?;
        let job = Job::new(casting, &self.catalogue)?;
        Ok(planned::worked(&job, &self.limits, &self.laws, extent, cancel)?
            .checked
            .broken)
    }
}

/// What a finding is of: its limit and subject. Cups are numbered anew with every plan, and are one subject.
#[derive(Clone, PartialEq)]
struct Key(String, String);

impl Key {
    fn of(f: &Finding) -> Key {
        let subject = match f.subject.strip_prefix("cup ") {
            Some(n) if n.chars().all(|c| c.is_ascii_digit()) => "cup",
            _ => f.subject.as_str(),
        };
        Key(f.limit.clone(), subject.to_owned())
    }
}

/// The findings of the same rule with the same value, this one first.
fn alike(f: &Finding, findings: &[Finding]) -> Vec<Key> {
    let mut keys = vec![Key::of(f)];
    let same = |o: &&Finding| o.limit == f.limit && o.value == f.value && o.value.is_some();
    for key in findings.iter().filter(same).map(Key::of) {
        if !keys.contains(&key) {
            keys.push(key);
        }
    }
    keys
}

/// How many different findings these are.
fn kinds<'f>(findings: impl Iterator<Item = &'f Finding>) -> usize {
    let mut keys: Vec<Key> = Vec::new();
    for key in findings.map(Key::of) {
        if !keys.contains(&key) {
            keys.push(key);
        }
    }
    keys.len()
}

/// As a hand writes it: 21.5 degC, not 21.49999999999997.
fn written(si: f64, of: &'static Measure) -> QuantityText {
    let exact = QuantityText::of_si(si, of);
    let rounded = exact.as_str().split_once(' ').and_then(|(number, unit)| {
        let number = as_written(number.parse().ok()?);
        QuantityText::from_text(&format!("{number} {unit}")).ok()
    });
    rounded.unwrap_or(exact)
}

/// Whether what is measured comes from the zones' heat.
fn of_heat(q: LimitQuantity) -> bool {
    use LimitQuantity as Q;
    matches!(
        q,
        Q::PeakTemperature
            | Q::MouldFaceTemperature
            | Q::BoilingMonomer
            | Q::DemouldCure
            | Q::DemouldWait
            | Q::OvenOverGlass
            | Q::GlassOverUse
    )
}

/// A window narrower than so many halvings of a range reach is not looked for.
const MOST_HALVINGS: usize = 7;

struct Search<'a> {
    ground: &'a Ground,
    casting: &'a Casting,
    /// All of the plan.
    findings: &'a [Finding],
    finding: &'a Finding,
    alike: &'a [Key],
    cancel: Cancel<'a>,
}

/// What became of a change.
enum Tried {
    /// It does not cure.
    No,
    /// It cures, and brings or worsens too much.
    Harms,
    Cures(Vec<Finding>),
}

impl Search<'_> {
    fn subjects(&self) -> Vec<String> {
        self.alike.iter().map(|k| k.1.clone()).collect()
    }

    /// The casting with a change, judged; a change that no plan can be made of cures nothing.
    fn tried(&self, change: &Change, x: f64, extent: Extent<'_>) -> Result<Tried> {
        self.cancel.check()?;
        let changed = match change.applied(self.casting, x) {
            Ok(c) => c,
            Err(_) => return Ok(Tried::No),
        };
        let after = match self.ground.findings(&changed, extent, self.cancel) {
            Ok(f) => f,
            Err(e) if e.kind() == ErrorKind::Cancelled => return Err(e),
            // No plan can be made of it: it goes too far.
            Err(_) => return Ok(Tried::Harms),
        };
        let still: Vec<&Finding> = after
            .iter()
            .filter(|f| self.alike.contains(&Key::of(f)))
            .collect();
        if still.iter().any(|f| f.is_low() == self.finding.is_low()) {
            return Ok(Tried::No);
        }
        // Beyond the other end of its window.
        if !still.is_empty() {
            return Ok(Tried::Harms);
        }
        let of_extent = |f: &&Finding| match extent {
            Extent::Zones | Extent::Everything => true,
            Extent::Only(zones) => !of_heat(f.quantity) || zones.contains(&f.subject),
            Extent::Nothing | Extent::Cups => !of_heat(f.quantity),
        };
        let before: Vec<&Finding> = self.findings.iter().filter(of_extent).collect();
        let worse = after.iter().any(|f| {
            let was = before
                .iter()
                .filter(|b| Key::of(b) == Key::of(f))
                .map(|b| b.severity)
                .max();
            match was {
                Some(was) => f.severity > was,
                None => f.severity >= self.finding.severity,
            }
        });
        if worse || kinds(after.iter()) > kinds(before.iter().copied()) {
            return Ok(Tried::Harms);
        }
        Ok(Tried::Cures(after))
    }

    /// The least of a change that cures: from the end of its range towards what it is now, by bisection; then rounded, and
    /// proved with all that findings rest on.
    fn least(&self, change: &Change) -> Result<Option<SmallestCure>> {
        let zones = self.subjects();
        let extent = if of_heat(self.finding.quantity) {
            Extent::Only(&zones)
        } else {
            Extent::Nothing
        };
        let at = |share: f64| change.now + share * (change.end - change.now);
        let Some((mut fails, mut cures)) = self.bracket(change, extent)? else {
            return Ok(None);
        };
        let fine = 0.5 * change.step / (change.end - change.now).abs();
        while cures - fails > fine.max(1e-3) {
            let middle = 0.5 * (fails + cures);
            match self.tried(change, at(middle), extent)? {
                Tried::Cures(_) => cures = middle,
                _ => fails = middle,
            }
        }
        // Between the last that fails and the first that cures there may be a round value that cures.
        self.proved(change, change.rounded(at(fails)))
    }

    /// The first of a value and the next few that cures, with all that findings rest on.
    fn proved(&self, change: &Change, first: f64) -> Result<Option<SmallestCure>> {
        let extent = if change.lever_warms() {
            Extent::Zones
        } else {
            Extent::Nothing
        };
        // What it is now cures nothing.
        let ahead = (0..4)
            .map(|n| change.further(first, n))
            .filter(|x| *x != change.now);
        for x in ahead.take(3) {
            if let Tried::Cures(after) = self.tried(change, x, extent)? {
                return Ok(Some(self.told(change, x, &after, extent)));
            }
        }
        Ok(None)
    }

    /// A share of the range that fails and a greater one that cures: what is measured goes one way with the input, so that first
    /// nothing is cured, then it is, then it goes too far.
    fn bracket(&self, change: &Change, extent: Extent<'_>) -> Result<Option<(f64, f64)>> {
        let at = |share: f64| change.now + share * (change.end - change.now);
        let (mut fails, mut harms) = (0.0, 1.0);
        let mut next = change.guess.map_or(1.0, |g| {
            (change.rounded(g) - change.now) / (change.end - change.now)
        });
        for _ in 0..MOST_HALVINGS {
            match self.tried(change, at(next), extent)? {
                Tried::Cures(_) => return Ok(Some((fails, next))),
                Tried::Harms => harms = next,
                Tried::No if next >= 1.0 => return Ok(None),
                Tried::No => fails = next,
            }
            next = 0.5 * (fails + harms);
        }
        Ok(None)
    }

    fn told(&self, change: &Change, x: f64, after: &[Finding], extent: Extent<'_>) -> SmallestCure {
        let seen = |f: &&Finding| extent == Extent::Zones || !of_heat(f.quantity);
        let missing = |of: &[Finding], than: &[Finding]| {
            let mut names: Vec<String> = Vec::new();
            for f in of.iter().filter(seen) {
                let same = |o: &Finding| Key::of(o) == Key::of(f);
                if !than.iter().any(same) && !names.contains(&f.limit) {
                    names.push(f.limit.clone());
                }
            }
            names
        };
        let text = |x: f64| written(x, change.measure);
        let mut cures_too = missing(self.findings, after);
        cures_too.retain(|n| *n != self.finding.limit);
        SmallestCure {
            lever: change.lever,
            fields: change.fields.clone(),
            of: change.of.clone(),
            from: change.from.map(text),
            to: change.to_is_told.then(|| text(x)),
            brings: missing(after, self.findings),
            cures_too,
        }
    }
}
