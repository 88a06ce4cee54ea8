//! How sure an exotherm is, to first order: what may be off is moved a little, and what that changes taken as in proportion (law of
//! propagation of uncertainty: JCGM 100:2008, 5.1.2 and 5.1.3, sensitivity coefficients).
//!
//! What may be off are independent numbers, a law's and what stands beside it, each in standard deviations. A body reads fewer
//! numbers of its own than there are of those: it is moved along as many directions, at right angles to each other, as move what it
//! reads. Along all others nothing changes but where it gels, which its rate there tells.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

use crate::calibrate::{BandDriver, Calibration, DrawnLaw, Read, Reads, Tells};
use crate::error::Result;
use crate::numeric::normal;
use crate::quantity::{Phr, Quantity, Time};

use super::super::job::Job;

/// Standard uncertainty of the shop's temperature where no thermometer is told, K: anywhere within 1 K (common practice, no
/// source).
const THERMOMETER: f64 = 1.0 / 1.732;
/// Part of a variance from which what makes it is told.
const TOLD: f64 = 0.02;

/// Standard uncertainty of the shop's temperature, K.
pub(in super::super) fn thermometer(job: &Job) -> f64 {
    let told = job.casting.shop.bench.thermometer;
    told.map_or(THERMOMETER, |t| t.uncertainty().si())
}

/// How far each is moved, in standard deviations: near enough that the bodies moved step alike and that it is the slope, far enough
/// that the roundings of the steps, which are the same for all of a bundle, do not show.
const MOVED: f64 = 0.5;

/// What moves a number that is read by less than this part of what does at all, does not count.
const COUNTS: f64 = 1e-3;

/// What of a resin's law all cups and zones of a plan share.
struct Shared<'a> {
    calibration: &'a Calibration,
    law: DrawnLaw,
    tells: Tells,
}

/// What of the laws all cups and zones of a plan share, by resin.
#[derive(Default)]
pub(super) struct Drawn<'a>(Mutex<BTreeMap<String, Arc<Shared<'a>>>>);

impl<'a> Drawn<'a> {
    fn law(&self, resin: &str, calibration: &'a Calibration) -> Result<Arc<Shared<'a>>> {
        let kept = || self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(shared) = kept().get(resin) {
            return Ok(Arc::clone(shared));
        }
        let shared = Arc::new(Shared {
            calibration,
            law: calibration.law_at(&[])?,
            tells: calibration.tells()?,
        });
        kept().insert(resin.to_owned(), Arc::clone(&shared));
        Ok(shared)
    }
}

/// What may be off: laws, each by its own independent numbers, and what stands beside them, in standard deviations.
pub(super) struct Moves<'a> {
    laws: Vec<(&'a str, Arc<Shared<'a>>)>,
    beside: Vec<String>,
    /// At right angles to each other, each one standard deviation long, over all that may be off.
    directions: Vec<Vec<f64>>,
    /// What moves the conversion at gel of each law.
    gels: Vec<Vec<f64>>,
}

/// What a body is made with: laws by resin, and how many standard deviations each of the rest is off.
pub(super) struct Moved<'a> {
    pub(super) laws: BTreeMap<&'a str, DrawnLaw>,
    pub(super) off: Vec<f64>,
}

/// An answer's standard uncertainty, and what makes it.
pub(super) struct Off {
    uncertainty: f64,
    pub(super) drivers: Vec<BandDriver>,
}

impl Off {
    /// To an end of the interval that holds nine in ten.
    pub(super) fn half(&self) -> f64 {
        normal::quantile(0.95) * self.uncertainty
    }
}

/// Rate of gelling, 1/s: what may never gel has one too, and what has gelled as it is laid.
pub(super) fn gelling(time: Option<Time>) -> f64 {
    time.map_or(0.0, |t| 1.0 / t.si().max(1.0))
}

/// Takes out of a row what lies along directions.
fn across(row: &mut [f64], directions: &[Vec<f64>]) {
    for along in directions {
        let part: f64 = row.iter().zip(along).map(|(x, q)| x * q).sum();
        row.iter_mut().zip(along).for_each(|(x, q)| *x -= part * q);
    }
}

impl<'a> Moves<'a> {
    pub(super) fn new(
        laws: Vec<(&'a str, &'a Calibration)>,
        beside: Vec<String>,
        drawn: &Drawn<'a>,
    ) -> Result<Self> {
        let shared = |(resin, law)| Ok((resin, drawn.law(resin, law)?));
        let laws: Vec<_> = laws.into_iter().map(shared).collect::<Result<_>>()?;
        let mut moves = Moves {
            gels: vec![],
            laws,
            beside,
            directions: vec![],
        };
        for at in 0..moves.laws.len() {
            let gel = moves.laws[at].1.tells.gel();
            moves.gels.push(moves.row(at, &gel, None));
        }
        Ok(moves)
    }

    /// How all that may be off moves a number that is read of the law `at`, whose dose is so much off in what stands beside.
    fn row(&self, at: usize, read: &Read, dose: Option<(usize, f64)>) -> Vec<f64> {
        let mut row = vec![0.0; self.count()];
        row[at * Calibration::DRAWN_BY..][..Calibration::DRAWN_BY].copy_from_slice(&read.by);
        if let Some((beside, off)) = dose {
            row[self.laws.len() * Calibration::DRAWN_BY + beside] = read.by_dose * off;
        }
        row
    }

    fn count(&self) -> usize {
        self.laws.len() * Calibration::DRAWN_BY + self.beside.len()
    }

    /// The body reads of a resin's law at a dose, which may be so much off in what stands beside, what `of` picks.
    pub(super) fn reads<const N: usize>(
        &mut self,
        resin: &str,
        dose: Phr,
        off: (usize, f64),
        of: impl Fn(&Reads) -> [Read; N],
    ) {
        let Some(at) = self.laws.iter().position(|law| law.0 == resin) else {
            return;
        };
        let law = &self.laws[at].1;
        let reads = law.tells.reads(&law.law, dose);
        for read in reads.cure.iter().chain(&of(&reads)) {
            self.goes(self.row(at, read, Some(off)));
        }
    }

    /// The body reads this of what stands beside.
    pub(super) fn reads_beside(&mut self, beside: usize) {
        let mut row = vec![0.0; self.count()];
        row[self.laws.len() * Calibration::DRAWN_BY + beside] = 1.0;
        self.goes(row);
    }

    /// One direction more, where a number that goes by `row` asks for it (Gram and Schmidt, twice: G. H. Golub, C. F. Van Loan,
    /// "Matrix Computations", 4th ed. 2013, 5.2.8).
    fn goes(&mut self, mut row: Vec<f64>) {
        let long = |row: &[f64]| row.iter().map(|x| x * x).sum::<f64>().sqrt();
        let before = long(&row);
        across(&mut row, &self.directions);
        across(&mut row, &self.directions);
        let left = long(&row);
        if left > COUNTS * before {
            row.iter_mut().for_each(|x| *x /= left);
            self.directions.push(row);
        }
    }

    /// The body that nothing moves, and those that are moved along a direction each.
    pub(super) fn bodies<T>(&self, of: impl Fn(&Moved<'_>) -> Result<T>) -> Result<(T, Vec<T>)> {
        let still = vec![0.0; self.count()];
        let moved = self.directions.iter().map(|along| of(&self.moved(along)?));
        Ok((of(&self.moved(&still)?)?, moved.collect::<Result<_>>()?))
    }

    fn moved(&self, along: &[f64]) -> Result<Moved<'a>> {
        let z: Vec<f64> = along.iter().map(|q| MOVED * q).collect();
        let (of_laws, off) = z.split_at(self.laws.len() * Calibration::DRAWN_BY);
        let laws = self.laws.iter().zip(of_laws.chunks(Calibration::DRAWN_BY));
        let law = |((resin, law), z): (&(&'a str, Arc<Shared>), &[f64])| -> Result<_> {
            // Most directions move one law of several.
            let still = z.iter().all(|z| *z == 0.0);
            let law = if still {
                law.law.clone()
            } else {
                law.calibration.law_at(z)?
            };
            Ok((*resin, law))
        };
        Ok(Moved {
            laws: laws.map(law).collect::<Result<_>>()?,
            off: off.to_vec(),
        })
    }

    /// What the answers say: of each body that is moved, in their order, and of the unmoved one.
    pub(super) fn read(&self, unmoved: f64, moved: impl IntoIterator<Item = f64>) -> Off {
        self.told(unmoved, moved, None)
    }

    /// What they say of the rate of gelling: of the unmoved one when it gels, how fast it cures then (1/s), and of which resin to
    /// which conversion; of each that is moved when it gels.
    pub(super) fn read_gel(
        &self,
        (time, cures, by): (Option<Time>, f64, Option<(&str, f64)>),
        moved: impl IntoIterator<Item = Option<Time>>,
    ) -> Off {
        let unmoved = gelling(time);
        let gel = by.and_then(|(resin, conversion)| {
            let at = self.laws.iter().position(|law| law.0 == resin)?;
            // The logarithm of the conversion moves the time by conversion over rate.
            Some((at, -unmoved * unmoved * conversion / cures))
        });
        self.told(unmoved, moved.into_iter().map(gelling), gel)
    }

    fn told(&self, unmoved: f64, moved: impl IntoIterator<Item = f64>, gel: Option<(usize, f64)>) -> Off {
        let mut slopes = vec![0.0; self.count()];
        // What moves along a direction gels where its own law says; the rest of what moves that, moves nothing else.
        if let Some((at, by)) = gel {
            slopes.copy_from_slice(&self.gels[at]);
            across(&mut slopes, &self.directions);
            slopes.iter_mut().for_each(|s| *s *= by);
        }
        for (moved, along) in moved.into_iter().zip(&self.directions) {
            let slope = (moved - unmoved) / MOVED;
            slopes.iter_mut().zip(along).for_each(|(s, q)| *s += slope * q);
        }
        let variance: f64 = slopes.iter().map(|s| s * s).sum();
        let mut drivers = Vec::new();
        if variance > 0.0 {
            let (of_laws, beside) = slopes.split_at(self.laws.len() * Calibration::DRAWN_BY);
            for ((resin, law), s) in self.laws.iter().zip(of_laws.chunks(Calibration::DRAWN_BY)) {
                let of_law: f64 = s.iter().map(|s| s * s).sum::<f64>() / variance;
                for d in law.tells.drivers_of(s) {
                    let name = if self.laws.len() > 1 {
                        format!("{} of {resin}", d.input)
                    } else {
                        d.input
                    };
                    drivers.push(BandDriver::new(name, d.part * of_law));
                }
            }
            drivers.extend(
                self.beside
                    .iter()
                    .zip(beside)
                    .map(|(name, s)| BandDriver::new(name.clone(), s * s / variance)),
            );
        }
        drivers.retain(|d| d.part > TOLD);
        drivers.sort_by(|a, b| b.part.total_cmp(&a.part));
        Off {
            uncertainty: variance.sqrt(),
            drivers,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calibrate::Evidence;
    use crate::cancel::Cancel;
    use crate::heat::{Course, Cup, Cure, Place, Resolve, Thermal};
    use crate::material::Catalogue;
    use crate::quantity::temperature::celsius;

    const DOSE: f64 = 1.5;
    const DOSE_OFF: f64 = 0.06;

    fn si<Q: Quantity>(x: f64) -> Q {
        Q::from_si(x).unwrap()
    }

    fn beside() -> Vec<String> {
        ["dose", "thermometer"].map(str::to_owned).to_vec()
    }

    /// A cup of a resin as it is moved.
    fn cup(made: &Moved<'_>) -> Result<Cup> {
        let law = &made.laws["resin"];
        let warm = celsius(20.0 + 0.5 * made.off[1]);
        let dose = Phr::new(DOSE * (DOSE_OFF * made.off[0]).exp())?;
        Ok(Cup {
            resolve: Resolve::Lumped,
            stop_when_cooling: true,
            film_factor: law.film_factor,
            ..Cup::new(
                si(0.25),
                si(0.07),
                Thermal::new(si(1100.0), law.specific_heat, si(0.2)),
                Cure::new(law.kinetics.with_dose(dose)?, law.gel_conversion),
                warm,
                Place::Bench {
                    air: Course::Steady(warm),
                    emissivity: 0.9,
                },
                si(86_400.0),
            )
        })
    }

    fn resin() -> Calibration {
        let evidence = Evidence::of("ortho_polyester");
        evidence.calibrate(Catalogue::generic(), Cancel::NEVER).unwrap()
    }

    /// Along what such a cup reads.
    fn of_cup<'a>(law: &'a Calibration, drawn: &Drawn<'a>) -> Moves<'a> {
        let mut moves = Moves::new(vec![("resin", law)], beside(), drawn).unwrap();
        moves.reads("resin", Phr::new(DOSE).unwrap(), (0, DOSE_OFF), |r| {
            [&r.heat, &r.film].map(|of| of.less(1.0, &r.specific_heat))
        });
        moves.reads_beside(1);
        moves
    }

    /// Bands of its gel rate and its peak.
    fn bands(moves: &Moves<'_>) -> [Off; 2] {
        let (unmoved, moved) = moves.bodies(cup).unwrap();
        let gels_by = Some(("resin", unmoved.cure.gel_at.get()));
        let (unmoved, moved) = unmoved.followed_beside(&moved, Cancel::NEVER).unwrap();
        let gels = (unmoved.gel, unmoved.gel_rate, gels_by);
        [
            moves.read_gel(gels, moved.iter().map(|b| b.gel)),
            moves.read(unmoved.peak.si(), moved.iter().map(|b| b.peak.si())),
        ]
    }

    /// The law of propagation itself moves each input alone (JCGM 100:2008, 5.1.2): fewer directions tell the same, and which
    /// input makes it.
    #[test]
    fn few_directions_tell_what_all_inputs_do() {
        let law = resin();
        let drawn = Drawn::default();
        let few = of_cup(&law, &drawn);
        assert_eq!(few.directions.len(), 8);
        let mut all = Moves::new(vec![("resin", &law)], beside(), &drawn).unwrap();
        for k in 0..all.count() {
            let mut alone = vec![0.0; all.count()];
            alone[k] = 1.0;
            all.goes(alone);
        }
        assert_eq!(all.directions.len(), Calibration::DRAWN_BY + 2);
        for (few, all) in bands(&few).iter().zip(&bands(&all)) {
            // Half a standard deviation to one side bends, along other directions otherwise: some parts in a hundred.
            let off = few.uncertainty / all.uncertainty - 1.0;
            assert!(off.abs() < 0.08, "{off}: {} {}", few.uncertainty, all.uncertainty);
            for driver in &all.drivers {
                let found = few.drivers.iter().find(|d| d.input == driver.input);
                let part = found.map_or(0.0, |d| d.part);
                assert!(
                    (part - driver.part).abs() < 0.08,
                    "{}: {part}, alone {}",
                    driver.input,
                    driver.part
                );
            }
        }
    }

    /// Across all directions a cup is what it was, however far it is moved as inputs go; along one it is not.
    #[test]
    fn what_is_left_out_moves_nothing() {
        let law = resin();
        let drawn = Drawn::default();
        let moves = of_cup(&law, &drawn);
        let peak = |along: &[f64]| {
            let cup = cup(&moves.moved(along).unwrap()).unwrap();
            cup.run(Cancel::NEVER).unwrap().peak.si()
        };
        let unmoved = peak(&vec![0.0; moves.count()]);
        for k in 0..moves.count() {
            let mut left = vec![0.0; moves.count()];
            left[k] = 1.0;
            across(&mut left, &moves.directions);
            let off = peak(&left) - unmoved;
            // What is left is of second order, and what a cup's own steps are off by.
            assert!(off.abs() < 0.3, "{k}: {off} K");
        }
        let most = moves.directions.iter().map(|along| (peak(along) - unmoved).abs());
        assert!(most.fold(0.0, f64::max) > 3.0);
    }
}
