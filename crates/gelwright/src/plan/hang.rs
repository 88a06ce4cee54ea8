//! What the part hangs by, and how: each block with what holds it, the centre of mass and the tilt.

use super::casting::{Casting, HangingBlock, Insert};
use super::job::Job;
use super::layout::Act;
use super::part::ZoneAsMade;
use crate::constants::GRAVITY;
use crate::error::{Error, Result};
use crate::laminate::mount::factor_over_people;
use crate::laminate::sources;
use crate::laminate::{BlockHold, GlassLayUp, Mount, Process, ReinforcementForm, WeakestPart};
use crate::limit::{Finding, LimitQuantity, Measured, QuantityText, Severity};
use crate::noun::Noun;
use crate::quantity::{Angle, Force, Index, Length, Mass, MassFraction, Quantity, known, show};
use crate::source::{Source, Standing, Why};

/// A block that the part hangs by.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct MountSummary {
    /// Which.
    pub insert: String,
    /// Mass that hangs from it: the part and what hangs besides.
    pub mass: Mass,
    /// The load with its jerks.
    pub load: Force,
    /// The pull at which its weakest part gives way.
    pub holds: Force,
    /// Which that is.
    pub weakest: WeakestPart,
    /// That pull over the load.
    pub factor: f64,
    /// What is not counted.
    pub not_counted: String,
    /// What must be seen to by people.
    pub cautions: Vec<String>,
    /// What is outside which range, if anything is.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

/// How the part hangs from one line.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct Hang {
    /// The insert that it hangs by.
    pub by: String,
    /// Centre of mass: x, y and z from the point that positions are given from.
    pub centre_of_mass: [Length; 3],
    /// How far it turns out of the position that its z stands up in, until its centre of mass lies under the line.
    pub tilt: Angle,
    /// What lies in it without a position or a mass, and is left out.
    #[noun(default)]
    pub left_out: Vec<String>,
    /// The chain behind it.
    pub why: Why,
}

/// The name of the finding of a mount that is held by its bond alone.
pub(crate) const BOND_ALONE: &str = "mount_by_bond_alone";

/// Each block that the part hangs by, where its shell's strength is known.
pub(super) fn mounts(
    job: &Job,
    zones: &[ZoneAsMade],
    measures: &mut Vec<Measured>,
) -> Result<Vec<MountSummary>> {
    let mut all = Vec::new();
    for (i, insert) in job.casting.inserts.iter().enumerate() {
        let Some(block) = &insert.carries else { continue };
        let at = |e: Error| e.within(format!("inserts[{i}].carries"));
        let Some(mount) = mount(job, block, zones).map_err(at)? else {
            continue;
        };
        let mass = job.part_mass() + of_inserts(job.casting) + block.besides.unwrap_or_default();
        let load = Force::from_si(mass.si() * GRAVITY * block.dynamic_factor.get())?;
        let held = mount.held(load).map_err(at)?;
        let tags = job.mixes[insert.recipe.as_str()].tags_for(Act::Insert);
        measures.push(Measured::new(
            LimitQuantity::MountFactor,
            insert.name.clone(),
            &tags,
            Index::new(held.factor)?,
        ));
        all.push(MountSummary {
            insert: insert.name.clone(),
            mass,
            load,
            holds: held.holds,
            weakest: held.weakest,
            factor: held.factor,
            not_counted: not_counted(job.casting),
            cautions: held.cautions,
            extrapolated: held.extrapolated,
            why: held.why,
        });
    }
    Ok(all)
}

fn of_inserts(casting: &Casting) -> Mass {
    casting.inserts.iter().filter_map(|i| i.mass).sum()
}

fn not_counted(casting: &Casting) -> String {
    let unweighed: Vec<&str> = casting
        .inserts
        .iter()
        .filter(|i| i.mass.is_none())
        .map(|i| i.name.as_str())
        .collect();
    let screw = "screw, eye and line, which are rated products";
    if unweighed.is_empty() {
        screw.to_owned()
    } else {
        format!(
            "{screw}; the mass of {}, which is not given",
            unweighed.join(", ")
        )
    }
}

/// The block in its shell; nothing where the shell's strength is not known.
fn mount(job: &Job, block: &HangingBlock, zones: &[ZoneAsMade]) -> Result<Option<Mount>> {
    let found = job
        .casting
        .zones
        .iter()
        .zip(zones)
        .find(|(z, _)| z.name == block.zone);
    let Some((zone, made)) = found else {
        return Ok(None);
    };
    let (Some(shell), Some(area)) = (&made.shell, zone.area) else {
        return Ok(None);
    };
    let Some(item) = job.items_of(&zone.name).find(|i| i.act == Act::Laminate) else {
        return Ok(None);
    };
    let glass: f64 = item.plies.iter().map(super::layout::Ply::glass).sum();
    let content = (glass / (glass + item.cured())).clamp(0.151, 0.75);
    // In its plane a mat bears less shear than through its thickness.
    let rule = GlassLayUp {
        form: ReinforcementForm::Mat,
        glass_content: MassFraction::new(content)?,
        process: Process::HandLaid,
        tested: false,
    }
    .properties()?;
    let Some(thickness) = shell.thickness else {
        return Ok(None);
    };
    let coat = super::edge::gel_coat_thickness(job, zone);
    Ok(Some(Mount {
        hold: block.hold,
        length: block.length,
        width: block.width,
        bond_area: block.bond_area,
        bond_shear: match block.bond_shear {
            Some(tested) => tested,
            None => crate::laminate::mount::wood_bond(),
        },
        bond_evenness: crate::laminate::mount::usual_evenness(),
        block_crush: crate::laminate::mount::across_the_grain(),
        shell: thickness - coat,
        shell_shear: rule.shear,
        shell_moment: Force::from_si(shell.design.moment_to_first_break_n)?,
        poisson: crate::laminate::laminate_poisson(),
        reach: Length::from_si((area.si() / std::f64::consts::PI).sqrt())?,
    }))
}

/// A finding of a block that nothing but its bond holds.
pub(super) fn by_bond_alone(casting: &Casting) -> impl Iterator<Item = Finding> + '_ {
    let alone = |i: &&Insert| i.carries.as_ref().is_some_and(|b| b.hold == BlockHold::Bond);
    casting.inserts.iter().filter(alone).map(|insert| Finding {
        limit: BOND_ALONE.to_owned(),
        quantity: LimitQuantity::MountFactor,
        subject: insert.name.clone(),
        value: None,
        value_low: None,
        value_high: None,
        low: Some(QuantityText::of(known::<Index>(factor_over_people().0))),
        high: None,
        margin: None,
        broken: true,
        severity: Severity::Warning,
        message: "over people nothing may hang by a bond alone: it lets go without a sign, when wet or warm".to_owned(),
        way_out: "set the block behind the shell, so that the pull draws it against it (carries.hold = 'behind'), and hang a \
                  second, independent safety line"
            .to_owned(),
        slip: None,
        set_aside: false,
        smallest_cure: None,
        no_cure: false,
        source: sources::over_people(
            "section 1.1: all connections of what carries are positive; \
             arbeitssicherheit.de/schriften/dokument/0%253A5545378%252C17.html",
        ),
    })
}

/// How the part hangs; nothing where nothing carries it or a zone's position is not given.
pub(super) fn hangs(job: &Job) -> Result<Option<Hang>> {
    let casting = job.casting;
    let Some((insert, from)) = casting
        .inserts
        .iter()
        .find_map(|i| i.carries.as_ref().and(i.at).map(|at| (i, at)))
    else {
        return Ok(None);
    };
    let mut bodies: Vec<([Length; 3], f64)> = Vec::new();
    let mut left_out = Vec::new();
    for (zone, amounts) in casting.zones.iter().zip(job.zones()?) {
        let Some(at) = zone.at else { return Ok(None) };
        bodies.push((at, amounts.mass.si()));
    }
    let paste = |name: &str| -> f64 {
        job.items
            .iter()
            .filter(|i| i.zone == name)
            .map(|i| i.net.si())
            .sum()
    };
    for i in &casting.inserts {
        match i.at {
            Some(at) => bodies.push((at, paste(&i.name) + i.mass.map_or(0.0, |m| m.si()))),
            None => left_out.push(i.name.clone()),
        }
        if i.mass.is_none() && i.at.is_some() {
            left_out.push(format!("{} itself (its paste counts)", i.name));
        }
    }
    for s in &casting.seams {
        match s.at {
            Some(at) => bodies.push((at, paste(&s.name))),
            None => left_out.push(s.name.clone()),
        }
    }
    let mass: f64 = bodies.iter().map(|b| b.1).sum();
    if mass <= 0.0 {
        return Ok(None);
    }
    let along = |k: usize| bodies.iter().map(|(at, m)| at[k].si() * m).sum::<f64>() / mass;
    let centre = [along(0), along(1), along(2)];
    let down = [0, 1, 2].map(|k| centre[k] - from[k].si());
    let reach = down.iter().map(|x| x * x).sum::<f64>().sqrt();
    // Straight down is minus z; a centre of mass at the line itself hangs anyhow.
    let tilt = if reach > 0.0 {
        (-down[2] / reach).clamp(-1.0, 1.0).acos()
    } else {
        0.0
    };
    let tilt = Angle::new::<uom::si::angle::radian>(tilt);
    let centre_of_mass = [
        Length::from_si(centre[0])?,
        Length::from_si(centre[1])?,
        Length::from_si(centre[2])?,
    ];
    Ok(Some(Hang {
        by: insert.name.clone(),
        centre_of_mass,
        tilt,
        left_out,
        why: Why::computed(
            "tilt of the part as it hangs",
            format!("{:.1} deg", tilt.get::<uom::si::angle::degree>()),
            "angle between the line from the hanging point to the centre of mass and the part's own down",
            vec![
                Why::given("hanging point", shown(from)),
                Why::computed("centre of mass", shown(centre_of_mass), "sum m x/sum m", vec![]),
            ],
        )
        .with_source(&Source::of(
            Standing::Derived,
            "statics: the centre of mass hangs under the point",
        )),
    }))
}

fn shown(at: [Length; 3]) -> String {
    at.map(|x| show(x).to_string()).join(", ")
}
