//! The shelf against computed cases and laws that hold for any shelf.
#![allow(clippy::unwrap_used)]

use gelwright_base::ErrorKind;
use gelwright_base::noun::AsText;
use gelwright_base::quantity::{self, Money, Quantity};
use gelwright_stock::*;
use proptest::prelude::*;

fn q<Q: Quantity>(text: &str) -> Q {
    quantity::parse("x", text).unwrap()
}

fn held(text: &str) -> Held {
    Held::parse("x", text).unwrap()
}

fn grams(h: Held) -> f64 {
    h.as_mass().unwrap().si() * 1e3
}

fn eur(amount: f64) -> Money {
    Money::parse("x", &format!("{amount} EUR")).unwrap()
}

fn package(grams: f64, price: f64) -> Package {
    Package {
        name: format!("{grams} g"),
        size: held(&format!("{grams} g")),
        price: eur(price),
        from: Vec::new(),
    }
}

fn counts(missing: &str, packages: &[Package]) -> (Vec<u32>, f64, f64) {
    let cover = Purchase {
        missing: held(missing),
        castings: 1,
        packages: packages.to_vec(),
    }
    .cover()
    .unwrap();
    let of = |p: &Package| {
        cover
            .bought
            .iter()
            .find(|b| b.package == p.name)
            .map_or(0, |b| b.count)
    };
    (
        packages.iter().map(of).collect(),
        cover.cost.amount,
        grams(cover.left_over),
    )
}

/// Independent computation: every count tried, and an integer-programming library (SciPy 1.17.1, `milp`); the
/// cheapest, then the least left over; the best price by amount first is dearer.
#[test]
fn the_cheapest_packages_are_not_those_of_the_best_price() {
    let tins = [package(500.0, 11.0), package(1000.0, 18.0), package(5000.0, 70.0)];
    let (count, cost, over) = counts("2300 g", &tins);
    assert_eq!((count, cost), (vec![1, 2, 0], 47.0));
    assert!((over - 200.0).abs() < 1e-9);
    assert_eq!(counts("4200 g", &tins).0, [0, 0, 1]);
    let sacks = [package(4.0, 10.0), package(3.0, 7.0)];
    assert_eq!(counts("6 g", &sacks), (vec![0, 2], 14.0, 0.0));
}

#[test]
fn more_than_enough_is_bought_where_more_of_them_cost_less() {
    let mut tin = package(1000.0, 20.0);
    tin.from = vec![PriceFrom {
        packages: 6,
        price: eur(14.0),
    }];
    // Analytic: five at 20 are 100; six at 14 are 84.
    assert_eq!(counts("4.6 kg", &[tin]).0, [6]);
}

proptest! {
    /// Every count tried: independent of the search's bounds.
    #[test]
    fn a_cover_is_the_cheapest_there_is(
        need in 1u32..60,
        kinds in prop::collection::vec((1u32..12, 1u32..30, prop::option::of((2u32..6, 1u32..30))), 1..4),
    ) {
        let packages: Vec<Package> = kinds.iter().enumerate().map(|(i, (size, price, more))| Package {
            name: format!("kind {i}"),
            size: held(&format!("{size} g")),
            price: eur(f64::from(*price)),
            from: more.iter().map(|(n, p)| PriceFrom { packages: *n, price: eur(f64::from(*p)) }).collect(),
        }).collect();
        let cover = Purchase { missing: held(&format!("{need} g")), castings: 1, packages }.cover().unwrap();
        let of = |kind: usize, n: u32| {
            let (size, price, more) = &kinds[kind];
            let each = more.filter(|m| n >= m.0).map_or(*price, |m| m.1);
            (size * n, each * n)
        };
        let mut best = (u32::MAX, u32::MAX);
        let most = |kind: usize| if kind < kinds.len() { need.div_ceil(kinds[kind].0).max(6) } else { 0 };
        for a in 0..=most(0) { for b in 0..=most(1) { for c in 0..=most(2) {
            let mut sum = (0, 0);
            for (kind, n) in [a, b, c].into_iter().enumerate().filter(|(k, _)| *k < kinds.len()) {
                let (size, cost) = of(kind, n);
                sum = (sum.0 + size, sum.1 + cost);
            }
            if sum.0 >= need { best = best.min((sum.1, sum.0 - need)); }
        }}}
        prop_assert_eq!(cover.cost.amount, f64::from(best.0));
        prop_assert!((grams(cover.left_over) - f64::from(best.1)).abs() < 1e-6);
    }

    #[test]
    fn what_is_taken_and_what_is_missing_is_what_was_wanted(
        lots in prop::collection::vec((0u32..500, prop::option::of(0u32..60)), 0..6),
        batches in prop::collection::vec(1u32..300, 1..6),
        one_lot: bool,
        take_expired: bool,
    ) {
        let on = Date::parse("on", "2026-11-29").unwrap();
        let shelf = Shelf {
            on,
            take_expired,
            lots: lots.iter().enumerate().map(|(i, (left, day))| Lot {
                expires: day.map(|d| Date::parse("e", &format!("2026-{:02}-{:02}", 11 + d / 30, 1 + d % 30)).unwrap()),
                ..lot(&format!("lot {i}"), &format!("{left} g"))
            }).collect(),
        };
        let wanted = Wanted {
            material: "resin".into(),
            one_lot,
            batches: batches.iter().enumerate().map(|(i, g)| WantedBatch {
                batch: format!("cup {i}"),
                amount: held(&format!("{g} g")),
            }).collect(),
        };
        let drawn = shelf.draw(vec![wanted]).unwrap();
        let sum = |of: &[Held]| of.iter().map(|h| grams(*h)).sum::<f64>();
        let taken: Vec<Held> = drawn.taken.iter().map(|t| t.amount).collect();
        let missing: Vec<Held> = drawn.missing.iter().map(|t| t.amount).collect();
        let all: u32 = batches.iter().sum();
        prop_assert!((sum(&taken) + sum(&missing) - f64::from(all)).abs() < 1e-6);
        // What is taken is gone from the shelf, and from nowhere else.
        let shelf_sum = |lots: &[Lot]| lots.iter().map(|l| grams(l.left)).sum::<f64>();
        prop_assert!((shelf_sum(&shelf.lots) - shelf_sum(&drawn.left) - sum(&taken)).abs() < 1e-6);
        for t in &drawn.taken {
            let from = shelf.lots.iter().find(|l| l.name == t.lot).unwrap();
            let expired = from.last_day().is_some_and(|d| d < on);
            // An expired lot is never drawn in silence, and never unasked.
            prop_assert!(!expired || take_expired);
            prop_assert!(!expired || drawn.words.iter().any(|w| w.lot == t.lot && w.word == Word::DrawnExpired));
            // First out never leaves an earlier lot behind without a word.
            for earlier in &shelf.lots {
                let sooner = match (earlier.last_day(), from.last_day()) {
                    (Some(a), Some(b)) => a < b,
                    (Some(_), None) => true,
                    _ => false,
                };
                let still = drawn.left.iter().find(|l| l.name == earlier.name).unwrap();
                if sooner && grams(still.left) > 1e-9 {
                    prop_assert!(drawn.words.iter().any(|w| w.lot == earlier.name), "{} before {}", from.name, earlier.name);
                }
            }
        }
        if one_lot {
            for (i, batch) in batches.iter().enumerate() {
                let of: Vec<_> = drawn.taken.iter().filter(|t| t.batch == format!("cup {i}")).collect();
                prop_assert!(of.len() <= 1);
                prop_assert!(of.iter().all(|t| (grams(t.amount) - f64::from(*batch)).abs() < 1e-9));
            }
        }
    }

    #[test]
    fn pieces_are_all_cut_and_none_twice(
        pieces in prop::collection::vec((1u32..90, 1u32..90, 1u32..4, any::<bool>()), 1..6),
    ) {
        let roll = Roll {
            width: q("1 m"),
            length: None,
            pieces: pieces.iter().enumerate().map(|(i, (l, w, n, turns))| Piece {
                name: format!("piece {i}"), length: q(&format!("{l} cm")), width: q(&format!("{w} cm")), count: *n, turns: *turns,
            }).collect(),
        };
        let list = roll.cut().unwrap();
        prop_assert_eq!(list.pieces.len() as u32, pieces.iter().map(|p| p.2).sum::<u32>());
        prop_assert!(list.length.si() >= list.at_least.si() * (1.0 - 1e-9));
        for (i, a) in list.pieces.iter().enumerate() {
            prop_assert!(a.across.si() + a.width.si() <= 1.0 + 1e-6);
            prop_assert!(a.along.si() + a.length.si() <= list.length.si() + 1e-6);
            let piece = roll.pieces.iter().find(|p| p.name == a.name).unwrap();
            let cut = if a.turned { (a.width, a.length) } else { (a.length, a.width) };
            prop_assert_eq!(cut, (piece.length, piece.width));
            prop_assert!(piece.turns || !a.turned);
            for b in &list.pieces[..i] {
                let apart = |x: f64, dx: f64, y: f64, dy: f64| x + dx <= y + 1e-6 || y + dy <= x + 1e-6;
                prop_assert!(apart(a.along.si(), a.length.si(), b.along.si(), b.length.si())
                    || apart(a.across.si(), a.width.si(), b.across.si(), b.width.si()));
            }
        }
    }
}

fn lot(name: &str, left: &str) -> Lot {
    Lot {
        name: name.into(),
        material: "resin".into(),
        left: held(left),
        expires: None,
        opened: None,
        keeps_open: None,
        stored_at: None,
        store_below: None,
    }
}

fn shelf(lots: Vec<Lot>) -> Shelf {
    Shelf {
        on: Date::parse("on", "2026-11-29").unwrap(),
        lots,
        take_expired: false,
    }
}

fn wanted(one_lot: bool, batches: &[&str]) -> Vec<Wanted> {
    let batch = |(i, amount): (usize, &&str)| WantedBatch {
        batch: format!("cup {}", i + 1),
        amount: held(amount),
    };
    vec![Wanted {
        material: "resin".into(),
        one_lot,
        batches: batches.iter().enumerate().map(batch).collect(),
    }]
}

fn day(text: &str) -> Option<Date> {
    Some(Date::parse("day", text).unwrap())
}

#[test]
fn an_open_tin_expires_by_its_opening_and_a_batch_of_one_colour_passes_a_rest_over() {
    let early = Lot {
        expires: day("2027-06-30"),
        opened: day("2026-09-01"),
        keeps_open: Some(q("100 d")),
        ..lot("A", "40 g")
    };
    let late = Lot {
        expires: day("2027-01-31"),
        ..lot("B", "400 g")
    };
    // Opened on 1 September, A keeps until 10 December: before B.
    let both = shelf(vec![late, early]);
    let drawn = both.draw(wanted(false, &["100 g"])).unwrap();
    let from: Vec<_> = drawn
        .taken
        .iter()
        .map(|t| (t.lot.as_str(), grams(t.amount).round()))
        .collect();
    assert_eq!(from, [("A", 40.0), ("B", 60.0)]);
    let whole = both.draw(wanted(true, &["100 g"])).unwrap();
    assert_eq!(whole.taken[0].lot, "B");
    assert_eq!(
        (whole.words[0].lot.as_str(), whole.words[0].word),
        ("A", Word::TooSmall)
    );
}

#[test]
fn a_larger_batch_keeps_the_only_lot_that_holds_it() {
    let early = Lot {
        expires: day("2026-12-31"),
        ..lot("A", "100 g")
    };
    let late = Lot {
        expires: day("2027-12-31"),
        ..lot("B", "60 g")
    };
    let drawn = shelf(vec![early, late])
        .draw(wanted(true, &["60 g", "100 g"]))
        .unwrap();
    assert!(drawn.missing.is_empty());
    assert_eq!(drawn.words[0].word, Word::KeptForALargerBatch);
}

#[test]
fn an_expired_lot_stays_where_it_is_and_a_mistake_says_what_to_write() {
    let old = Lot {
        expires: day("2026-11-28"),
        ..lot("A", "500 g")
    };
    let drawn = shelf(vec![old]).draw(wanted(false, &["100 g"])).unwrap();
    assert_eq!(grams(drawn.missing[0].amount).round(), 100.0);
    assert_eq!(drawn.words[0].word, Word::Expired);

    let twice = shelf(vec![lot("A", "1 g"), lot("A", "2 g")]).draw(wanted(false, &["1 g"]));
    assert_eq!(twice.err().map(|e| e.kind()), Some(ErrorKind::Inconsistent));
    let litres = shelf(vec![lot("A", "1 L")]).draw(wanted(false, &["1 g"]));
    let litres = litres.err().unwrap();
    assert_eq!(litres.kind(), ErrorKind::WrongDimension);
    assert!(litres.to_string().contains("density"), "{litres}");
}

/// Castings for 20 good parts at 10 % spoiled: 22.2 in the mean; 25 in 19 of 20 cases (SciPy 1.17.1,
/// `1 - binom.cdf(19, 24, 0.9)` = 0.9149, `1 - binom.cdf(19, 25, 0.9)` = 0.9666).
#[test]
fn twenty_good_parts_take_more_than_twenty_castings() {
    let costs = PartCosts {
        materials: eur(6.0),
        hands: q("2 h"),
        hour: Some(eur(15.0)),
        spoiled: q("10 %"),
        once: Some(eur(200.0)),
        parts: 20,
    };
    let told = costs.costs().unwrap();
    assert_eq!((told.casting.amount, told.castings_to_be_sure), (36.0, 25));
    assert!((told.castings - 20.0 / 0.9).abs() < 1e-12);
    assert!((told.part.amount - (36.0 * 20.0 / 0.9 + 200.0) / 20.0).abs() < 1e-9);
    let e = PartCosts { hour: None, ..costs }.costs().err().unwrap();
    assert!(e.to_string().contains("18 EUR"), "{e}");
}

/// Analytic: 30 + 4 n <= 9 n from n = 6 on.
#[test]
fn hollow_pays_from_a_number_of_parts_on() {
    let way = |name: &str, once: f64, each: f64| Way {
        name: name.into(),
        once: eur(once),
        each: eur(each),
    };
    let told = BreakEven {
        one: way("solid", 0.0, 9.0),
        other: way("hollow", 30.0, 4.0),
    }
    .break_even()
    .unwrap();
    assert_eq!((told.cheaper.as_str(), told.parts), ("hollow", 6));
    let always = BreakEven {
        one: way("solid", 10.0, 9.0),
        other: way("hollow", 0.0, 4.0),
    }
    .break_even()
    .unwrap();
    assert_eq!((always.cheaper.as_str(), always.parts), ("hollow", 1));
}

/// Analytic: two wings across a roll; they lie side by side, and nothing less would do.
#[test]
fn pieces_lie_side_by_side_where_the_roll_is_wide_enough() {
    let piece = |turns| Piece {
        name: "wing".into(),
        length: q("60 cm"),
        width: q("40 cm"),
        count: 2,
        turns,
    };
    let roll = |turns, length: Option<&str>| Roll {
        width: q("1 m"),
        length: length.map(q),
        pieces: vec![piece(turns)],
    };
    let list = roll(false, None).cut().unwrap();
    assert_eq!((list.length, list.at_least), (q("60 cm"), q("60 cm")));
    let turned = roll(true, None).cut().unwrap();
    assert!(turned.length.si() <= 0.6 + 1e-12 && turned.length.si() >= turned.at_least.si());
    let short = roll(false, Some("50 cm")).cut().err().unwrap();
    assert_eq!(short.kind(), ErrorKind::NoSolution);
}

#[test]
fn a_document_keeps_an_amount_exactly() {
    for text in ["0.1 g", "33.3 mL", "0.7 m^2", "12 m"] {
        let h = held(text);
        assert_eq!(Held::from_text(&h.to_text()).unwrap(), h);
    }
}
