//! Limits as a document holds them, and which of them apply.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::finding::{Finding, Measured, slip_of_ten};
use super::{LimitQuantity, Method, Protects, QuantityText, Rank, Severity};
use crate::document::{self, Versions};
use crate::error::{Error, Result};
use crate::material::{AreaReinforcementForm, Catalogue, Class, Family};
use crate::noun::{Noun, questions};
use crate::quantity::show_si;
use crate::source::{Source, Standing};

/// A bound on a quantity, for some subjects, from a source.
#[derive(Clone, PartialEq, Noun)]
pub struct Limit {
    /// Its name.
    pub id: String,
    /// What it bounds, and of what: one coat or the whole film, the plies of one form or the wall.
    pub quantity: LimitQuantity,
    /// Materials, resin families or acts it is for; none: all.
    #[noun(default)]
    pub applies_to: Vec<String>,
    /// The way of putting it on that it is for; none: any.
    pub method: Option<Method>,
    /// What it is a rule for ("thinnest gel coat film"). Of rules for one thing that apply together, the one of the highest
    /// rank is judged; the others are told.
    pub about: Option<String>,
    /// What kind of source it comes from, where that is more than its standing says.
    pub rank: Option<Rank>,
    /// Whom breaking it harms.
    #[noun(default)]
    pub protects: Protects,
    /// Not below.
    pub low: Option<QuantityText>,
    /// Not above.
    pub high: Option<QuantityText>,
    /// How bad it is to break it. A stop that protects the part alone needs a source that is published, derived from published
    /// ones, the product's data sheet or a measurement in this shop; without one it is judged as a warning.
    pub severity: Severity,
    /// What goes wrong.
    pub message: String,
    /// What to do instead.
    pub way_out: String,
    /// On whose word.
    pub source: Source,
}

impl Limit {
    /// The bounds in SI.
    ///
    /// # Errors
    /// If a bound can not be read, or low is above high, or neither is given.
    pub fn bounds(&self) -> Result<(Option<f64>, Option<f64>)> {
        let read = |name: &str, text: &Option<QuantityText>| {
            text.as_ref()
                .map(|t| self.quantity.read(name, t))
                .transpose()
                .map_err(|e| e.within(&self.id))
        };
        let (low, high) = (read("low", &self.low)?, read("high", &self.high)?);
        match (low, high) {
            (Some(l), Some(h)) if l > h => Err(Error::inconsistent(
                format!("{}.low", self.id),
                show_si(l, self.quantity.measure()),
                format!("at most {}", show_si(h, self.quantity.measure())),
                "give low <= high",
            )),
            (None, None) => Err(Error::new(crate::ErrorKind::Document, &self.id)
                .with_way_out("a limit needs 'low' or 'high'")),
            both => Ok(both),
        }
    }

    /// The rank of its source.
    pub fn rank(&self) -> Rank {
        Rank::of(self.source.standing).max(self.rank.unwrap_or(Rank::CommonPractice))
    }

    /// How bad it is to break it, on the word that it rests on.
    pub fn judged_as(&self) -> Severity {
        match (self.severity, self.protects) {
            (Severity::Stop, Protects::Part) if self.source.standing < Standing::Derived => Severity::Warning,
            (severity, _) => severity,
        }
    }

    fn applies(&self, quantity: LimitQuantity, tags: &[String]) -> bool {
        self.quantity == quantity
            && (self.applies_to.is_empty() || self.applies_to.iter().any(|a| tags.contains(a)))
            && self.method.is_none_or(|m| tags.iter().any(|t| t == m.name()))
    }

    /// Refuses a subject that no material, family, form, act or instrument is called.
    pub(crate) fn names_subjects(&self, catalogue: &Catalogue) -> Result<()> {
        let mut known: Vec<&str> = catalogue.ids().collect();
        words().for_each(|w| known.push(w));
        let unknown = |(i, name): (usize, &String)| {
            if known.contains(&name.as_str()) {
                Ok(())
            } else {
                Err(Error::unknown_name(
                    format!("applies_to[{i}]"),
                    name,
                    known.iter().copied(),
                ))
            }
        };
        Error::none_of(self.applies_to.iter().enumerate().map(unknown))
    }

    /// Refuses a rule for a method that nothing of its quantity is done by.
    fn measurable(&self) -> Result<()> {
        let Some(method) = self.method else { return Ok(()) };
        let by = self.quantity.methods();
        if by.contains(&method) {
            return Ok(());
        }
        let by: Vec<&str> = by.iter().map(|m| m.name()).collect();
        Err(Error::inconsistent(
            format!("{}.method", self.id),
            method.name(),
            if by.is_empty() {
                format!(
                    "no method: '{}' is the same whatever the method",
                    self.quantity.noun()
                )
            } else {
                by.join(", ")
            },
            "nothing would ever measure this limit: leave 'method' out, or bound what is done that way",
        ))
    }

    /// Holds a value against it.
    fn held_against(&self, m: &Measured, set_aside: bool) -> Result<Finding> {
        let (low, high) = self.bounds()?;
        let held = m.held_in(low, high);
        let slip = if held.broken && m.quantity == LimitQuantity::CatalystDose {
            slip_of_ten(m, low, high)
        } else {
            None
        };
        let (value_low, value_high) = held.ends.unzip();
        Ok(Finding {
            limit: self.id.clone(),
            quantity: m.quantity,
            subject: m.subject.clone(),
            value: Some(held.value),
            value_low,
            value_high,
            low: held.low,
            high: held.high,
            margin: held.margin,
            broken: held.broken,
            severity: self.judged_as(),
            message: self.message.clone(),
            way_out: self.way_out.clone(),
            slip,
            set_aside,
            smallest_cure: None,
            no_cure: false,
            source: self.source.clone(),
        })
    }
}

/// A set of limits.
#[derive(Clone, Default, PartialEq, Noun)]
#[noun(written)]
pub struct Limits {
    /// The limits, each with its source and standing; the same for every plan but for its own.
    limits: Vec<Arc<Limit>>,
}

#[derive(Noun)]
#[noun(versions = "VERSIONS")]
struct LimitFile {
    #[allow(dead_code)]
    version: u32,
    #[noun(default)]
    source: BTreeMap<String, Source>,
    #[noun(default)]
    limit: Vec<LimitRow>,
}

/// A limit as a file writes it: its source by key.
#[derive(Noun)]
struct LimitRow {
    id: String,
    quantity: LimitQuantity,
    #[noun(default)]
    applies_to: Vec<String>,
    method: Option<Method>,
    about: Option<String>,
    rank: Option<Rank>,
    #[noun(default)]
    protects: Protects,
    low: Option<QuantityText>,
    high: Option<QuantityText>,
    severity: Severity,
    message: String,
    way_out: String,
    source: String,
}

/// The version of the limits document that this library reads.
pub const LIMITS_VERSION: u32 = 1;

const VERSIONS: Versions = Versions {
    reads: LIMITS_VERSION,
    earlier: &[],
};

/// The limits, and the sources that they share with the materials; the limits first, as their `version` must
/// stand before any table.
pub(crate) const GENERIC: &str = concat!(
    include_str!("../../data/limits.toml"),
    include_str!("../../data/source.toml")
);

impl Limits {
    /// The limits that come with the library: published and common practice, each with its source.
    ///
    /// # Errors
    /// Never for the embedded file, which the tests read.
    pub fn generic() -> Result<Self> {
        static READ: std::sync::OnceLock<Result<Limits>> = std::sync::OnceLock::new();
        READ.get_or_init(|| {
            let mut l = Limits::default();
            l.extend_toml(GENERIC)?;
            Ok(l)
        })
        .clone()
    }

    /// Adds limits from a TOML document: `[source.KEY]` tables and `[[limit]]` entries that name a key.
    /// An entry with the `id` of an earlier one replaces it.
    ///
    /// # Errors
    /// As [`document::from_toml`]; unknown source keys; bounds that can not be read.
    pub fn extend_toml(&mut self, text: &str) -> Result<()> {
        self.extend(document::toml_value(text)?)
    }

    /// As [`Limits::extend_toml`], from a document's tree of values.
    ///
    /// # Errors
    /// As [`Limits::extend_toml`].
    pub fn extend(&mut self, document: serde_json::Value) -> Result<()> {
        let file: LimitFile = crate::noun::read(&document)?;
        for (i, row) in file.limit.into_iter().enumerate() {
            let source = file.source.get(&row.source).cloned().ok_or_else(|| {
                Error::unknown_name(
                    format!("limit[{i}].source"),
                    &row.source,
                    file.source.keys().map(String::as_str),
                )
            })?;
            self.add(Limit {
                id: row.id,
                quantity: row.quantity,
                applies_to: row.applies_to,
                method: row.method,
                about: row.about,
                rank: row.rank,
                protects: row.protects,
                low: row.low,
                high: row.high,
                severity: row.severity,
                message: row.message,
                way_out: row.way_out,
                source,
            })?;
        }
        Ok(())
    }

    /// Adds a limit, replacing one of the same `id`.
    ///
    /// # Errors
    /// If its bounds can not be read; [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent) for a method that nothing of
    /// its quantity is done by.
    pub fn add(&mut self, limit: Limit) -> Result<()> {
        limit.measurable()?;
        limit.bounds()?;
        self.limits.retain(|l| l.id != limit.id);
        self.limits.push(Arc::new(limit));
        Ok(())
    }

    /// All of them.
    pub fn iter(&self) -> impl Iterator<Item = &Limit> {
        self.limits.iter().map(AsRef::as_ref)
    }

    /// The tightest `(low, high)` in SI that applies to a subject, warnings and stops only.
    ///
    /// # Errors
    /// As [`Limit::bounds`].
    pub fn window(&self, quantity: LimitQuantity, tags: &[String]) -> Result<(Option<f64>, Option<f64>)> {
        self.tightest(quantity, tags, Severity::Warning)
    }

    /// The greatest least value in SI of the warnings and stops that apply to a subject, and the limit that asks for it.
    ///
    /// # Errors
    /// As [`Limit::bounds`].
    pub fn least<'a>(
        &'a self,
        quantity: LimitQuantity,
        tags: &'a [String],
    ) -> Result<Option<(f64, &'a Limit)>> {
        let mut least = None::<(f64, &Limit)>;
        for l in self.that_count(quantity, tags) {
            if let (Some(low), _) = l.bounds()?
                && l.judged_as() >= Severity::Warning
                && least.is_none_or(|(most, _)| low > most)
            {
                least = Some((low, l));
            }
        }
        Ok(least)
    }

    /// The tightest `(low, high)` in SI of the stops alone that apply to a subject.
    ///
    /// # Errors
    /// As [`Limit::bounds`].
    pub fn window_of_stops(
        &self,
        quantity: LimitQuantity,
        tags: &[String],
    ) -> Result<(Option<f64>, Option<f64>)> {
        self.tightest(quantity, tags, Severity::Stop)
    }

    fn tightest(
        &self,
        quantity: LimitQuantity,
        tags: &[String],
        least: Severity,
    ) -> Result<(Option<f64>, Option<f64>)> {
        let mut window = (None::<f64>, None::<f64>);
        for l in self.that_count(quantity, tags) {
            if l.judged_as() < least {
                continue;
            }
            let (low, high) = l.bounds()?;
            window.0 = [window.0, low].into_iter().flatten().reduce(f64::max);
            window.1 = [window.1, high].into_iter().flatten().reduce(f64::min);
        }
        Ok(window)
    }

    fn that_apply<'a>(
        &'a self,
        quantity: LimitQuantity,
        tags: &'a [String],
    ) -> impl Iterator<Item = &'a Limit> {
        self.iter().filter(move |l| l.applies(quantity, tags))
    }

    /// Those that are judged: the product's own where there are any, and of rules for one thing the highest.
    fn that_count<'a>(&'a self, quantity: LimitQuantity, tags: &'a [String]) -> Vec<&'a Limit> {
        let all: Vec<_> = self.that_apply(quantity, tags).collect();
        let own = all.iter().any(|l| of_the_product(l));
        let judged = |l: &&Limit| (!own || of_the_product(l)) && !all.iter().any(|o| self.outranks(o, l));
        all.iter().copied().filter(judged).collect()
    }

    /// Whether of two rules for one thing the first is judged: by rank, then standing, then year; else the one that stands
    /// first.
    fn outranks(&self, a: &Limit, b: &Limit) -> bool {
        let key = |l: &Limit| (l.rank(), l.source.standing, l.source.year.unwrap_or(0));
        let place = |l: &Limit| self.iter().position(|x| std::ptr::eq(x, l));
        a.about.is_some()
            && a.about == b.about
            && a.id != b.id
            && (key(a) > key(b) || (key(a) == key(b) && place(a) < place(b)))
    }

    /// Holds a value against every limit that applies to it: one [`Finding`] each, broken or not.
    ///
    /// # Errors
    /// As [`Limit::bounds`].
    pub fn check(&self, m: &Measured) -> Result<Vec<Finding>> {
        self.check_all(std::slice::from_ref(m))
    }

    /// Holds all that was measured against every limit that applies to it: one [`Finding`] each, broken or not. Set aside are
    /// general rules where the product's own sheet speaks of the same quantity, and of rules for one thing (`about`) all but
    /// the highest; that one may bound another quantity, where that is measured too.
    ///
    /// # Errors
    /// As [`Limit::bounds`].
    pub fn check_all(&self, measures: &[Measured]) -> Result<Vec<Finding>> {
        self.held(measures, |_, _| Ok(true))
    }

    /// As [`check_all`](Self::check_all), of those alone that are broken.
    pub(crate) fn broken_of_all(&self, measures: &[Measured]) -> Result<Vec<Finding>> {
        self.held(measures, |l, m| {
            let (low, high) = l.bounds()?;
            Ok(m.breaks(low, high))
        })
    }

    fn held(
        &self,
        measures: &[Measured],
        wanted: impl Fn(&Limit, &Measured) -> Result<bool>,
    ) -> Result<Vec<Finding>> {
        let in_force = |l: &&Limit| measures.iter().any(|m| l.applies(m.quantity, &m.tags));
        let told: Vec<&Limit> = self
            .iter()
            .filter(|l| l.about.is_some())
            .filter(in_force)
            .collect();
        let mut all = Vec::new();
        for m in measures {
            let own = self.that_apply(m.quantity, &m.tags).any(of_the_product);
            for l in self.that_apply(m.quantity, &m.tags) {
                if !wanted(l, m)? {
                    continue;
                }
                let over = |o: &&Limit| {
                    self.outranks(o, l) && (o.quantity != l.quantity || o.applies(m.quantity, &m.tags))
                };
                let aside = (own && !of_the_product(l)) || told.iter().any(over);
                all.push(l.held_against(m, aside)?);
            }
        }
        Ok(all)
    }

    /// Rules for one thing that apply to what was measured, the judged one first; only where there are several.
    pub(crate) fn contradictions(&self, measures: &[Measured]) -> Vec<(&str, Vec<&Limit>)> {
        let mut groups: Vec<(&str, Vec<&Limit>)> = Vec::new();
        for l in self.iter() {
            let Some(about) = l.about.as_deref() else { continue };
            if !measures.iter().any(|m| l.applies(m.quantity, &m.tags)) {
                continue;
            }
            match groups.iter_mut().find(|g| g.0 == about) {
                Some((_, rules)) => rules.push(l),
                None => groups.push((about, vec![l])),
            }
        }
        groups.retain(|g| g.1.len() > 1);
        for (_, rules) in &mut groups {
            rules.sort_by(|a, b| match (self.outranks(a, b), self.outranks(b, a)) {
                (true, _) => std::cmp::Ordering::Less,
                (_, true) => std::cmp::Ordering::Greater,
                _ => std::cmp::Ordering::Equal,
            });
        }
        groups
    }
}

/// From the product's own sheet, or measured here: wins over general rules.
fn of_the_product(l: &Limit) -> bool {
    matches!(l.source.standing, Standing::DataSheet | Standing::MeasuredHere)
}

#[questions]
impl Limits {
    /// The limits that come with the library, each with its source and standing.
    ///
    /// # Errors
    /// [`ErrorKind::UnknownName`](crate::ErrorKind::UnknownName) for what no limit and no material is called.
    #[question("limit.list")]
    pub fn list(
        /// Only limits of this quantity.
        quantity: Option<LimitQuantity>,
        /// Only limits that apply to this material, resin family or act.
        applies_to: Option<&str>,
    ) -> Result<Limits> {
        let all = Limits::generic()?;
        let subjects = applies_to.map(|a| subjects(&all, a)).transpose()?;
        let limits = all
            .limits
            .iter()
            .filter(|l| quantity.is_none_or(|q| q == l.quantity))
            .filter(|l| {
                subjects.as_ref().is_none_or(|s| {
                    l.applies_to.is_empty() || l.applies_to.iter().any(|a| s.contains(&a.as_str()))
                })
            })
            .cloned()
            .collect();
        Ok(Limits { limits })
    }
}

/// What a limit may name beside materials: resin families, forms of reinforcement, acts, instruments, walls with pores.
fn words() -> impl Iterator<Item = &'static str> {
    let acts = ["gel_coat_layer", "laminate", "pour", "insert", "seam"];
    let others = ["scale", "syringe", "dropper", POROUS_WALL];
    let families = Family::ALL.iter().map(|f| f.name());
    let forms = AreaReinforcementForm::ALL.iter().map(|f| f.name());
    families.chain(forms).chain(acts).chain(others)
}

/// What a limit names when it means any wall with pores.
pub(crate) const POROUS_WALL: &str = "porous_wall";

/// What a limit may name when it means `name`: of a material also its family or form.
fn subjects<'n>(all: &Limits, name: &'n str) -> Result<Vec<&'n str>> {
    let catalogue = Catalogue::generic();
    match catalogue.get(name).map(|m| &m.class) {
        Ok(Class::Resin(r)) => Ok(vec![name, r.family.name()]),
        Ok(Class::Reinforcement(r)) => Ok(vec![name, r.form.name()]),
        Ok(_) => Ok(vec![name]),
        Err(_) => {
            let of_limits = all.iter().flat_map(|l| &l.applies_to).map(String::as_str);
            let mut known: Vec<&str> = of_limits.chain(catalogue.ids()).collect();
            words().for_each(|w| known.push(w));
            known.sort_unstable();
            known.dedup();
            if known.contains(&name) {
                Ok(vec![name])
            } else {
                Err(Error::unknown_name("applies_to", name, known))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::noun::AsText;
    use crate::quantity::Phr;

    fn limit(id: &str, low: &str, high: &str, standing: Standing) -> Limit {
        Limit {
            id: id.into(),
            quantity: LimitQuantity::CatalystDose,
            applies_to: vec!["gel_coat".into()],
            method: None,
            about: None,
            rank: None,
            protects: Protects::Part,
            low: QuantityText::from_text(low).ok(),
            high: QuantityText::from_text(high).ok(),
            severity: Severity::Warning,
            message: "m".into(),
            way_out: "w".into(),
            source: Source::of(standing, "test"),
        }
    }
    fn dose(phr: f64) -> Measured {
        let dose = Phr::new(phr).unwrap();
        Measured::new(
            LimitQuantity::CatalystDose,
            "gel coat",
            &["gel_coat".into()],
            dose,
        )
    }

    #[test]
    fn rules_for_one_thing_are_ranked_and_one_is_judged() {
        let rule = |id: &str, high: &str, standing| Limit {
            about: Some("most catalyst".into()),
            ..limit(id, "1 phr", high, standing)
        };
        let mut l = Limits::default();
        l.add(rule("practice", "2 phr", Standing::CommonPractice))
            .unwrap();
        l.add(rule("guide", "3 phr", Standing::Published)).unwrap();
        let aside = |l: &Limits| -> Vec<(String, bool)> {
            let f = l.check(&dose(2.5)).unwrap();
            f.into_iter().map(|f| (f.limit, f.set_aside)).collect()
        };
        assert_eq!(aside(&l), [("practice".into(), true), ("guide".into(), false)]);
        l.add(Limit {
            rank: Some(Rank::Standard),
            ..rule("standard", "2.2 phr", Standing::Published)
        })
        .unwrap();
        assert_eq!(
            aside(&l)
                .iter()
                .filter(|f| !f.1)
                .map(|f| f.0.as_str())
                .collect::<Vec<_>>(),
            ["standard"]
        );
        let told = l.contradictions(&[dose(2.5)]);
        let order: Vec<&str> = told[0].1.iter().map(|l| l.id.as_str()).collect();
        assert_eq!(order, ["standard", "guide", "practice"]);
        // A limit for another thing stands beside them.
        l.add(limit("other", "1 phr", "2 phr", Standing::FromMemory))
            .unwrap();
        assert_eq!(aside(&l).iter().filter(|f| !f.1).count(), 2);
    }

    #[test]
    fn a_stop_for_the_part_needs_more_than_practice() {
        let stop = |standing, protects| {
            Limit {
                severity: Severity::Stop,
                protects,
                ..limit("a", "1 phr", "2 phr", standing)
            }
            .judged_as()
        };
        assert_eq!(stop(Standing::CommonPractice, Protects::Part), Severity::Warning);
        assert_eq!(stop(Standing::FromMemory, Protects::Person), Severity::Stop);
        for standing in [
            Standing::Derived,
            Standing::Published,
            Standing::DataSheet,
            Standing::MeasuredHere,
        ] {
            assert_eq!(stop(standing, Protects::Part), Severity::Stop);
        }
    }

    #[test]
    fn a_method_by_which_nothing_is_measured_is_refused() {
        let mut l = Limits::default();
        let sprayed = Limit {
            quantity: LimitQuantity::PourThickness,
            method: Some(Method::Spray),
            ..limit("a", "", "", Standing::Published)
        };
        let bounded = Limit {
            high: QuantityText::from_text("5 mm").ok(),
            ..sprayed
        };
        let e = l.add(bounded.clone()).unwrap_err();
        assert_eq!(
            (e.kind(), e.field()),
            (crate::ErrorKind::Inconsistent, "a.method")
        );
        l.add(Limit {
            method: Some(Method::Pour),
            ..bounded
        })
        .unwrap();
    }

    #[test]
    fn rules_for_different_things_both_answer_and_the_data_sheet_wins() {
        let mut l = Limits::default();
        l.add(limit("a", "1 phr", "2 phr", Standing::Published)).unwrap();
        l.add(limit("b", "1 phr", "3 phr", Standing::Published)).unwrap();
        let f = l.check(&dose(2.5)).unwrap();
        assert_eq!(f.iter().map(|f| f.broken).collect::<Vec<_>>(), [true, false]);
        assert_eq!(f[0].margin.as_ref().unwrap().as_str(), "-0.5 phr");
        l.add(limit("sheet", "1.5 phr", "2.6 phr", Standing::DataSheet))
            .unwrap();
        let f = l.check(&dose(2.5)).unwrap();
        assert_eq!(
            f.iter().map(|f| f.set_aside).collect::<Vec<_>>(),
            [true, true, false]
        );
        assert_eq!(
            l.window(LimitQuantity::CatalystDose, &["gel_coat".into()])
                .unwrap(),
            (Some(1.5), Some(2.6))
        );
    }

    #[test]
    fn a_slip_of_ten_is_named() {
        let mut l = Limits::default();
        l.add(limit("a", "1 phr", "3 phr", Standing::Published)).unwrap();
        for (given, meant, times) in [(0.19, 1.9, 10.0), (19.0, 1.9, 0.1)] {
            let slip = l.check(&dose(given)).unwrap()[0].slip.clone().unwrap();
            assert!((slip.meant.read::<Phr>("meant").unwrap().get() - meant).abs() < 1e-12);
            assert_eq!(slip.times, times);
        }
        assert!(l.check(&dose(0.5)).unwrap()[0].slip.is_none());
    }

    #[test]
    fn a_limit_without_bounds_or_upside_down_is_refused() {
        let mut l = Limits::default();
        assert!(
            l.add(Limit {
                low: None,
                high: None,
                ..limit("a", "", "", Standing::Published)
            })
            .is_err()
        );
        assert!(l.add(limit("a", "3 phr", "1 phr", Standing::Published)).is_err());
        assert!(l.add(limit("a", "3 %", "5 phr", Standing::Published)).is_err());
    }
}
