//! What the mould's face must be before resin touches it: released, its pores sealed.

use super::job::Job;
use crate::error::Result;
use crate::limit::{Finding, LimitQuantity, Measured, POROUS_WALL, Severity};
use crate::quantity::Index;
use crate::source::{Source, Standing};

/// The limit's name of a porous wall that nothing has sealed.
pub(super) const OPEN_PORES: &str = "open_pores";

/// All coats of release agent on this wall; and of each agent its own.
pub(super) fn release_coats(job: &Job) -> Result<Vec<Measured>> {
    let mould = &job.casting.mould;
    let coats = |n: u32| Index::new(f64::from(n));
    let all = mould.release.iter().map(|r| u32::from(r.coats)).sum();
    let mut of = vec![mould.wall.clone()];
    if porous(job)? {
        of.push(POROUS_WALL.to_owned());
    }
    let mut measured = vec![Measured::new(
        LimitQuantity::ReleaseCoats,
        "mould",
        &of,
        coats(all)?,
    )];
    let mut seen: Vec<&str> = Vec::new();
    for r in &mould.release {
        if seen.contains(&r.material.as_str()) {
            continue;
        }
        seen.push(&r.material);
        let same = mould.release.iter().filter(|o| o.material == r.material);
        let sum = same.map(|o| u32::from(o.coats)).sum();
        let name = job.catalogue.get(&r.material)?.name.clone();
        let of = std::slice::from_ref(&r.material);
        measured.push(Measured::new(LimitQuantity::ReleaseCoats, name, of, coats(sum)?));
    }
    Ok(measured)
}

/// Whether the mould's wall has pores.
pub(super) fn porous(job: &Job) -> Result<bool> {
    let wall = job.catalogue.get(&job.casting.mould.wall)?;
    Ok(wall.mould_wall()?.porous == Some(true))
}

/// A porous wall that nothing has sealed.
pub(super) fn open_pores(job: &Job) -> Result<Option<Finding>> {
    let mould = &job.casting.mould;
    if mould.sealed || !porous(job)? {
        return Ok(None);
    }
    let wall = job.catalogue.get(&mould.wall)?;
    Ok(Some(Finding {
        limit: OPEN_PORES.to_owned(),
        quantity: LimitQuantity::ReleaseCoats,
        subject: wall.name.clone(),
        value: None,
        value_low: None,
        value_high: None,
        low: None,
        high: None,
        margin: None,
        broken: true,
        severity: Severity::Stop,
        message: "open pores: resin and release agent soak in, damp stops the cure, and the part stays in the mould".to_owned(),
        way_out: "dry the mould, seal its pores, let the sealer harden, release it, and say 'sealed = true'".to_owned(),
        slip: None,
        set_aside: false,
        smallest_cure: None,
        no_cure: false,
        source: Source {
            author: "a craft site".into(),
            locator: "furnituremaking.us/making-3/lay-up-i-1.html; of plaster, shellac against its holes: a plastering \
                      supplier's workshop materials, plasteringfx.com/kb/workshop-materials"
                .into(),
            ..Source::of(
                Standing::Published,
                "Lay-up: the working surfaces of a mould are filled, sanded and lacquered before wax and release film",
            )
        },
    }))
}
