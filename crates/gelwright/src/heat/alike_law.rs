//! The rate laws of bodies that are alike, one of each side by side: the same functions as everywhere, with numbers of their
//! own for each body.

use std::mem::{Discriminant, discriminant};

use super::chemistry::{Bodies, Law};
use super::vector::LANES;
use crate::cure::law::{FREE, InSeries, Numbers, Power, Radical, TwoBranches};

/// Bodies that go side by side: as many as the widest vector has lanes.
pub(crate) const BODIES: usize = LANES;

/// A number of each body.
pub(crate) type Each = [f64; BODIES];

/// The numbers of a law, a row a number, a body a column.
#[derive(Clone)]
pub(crate) struct Columns<L, const N: usize> {
    rows: [Each; N],
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

/// What laws side by side must have in common: which they are, and which parts they have.
fn kind(law: &Law) -> (Discriminant<Law>, [bool; 3], u8) {
    let (parts, vitrifies) = match law {
        Law::Inert | Law::InSeries(_) => ([false; 3], FREE),
        Law::Power(p) => (
            [p.second.is_some(), p.first.m != 0.0, p.rounded()],
            p.glass.vitrifies(),
        ),
        Law::TwoBranches(t) => ([false; 3], t.glass.vitrifies()),
        Law::Radical(r) => ([r.trapped, false, false], r.glass.vitrifies()),
    };
    (discriminant(law), parts, vitrifies)
}

/// The columns of laws that are all of one kind, of which `$first` is one.
macro_rules! columns {
    ($laws:expr, $kind:ident, $first:expr) => {
        AlikeLaw::$kind(Columns::of($laws.map(|law| match law {
            Law::$kind(law) => law,
            _ => $first,
        })))
    };
}

impl AlikeLaw {
    /// None where one of them is of another kind.
    pub(crate) fn of(laws: &[Law; BODIES]) -> Option<Self> {
        if laws.iter().any(|law| kind(law) != kind(&laws[0])) {
            return None;
        }
        Some(match laws[0] {
            Law::Inert => AlikeLaw::Inert,
            Law::Power(first) => columns!(laws, Power, first),
            Law::TwoBranches(first) => columns!(laws, TwoBranches, first),
            Law::Radical(first) => columns!(laws, Radical, first),
            Law::InSeries(first) => columns!(laws, InSeries, first),
        })
    }

    pub(crate) fn spends_initiator(&self) -> bool {
        matches!(self, AlikeLaw::Radical(_))
    }
}
