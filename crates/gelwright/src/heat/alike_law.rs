//! The rate laws of bodies that are alike, one of each side by side: the same functions as everywhere, with numbers of their
//! own for each body.

use super::chemistry::{Bodies, Law};
use super::vector::LANES;
use crate::cure::law::{InSeries, Numbers, Power, Radical, TwoBranches};

/// Bodies that go side by side: as many as the widest vector has lanes.
pub(crate) const BODIES: usize = LANES;

/// The numbers of a law, a row a number, a body a column.
#[derive(Clone)]
pub(crate) struct Columns<L, const N: usize> {
    rows: [[f64; BODIES]; N],
    /// What its laws have in common.
    like: L,
}

impl<L: Numbers<N>, const N: usize> Columns<L, N> {
    fn of(laws: [L; BODIES]) -> Self {
        let all = laws.map(|l| l.numbers());
        Columns {
            rows: std::array::from_fn(|k| all.map(|numbers| numbers[k])),
            like: laws[0],
        }
    }
}

impl<L: Numbers<N>, const N: usize> Bodies<L> for Columns<L, N> {
    const SIDE_BY_SIDE: bool = true;
    #[inline(always)]
    fn like(&self) -> &L {
        &self.like
    }
    #[inline(always)]
    fn body(&self, body: usize) -> L {
        let mut numbers = [0.0; N];
        for (number, row) in numbers.iter_mut().zip(&self.rows) {
            *number = row[body];
        }
        L::of_numbers(numbers)
    }
}

/// A law of bodies that are alike; a wall holds one a layer.
#[derive(Clone)]
#[allow(clippy::large_enum_variant)]
pub(crate) enum AlikeLaw {
    Inert,
    Power(Columns<Power, 12>),
    TwoBranches(Columns<TwoBranches, 13>),
    Radical(Columns<Radical, 14>),
    InSeries(Columns<InSeries, 17>),
}

/// All of one kind, if they are.
fn all<L: Copy>(laws: &[Law; BODIES], of: impl Fn(&Law) -> Option<L>) -> Option<[L; BODIES]> {
    let first = of(&laws[0])?;
    let mut found = [first; BODIES];
    for (to, law) in found.iter_mut().zip(laws) {
        *to = of(law)?;
    }
    Some(found)
}

impl AlikeLaw {
    /// None where one of them is of another kind.
    pub(crate) fn of(laws: &[Law; BODIES]) -> Option<Self> {
        match laws[0] {
            Law::Inert => all(laws, |l| matches!(l, Law::Inert).then_some(())).map(|_| AlikeLaw::Inert),
            Law::Power(first) => {
                let like = |p: &Power| {
                    p.second.is_some() == first.second.is_some()
                        && p.rounded() == first.rounded()
                        && p.glass.vitrifies() == first.glass.vitrifies()
                };
                let of = |l: &Law| match l {
                    Law::Power(p) if like(p) => Some(*p),
                    _ => None,
                };
                Some(AlikeLaw::Power(Columns::of(all(laws, of)?)))
            }
            Law::TwoBranches(first) => {
                let of = |l: &Law| match l {
                    Law::TwoBranches(p) if p.glass.vitrifies() == first.glass.vitrifies() => Some(*p),
                    _ => None,
                };
                Some(AlikeLaw::TwoBranches(Columns::of(all(laws, of)?)))
            }
            Law::Radical(first) => {
                let like = |p: &Radical| {
                    p.trapped == first.trapped && p.glass.vitrifies() == first.glass.vitrifies()
                };
                let of = |l: &Law| match l {
                    Law::Radical(p) if like(p) => Some(*p),
                    _ => None,
                };
                Some(AlikeLaw::Radical(Columns::of(all(laws, of)?)))
            }
            Law::InSeries(_) => {
                let of = |l: &Law| match l {
                    Law::InSeries(p) => Some(*p),
                    _ => None,
                };
                Some(AlikeLaw::InSeries(Columns::of(all(laws, of)?)))
            }
        }
    }

    pub(crate) fn spends_initiator(&self) -> bool {
        matches!(self, AlikeLaw::Radical(_))
    }
}
