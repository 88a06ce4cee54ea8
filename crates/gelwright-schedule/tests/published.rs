//! Published optima and infeasible instances.

mod read;

use std::time::Instant;

use gelwright_schedule::{Activity, Budget, Conflict, Problem, Proof};
use read::{checks, job_shop, rcpsp_max};

fn solved(problem: &Problem) -> (Proof, Option<i64>) {
    let answer = problem
        .solve(0, &mut Budget::nodes(1_000_000))
        .expect("a problem");
    if let Some(s) = &answer.schedule {
        assert_eq!(
            problem.broken_by(&s.starts),
            (true, vec![]),
            "the schedule keeps everything"
        );
    }
    (answer.proof, answer.schedule.map(|s| s.finish))
}

/// Set j10 of minimum and maximum lags, 270 instances with their optima: R. Kolisch, C. Schwindt, A. Sprecher, Benchmark
/// instances for project scheduling problems, in J. Weglarz (ed.), Project Scheduling, Kluwer (1999) 197-212 `[from memory]`, in
/// the library of R. Kolisch, A. Sprecher, PSPLIB, Eur. J. Oper. Res. 96 (1996) 205-216, doi 10.1016/S0377-2217(96)00170-1
/// `[from memory]`. All optima by a general constraint solver again.
#[test]
fn every_instance_of_ten_activities_is_proved() {
    let Some(folder) = checks("rcpsp-max-j10") else {
        return;
    };
    let table = std::fs::read_to_string(folder.join("optimum.csv")).expect("the optima");
    let (mut count, mut times) = (0, vec![]);
    for line in table.lines().skip(1) {
        let (name, optimum) = line.split_once(',').expect("name,optimum");
        let problem = rcpsp_max(&std::fs::read_to_string(folder.join(name)).expect("an instance"));
        let begun = Instant::now();
        let mut budget = Budget::nodes(1_000_000);
        let answer = problem.solve(0, &mut budget).expect("a problem");
        times.push((
            begun.elapsed().as_secs_f64() * 1e3,
            budget.spent(),
            name.to_owned(),
        ));
        let expected = match optimum.trim() {
            "unsat" => (Proof::Impossible, None),
            n => (Proof::Best, Some(n.parse::<i64>().expect("a number"))),
        };
        assert_eq!(
            (answer.proof, answer.schedule.map(|s| s.finish)),
            expected,
            "{name}"
        );
        count += 1;
    }
    assert_eq!(count, 270);
    times.sort_by(|a, b| a.0.total_cmp(&b.0));
    println!("median {:.3} ms, worst {:?}", times[135].0, &times[265..]);
}

/// A named conflict of an infeasible instance alone is infeasible, and feasible without any one member.
#[test]
fn named_conflicts_of_ten_activities_are_smallest() {
    let Some(folder) = checks("rcpsp-max-j10") else {
        return;
    };
    let table = std::fs::read_to_string(folder.join("optimum.csv")).expect("the optima");
    let unsat = table
        .lines()
        .filter(|l| l.ends_with("unsat"))
        .filter_map(|l| l.split(',').next());
    for name in unsat.step_by(if cfg!(debug_assertions) { 9 } else { 1 }) {
        let problem = rcpsp_max(&std::fs::read_to_string(folder.join(name)).expect("an instance"));
        let found = problem
            .conflict(&mut Budget::nodes(1_000_000))
            .expect("a problem");
        let Conflict::Between(named) = found else {
            panic!("{name}: {found:?}")
        };
        let only = |keep: &dyn Fn(usize) -> bool| {
            let windows = named
                .iter()
                .filter(|w| keep(**w))
                .map(|w| problem.windows[*w])
                .collect();
            solved(&Problem {
                windows,
                ..problem.clone()
            })
            .0
        };
        assert_eq!(only(&|_| true), Proof::Impossible, "{name}");
        for w in &named {
            assert_eq!(only(&|k| k != *w), Proof::Best, "{name} without {w}");
        }
    }
}

/// ft06 55, as below; la01 666, la05 593: S. Lawrence, Resource constrained project scheduling: an experimental investigation of
/// heuristic scheduling techniques (supplement), Carnegie-Mellon University (1984) `[from memory]`. All by a general constraint
/// solver again.
#[test]
fn job_shops_have_their_published_optima() {
    let Some(folder) = checks("jobshop") else { return };
    for (name, optimum) in [("ft06", 55), ("la01", 666), ("la05", 593)] {
        let problem = job_shop(&std::fs::read_to_string(folder.join(name)).expect("an instance"));
        let begun = Instant::now();
        assert_eq!(solved(&problem), (Proof::Best, Some(optimum)), "{name}");
        println!("{name} {:.1} ms", begun.elapsed().as_secs_f64() * 1e3);
    }
}

/// ft06 once more, written out: Fisher, Thompson, in Muth, Thompson, Industrial Scheduling, Prentice-Hall 1963,
/// pages 225-251; optimum 55.
#[test]
fn six_jobs_on_six_machines() {
    let ft06 = "6 6
2 1 0 3 1 6 3 7 5 3 4 6
1 8 2 5 4 10 5 10 0 10 3 4
2 5 3 4 5 8 0 9 1 1 4 7
1 5 0 5 2 5 3 3 4 8 5 9
2 9 1 3 4 5 5 4 0 3 3 1
1 3 3 3 5 9 0 10 4 4 2 1";
    assert_eq!(solved(&job_shop(ft06)), (Proof::Best, Some(55)));
}

/// The first and the second instance of set j10, as above: 26, and none.
#[test]
fn two_instances_of_ten_activities() {
    assert_eq!(
        solved(&rcpsp_max(include_str!("PSP1.txt"))),
        (Proof::Best, Some(26))
    );
    assert_eq!(
        solved(&rcpsp_max(include_str!("PSP2.txt"))),
        (Proof::Impossible, None)
    );
}

/// Graham, Bounds on multiprocessing timing anomalies, SIAM J. Appl. Math. 17(2), 1969, pages 416-429: nine tasks, of which a
/// list schedule takes 12 with three workers and 15 with four. The optima, 34, 17, 12, 12 for one to four, by an independent
/// computation with a general-purpose constraint solver.
#[test]
fn more_workers_never_take_longer() {
    let graham = |workers: u32| {
        let mut problem = Problem {
            capacity: vec![workers],
            ..Problem::default()
        };
        problem.activities = [3, 2, 2, 2, 4, 4, 4, 4, 9].map(|d| Activity::new(d, [1])).into();
        for (from, to) in [(0, 8), (3, 4), (3, 5), (3, 6), (3, 7)] {
            problem.lags.push(problem.after_end(from, to, 0));
        }
        problem
    };
    let optima = [1, 2, 3, 4].map(|m| solved(&graham(m)));
    assert_eq!(optima, [34, 17, 12, 12].map(|f| (Proof::Best, Some(f))));
    let listed = |m| graham(m).list_schedule().map(|s| graham(m).finish(&s));
    assert_eq!((listed(3), listed(4)), (Some(12), Some(15)));
}

/// Two gel coats A and B of 10 min; a laminate on each 60 to 180 min after its coat's end, 25 min; paste 8 min after both;
/// closing 6 min, begun at most 6 after the paste; closed within `a` of the start of laminate A and `b` of that of B.
fn two_coats(workers: u32, a: i64, b: i64) -> Problem {
    let mut p = Problem {
        capacity: vec![workers],
        ..Problem::default()
    };
    p.activities = [10, 10, 25, 25, 8, 6].map(|d| Activity::new(d, [1])).into();
    for (coat, laminate) in [(0, 2), (1, 3)] {
        p.lags.push(p.after_end(coat, laminate, 60));
        p.windows.push(p.within_end(coat, laminate, 180));
        p.lags.push(p.after_end(laminate, 4, 0));
    }
    p.lags.push(p.after_end(4, 5, 0));
    p.windows.push(p.within_end(4, 5, 6));
    for (laminate, within) in [(2, a), (3, b)] {
        // Its end, so the closing's own time less.
        p.windows.push(gelwright_schedule::Window {
            from: Some(laminate),
            to: 5,
            most: within - 6,
        });
    }
    p
}

/// By an independent computation with a general-purpose constraint solver, in minutes.
#[test]
fn two_gel_coats_and_one_person() {
    assert_eq!(solved(&two_coats(1, 45, 64)), (Proof::Best, Some(134)));
    assert_eq!(solved(&two_coats(1, 45, 63)), (Proof::Impossible, None));
    assert_eq!(solved(&two_coats(1, 45, 45)), (Proof::Impossible, None));
    assert_eq!(solved(&two_coats(2, 45, 45)), (Proof::Best, Some(109)));
    let mut first_a = two_coats(1, 45, 64);
    first_a.lags.push(first_a.after_end(2, 3, 0));
    assert_eq!(
        solved(&first_a).0,
        Proof::Impossible,
        "laminate A first breaks a window"
    );
    let named = two_coats(1, 45, 63).conflict(&mut Budget::nodes(10_000)).unwrap();
    assert_eq!(
        named,
        Conflict::Between(vec![3, 4]),
        "the two windows of closing contradict each other"
    );
    let relaxed = two_coats(1, 45, 63)
        .relax(0, &mut Budget::nodes(10_000))
        .unwrap()
        .unwrap();
    assert_eq!(
        (relaxed.conflicts, relaxed.widened),
        (vec![vec![3, 4]], vec![(4, 1)])
    );
    assert_eq!(relaxed.answer.schedule.map(|s| s.finish), Some(134));
}

/// Analytic, a day with hours: two tasks of 3 in days of 4 hours out of 10, one of 5.
#[test]
fn work_waits_for_the_morning() {
    let mut p = Problem {
        capacity: vec![1],
        hours: Some(gelwright_schedule::Hours { day: 10, open: 4 }),
        ..Problem::default()
    };
    p.activities = [3, 3]
        .map(|d| Activity {
            in_hours: true,
            ..Activity::new(d, [1])
        })
        .into();
    assert_eq!(solved(&p), (Proof::Best, Some(13)));
    p.windows.push(p.within_end(0, 1, 2));
    p.lags.push(p.after_end(0, 1, 0));
    assert_eq!(solved(&p).0, Proof::Impossible, "not both in one day");
}
