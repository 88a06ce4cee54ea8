//! Proptest strategies (feature `proptest`): doses, recipes, amounts, benches, shops and castings, for property
//! tests of a workshop's own recipes and programs.
//!
//! What they make is *valid*: it can be mixed and planned. A recipe's dose keeps every published window of its
//! resin where they have a part in common (else the stops of the limits), so that a property test that fails
//! speaks of the code or the recipe under test and not of the strategy. A shop may still be too cold or too damp:
//! that is a finding of the plan, never an error.
//!
//! ```
//! use gelwright::material::{Catalogue, Family};
//! use gelwright::mix::{Amount, Batch};
//! use gelwright::strategies::{benches, recipes};
//! use proptest::prelude::*;
//!
//! proptest!(|(recipe in recipes(Family::OrthoPolyester), bench in benches())| {
//!     let amount = Amount::Mass(gelwright::quantity::parse("amount", "250 g").unwrap());
//!     let batch = Batch::new(&recipe, amount, Catalogue::generic(), &bench).unwrap();
//!     let sum: f64 = batch.parts.iter().map(|p| p.mass.value).sum();
//!     prop_assert!((sum - 0.25).abs() < 1e-12);
//! });
//! ```

mod bad_casting;
mod counter_example;
mod table;

pub use bad_casting::{BadCasting, bad_casting, in_steps};
pub use counter_example::{CounterExample, counter_example};
pub use table::{document, noun};

use std::collections::BTreeMap;

use proptest::prelude::*;
use proptest::strategy::Union;

use crate::document;
use crate::limit::{AllowedDose, allowed_doses};
use crate::material::{Catalogue, Family};
use crate::mix::{Amount, Bench, Dose, Dropper, Recipe};
use crate::plan::{
    Casting, CurePlan, GelCoat, Laminate, Mould, Pace, Pour, ReleaseCoats, Seam, Shop, Waste, Zone, ZoneLayer,
};
use crate::quantity::{
    BenchUnits, Mass, PartsByVolume, Phr, Quantity, RelativeHumidity, RelativeSpread, SpecificVolume, known,
    temperature,
};
use crate::source::{Source, Standing};

/// Doses by mass inside a window, written by mass, by volume or by volume per mass: all three bases are made, the
/// two last for a resin and a dosed part of the densities given in kg/m³.
///
/// # Panics
/// If the window is empty or a density is not above zero.
pub fn doses_of(
    low: Phr,
    high: Phr,
    resin_density: f64,
    dose_density: f64,
) -> impl Strategy<Value = Dose> + Clone {
    assert!(low <= high && resin_density > 0.0 && dose_density > 0.0);
    (low.get()..=high.get(), 0..3u8).prop_map(move |(phr, basis)| {
        let ratio = phr / 100.0;
        match basis {
            0 => Dose::ByMass(known(phr)),
            1 => Dose::ByVolume(known::<PartsByVolume>(ratio * resin_density / dose_density)),
            _ => Dose::VolumePerMass(known::<SpecificVolume>(ratio / dose_density)),
        }
    })
}

/// Doses by mass from 0.05 to 15 parts to a hundred: also those that no sheet allows.
pub fn doses() -> impl Strategy<Value = Dose> + Clone {
    (0.05f64..15.0).prop_map(|phr| Dose::ByMass(known(phr)))
}

/// Recipes of the generic catalogue's resins of a family, each with the part that cures it dosed inside its
/// windows; some with fumed silica (up to 6 phr), with talc (up to 30 phr) or with milled fibre (up to 8 phr).
///
/// # Panics
/// For a family of which the catalogue holds no resin that it also holds a cure for.
pub fn recipes(family: Family) -> impl Strategy<Value = Recipe> + Clone {
    let allowed = allowed_doses(family).unwrap_or_default();
    let bases: Vec<_> = allowed.iter().filter_map(base).collect();
    assert!(!bases.is_empty(), "no resin of the family '{family}' with a cure");
    let fillers = prop_oneof![
        4 => Just(None),
        2 => (0.5f64..6.0).prop_map(|p| Some(("fumed_silica", p))),
        1 => (1.0f64..30.0).prop_map(|p| Some(("talc", p))),
        1 => (1.0f64..8.0).prop_map(|p| Some(("milled_glass_fibre", p))),
    ];
    (Union::new(bases), fillers).prop_map(|(recipe, filler)| match filler {
        Some((id, phr)) if Catalogue::generic().get(id).is_ok() => recipe.with(id, Dose::ByMass(known(phr))),
        _ => recipe,
    })
}

fn base(allowed: &AllowedDose) -> Option<BoxedStrategy<Recipe>> {
    let density = |id: &str| {
        let material = Catalogue::generic().get(id).ok()?;
        material.known_density().map(|d| d.value.si()).ok()
    };
    let dose = doses_of(
        allowed.least,
        allowed.most,
        density(&allowed.resin)?,
        density(&allowed.cure)?,
    );
    let (resin, cure) = (allowed.resin.clone(), allowed.cure.clone());
    Some(
        dose.prop_map(move |d| Recipe::new(resin.clone()).with(cure.clone(), d))
            .boxed(),
    )
}

/// Amounts of a mix that a bench mixes in one cup: 20 g to 2 kg, by the mass or the volume of the mix or of its
/// resin.
pub fn amounts() -> impl Strategy<Value = Amount> + Clone {
    (0.02f64..2.0, 0..4u8).prop_map(|(kg, which)| match which {
        0 => Amount::Mass(known(kg)),
        1 => Amount::ResinMass(known(kg)),
        2 => Amount::Volume(known(kg / 1000.0)),
        _ => Amount::ResinVolume(known(kg / 1000.0)),
    })
}

/// Benches: a scale that shows 0.01, 0.1 or 1 g, without a dropper, with one that nobody has calibrated, or with a
/// calibrated one of 0.02 to 0.06 mL a drop.
pub fn benches() -> impl Strategy<Value = Bench> + Clone {
    let dropper = prop_oneof![
        Just(None),
        Just(Some(Dropper::uncalibrated())),
        (0.02e-6f64..0.06e-6).prop_map(|drop| {
            Dropper::new(
                known(drop),
                known::<RelativeSpread>(0.1),
                known::<RelativeSpread>(0.03),
                Source::of(Standing::MeasuredHere, "drops weighed on the scale"),
            )
            .ok()
        }),
    ];
    (prop_oneof![Just(1e-5), Just(1e-4), Just(1e-3)], dropper).prop_map(|(step, dropper)| {
        let mut bench = Bench::with_scale(known::<Mass>(step));
        bench.dropper = dropper;
        bench
    })
}

/// Shops in which people work: 16 to 24 °C, 35 to 70 % of relative humidity, resin and mould within 2 K of the
/// air, work starting between 7 and 11 o'clock.
pub fn shops() -> impl Strategy<Value = Shop> + Clone {
    shops_at(16.0..24.0)
}

/// Shops in winter: as [`shops`], at 6 to 16 °C.
pub fn cold_shops() -> impl Strategy<Value = Shop> + Clone {
    shops_at(6.0..16.0)
}

fn shops_at(celsius: std::ops::Range<f64>) -> impl Strategy<Value = Shop> + Clone {
    let near = || prop::option::of(-2.0f64..2.0);
    (
        celsius,
        near(),
        near(),
        0.35f64..0.70,
        7u8..11,
        0u8..60,
        any::<bool>(),
        benches(),
    )
        .prop_filter_map(
            "a clock",
            |(t, resin, mould, humidity, hour, minute, us, bench)| {
                Some(Shop {
                    day: vec![],
                    room: None,
                    jurisdiction: None,
                    cleaning: None,
                    temperature: temperature::celsius(t),
                    resin_temperature: resin.map(|d| temperature::celsius(t + d)),
                    mould_temperature: mould.map(|d| temperature::celsius(t + d)),
                    humidity: known::<RelativeHumidity>(humidity),
                    start: document::from_json(&format!("\"{hour:02}:{minute:02}\""), crate::Cancel::NEVER)
                        .ok()?,
                    end: None,
                    units: if us { BenchUnits::Us } else { BenchUnits::Metric },
                    workers: 1,
                    bench,
                })
            },
        )
}

/// Castings that can be planned: one to four zones of 50 to 2000 cm², each with one or two gel coats and behind
/// them a laminate of one to three plies of mat, a pour of 1 to 6 mm, or both; sometimes a seam; release wax on
/// the mould. Gel coat, laminating resin and pour are recipes of [`recipes`].
pub fn castings() -> impl Strategy<Value = Casting> + Clone {
    let waste = prop_oneof![Just(Waste::default()), Just(no_waste())];
    let pace = (60.0f64..400.0, 0.5f64..0.8).prop_map(|(mixing, usable)| Pace {
        mixing: known(mixing),
        usable: known(usable),
        ..Pace::default()
    });
    (
        shops(),
        recipes(Family::GelCoat),
        recipes(Family::OrthoPolyester),
        recipes(Family::IsoPolyester),
        prop::collection::vec(zone_layers(), 1..5),
        prop::option::of(0.1f64..1.5),
        0u8..4,
        waste,
        pace,
    )
        .prop_map(
            |(shop, coat, wall, fill, zones, seam, wax, waste, pace)| Casting {
                version: crate::plan::CASTING_VERSION,
                name: "a casting of the strategies".into(),
                cup_tests: BTreeMap::new(),
                film_tests: BTreeMap::new(),
                shop_tests: BTreeMap::new(),
                note: None,
                shop,
                mould: waxed_mould(wax),
                recipes: BTreeMap::from([
                    ("coat".to_owned(), coat),
                    ("wall".to_owned(), wall),
                    ("fill".to_owned(), fill),
                ]),
                zones: zones
                    .into_iter()
                    .enumerate()
                    .map(|(i, (area, layers))| Zone {
                        name: format!("zone {}", i + 1),
                        area: Some(known(area)),
                        measured: None,
                        layers,
                        pulled_edge: None,
                        stance: crate::heat::Stance::Vertical,
                        size: None,
                        strip: None,
                        at: None,
                    })
                    .collect(),
                inserts: vec![],
                seams: seam.map(pasted_seam).into_iter().collect(),
                clamping: None,
                series: None,
                closing: crate::plan::Closing::default(),
                cure: CurePlan::default(),
                waste,
                pace,
                stock: BTreeMap::new(),
                stockroom: None,
                costing: None,
                source: BTreeMap::new(),
                material: BTreeMap::new(),
                limit: vec![],
            },
        )
}

/// Area of a zone in m² with its layers.
fn zone_layers() -> impl Strategy<Value = (f64, Vec<ZoneLayer>)> + Clone {
    let mats = prop_oneof![
        Just("csm_225"),
        Just("csm_300"),
        Just("csm_450"),
        Just("csm_15_oz")
    ];
    let zone = (
        0.005f64..0.2,
        0.3e-3f64..0.6e-3,
        1u8..=2,
        prop::option::of(prop::collection::vec(mats, 1..4)),
        prop::option::of(1e-3f64..6e-3),
    );
    zone.prop_map(|(area, film, coats, plies, depth)| {
        let mut layers = vec![ZoneLayer::GelCoat(GelCoat {
            recipe: "coat".into(),
            wet_thickness: known(film),
            coats,
            applied: crate::plan::Application::Brush,
            optics: None,
        })];
        layers.extend(plies.map(|p| {
            ZoneLayer::Laminate(Laminate {
                recipe: "wall".into(),
                plies: p.into_iter().map(str::to_owned).collect(),
                glass_content: None,
            })
        }));
        layers.extend(depth.map(|t| {
            ZoneLayer::Pour(Pour {
                recipe: "fill".into(),
                volume: None,
                measured: None,
                thickness: Some(known(t)),
                closed: false,
            })
        }));
        (area, layers)
    })
}

/// A glass-fibre mould under so many coats of wax.
fn waxed_mould(coats: u8) -> Mould {
    Mould {
        wall: "grp_mould".into(),
        thickness: None,
        sealed: false,
        release_test: None,
        release: (coats > 0)
            .then(|| ReleaseCoats {
                material: "release_wax".into(),
                coats,
                wait: None,
            })
            .into_iter()
            .collect(),
    }
}

/// A seam so many metres long.
fn pasted_seam(length: f64) -> Seam {
    Seam {
        name: "seam".into(),
        recipe: "wall".into(),
        length: known(length),
        width: known(8e-3),
        height: known(3e-3),
        flange: None,
        yield_law: None,
        at: None,
    }
}

fn no_waste() -> Waste {
    Waste {
        gel_coat: known(0.0),
        laminate: known(0.0),
        reinforcement: known(0.0),
        pour: known(0.0),
        paste: known(0.0),
    }
}
