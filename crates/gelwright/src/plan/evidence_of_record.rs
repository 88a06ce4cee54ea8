//! What the record of a day tells of the resins' cure: cups and films that were seen to gel, tack and hardness that were tried.

use std::collections::BTreeMap;

use super::casting::Casting;
use super::clock::Clock;
use super::record::{BenchRecord, RecordEntry};
use super::replan::{Recorded, cup_named};
use super::steps::Work;
use crate::calibrate::{CupTest, CureSign, Evidence, GelTest, StateTest};
use crate::cancel::Cancel;
use crate::error::{Error, Result};
use crate::noun::{Noun, questions};
use crate::quantity::spread::Spread;
use crate::quantity::{Mass, Phr, Quantity, ThermodynamicTemperature, Time, brief};
use crate::source::{Source, Standing};

/// How far a layer made of a cup had cured when somebody tried it: the finger, the hardness tester.
#[derive(Clone, PartialEq, Noun)]
pub struct StateSeen {
    /// The cup, as the plan calls it.
    pub cup: String,
    /// When.
    pub at: Clock,
    /// What was seen.
    pub sign: CureSign,
}

/// What the record of a day tells of the resins' cure.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct RecordEvidence {
    /// For each resin of which the record tells something, that and the casting's own cup and film tests.
    pub resins: Vec<Evidence>,
    /// How many rows of them the record told.
    pub told: usize,
    /// What of the record tells nothing, and why.
    #[noun(default)]
    pub left_out: Vec<String>,
}

/// A layer thicker than this warms before it gels, m: its gel time is no film's. Common practice, no source.
const THIN: f64 = 4e-3;
/// How often the mould is looked at for its mean temperature.
const LOOKS: u32 = 48;

#[questions(LEARNING)]
impl Casting {
    /// What the record of a day tells of the resins' cure, as evidence for `calibrate.kinetics`, which takes the casting's own
    /// materials as its `catalogue`.
    ///
    /// | entry | becomes |
    /// |---|---|
    /// | `gelled` before the cup was empty | a cup test: gel time, mass as weighed, air |
    /// | `gelled` after it was laid, no thicker than 4 mm | a film test |
    /// | `showed` tack, hardness, conversion, no thicker than 4 mm | a state test |
    ///
    /// Time runs from the catalyst being in: half of the mixing time after its start. The dose is that weighed (`weighed`), else the
    /// plan's; the temperature the mean of the resin's while it was in the cup and of the mould's after that, each as measured last
    /// (`measured`), else the plan's. Not told: what a thicker layer showed, what was tried after
    /// the oven was begun, and resins that no peroxide cures. A cup that gelled in part-emptied counts as full.
    ///
    /// # Errors
    /// As [`Casting::replan`] for a record that does not belong to the plan; [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent)
    /// for something seen of a cup before it was mixed.
    #[question("plan.evidence_of_record", long)]
    pub fn evidence_of_record(
        &self,
        /// What was done and seen.
        record: &BenchRecord,
        cancel: Cancel<'_>,
    ) -> Result<RecordEvidence> {
        self.recorded(record, cancel, |day| day.evidence())
    }
}

/// A cup at the moment when something was seen of it.
struct Seen {
    cup: usize,
    /// From the catalyst being in.
    since: Time,
    /// Whether it had been emptied.
    laid: bool,
    kelvin: ThermodynamicTemperature,
}

impl Recorded<'_> {
    fn evidence(&self) -> Result<RecordEvidence> {
        let mut resins: BTreeMap<String, Evidence> = BTreeMap::new();
        let mut left_out = Vec::new();
        let mut told = 0;
        for (i, entry) in self.told.record.entries.iter().enumerate() {
            let (cup, at, sign) = match entry {
                RecordEntry::Gelled(g) => (&g.cup, g.at, None),
                RecordEntry::Showed(s) => (&s.cup, s.at, Some(&s.sign)),
                _ => continue,
            };
            let field = format!(
                "record.entries[{i}].{}",
                if sign.is_some() { "showed" } else { "gelled" }
            );
            let seen = self.seen(cup, at).map_err(|e| e.within(&field))?;
            if let Some(why) = self.tells_nothing(&seen, at, sign.is_some()) {
                left_out.push(format!("{cup} at {at}: {why}"));
                continue;
            }
            let mix = &self.job.mixes[self.cups[seen.cup].recipe.as_str()];
            let resin = &mix.resin().id;
            let dose = self.dose(seen.cup).map_err(|e| e.within(&field))?;
            let evidence = resins
                .entry(resin.clone())
                .or_insert_with(|| self.known_of(resin));
            let (temperature, time) = (seen.kelvin, Spread::exact(seen.since));
            match sign {
                Some(sign) => evidence.state_tests.push(StateTest {
                    temperature,
                    dose,
                    time,
                    sign: sign.clone(),
                }),
                None if seen.laid => evidence.film_tests.push(GelTest {
                    temperature,
                    dose,
                    time,
                }),
                None => evidence.cup_tests.push(CupTest::of(
                    dose,
                    self.mass(seen.cup)?,
                    temperature,
                    time,
                    Source::of(
                        Standing::MeasuredHere,
                        &format!("{cup} of the record of {}", self.told.record.casting),
                    ),
                )),
            }
            told += 1;
        }
        Ok(RecordEvidence {
            resins: resins.into_values().collect(),
            told,
            left_out,
        })
    }

    /// The casting's own tests of a resin.
    fn known_of(&self, resin: &str) -> Evidence {
        let casting = self.job.casting;
        Evidence {
            cup_tests: casting.cup_tests.get(resin).cloned().unwrap_or_default(),
            film_tests: casting.film_tests.get(resin).cloned().unwrap_or_default(),
            ..Evidence::of(resin)
        }
    }

    fn seen(&self, name: &str, at: Clock) -> Result<Seen> {
        let cup = cup_named(name, &self.cups)?;
        let start = self.job.casting.shop.start;
        let Some(slot) = &self.told.begun[self.planned.of_cup[cup]] else {
            return Err(Error::inconsistent(
                "cup",
                name,
                "a cup whose step the record has",
                format!("write too when {name} was begun ('did', with its step, 'from' and 'until')"),
            ));
        };
        let catalysed = start.after(slot.start + self.job.before_catalyst());
        let emptied = start.after(slot.end);
        let since = at.since(catalysed);
        if since.si() <= 0.0 {
            return Err(Error::inconsistent(
                "at",
                at,
                format!("after {catalysed}, when the catalyst was in"),
                "give when the cup was begun, and when it was seen",
            ));
        }
        let laid = at.since(emptied).si() >= 0.0;
        let in_cup = if laid {
            emptied.since(catalysed).si().max(0.0)
        } else {
            since.si()
        };
        let share = in_cup / since.si();
        let of_mould = |i: u32| {
            let part = (f64::from(i) + 0.5) / f64::from(LOOKS);
            self.mould_at(catalysed.after(since * (share + part * (1.0 - share))))
                .si()
        };
        let mould = (0..LOOKS).map(of_mould).sum::<f64>() / f64::from(LOOKS);
        let resin = self.resin_at(catalysed).si();
        let kelvin = ThermodynamicTemperature::from_si(share * resin + (1.0 - share) * mould)?;
        Ok(Seen {
            cup,
            since,
            laid,
            kelvin,
        })
    }

    /// Why it is no evidence, where it is none.
    fn tells_nothing(&self, seen: &Seen, at: Clock, state: bool) -> Option<String> {
        let cup = &self.cups[seen.cup];
        let mix = &self.job.mixes[cup.recipe.as_str()];
        if mix.cures_by().is_none_or(|c| c.initiator().is_err()) {
            return Some("no peroxide cures it".to_owned());
        }
        if state && !seen.laid {
            return Some("it was still in its cup, and warm of itself".to_owned());
        }
        if seen.laid {
            let thickness = |i: &usize| self.job.items[*i].thickness.map_or(0.0, Quantity::si);
            let thickest = cup.items.iter().map(|(i, _)| thickness(i)).fold(0.0, f64::max);
            if thickest > THIN {
                return Some(format!(
                    "a layer of {:.0} mm warms of itself: let a film of 4 mm or less gel beside it",
                    1e3 * thickest
                ));
            }
        }
        let baked = self
            .planned
            .steps
            .iter()
            .zip(&self.planned.of_steps)
            .filter(|(s, _)| s.work == Work::PostCure)
            .filter_map(|(_, task)| self.told.begun[*task].as_ref())
            .any(|slot| at.since(self.job.casting.shop.start).si() > slot.start.si());
        (state && baked).then(|| "the oven had been begun: its temperature was not one".to_owned())
    }

    /// What was weighed of a material into a cup, kg; as planned, where nothing was.
    fn weighed(&self, cup: usize, part: usize) -> f64 {
        let planned = &self.batches[cup].parts[part];
        let shown = self.told.record.entries.iter().rev().find_map(|e| match e {
            RecordEntry::Weighed(w) if w.cup == self.cups[cup].name && w.material == planned.material => {
                Some(w.mass)
            }
            _ => None,
        });
        shown.unwrap_or(planned.mass).si()
    }

    /// Its dose as it was weighed.
    fn dose(&self, cup: usize) -> Result<Phr> {
        let batch = &self.batches[cup];
        let mix = &self.job.mixes[self.cups[cup].recipe.as_str()];
        let wanted = batch.cure_dose.as_ref().map_or(0.0, |d| d.by_mass.value.get());
        let at = |is: &dyn Fn(&crate::mix::BatchPart) -> bool| batch.parts.iter().position(is);
        let (Some(cure), Some(resin)) = (at(&|p| p.role.cures()), at(&|p| p.material == mix.resin().id))
        else {
            return Phr::new(wanted);
        };
        let times = |part: usize| self.weighed(cup, part) / batch.parts[part].mass.si();
        let dose = wanted * times(cure) / times(resin);
        if dose.is_finite() && dose > 0.0 {
            return Phr::new(dose);
        }
        Err(Error::out_of_range(
            "cup",
            brief(Mass::from_si(self.weighed(cup, cure))?),
            "resin and catalyst, both more than nothing",
            format!(
                "give what resin and what catalyst went into {}",
                self.cups[cup].name
            ),
        ))
    }

    fn mass(&self, cup: usize) -> Result<Mass> {
        Mass::from_si(
            (0..self.batches[cup].parts.len())
                .map(|p| self.weighed(cup, p))
                .sum(),
        )
    }

    /// What was measured last at or before an hour, by hour.
    fn measured(
        &self,
        at: Clock,
        of: impl Fn(&super::record::MeasuredAt) -> Option<ThermodynamicTemperature>,
    ) -> Option<ThermodynamicTemperature> {
        let of_entry = |e: &RecordEntry| match e {
            RecordEntry::Measured(m) if at.since(m.at).si() >= 0.0 => Some((m.at, of(m)?)),
            _ => None,
        };
        let all = self.told.record.entries.iter().filter_map(of_entry);
        all.reduce(|a, b| if b.0.since(a.0).si() >= 0.0 { b } else { a })
            .map(|m| m.1)
    }

    fn resin_at(&self, at: Clock) -> ThermodynamicTemperature {
        let shop = &self.job.casting.shop;
        self.measured(at, |m| m.resin)
            .or(shop.resin_temperature)
            .or_else(|| self.measured(at, |m| m.air))
            .unwrap_or_else(|| shop.air_at(at))
    }

    fn mould_at(&self, at: Clock) -> ThermodynamicTemperature {
        let shop = &self.job.casting.shop;
        self.measured(at, |m| m.mould)
            .or(shop.mould_temperature)
            .or_else(|| self.measured(at, |m| m.air))
            .unwrap_or_else(|| shop.air_at(at))
    }
}
