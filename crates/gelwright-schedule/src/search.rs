//! The search for starts that keep everything.

use crate::network::Network;
use crate::resources::Resources;
use crate::solve::Budget;

/// How a search ended.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Found {
    /// With starts that keep everything, each the earliest in the order found.
    Starts(Vec<i64>),
    /// There are none.
    Nothing,
    /// The budget was used up.
    GaveUp,
}

/// What to decide next.
enum Next {
    /// Nothing: the first starts keep everything.
    Done,
    /// Some set meets whatever is decided.
    Dead,
    /// Whether the first is over before the second starts.
    Order(usize, usize),
}

/// A decision that was tried one way.
struct Tried {
    mark: usize,
    first: usize,
    second: usize,
}

/// Depth first: of two that meet where there is too much, first that one follows the other, then that it does not.
pub(crate) fn search(resources: &Resources, network: &mut Network, budget: &mut Budget) -> Found {
    let mut tried: Vec<Tried> = vec![];
    let mut holds = resources.settle(network);
    loop {
        if !budget.spend(network.n) {
            return Found::GaveUp;
        }
        let next = if holds.is_ok() {
            next(resources, network)
        } else {
            Next::Dead
        };
        holds = match next {
            Next::Done => return Found::Starts(network.firsts().to_vec()),
            Next::Order(first, second) => {
                tried.push(Tried {
                    mark: network.mark(),
                    first,
                    second,
                });
                network
                    .lag(first, second, resources.duration[first])
                    .and_then(|()| resources.settle(network))
            }
            Next::Dead => {
                let Some(t) = tried.pop() else {
                    return Found::Nothing;
                };
                network.back(t.mark);
                // The second starts before the first is over.
                network
                    .lag(t.second, t.first, 1 - resources.duration[t.first])
                    .and_then(|()| resources.settle(network))
            }
        };
    }
}

/// A smallest set that meets at the first starts and takes too much, the one that leaves the fewest orders; and of these
/// the order that leaves most room.
fn next(resources: &Resources, network: &Network) -> Next {
    let mut best: Option<(usize, i64, usize, usize)> = None;
    let starts = network.firsts();
    for (r, capacity) in resources.problem.capacity.iter().enumerate() {
        for &k in resources.users(r) {
            let set = too_much(resources, r, u64::from(*capacity), starts, starts[k]);
            if set.is_empty() {
                continue;
            }
            let mut orders = 0;
            let mut roomiest: Option<(i64, usize, usize)> = None;
            for &i in &set {
                for &j in set
                    .iter()
                    .filter(|j| **j != i && resources.can_precede(i, **j, network))
                {
                    orders += 1;
                    // In durations, so that of orders with ample room the one by number is tried first.
                    let longer = resources.duration[i].max(resources.duration[j]).max(1);
                    let room = (network.last(j) - network.first(i) - resources.duration[i]) / longer;
                    let better = |b: (i64, usize, usize)| (room, b.1, b.2) > (b.0, i, j);
                    if roomiest.is_none_or(better) {
                        roomiest = Some((room, i, j));
                    }
                }
            }
            let Some((room, i, j)) = roomiest else {
                return Next::Dead;
            };
            if best.is_none_or(|b| (orders, room) < (b.0, b.1)) {
                best = Some((orders, room, i, j));
            }
        }
    }
    best.map_or(Next::Done, |(_, _, i, j)| Next::Order(i, j))
}

/// Of those under way at `t`: a set that takes too much and of which none can be left out.
fn too_much(resources: &Resources, r: usize, capacity: u64, starts: &[i64], t: i64) -> Vec<usize> {
    let demand = |i: usize| u64::from(resources.problem.activities[i].demand[r]);
    let under_way = |i: &usize| starts[*i] <= t && t < starts[*i] + resources.duration[*i];
    let mut set: Vec<usize> = resources.users(r).iter().copied().filter(under_way).collect();
    let mut sum: u64 = set.iter().map(|i| demand(*i)).sum();
    if sum <= capacity {
        return vec![];
    }
    set.sort_by_key(|i| (demand(*i), *i));
    set.retain(|&i| {
        let spare = sum - demand(i) > capacity;
        if spare {
            sum -= demand(i);
        }
        !spare
    });
    set
}
