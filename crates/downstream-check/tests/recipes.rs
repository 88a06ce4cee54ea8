//! A workshop writes its recipes down once and asks of each: in whatever cup, bench and shop of ours, does it keep
//! the limits? The recipes are invented.
#![allow(clippy::unwrap_used)]

use gelwright::limit::Severity;
use gelwright::material::Catalogue;
use gelwright::mix::{Amount, Batch, Bench, Dose, Recipe};
use gelwright::quantity::ThermodynamicTemperature;
use gelwright::strategies::{amounts, benches, doses, shops};
use proptest::prelude::*;
use proptest::test_runner::{Config, TestError, TestRunner};

fn recipe(resin: &str, parts: &[(&str, &str)]) -> Recipe {
    parts.iter().fold(Recipe::new(resin), |r, (material, dose)| {
        r.with(*material, Dose::parse("dose", dose).unwrap())
    })
}

/// The workshop's recipes.
fn ours() -> Vec<(&'static str, Recipe)> {
    vec![
        ("wall", recipe("ortho_polyester", &[("mekp_9", "1.5 phr")])),
        (
            "seam paste",
            recipe(
                "ortho_polyester",
                &[("fumed_silica", "5 phr"), ("mekp_9", "1.5 phr")],
            ),
        ),
        ("visible coat", recipe("white_gel_coat", &[("mekp_9", "1.8 phr")])),
        (
            "boat repair",
            recipe("laminating_epoxy", &[("epoxy_hardener_slow", "30 phr")]),
        ),
    ]
}

/// What a recipe breaks in a cup, as far as the recipe can help it: not the cold shop, not the coarse scale.
fn broken(recipe: &Recipe, amount: Amount, t: ThermodynamicTemperature, bench: &Bench) -> Vec<String> {
    let of_the_shop = [
        "shop_temperature",
        "resin_temperature",
        "dose_uncertainty",
        "gel_time",
        "batch_mass",
    ];
    recipe
        .mix(amount, bench, t, None, Catalogue::generic())
        .unwrap()
        .findings
        .into_iter()
        .filter(|f| f.severity > Severity::Advice)
        .filter(|f| {
            let quantity = format!("{:?}", f.quantity);
            !of_the_shop.contains(&quantity.as_str())
        })
        .map(|f| format!("{}: {:?} {:?} {:?}", f.limit, f.value, f.bound(), f.slip))
        .collect()
}

/// The law: whatever the cup, the recipe breaks no limit.
fn keeps_the_limits(recipe: &Recipe) -> Result<(), String> {
    let mut runner = TestRunner::new(Config {
        failure_persistence: None,
        ..Config::with_cases(48)
    });
    runner
        .run(&(amounts(), shops()), |(amount, shop)| {
            let found = broken(recipe, amount, shop.resin(), &shop.bench);
            prop_assert!(found.is_empty(), "{}", found.join("; "));
            Ok(())
        })
        .map_err(|e| match e {
            // The counter-example, in the words of the bench: "amount 20 g at 16 °C".
            TestError::Fail(why, (amount, shop)) => {
                format!("{why}; {amount:?} at {}", gelwright::quantity::show(shop.resin()))
            }
            TestError::Abort(why) => panic!("{why}"),
        })
}

#[test]
fn our_recipes_keep_the_limits_in_every_cup() {
    for (name, recipe) in ours() {
        assert_eq!(keeps_the_limits(&recipe), Ok(()), "{name}");
    }
}

/// Planted: 16 drops written against 8 fl oz instead of 0.8, as 0.18 phr.
#[test]
fn a_planted_slip_of_ten_is_caught() {
    let planted = recipe("white_gel_coat", &[("mekp_9", "0.18 phr")]);
    let why = keeps_the_limits(&planted).unwrap_err();
    assert!(why.contains("peroxide_on_gel_coat_outside_all"), "{why}");
    assert!(why.contains("1.8 phr"), "{why}");
    assert!(
        why.contains("mass(") && why.contains(" g)") && why.ends_with("°C"),
        "in words of the bench: {why}"
    );
}

/// Planted: a paste stiffer than anything that wets.
#[test]
fn a_planted_dry_paste_is_caught() {
    let planted = recipe(
        "ortho_polyester",
        &[("fumed_silica", "14 phr"), ("mekp_9", "1.5 phr")],
    );
    let why = keeps_the_limits(&planted).unwrap_err();
    assert!(why.contains("silica_dry"), "{why}");
}

proptest! {
    /// No dose outside 0.5 to 4.2 phr, whatever it is, passes on laminating resin; none inside stops.
    #[test]
    fn a_dose_stops_just_where_no_rule_goes(dose in doses(), amount in amounts(), bench in benches()) {
        let recipe = Recipe::new("ortho_polyester").with("mekp_9", dose);
        let Dose::ByMass(phr) = dose else { unreachable!("doses() are by mass") };
        let mut bench = bench;
        bench.dropper = None;
        let batch = Batch::new(&recipe, amount, Catalogue::generic(), &bench).unwrap();
        prop_assert!((batch.cure_dose.unwrap().by_mass.value.get() / phr.get() - 1.0).abs() < 1e-9);
        let t = gelwright::quantity::temperature::celsius(20.0);
        let cup = recipe.mix(amount, &bench, t, None, Catalogue::generic()).unwrap();
        let stops = cup.findings.iter().any(|f| {
            f.severity == Severity::Stop && f.limit == "peroxide_on_resin_outside_all"
        });
        prop_assert_eq!(stops, !(0.5..=4.2).contains(&phr.get()));
    }
}
