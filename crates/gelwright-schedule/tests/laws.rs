//! Properties that hold for any day.

use gelwright_schedule::{Activity, Budget, Conflict, Hours, Lag, Problem, Proof, Window};
use proptest::prelude::*;

const NODES: u64 = 200_000;

/// Small days: up to five activities, two resources, waits and windows, sometimes hours.
fn days() -> impl Strategy<Value = Problem> {
    let activity = (0i64..4, 0u32..3, 0u32..2, 0i64..4, any::<bool>());
    let activities = prop::collection::vec(activity, 1..=5);
    let lags = prop::collection::vec((0usize..5, 0usize..5, -2i64..5), 0..5);
    let windows = prop::collection::vec(
        (prop::option::weighted(0.8, 0usize..5), 0usize..5, -1i64..7),
        0..5,
    );
    let hours = prop::option::weighted(0.4, (2i64..5, 0i64..4));
    (activities, lags, windows, 1u32..3, hours).prop_map(|(activities, lags, windows, workers, hours)| {
        let n = activities.len();
        let activities: Vec<Activity> = activities
            .into_iter()
            .map(|(duration, workers, oven, not_before, in_hours)| Activity {
                not_before,
                in_hours,
                ..Activity::new(duration, [workers, oven])
            })
            .collect();
        Problem {
            capacity: vec![workers, 1],
            lags: lags
                .into_iter()
                .map(|(a, b, least)| Lag {
                    from: a % n,
                    to: b % n,
                    least,
                })
                .filter(|l| l.from != l.to)
                .collect(),
            windows: windows
                .into_iter()
                .map(|(a, b, most)| Window {
                    from: a.map(|a| a % n),
                    to: b % n,
                    most,
                })
                .collect(),
            activities,
            early: vec![0],
            hours: hours.map(|(open, closed)| Hours {
                day: open + closed,
                open,
            }),
        }
    })
}

/// Every schedule up to an end, tried one by one: the earliest finish, the most slack with it, the earliest start of the
/// first activity with both.
fn tried(problem: &Problem, last: i64) -> Option<Found> {
    fn go(problem: &Problem, last: i64, starts: &mut Vec<i64>, best: &mut Option<Found>) {
        if starts.len() == problem.activities.len() {
            if problem.broken_by(starts) != (true, vec![]) {
                return;
            }
            let slack = (0..problem.windows.len())
                .map(|w| problem.left_of(w, starts))
                .min();
            let found = (problem.finish(starts), slack, starts[0]);
            if best.is_none_or(|b| (found.0, b.1, found.2) < (b.0, found.1, b.2)) {
                *best = Some(found);
            }
            return;
        }
        let i = starts.len();
        for t in problem.activities[i].not_before..=last {
            starts.push(t);
            let done: Vec<&Lag> = problem.lags.iter().filter(|l| l.from.max(l.to) <= i).collect();
            if done.iter().all(|l| starts[l.to] >= starts[l.from] + l.least) {
                go(problem, last, starts, best);
            }
            starts.pop();
        }
    }
    let mut best = None;
    go(problem, last, &mut vec![], &mut best);
    best
}

type Found = (i64, Option<i64>, i64);

fn solve(problem: &Problem, enough: i64) -> (Proof, Option<Found>) {
    let answer = problem
        .solve(enough, &mut Budget::nodes(NODES))
        .expect("a problem");
    if let Some(s) = &answer.schedule {
        assert_eq!(
            problem.broken_by(&s.starts),
            (true, vec![]),
            "no schedule breaks anything: {problem:?}"
        );
        assert_eq!(s.finish, problem.finish(&s.starts));
        assert!(answer.bound <= s.finish && problem.bound() <= s.finish);
    }
    (
        answer.proof,
        answer
            .schedule
            .map(|s| (s.finish, s.slack, s.starts.first().copied().unwrap_or(0))),
    )
}

fn finish(problem: &Problem) -> Option<i64> {
    let (proof, found) = solve(problem, 0);
    assert!(!matches!(proof, Proof::NotProved(_)));
    found.map(|f| f.0)
}

/// Not longer, where there was a schedule before.
fn no_longer(before: Option<i64>, after: Option<i64>) -> Result<(), TestCaseError> {
    if let Some(before) = before {
        prop_assert!(after.is_some_and(|a| a <= before), "{before} became {after:?}");
    }
    Ok(())
}

proptest! {
    #[test]
    fn a_small_day_is_as_good_as_the_best_of_all_that_were_tried(problem in days()) {
        let (proof, found) = solve(&problem, i64::MAX / 8);
        // To try all of five activities over so long takes a while, so only short days are compared.
        let last = found.map_or(9, |f| f.0);
        prop_assume!((last as f64).powi(problem.activities.len() as i32) < 3e5);
        let best = tried(&problem, last);
        prop_assert_eq!(found, best);
        prop_assert_eq!(proof, if best.is_some() { Proof::Best } else { Proof::Impossible });
    }

    #[test]
    fn a_worker_more_or_a_wider_window_never_lengthens(problem in days(), by in 1i64..4, which in any::<prop::sample::Index>()) {
        let before = finish(&problem);
        no_longer(before, finish(&Problem { capacity: vec![problem.capacity[0] + 1, 1], ..problem.clone() }))?;
        if !problem.windows.is_empty() {
            let mut wider = problem.clone();
            let at = which.index(wider.windows.len());
            wider.windows[at].most += by;
            no_longer(before, finish(&wider))?;
        }
    }

    #[test]
    fn a_shorter_task_never_lengthens_where_only_minimum_lags_bind(problem in days(), which in any::<prop::sample::Index>()) {
        // From an end to a start, so that a shorter task lets the next start earlier; no hours that a start must fit.
        let mut plain = Problem { windows: vec![], ..problem };
        plain.lags.retain(|l| l.from < l.to);
        let ends: Vec<i64> = plain.lags.iter().map(|l| l.least.max(0)).collect();
        let with_lags = |p: &Problem| {
            let mut p = p.clone();
            for k in 0..p.lags.len() {
                p.lags[k] = p.after_end(p.lags[k].from, p.lags[k].to, ends[k]);
            }
            p
        };
        let before = finish(&with_lags(&plain));
        let at = which.index(plain.activities.len());
        plain.activities[at].duration = (plain.activities[at].duration - 1).max(0);
        no_longer(before, finish(&with_lags(&plain)))?;
    }

    #[test]
    fn a_named_conflict_alone_is_impossible_and_without_any_one_possible(problem in days()) {
        let named = problem.conflict(&mut Budget::nodes(NODES)).expect("a problem");
        let only = |keep: &dyn Fn(usize) -> bool| {
            let windows = (0..problem.windows.len()).filter(|w| keep(*w)).map(|w| problem.windows[w]).collect();
            finish(&Problem { windows, ..problem.clone() })
        };
        match named {
            Conflict::NotProved => prop_assert!(false, "in budget"),
            Conflict::None => prop_assert!(finish(&problem).is_some()),
            Conflict::Between(named) => {
                prop_assert_eq!(only(&|w| named.contains(&w)), None);
                for out in &named {
                    prop_assert!(only(&|w| named.contains(&w) && w != *out).is_some(), "{:?} without {}", named, out);
                }
            }
        }
    }

    #[test]
    fn relaxing_gives_a_day_and_widens_by_the_least(problem in days()) {
        let relaxed = problem.relax(0, &mut Budget::nodes(NODES)).expect("a problem");
        let without = Problem { windows: vec![], ..problem.clone() };
        let Some(relaxed) = relaxed else {
            prop_assert_eq!(finish(&without), None);
            return Ok(());
        };
        prop_assert_eq!(relaxed.conflicts.is_empty(), finish(&problem).is_some());
        prop_assert_eq!(relaxed.widened.is_empty(), relaxed.conflicts.is_empty());
        prop_assert!(relaxed.answer.schedule.is_some());
        for &(w, by) in &relaxed.widened {
            prop_assert!(by > 0);
            let mut less = relaxed.problem.clone();
            less.windows[w].most -= 1;
            prop_assert_eq!(finish(&less), None, "window {} by {}", w, by);
        }
    }

    #[test]
    fn a_latest_start_keeps_all_and_a_later_one_breaks_what_is_named(problem in days()) {
        let answer = problem.solve(2, &mut Budget::nodes(NODES)).expect("a problem");
        let Some(day) = answer.schedule else { return Ok(()) };
        let all = problem.latest_starts(&day.starts, &mut Budget::nodes(NODES));
        for (i, latest) in all.iter().enumerate() {
            prop_assert!(latest.proved);
            let slipped = |t: i64, windows: Vec<Window>| {
                let mut p = Problem { windows, ..problem.clone() };
                for k in 0..day.starts.len() {
                    if (day.starts[k], k) < (day.starts[i], i) {
                        p.activities[k].started = Some(day.starts[k]);
                    }
                }
                p.activities[i].not_before = t;
                finish(&p)
            };
            match latest.start {
                Some(t) => {
                    prop_assert!(t >= day.starts[i]);
                    prop_assert!(slipped(t, problem.windows.clone()).is_some(), "{} at {}", i, t);
                    let broken: Vec<Window> = latest.breaks.iter().map(|w| problem.windows[*w]).collect();
                    prop_assert_eq!(slipped(t + 1, broken), None, "{} after {}", i, t);
                }
                None => prop_assert!(slipped(10_000, problem.windows.clone()).is_some(), "{}", i),
            }
        }
    }

    #[test]
    fn a_list_schedule_keeps_waits_hands_and_hours(problem in days()) {
        if let Some(starts) = problem.list_schedule() {
            let able = problem.activities.iter().all(|a| a.duration == 0 || a.demand[0] <= problem.capacity[0]);
            if able {
                prop_assert!(problem.broken_by(&starts).0, "{:?}", starts);
            }
        }
    }

    #[test]
    fn a_list_schedule_is_within_grahams_bound(durations in prop::collection::vec(1i64..9, 1..8), workers in 1u32..4, links in prop::collection::vec((0usize..8, 0usize..8), 0..6)) {
        // Graham 1969, theorem 1: at most 2 - 1/m times the optimum.
        let mut p = Problem { capacity: vec![workers], ..Problem::default() };
        p.activities = durations.iter().map(|d| Activity::new(*d, [1])).collect();
        for (a, b) in links {
            if a < b && b < p.activities.len() {
                p.lags.push(p.after_end(a, b, 0));
            }
        }
        let listed = p.finish(&p.list_schedule().expect("no circle"));
        let best = finish(&p).expect("a schedule");
        let m = i64::from(workers);
        prop_assert!(best <= listed && listed * m <= (2 * m - 1) * best, "{best} {listed}");
    }
}

/// A shorter task can make a day impossible where windows bind: A of 10, B exactly at its end, C exactly 5 after A's start,
/// one worker for B and C, 5 each.
#[test]
fn a_shorter_task_may_break_a_window() {
    let day = |a: i64| {
        let mut p = Problem {
            capacity: vec![1],
            ..Problem::default()
        };
        p.activities = vec![
            Activity::new(a, [0]),
            Activity::new(5, [1]),
            Activity::new(5, [1]),
        ];
        p.lags = vec![
            p.after_end(0, 1, 0),
            Lag {
                from: 0,
                to: 2,
                least: 5,
            },
        ];
        p.windows = vec![
            p.within_end(0, 1, 0),
            Window {
                from: Some(0),
                to: 2,
                most: 5,
            },
        ];
        p
    };
    assert_eq!(finish(&day(10)), Some(15));
    assert_eq!(finish(&day(9)), None);
}

#[test]
fn a_budget_that_ends_says_so_with_its_bound() {
    let mut p = Problem {
        capacity: vec![2],
        ..Problem::default()
    };
    p.activities = (0..12).map(|i| Activity::new(7 + i % 5, [1])).collect();
    let answer = p.solve(0, &mut Budget::nodes(3)).expect("a problem");
    assert!(matches!(answer.proof, Proof::NotProved(_)), "{answer:?}");
    assert!(answer.bound > 0);
    let stopped = p
        .solve(0, &mut Budget::until(u64::MAX, &|| true))
        .expect("a problem");
    assert!(matches!(stopped.proof, Proof::NotProved(_)));
}

#[test]
fn what_is_no_problem_is_refused() {
    use gelwright_schedule::Fault;
    let one = Problem {
        capacity: vec![1],
        activities: vec![Activity::new(5, [1])],
        ..Problem::default()
    };
    let refused = |p: &Problem| p.solve(0, &mut Budget::nodes(9)).expect_err("a fault");
    let mut p = one.clone();
    p.activities[0].duration = -1;
    assert_eq!(refused(&p), Fault::NegativeDuration(0));
    let mut p = one.clone();
    p.activities[0].demand = vec![];
    assert_eq!(refused(&p), Fault::Demand(0));
    let mut p = one.clone();
    p.lags.push(Lag {
        from: 0,
        to: 1,
        least: 0,
    });
    assert_eq!(refused(&p), Fault::Lag(0));
    let mut p = one.clone();
    p.windows.push(Window {
        from: None,
        to: 7,
        most: 0,
    });
    assert_eq!(refused(&p), Fault::Window(0));
    assert_eq!(
        refused(&Problem {
            hours: Some(Hours { day: 10, open: 0 }),
            ..one.clone()
        }),
        Fault::Hours
    );
    let mut p = one.clone();
    p.lags.push(Lag {
        from: 0,
        to: 0,
        least: i64::MAX,
    });
    assert_eq!(refused(&p), Fault::TooLarge);
    assert_eq!(
        refused(&Problem {
            early: vec![1],
            ..one.clone()
        }),
        Fault::Early(0)
    );
    // A circle of waits, no workers, a window that closes before it opens: no schedule.
    let mut circle = one.clone();
    circle.lags.push(Lag {
        from: 0,
        to: 0,
        least: 1,
    });
    assert_eq!(finish(&circle), None);
    assert_eq!(
        finish(&Problem {
            capacity: vec![0],
            ..one.clone()
        }),
        None
    );
    let mut closed = one.clone();
    closed.windows.push(Window {
        from: None,
        to: 0,
        most: -1,
    });
    assert_eq!(
        closed.conflict(&mut Budget::nodes(9)).unwrap(),
        Conflict::Between(vec![0])
    );
    assert_eq!(finish(&Problem::default()), Some(0));
}
