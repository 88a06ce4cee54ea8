use super::chemistry::*;
use super::edge::*;
use super::kernel::*;
use super::tableau::*;
use std::time::Instant;

fn chain(sizes: &[f64], harsh: bool, both: bool) -> Chain {
    let (rho, cp, k, hr) = if harsh {
        (1100.0, 1900.0, 0.17, 350e3)
    } else {
        (1700.0, 1300.0, 0.6, 120e3)
    };
    let n = sizes.len();
    let mut g = vec![0.0; n + 1];
    g[0] = 2.0 * k / sizes[0];
    g[n] = 2.0 * k / sizes[n - 1];
    for j in 1..n {
        g[j] = k / (0.5 * (sizes[j - 1] + sizes[j]));
    }
    let r = 8.314462618;
    let term = |k20: f64, e: f64, m: f64| Term {
        k: Constant {
            ln_k: k20.ln() + e / r / 293.15,
            e_over_r: e / r,
        },
        m,
        n: 1.5,
    };
    let film = || EdgeLaw::Linear(10.0, Drive::constant(293.15));
    Chain {
        capacity: sizes.iter().map(|d| d * rho * cp).collect(),
        conductance: g,
        rise: vec![hr / cp; n],
        segments: vec![Segment {
            start: 0,
            end: n,
            law: Law::Power(PowerLaw {
                first: term(4e-6, 70e3, 0.0),
                second: Some(term(1.22e-3, 55e3, 0.85)),
                ceiling: None,
            }),
        }],
        first: Edge::new(if both { film() } else { EdgeLaw::Closed }, 1.0),
        last: Edge::new(film(), 1.0),
        varying: None,
    }
}

fn run<const S: usize>(
    tab: &Tableau<S>,
    w: &mut Workspace,
    c: &mut Chain,
    rtol: f64,
    end: f64,
) -> (f64, f64, Counts) {
    w.fit(c);
    let n = c.capacity.len();
    w.counts = Counts::default();
    w.now.temperature.fill(293.15);
    w.now.cure.fill(0.0);
    w.now.second.fill(0.0);
    let tol = Tolerance {
        temperature: 400.0 * rtol,
        cure: 1.3 * rtol,
    };
    w.begin(c, 0.0, tol);
    let mut best = (0.0, 0.0);
    w.advance(tab, c, 0.0, end, tol, 1_000_000, &mut |s: &Step| {
        let h = s.t1 - s.t0;
        for i in 0..n {
            let (y0, y1, f0, f1) = (
                s.before.temperature[i],
                s.after.temperature[i],
                s.slope_before.temperature[i],
                s.slope_after.temperature[i],
            );
            if f0 > 0.0 && f1 <= 0.0 && y0.max(y1) + 0.3 * h * (f0 - f1) > best.0 {
                let mut k = 0.0;
                while k <= 1.0 {
                    let x: f64 = k;
                    let y = (1.0 + 2.0 * x) * (1.0 - x).powi(2) * y0
                        + x * (1.0 - x).powi(2) * h * f0
                        + x * x * (3.0 - 2.0 * x) * y1
                        + x * x * (x - 1.0) * h * f1;
                    if y > best.0 {
                        best = (y, s.t0 + x * h);
                    }
                    k += 0.02;
                }
            }
        }
        Ok(Next::Go)
    })
    .unwrap();
    (best.0 - 273.15, best.1, w.counts)
}

fn time(mut f: impl FnMut()) -> f64 {
    let mut v: Vec<f64> = (0..15)
        .map(|_| {
            let t = Instant::now();
            f();
            t.elapsed().as_secs_f64() * 1e3
        })
        .collect();
    v.sort_by(f64::total_cmp);
    v[3]
}

fn table<const S: usize>(name: &str, tab: &Tableau<S>, sizes: &[f64], harsh: bool, both: bool) {
    let mut w = Workspace::new();
    for rtol in [1e-2, 3e-3, 1e-3, 3e-4, 1e-4, 1e-5, 1e-6] {
        let mut c = chain(sizes, harsh, both);
        let (p, t, k) = run(tab, &mut w, &mut c, rtol, 10800.0);
        let ms = time(|| {
            run(tab, &mut w, &mut c, rtol, 10800.0);
        });
        println!(
            "{name} n={} rtol {rtol:e}: peak {p:.4} at {t:.2} steps {} rej {}  {ms:.3} ms",
            sizes.len(),
            k.accepted,
            k.rejected
        );
    }
}

#[test]
#[ignore]
fn sixty() {
    let sizes = vec![0.025 / 60.0; 60];
    println!("reference harsh 259.1444 at 1524.63; mild 105.9878 at 2132.64");
    for harsh in [true, false] {
        table("rodas3", &RODAS3, &sizes, harsh, true);
        table("rodas4", &RODAS4, &sizes, harsh, true);
        table("rodas4p", &RODAS4P, &sizes, harsh, true);
        table("rodas4p2", &RODAS4P2, &sizes, harsh, true);
        table("rodas5p", &RODAS5P, &sizes, harsh, true);
    }
}

fn graded(n: usize, len: f64, end_over_start: f64) -> Vec<f64> {
    // sizes shrink geometrically from the first to the last
    let q = end_over_start.powf(1.0 / (n as f64 - 1.0));
    let mut v: Vec<f64> = (0..n).map(|i| q.powi(i as i32)).collect();
    let s: f64 = v.iter().sum();
    v.iter_mut().for_each(|x| *x *= len / s);
    v
}

#[test]
#[ignore]
fn grids() {
    for harsh in [true, false] {
        let mut w = Workspace::new();
        for (n, r) in [(400, 0.1), (400, 0.3), (800, 0.2)] {
            let mut c = chain(&graded(n, 0.0125, r), harsh, false);
            let (p, t, k) = run(&RODAS4, &mut w, &mut c, 1e-6, 10800.0);
            println!("ref n={n} r={r}: {p:.4} at {t:.2} steps {}", k.accepted);
        }
        for n in [8, 12, 16, 20, 24, 32, 48, 64, 96] {
            for r in [1.0, 0.3, 0.1, 0.05, 0.02] {
                let mut c = chain(&graded(n, 0.0125, r), harsh, false);
                let (p, t, _) = run(&RODAS4, &mut w, &mut c, 1e-6, 10800.0);
                let (p2, t2, k) = run(&RODAS4, &mut w, &mut c, 3e-4, 10800.0);
                let ms = time(|| {
                    run(&RODAS4, &mut w, &mut c, 3e-4, 10800.0);
                });
                println!(
                    "n={n} r={r}: peak {p:.4} at {t:.2} | 3e-4: {p2:.4} at {t2:.2} steps {} rej {} {ms:.3} ms",
                    k.accepted, k.rejected
                );
            }
        }
    }
}
#[test]
#[ignore]
fn hot() {
    let mut w = Workspace::new();
    let mut c = chain(&graded(48, 0.0125, 0.1), true, false);
    for _ in 0..4000 {
        run(&RODAS4P2, &mut w, &mut c, 1e-4, 10800.0);
    }
}
