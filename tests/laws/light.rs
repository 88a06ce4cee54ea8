//! Laws of what the eye sees.

use gelwright::light::*;
use gelwright::quantity::*;
use proptest::prelude::*;

fn si<Q: Quantity>(x: f64) -> Q {
    Q::from_si(x).unwrap()
}

proptest! {
    #[test]
    fn thicker_hides_more_and_lets_less_through(
        s in 1e2f64..1e5, k in 0.0f64..1e4, x in 1e-5f64..2e-3, more in 1.01f64..5.0, white in 0.3f64..0.95,
    ) {
        let layer = Layer { scattering: si(s), absorption: si(k) };
        let here = contrast_ratio(&layer, si(x), white).unwrap();
        let there = contrast_ratio(&layer, si(x * more), white).unwrap();
        prop_assert!((0.0..=1.0 + 1e-12).contains(&here));
        prop_assert!(there >= here - 1e-12);
        let (r, t) = layer.over_black(si(x)).unwrap();
        let (r2, t2) = layer.over_black(si(x * more)).unwrap();
        prop_assert!(t2 <= t && r2 >= r - 1e-12);
        // energy: what is not reflected or passed is absorbed
        prop_assert!(r + t <= 1.0 + 1e-12 && (k > 0.0 || (r + t - 1.0).abs() < 1e-9));
        // P. Kubelka (1948): T^2 = (a - R0)^2 - b^2
        let a = 1.0 + k / s;
        prop_assert!(((a - r).powi(2) - (a * a - 1.0) - t * t).abs() < 1e-9 * a * a);
        // two halves make the whole
        let (rh, th) = layer.over_black(si(x / 2.0)).unwrap();
        prop_assert!((th * th / (1.0 - rh * rh) - t).abs() < 1e-9);
        prop_assert!((rh + th * th * rh / (1.0 - rh * rh) - r).abs() < 1e-9);
    }

    #[test]
    fn the_hiding_thickness_hides(content in 0.005f64..0.4, target in 0.8f64..0.995) {
        let coat = CoatOptics::Pigment { content: si(content), resin_density: si(1200.0), reflectance: 0.9, pigment: None };
        let x = hiding_coat(&coat, si(1e-3), target, 0.8).unwrap().hiding_thickness.unwrap();
        let told = hiding_coat(&coat, x, target, 0.8).unwrap();
        prop_assert!((told.contrast_ratio - target).abs() < 1e-9);
    }

    #[test]
    fn more_pigment_hides_thinner_up_to_the_turn(a in 0.005f64..0.5, b in 0.005f64..0.5) {
        let x = |w: f64| {
            let coat = CoatOptics::Pigment { content: si(w), resin_density: si(1200.0), reflectance: 0.95, pigment: None };
            hiding_coat(&coat, si(1e-3), 0.98, 0.8).unwrap().hiding_thickness.unwrap().si()
        };
        prop_assert!(x(a.max(b)) <= x(a.min(b)) * (1.0 + 1e-12));
    }

    #[test]
    fn an_edge_makes_no_light_and_dims_with_every_addition(
        x in 1e-4f64..0.02, n in 1.48f64..1.62, glass in 0.0f64..0.3, voids in 0.0f64..0.05, pigment in 0.0f64..0.02,
    ) {
        let tinted = |x: f64, glass: f64, voids: f64, pigment: f64, tint: f64| {
            Edge {
                thickness: si(x), resin_index: n, glass: Some(si(glass)), filament: None, glass_index: 1.556,
                particles: vec![Particles { content: si(voids), diameter: si(2e-4), index: 1.0 }],
                pigment: Some(CoatOptics::Pigment {
                    content: si(pigment), resin_density: si(1200.0), reflectance: 0.95, pigment: None,
                }),
                resin_absorption: Some(si(tint)), wavelength: None,
            }.translucency().unwrap()
        };
        let edge = |x, glass, voids, pigment| tinted(x, glass, voids, pigment, 2.0);
        let here = edge(x, glass, voids, pigment);
        prop_assert!(here.transmittance > 0.0 && here.transmittance <= 2.0 * n / (n * n + 1.0) + 1e-12);
        prop_assert!(here.straight <= here.transmittance + 1e-12 && (0.0..=1.0).contains(&here.haze));
        for other in [
            edge(x * 1.5, glass, voids, pigment),
            edge(x, glass, voids + 0.01, pigment),
            edge(x, glass, voids, pigment + 0.005),
        ] {
            prop_assert!(other.transmittance <= here.transmittance * (1.0 + 1e-9));
            prop_assert!(other.straight <= here.straight * (1.0 + 1e-9) + 1e-12);
        }
        // more glass of another index is milkier; in a tinted resin it may be clearer, for glass has no tint
        let clear = tinted(x, glass, voids, pigment, 0.0).straight;
        prop_assert!(tinted(x, glass + 0.05, voids, pigment, 0.0).straight <= clear * (1.0 + 1e-9) + 1e-12);
    }

    #[test]
    fn the_thickest_lit_edge_is_just_lit(least in 0.1f64..0.85, voids in 0.001f64..0.03) {
        let edge = Edge {
            thickness: si(2e-3), resin_index: 1.55, glass: Some(si(0.1)), filament: None, glass_index: 1.556,
            particles: vec![Particles { content: si(voids), diameter: si(2e-4), index: 1.0 }],
            pigment: None, resin_absorption: None, wavelength: None,
        };
        let x = edge.thickest_lit(least).unwrap().unwrap();
        let told = Edge { thickness: x, ..edge }.translucency().unwrap();
        prop_assert!((told.transmittance - least).abs() < 1e-8 || x.si() >= 1.0);
    }
}
