//! The least harmful change, or pair of changes, with which every window of a day can be kept, shown by planning again.

use uom::si::temperature_interval::kelvin;

use super::casting::Casting;
use super::clock::Clock;
use super::job::Job;
use super::layout::{self, Mix};
use super::steps;
use super::windows::{ChangeKind, DayChange, DayCure};
use crate::cancel::Cancel;
use crate::error::Result;
use crate::material::Catalogue;
use crate::mix::Dose;
use crate::quantity::{self, Phr, Quantity, TemperatureInterval, Time, temperature};

/// What cures the day, and how many changes and pairs were planned again for it.
pub(super) struct Tried {
    pub(super) cure: Option<DayCure>,
    pub(super) count: usize,
}

/// Single changes first, then pairs, the less harmful first.
pub(super) fn of(casting: &Casting, catalogue: &Catalogue, cancel: Cancel<'_>) -> Result<Tried> {
    let offered = offered(casting, catalogue)?;
    let mut tried = Tried { cure: None, count: 0 };
    let singles = (0..offered.len()).map(|i| vec![i]);
    let mut pairs: Vec<Vec<usize>> = (0..offered.len())
        .flat_map(|i| (i + 1..offered.len()).map(move |j| vec![i, j]))
        .filter(|p| {
            offered[p[0]].says.kind != offered[p[1]].says.kind || differ(&offered[p[0]], &offered[p[1]])
        })
        .collect();
    pairs.sort_by_key(|p| (p[0] + p[1], p[0]));
    for set in singles.chain(pairs) {
        let mut changed = casting.clone();
        for &i in &set {
            (offered[i].make)(&mut changed);
        }
        tried.count += 1;
        if let Some(finish) = kept(&changed, catalogue, cancel)? {
            let changes = set.iter().map(|i| offered[*i].says.clone()).collect();
            tried.cure = Some(DayCure { changes, finish });
            break;
        }
    }
    Ok(tried)
}

/// When the day is done, if it then keeps every window. A change that nothing can be planned with cures nothing.
fn kept(casting: &Casting, catalogue: &Catalogue, cancel: Cancel<'_>) -> Result<Option<Clock>> {
    cancel.check()?;
    let Ok(job) = Job::new(casting, catalogue) else {
        return Ok(None);
    };
    let found = steps::outlook(&job, cancel);
    cancel.check()?;
    Ok(found.unwrap_or(None))
}

/// Something that can be changed.
struct Offered {
    says: DayChange,
    /// Of one recipe.
    recipe: Option<String>,
    make: Box<dyn Fn(&mut Casting)>,
}

/// Two of one kind go together where they change two recipes.
fn differ(a: &Offered, b: &Offered) -> bool {
    a.recipe.is_some() && a.recipe != b.recipe
}

fn change(kind: ChangeKind, text: String, make: impl Fn(&mut Casting) + 'static) -> Offered {
    Offered {
        says: DayChange { kind, text },
        recipe: None,
        make: Box::new(make),
    }
}

/// How much longer a day is tried, hours.
const LONGER_H: [f64; 2] = [1.0, 2.0];
/// How much cooler the resin is tried, kelvin.
const COOLER_K: [f64; 2] = [2.0, 4.0];
/// Resin is not cooled below this, °C: colder it is thick and wets badly (`polyester_resin_temperature` in limits.toml).
const COOLEST_C: f64 = 15.0;
/// Cups are tried that are placed in this, and in half of it, s.
const PLACED_IN: f64 = 900.0;

/// The least harmful first: what costs only time, then who or what else is needed, then what changes the cure.
fn offered(casting: &Casting, catalogue: &Catalogue) -> Result<Vec<Offered>> {
    let mut all = vec![];
    for at_most in [PLACED_IN, 0.5 * PLACED_IN] {
        if casting.pace.longest_placing.is_none_or(|t| t.si() > at_most) {
            let time = Time::new::<uom::si::time::second>(at_most);
            let text = format!("split the cups, each placed within {}", quantity::brief(time));
            all.push(change(ChangeKind::SmallerCups, text, move |c| {
                c.pace.longest_placing = Some(time)
            }));
        }
    }
    if casting.shop.workers < 20 {
        let text = "one more person".to_owned();
        all.push(change(ChangeKind::AnotherPerson, text, |c| c.shop.workers += 1));
    }
    for hours in LONGER_H {
        let day = casting.shop.workday() + Time::new::<uom::si::time::hour>(hours);
        let end = casting.shop.start.after(day);
        if day.si() <= 86_400.0 {
            let text = format!("work until {end}");
            all.push(change(ChangeKind::LongerDay, text, move |c| {
                c.shop.end = Some(end)
            }));
        }
    }
    for by in COOLER_K {
        let by = TemperatureInterval::new::<kelvin>(by);
        let cooler = casting.shop.resin() - by;
        if temperature::difference(cooler, temperature::celsius(COOLEST_C)).si() >= 0.0 {
            let text = format!("the resin at {}", quantity::brief_in(cooler, casting.shop.units));
            all.push(change(ChangeKind::CoolerResin, text, move |c| {
                c.shop.resin_temperature = Some(cooler)
            }));
        }
    }
    let mixes = layout::mixes(casting, catalogue)?;
    for (name, recipe) in &casting.recipes {
        if let Some(least) = least_catalyst(&mixes[name.as_str()])? {
            let text = format!(
                "the catalyst of '{name}' at {}, the low end of its window",
                quantity::brief(least)
            );
            let changed = recipe.with_cure_dose(Dose::phr(least.get())?, catalogue)?;
            let of = name.clone();
            let mut less = change(ChangeKind::LessCatalyst, text, move |c| {
                c.recipes.insert(of.clone(), changed.clone());
            });
            less.recipe = Some(name.clone());
            all.push(less);
        }
    }
    Ok(all)
}

/// The low end of the window of a mix's initiator, where its dose lies above.
fn least_catalyst(mix: &Mix) -> Result<Option<Phr>> {
    if mix.cures_by().is_none_or(|c| c.initiator().is_err()) {
        return Ok(None);
    }
    let dose = mix.unit.cure_dose.as_ref().map(|d| d.by_mass.value.get());
    let Some(dose) = dose.map(Phr::new).transpose()? else {
        return Ok(None);
    };
    let least = mix.dose_window(dose)?.and_then(|w| w.low);
    Ok(least.filter(|l| dose.get() > l.get() * 1.01))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::OrderProof;

    fn demo(changes: &[(&str, &str)]) -> crate::plan::Plan {
        let mut toml = include_str!("../../demo/moth_lantern.toml").to_owned();
        for (from, to) in changes {
            assert!(toml.contains(from), "{from}");
            toml = toml.replacen(from, to, 1);
        }
        Casting::from_toml(&toml).unwrap().plan(Cancel::NEVER).unwrap()
    }

    /// To close and set twenty-six clamps at 45 s each takes 20 min; with bead and stirring more than the 22 min of the paste.
    #[test]
    fn a_joint_that_takes_too_long_to_clamp_is_told_and_cured_by_a_slower_paste() {
        let plan = demo(&[("clamps = 8", "clamps = 26")]);
        let order = plan.order.unwrap();
        assert_eq!(order.proof, OrderProof::WindowsBroken);
        assert_eq!(order.conflicts.len(), 1);
        assert_eq!(
            order.conflicts[0].windows.len(),
            1,
            "the window of the bead alone"
        );
        assert!(order.conflicts[0].windows[0].contains("body seam"));
        assert!(plan.findings.iter().any(|f| f.limit == "open_time"));
        let cure = order.cure.expect("a cure");
        assert!(
            cure.changes
                .iter()
                .all(|c| matches!(c.kind, ChangeKind::CoolerResin | ChangeKind::LessCatalyst)),
            "neither hands nor hours make a paste last longer"
        );
        let hopeless = demo(&[("clamps = 8", "clamps = 200")]).order.unwrap();
        assert_eq!(hopeless.cure, None);
        assert!(hopeless.tried.unwrap() > 10);
    }

    #[test]
    fn a_day_that_keeps_its_windows_is_left_alone() {
        let order = demo(&[]).order.unwrap();
        assert_eq!(
            (order.proof, order.cure, order.tried),
            (OrderProof::Best, None, None)
        );
        assert!(order.slack.unwrap().si() > 0.0 && order.conflicts.is_empty());
    }
}
