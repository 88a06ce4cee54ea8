//! What the clamps do to the flanges of a casting that is closed wet.

use super::casting::{Closing, Seam};
use super::clock::Clock;
use super::job::{Cup, Job};
use super::layout::{Act, Item};
use super::part;
use crate::error::{Error, Result};
use crate::flow::{FibreBed, PressedWet, StoppedBy, Strand, ViscosityHistory, WetEdge};
use crate::limit::{Finding, LimitQuantity, QuantityText, Severity};
use crate::noun::Noun;
use crate::quantity::{
    ArealMassDensity, DynamicViscosity, Length, Mass, MassDensity, MassFraction, Pressure, Quantity,
    RelativeAmount, Time,
};
use crate::source::{Source, Standing, Why};

/// The edge of a zone's laminate on a flange, pressed wet when the mould is closed.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct WetFlange {
    /// The zone whose laminate runs over the flange.
    pub zone: String,
    /// The seam along which it is pressed: the longest one.
    pub seam: String,
    /// How long its resin has been catalysed when the clamps bite.
    pub age: Time,
    /// Whether it has gelled by then: then nothing moves, and the mould is forced shut.
    pub gelled: bool,
    /// Thickness as it was laid.
    pub laid: Length,
    /// Thickness when it gels.
    pub thickness: Length,
    /// Low end of it: soft fibres, thin resin.
    pub thickness_low: Length,
    /// High end of it: stiff fibres, thick resin.
    pub thickness_high: Length,
    /// Glass content when it gels.
    pub glass_content: MassFraction,
    /// Low end of it.
    pub glass_content_low: MassFraction,
    /// High end of it.
    pub glass_content_high: MassFraction,
    /// What stops it: gel, or the fibres.
    pub stopped_by: StoppedBy,
    /// Resin that leaves it, all along the seam; half of it runs into the part, half over the outer edge.
    pub resin_out: Mass,
    /// Low end of it.
    pub resin_out_low: Mass,
    /// High end of it.
    pub resin_out_high: Mass,
    /// That over the paste of the seam's bead: above one, the seam is flooded, and its paste thinned.
    pub over_bead: RelativeAmount,
    /// What is outside which range, if anything is.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

/// The laminate's edge of each zone; nothing of a mould that is closed after gel, that has no clamps or no seam, and of a resin
/// whose viscosity or gel time is not known.
pub(super) fn flanges(
    job: &Job,
    cups: &[Cup],
    starts: &[Clock],
    closed: Option<Clock>,
) -> Result<Vec<WetFlange>> {
    let casting = job.casting;
    let longest = casting
        .seams
        .iter()
        .reduce(|a, b| if b.length > a.length { b } else { a });
    let (Closing::Wet, Some(seam), Some(closed)) = (casting.closing, longest, closed) else {
        return Ok(vec![]);
    };
    let mut all = vec![];
    for (i, zone) in casting.zones.iter().enumerate() {
        let mut laid = job.items.iter().enumerate();
        let Some((n, item)) = laid.rfind(|(_, item)| item.zone == zone.name && item.act == Act::Laminate)
        else {
            continue;
        };
        // Of an item in several cups the first: it is the thickest by then.
        let mixed = cups
            .iter()
            .zip(starts)
            .filter(|(c, _)| c.items.iter().any(|(k, _)| *k == n));
        let first = mixed.reduce(|a, b| if b.1.since(*a.1).si() < 0.0 { b } else { a });
        let Some((cup, start)) = first else { continue };
        let age = closed.since(start.after(job.before_catalyst()));
        all.extend(flange(job, seam, item, cup, age).map_err(|e: Error| e.within(format!("zones[{i}]")))?);
    }
    Ok(all)
}

fn flange(job: &Job, seam: &Seam, item: &Item, cup: &Cup, age: Time) -> Result<Option<WetFlange>> {
    let Some(clamping) = &job.casting.clamping else {
        return Ok(None);
    };
    let mix = &job.mixes[item.recipe.as_str()];
    let Some(viscosity) = part::viscosity_today(mix, job.casting.shop.resin())? else {
        return Ok(None);
    };
    let Some(gel) = job.gel_time_of(cup) else {
        return Ok(None);
    };
    let width = seam.flange.unwrap_or(seam.width);
    let total: f64 = job.casting.seams.iter().map(|s| s.length.si()).sum();
    let force = clamping.force.si() * f64::from(clamping.clamps);
    let area = seam.length.si() * width.si();
    // Square metres of a ply, and what is on each.
    let glass: f64 = item.plies.iter().map(|p| p.areal_mass.si()).sum();
    let resin: f64 = item
        .plies
        .iter()
        .map(|p| p.areal_mass.si() * p.resin() / p.glass())
        .sum();
    let mut solid = 0.0;
    for p in &item.plies {
        solid += p.areal_mass.si() / job.catalogue.get(&p.material)?.known_density()?.value.si();
    }
    if solid <= 0.0 {
        return Ok(None);
    }
    let gelled = age.si() >= 0.999 * gel.time.si();
    let left = (1.0 - age.si().max(0.0) / gel.time.si()).max(1e-3);
    let edge = |viscosity: f64| -> Result<PressedWet> {
        WetEdge {
            width,
            pressure: Pressure::from_si(force / (total * width.si()))?,
            glass: ArealMassDensity::from_si(glass)?,
            glass_content: MassFraction::new(glass / (glass + resin))?,
            // What is left of `(1 - t/t_gel)^-2` is the same law from a higher viscosity on.
            viscosity: ViscosityHistory::ToGel {
                viscosity: DynamicViscosity::from_si(viscosity * left.powi(-2))?,
                gel_time: gel.time * left,
                exponent: 2.0,
            },
            glass_density: MassDensity::from_si(glass / solid)?,
            resin_density: mix.unit.density,
            strand: Strand::of_mat(),
            bed: FibreBed::default(),
            stops: Length::default(),
        }
        .pressed()
    };
    let [usual, thin, thick] = viscosity;
    let (usual, thin, thick) = (edge(usual)?, edge(thin)?, edge(thick)?);
    let out = |of: ArealMassDensity| Mass::from_si(if gelled { 0.0 } else { of.si() * area });
    let stays = |pressed: Length| if gelled { usual.laid } else { pressed };
    let as_laid = MassFraction::new(glass / (glass + resin))?;
    let content = |pressed: MassFraction| if gelled { as_laid } else { pressed };
    let bead = seam.width.si() * seam.height.si() * seam.length.si();
    let density = mix.unit.density.si();
    Ok(Some(WetFlange {
        zone: item.zone.clone(),
        seam: seam.name.clone(),
        age,
        gelled,
        laid: usual.laid,
        thickness: stays(usual.thickness),
        thickness_low: stays(thin.thickness_low),
        thickness_high: stays(thick.thickness_high),
        glass_content: content(usual.glass_content),
        glass_content_low: content(thick.glass_content_low),
        glass_content_high: content(thin.glass_content_high),
        stopped_by: if gelled { StoppedBy::Gel } else { usual.stopped_by },
        resin_out: out(usual.resin_out)?,
        resin_out_low: out(thick.resin_out_low)?,
        resin_out_high: out(thin.resin_out_high)?,
        over_bead: RelativeAmount::new(out(usual.resin_out)?.si() / density / bead)?,
        extrapolated: usual.extrapolated,
        why: usual.why,
    }))
}

/// How the fibres' share moves at each flange; of one that floods its seam, advice.
pub(super) fn findings(flanges: &[WetFlange]) -> Vec<Finding> {
    let of = |f: &WetFlange| {
        let floods = f.over_bead.get() > 1.0;
        Finding {
            limit: if floods { "wet_flange_floods" } else { "wet_flange" }.to_owned(),
            quantity: LimitQuantity::GlassContent,
            subject: format!("edge of {} on the flange of {}", f.zone, f.seam),
            value: Some(QuantityText::of(f.glass_content)),
            value_low: Some(QuantityText::of(f.glass_content_low)),
            value_high: Some(QuantityText::of(f.glass_content_high)),
            low: None,
            high: None,
            margin: None,
            broken: floods,
            severity: Severity::Advice,
            message: if floods {
                "the clamps press more resin out of this edge than the seam holds of paste: it floods the seam and thins its paste"
            } else {
                "closed wet, the clamps press resin out of this edge: it gets thinner and richer in glass"
            }
            .to_owned(),
            way_out: "end the plies at the inner edge of the flange, or put stops between the halves; wipe off what comes out"
                .to_owned(),
            slip: None,
            set_aside: false,
            smallest_cure: None,
            no_cure: floods,
            source: Source::of(
                Standing::Derived,
                "flow of the resin along the packing plies until it gels, as flow.wet_edge tells it",
            ),
        }
    };
    flanges.iter().map(of).collect()
}
