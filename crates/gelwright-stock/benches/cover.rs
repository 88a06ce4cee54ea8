//! Exact covers a second: `cargo bench -p gelwright-stock`.
#![allow(clippy::unwrap_used)]

use std::hint::black_box;
use std::time::Instant;

use gelwright_base::quantity::Money;
use gelwright_stock::{Held, Package, PriceFrom, Purchase};

fn main() {
    let package = |grams: u32, price: f64, six: Option<f64>| Package {
        name: format!("{grams} g"),
        size: Held::parse("size", &format!("{grams} g")).unwrap(),
        price: Money::parse("price", &format!("{price} EUR")).unwrap(),
        from: six
            .map(|p| PriceFrom {
                packages: 6,
                price: Money::parse("price", &format!("{p} EUR")).unwrap(),
            })
            .into_iter()
            .collect(),
    };
    let packages = vec![
        package(250, 6.5, None),
        package(500, 11.0, None),
        package(1000, 18.0, Some(16.5)),
        package(5000, 70.0, None),
    ];
    let purchases: Vec<Purchase> = (1..=10_000)
        .map(|i| Purchase {
            missing: Held::parse("missing", &format!("{i} g")).unwrap(),
            castings: 1,
            packages: packages.clone(),
        })
        .collect();
    let start = Instant::now();
    for p in &purchases {
        black_box(p.cover().unwrap());
    }
    let s = start.elapsed().as_secs_f64();
    println!(
        "10000 covers of 1 g to 10 kg by four packages: {s:.3} s, {:.0} a second",
        1e4 / s
    );
}
