//! Calibration against published tables and cups.

use gelwright::Cancel;
use gelwright::calibrate::{Calibration, CupTest, Evidence, GelTest};
use gelwright::heat::{Stance, Surroundings};
use gelwright::material::Catalogue;
use gelwright::quantity::spread::{Spread, parse};
use gelwright::quantity::temperature::celsius;
use gelwright::quantity::*;
use gelwright::source::{Source, Standing};

fn q<Q: Quantity>(si: f64) -> Q {
    Q::from_si(si).unwrap()
}

fn found(e: &Evidence) -> Calibration {
    e.calibrate(Catalogue::generic(), Cancel::NEVER).unwrap()
}

/// The catalogue's gel-time table of laminating resin (its source stands there): temperature °C, dose phr, minutes with the
/// printed band.
const LAMINATING: [(f64, f64, f64, f64, f64); 4] = [
    (25.0, 1.25, 22.5, 20.0, 25.0),
    (25.0, 0.6, 45.0, 40.0, 50.0),
    (18.333, 1.25, 40.0, 35.0, 45.0),
    (18.333, 0.6, 60.0, 55.0, 65.0),
];

fn minutes(c: &Calibration, celsius_: f64, dose: f64) -> [f64; 3] {
    let f = c.forecast_gel(q(dose), celsius(celsius_)).unwrap();
    [f.low, f.time, f.high.unwrap()].map(|t| t.si() / 60.0)
}

/// Every row within its printed band; and the law shows the table's own activation energy and order, 47 kJ/mol and 0.75 by
/// least squares (arithmetic from the rows).
#[test]
fn the_laminating_table_row_by_row() {
    for resin in ["ortho_polyester", "iso_polyester"] {
        let c = found(&Evidence::of(resin));
        assert!(c.disagreements.is_empty(), "{:?}", c.disagreements);
        let shown = LAMINATING.map(|(t, d, printed, low, high)| {
            let [_, time, _] = minutes(&c, t, d);
            println!("{resin} {t} {d}: {time:.1} of {printed} ({low} to {high})");
            assert!((low..=high).contains(&time), "{t} {d}: {time}");
            time.ln()
        });
        let order = 0.5 * (shown[1] - shown[0] + shown[3] - shown[2]) / (1.25f64 / 0.6).ln();
        let warmth = (1.0 / 291.483 - 1.0 / 298.15) / 8.314e-3;
        let energy = 0.5 * (shown[2] - shown[0] + shown[3] - shown[1]) / warmth;
        println!("{resin}: order {order}, energy {energy}");
        assert!((order - 0.75).abs() < 0.1, "{order}");
        assert!((energy - 46.8).abs() < 5.0, "{energy}");
    }
}

/// Three rows of the table, each counted as one gel test against the next (10 %), forecast the fourth. For three of the four the
/// printed band and the forecast's meet. The coldest with least catalyst is foretold late, by 2 % of meeting: the printed
/// order in the dose is 0.94 at 25 °C and 0.55 at 18.3 °C (arithmetic from the rows), which no one law has.
#[test]
fn three_rows_forecast_the_fourth() {
    let mut apart = vec![];
    for left_out in 0..4 {
        let rows = LAMINATING
            .iter()
            .enumerate()
            .filter(|(i, _)| *i != left_out)
            .map(|(_, (t, d, m, _, _))| GelTest {
                temperature: celsius(*t),
                dose: q(*d),
                time: Spread::exact(q(m * 60.0)),
            })
            .collect();
        let c = found(&Evidence {
            gel_table: Some(rows),
            ..Evidence::of("ortho_polyester")
        });
        let (t, d, _, low, high) = LAMINATING[left_out];
        let [least, time, most] = minutes(&c, t, d);
        println!("{t} {d}: {least:.1} {time:.1} {most:.1} against {low} to {high}");
        apart.push((least / high).max(low / most));
    }
    let missed = apart.iter().filter(|by| **by > 1.0).count();
    assert!(missed <= 1 && apart.iter().all(|by| *by < 1.05), "{apart:?}");
}

/// The catalogue's gel coat chart mixes end points (its own note says so): as one table 136 kJ/mol and an order of 1.85
/// (least squares over its rows), where redox-initiated polyesters have 40 to 60 kJ/mol (J. Appl. Polym. Sci. 102:1870
/// (2006), abstract). It is named, and the law does not follow it.
#[test]
fn a_chart_of_mixed_end_points_is_not_one_table() {
    for resin in ["white_gel_coat", "clear_gel_coat"] {
        let c = found(&Evidence::of(resin));
        let told = c.disagreements.join("\n");
        assert!(
            told.contains("not believable as one table") && told.contains("136 kJ/mol"),
            "{told}"
        );
        let energy = &c.constants[3];
        assert!(
            energy.constant.contains("decomposition") && energy.value < 75.0,
            "{energy:?}"
        );
        assert!(c.residuals.iter().any(|r| !r.agrees));
    }
}

fn cup(c: f64, mass: f64, gel: &str, to_peak: &str, peak: &str) -> CupTest {
    CupTest {
        gel_to_peak: (!to_peak.is_empty()).then(|| parse("to_peak", to_peak).unwrap()),
        peak_temperature: Some(parse("peak", peak).unwrap()),
        ..CupTest::of(
            q(1.5),
            q(mass),
            celsius(c),
            parse("gel", gel).unwrap(),
            Source::of(Standing::Published, "see the test"),
        )
    }
}

/// Four published cups: Polymers 16(17):2391 (2024), summary (gel 13 min, peak 162 °C 21 min later; gel 60 min, peak 126 °C
/// 10 min later), and two public data sheets of polyesters at 30 °C (gel 4 to 7 min, 9 to 13 min more to 110 to 125 °C; gel 15 to
/// 25 min, 145 to 165 °C). That, and the surroundings of the latter, is all they print. Assumed, since none of them says it: 1.5
/// phr, 25 °C for the paper, one of the cups that the trade tests in (25, 50 or 100 g), as wide as deep and without a vessel's
/// mass, on a bench in still air, read in the middle (common practice, no source).
///
/// Whatever the mass, the heat that they take stays inside the catalogue's from the chemistry, 355 to 423 J/g for an
/// orthophthalic resin (66 to 69 kJ/mol of double bonds, Polymer 34:3216 (1993), abstract), the film inside 4 to 25 W/(m² K) all
/// told (natural convection and radiation, any handbook of heat transfer), and every printed line is shown within two and a
/// half of its standard deviations. Two are then ordinary cups: the specific heat too stays in what the catalogue has. The
/// other two, 10 to 11 min from gel to a peak near 120 °C, are cooler than any such film cools so quick a cup; the answer says
/// so, and does not take it from the heat of reaction.
#[test]
fn published_cups_need_heats_that_resins_have() {
    for (t, gel, to_peak, peak, ordinary) in [
        (25.0, "13 min", "21 min", "162 degC", true),
        (25.0, "60 min", "10 min", "126 degC", false),
        (30.0, "4 to 7 min", "9 to 13 min", "110 to 125 degC", false),
        (30.0, "15 to 25 min", "", "145 to 165 degC", true),
    ] {
        let mut named = 0;
        for mass in [0.025, 0.05, 0.1] {
            let test = cup(t, mass, gel, to_peak, peak);
            let hottest = test.peak_temperature.as_ref().unwrap().value();
            let c = found(&Evidence {
                gel_table: Some(vec![]),
                cup_tests: vec![test],
                ..Evidence::of("ortho_polyester")
            });
            let heat = c.kinetics.heat_of_reaction.si() / 1e3;
            let side = Surroundings {
                film_factor: c.film_factor,
                ..Surroundings::new(
                    Stance::Vertical,
                    q((4.0 * mass / 1100.0 / std::f64::consts::PI).cbrt()),
                    0.9,
                )
            };
            let film = side.coefficient(hottest, celsius(t)).unwrap().coefficient.si();
            let specific_heat = c.specific_heat.si();
            println!(
                "{gel} {to_peak} {peak}, {mass} kg: heat {heat:.0} J/g, film {film:.1} W/(m² K) ({:.2} times), {specific_heat:.0} J/(kg K) {:?}",
                c.film_factor, c.disagreements
            );
            assert!((355.0..=423.0).contains(&heat), "{heat}");
            assert!((4.0..=25.0).contains(&film), "{film}");
            assert!(c.residuals.iter().all(|r| r.agrees));
            let told = c.disagreements.iter().any(|d| d.contains("no film explains it"));
            assert_eq!(
                told,
                specific_heat > 2300.0 * 1.2,
                "{specific_heat} {:?}",
                c.disagreements
            );
            named += usize::from(told);
        }
        assert!(if ordinary { named < 3 } else { named == 3 }, "{gel}: {named}");
    }
}
