//! Laws of what the eye sees.

use gelwright::ErrorKind;
use gelwright::light::*;
use gelwright::quantity::*;
use proptest::prelude::*;

fn si<Q: Quantity>(x: f64) -> Q {
    Q::from_si(x).unwrap()
}

fn on_card(coat: CoatOptics, thickness: Length, target: f64, white: f64) -> Hiding {
    CoatOnCard {
        coat,
        thickness,
        card: HidingCard { target, white },
    }
    .hiding()
    .unwrap()
}

fn white(content: f64, reflectance: f64) -> CoatOptics {
    CoatOptics::Pigment(PigmentedCoat {
        content: si(content),
        resin_density: si(1200.0),
        reflectance,
        pigment: HidingPigment::rutile(),
    })
}

fn filaments(content: f64) -> Filaments {
    Filaments {
        content: si(content),
        diameter: si(13e-6),
        index: 1.556,
    }
}

proptest! {
    #[test]
    fn thicker_hides_more_and_lets_less_through(
        s in 1e2f64..1e5, k in 0.0f64..1e4, x in 1e-5f64..2e-3, more in 1.01f64..5.0, white in 0.3f64..0.95,
    ) {
        let layer = OpticalLayer { scattering: si(s), absorption: si(k) };
        let here = on_card(CoatOptics::Layer(layer), si(x), 0.98, white).contrast_ratio;
        let there = on_card(CoatOptics::Layer(layer), si(x * more), 0.98, white).contrast_ratio;
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
        let coat = white(content, 0.9);
        let x = on_card(coat, si(1e-3), target, 0.8).hiding_thickness.unwrap();
        let told = on_card(coat, x, target, 0.8);
        prop_assert!((told.contrast_ratio - target).abs() < 1e-9);
    }

    #[test]
    fn more_pigment_hides_thinner_up_to_the_turn(a in 0.005f64..0.5, b in 0.005f64..0.5) {
        let x = |w: f64| on_card(white(w, 0.95), si(1e-3), 0.98, 0.8).hiding_thickness.unwrap().si();
        prop_assert!(x(a.max(b)) <= x(a.min(b)) * (1.0 + 1e-12));
    }

    #[test]
    fn an_edge_makes_no_light_and_dims_with_every_addition(
        x in 1e-4f64..0.02, n in 1.48f64..1.62, glass in 0.0f64..0.3, voids in 0.0f64..0.05, pigment in 0.0f64..0.02,
    ) {
        let tinted = |x: f64, glass: f64, voids: f64, pigment: f64, tint: f64| {
            TranslucentEdge {
                glass: Some(filaments(glass)),
                particles: vec![Particles { content: si(voids), diameter: si(2e-4), index: 1.0 }],
                pigment: Some(white(pigment, 0.95)),
                resin_absorption: si(tint),
                ..TranslucentEdge::clear(si(x), n).unwrap()
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
        let edge = TranslucentEdge {
            glass: Some(filaments(0.1)),
            particles: vec![Particles { content: si(voids), diameter: si(2e-4), index: 1.0 }],
            ..TranslucentEdge::clear(si(2e-3), 1.55).unwrap()
        };
        let x = edge.thickest_lit(least).unwrap().unwrap();
        let told = TranslucentEdge { thickness: x, ..edge }.translucency().unwrap();
        prop_assert!((told.transmittance - least).abs() < 1e-8 || x.si() >= 1.0);
    }

    #[test]
    fn no_size_of_number_is_answered_with_what_is_not_finite(at in 0usize..5, exponent in -320i32..309) {
        let huge = format!("1e{exponent}");
        let mut mm = ["0.4", "10", "0.1", "2", "1.2"].map(str::to_owned);
        mm[at].clone_from(&huge);
        let [coat, s, k, edge, density] = mm;
        let body = serde_json::json!({"layer": {"scattering": format!("{s} 1/mm"), "absorption": format!("{k} 1/mm")}});
        let coat = format!("{coat} mm");
        for (question, request) in [
            ("light.hiding", serde_json::json!({"coat": body, "thickness": coat})),
            ("light.pigment_to_hide", serde_json::json!({"thickness": coat, "resin_density": format!("{density} g/mL")})),
            ("light.translucency", serde_json::json!({"thickness": format!("{edge} mm"), "resin_index": 1.55, "pigment": body,
                "glass": {"content": "10 vol%", "diameter": coat}})),
            ("light.test_piece", serde_json::json!({"thickness": coat, "transmittance": 0.5, "resin_index": 1.55})),
            ("light.body_and_wing", serde_json::json!({"body": body, "body_thickness": coat,
                "wing": {"thickness": format!("{edge} mm"), "resin_index": 1.55}})),
        ] {
            if let Err(e) = gelwright::door::ask(question, &request.to_string()) {
                // not finite may be what was given, in SI, but no answer
                let given = e.kind() == ErrorKind::NotFinite && e.value().is_some_and(|v| v.contains('\''));
                prop_assert!(
                    request.to_string().contains(&huge) && (given || matches!(e.kind(), ErrorKind::OutOfRange | ErrorKind::NoSolution)),
                    "{} {}: {}", question, request, e
                );
            }
        }
    }
}

proptest! {
    /// More white pigment in the gel coat in front never lets more light through, as far as pigment helps at all; nor does more of any
    /// pigment's scattering or absorption in the edge itself.
    #[test]
    fn more_pigment_never_lets_more_light_through(
        content in 0.001f64..0.2, more in 1.01f64..2.0, coat in 1e-4f64..1e-3, thickness in 5e-4f64..1e-2, s in 0.0f64..1e5, k in 0.0f64..1e3,
    ) {
        let through = |content: f64| {
            let mut edge = TranslucentEdge::clear(si(thickness), 1.54).unwrap();
            edge.coats = vec![CoatInFront { thickness: si(coat), optics: white(content, 0.95) }];
            edge.translucency().unwrap().transmittance
        };
        prop_assert!(through(content * more) <= through(content) + 1e-12);
        let tinted = |s: f64, k: f64| {
            let mut edge = TranslucentEdge::clear(si(thickness), 1.54).unwrap();
            edge.pigment = Some(CoatOptics::Layer(OpticalLayer { scattering: si(s), absorption: si(k) }));
            edge.translucency().unwrap().transmittance
        };
        prop_assert!(tinted(s * more, k) <= tinted(s, k) + 1e-9);
        prop_assert!(tinted(s, k * more) <= tinted(s, k) + 1e-9);
    }
}

/// The wavelength stands as a document writes it and as the code compares it: the same to the bit.
#[test]
fn an_edge_in_a_document_is_the_edge_of_the_code() {
    let read: TranslucentEdge = gelwright::document::from_json(
        r#"{"thickness": "2 mm", "resin_index": 1.55}"#,
        gelwright::Cancel::NEVER,
    )
    .unwrap();
    assert_eq!(
        read,
        TranslucentEdge::clear(parse("thickness", "2 mm").unwrap(), 1.55).unwrap()
    );
}
