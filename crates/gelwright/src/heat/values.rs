//! Temperature and conversion of a wall at chosen depths and times.

use super::kernel::with_workspace;
use super::passes::{Cells, Ended, Refined};
use super::wall::{FollowedWall, Wall, ends};
use crate::cancel::Cancel;
use crate::error::{Error, Result};
use crate::noun::{Noun, questions};
use crate::quantity::{Length, Quantity, Time, show};
use crate::source::Why;

/// Most depths times times that one question answers.
const MOST_VALUES: usize = 100_000;

/// Temperature and conversion at chosen depths and times, in SI.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct WallValues {
    /// The times, ascending, s.
    pub time_s: Vec<f64>,
    /// The depths below the first face, as they were asked for, m.
    pub depth_m: Vec<f64>,
    /// Layer of each depth, counted from 0; on the face between two layers the later one.
    pub layer: Vec<usize>,
    /// Temperature in K: a row a time, a column a depth; null where not laid yet, and after the run has ended.
    pub temperature_k: Vec<Vec<Option<f64>>>,
    /// Degree of cure, 0 to 1; null also where nothing cures.
    pub cure: Vec<Vec<Option<f64>>>,
    /// Low end of the degree of cure, which has a width where a layer has vitrified; none where no kinetics vitrifies.
    pub cure_low: Option<Vec<Vec<Option<f64>>>>,
    /// High end of the degree of cure.
    pub cure_high: Option<Vec<Vec<Option<f64>>>>,
    /// How the run ended.
    pub ended: Ended,
    /// Space error: that of the faces covers these temperatures too; conversions are within 1 % of the scale where it has
    /// converged.
    pub cells: Cells,
    /// What lies outside the fitted range of the kinetics.
    pub extrapolated: Option<String>,
    /// Cautions.
    pub cautions: Vec<String>,
    /// Equations and sources.
    pub why: Why,
}

#[questions(VALUES)]
impl Wall {
    /// Temperature and degree of cure of a wall at chosen depths and times.
    ///
    /// As [`run`](Self::run), with cells refined until these values have settled as well; straight between the centres of
    /// cells and the faces. When a layer is laid, the value is that just before; right after two layers of different
    /// warmth have met, the nearest cells are still mixing and `cells` says how sure the value is.
    ///
    /// # Errors
    /// `OutOfRange` for a depth outside the wall, a time after its end, no or too many of either; as [`run`](Self::run).
    #[question("heat.wall_at", long)]
    pub fn values_at(
        &self,
        /// Depths below the first face.
        depths: &[Length],
        /// Times since the start of the run.
        times: &[Time],
        cancel: Cancel<'_>,
    ) -> Result<WallValues> {
        self.has(depths, times)?;
        let total: f64 = self.layers.iter().map(|l| l.thickness.si()).sum();
        let mut plain = self.plain()?;
        plain.asked_times = times.iter().map(|t| t.si()).collect();
        plain.asked_times.sort_by(f64::total_cmp);
        plain.asked_times.dedup();
        // Half of a mirrored wall is followed.
        let followed_depth = |d: f64| if plain.mirrored { d.min(total - d) } else { d }.max(0.0);
        plain.asked_depths = depths.iter().map(|d| followed_depth(d.si())).collect();
        let Refined { pass, cells, .. } = with_workspace(|work| plain.refined(work, cancel))?;
        let n = depths.len();
        let time_s = plain.asked_times.clone();
        let mut temperature_k = vec![vec![None; n]; time_s.len()];
        let mut cure = temperature_k.clone();
        for kept in &pass.track.kept {
            let i = time_s.partition_point(|&t| t < kept.time);
            for (j, &depth) in plain.asked_depths.iter().enumerate() {
                if let Some((k, t, a)) = kept.at(&pass.grid, depth) {
                    temperature_k[i][j] = Some(t);
                    cure[i][j] = plain.sheets[k].reacts().then_some(a);
                }
            }
        }
        let layer: Vec<usize> = plain
            .asked_depths
            .iter()
            .map(|&d| {
                let start = |k: usize| {
                    pass.grid.depth[pass.grid.starts[k]] - 0.5 * pass.grid.size[pass.grid.starts[k]]
                };
                (0..self.layers.len()).rev().find(|&k| start(k) <= d).unwrap_or(0)
            })
            .collect();
        let (cure_low, cure_high) = ends(&self.layers, &layer, &temperature_k, &cure)?.unzip();
        let run = FollowedWall {
            wall: self,
            plain: &plain,
            pass: &pass,
        }
        .answer(cells)?;
        Ok(WallValues {
            time_s,
            depth_m: depths.iter().map(|d| d.si()).collect(),
            layer,
            temperature_k,
            cure,
            cure_low,
            cure_high,
            ended: run.ended,
            cells: run.cells,
            extrapolated: run.extrapolated,
            cautions: run.cautions,
            why: run.why,
        })
    }
}

impl Wall {
    /// Refuses depths and times that the run does not have.
    fn has(&self, depths: &[Length], times: &[Time]) -> Result<()> {
        for (field, count) in [("depths", depths.len()), ("times", times.len())] {
            if count == 0 {
                return Err(Error::out_of_range(
                    field,
                    "none",
                    "one or more",
                    "say where and when",
                ));
            }
        }
        if depths.len() * times.len() > MOST_VALUES {
            return Err(Error::out_of_range(
                "times",
                format_args!("{} times at {} depths", times.len(), depths.len()),
                format!("{MOST_VALUES} values together"),
                "ask for fewer, or for `profiles` of the run",
            ));
        }
        let total: f64 = self.layers.iter().map(|l| l.thickness.si()).sum();
        for (i, d) in depths.iter().enumerate() {
            if !(d.si() >= 0.0 && d.si() <= total * (1.0 + 1e-9)) {
                return Err(Error::out_of_range(
                    format!("depths[{i}]"),
                    show(*d),
                    format!("0 mm to {}, the whole wall", show(Length::from_si(total)?)),
                    "depths count from the first face",
                ));
            }
        }
        for (i, t) in times.iter().enumerate() {
            if !(t.si() >= 0.0 && *t <= self.duration) {
                return Err(Error::out_of_range(
                    format!("times[{i}]"),
                    show(*t),
                    format!("0 s to {}, the end of the run", show(self.duration)),
                    "lengthen the duration, or ask for an earlier time",
                ));
            }
        }
        Ok(())
    }
}
