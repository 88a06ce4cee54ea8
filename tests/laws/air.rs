//! Laws of the air in a room.

use gelwright::air::{Emission, Extraction, NearField, Room, VapourInRoom};
use gelwright::material::Jurisdiction;
use gelwright::quantity::*;
use proptest::prelude::*;

fn rooms() -> impl Strategy<Value = Room> {
    let near = proptest::option::of((0.2f64..5.0, 10.0f64..2000.0));
    let hood = proptest::option::of((0.0f64..2000.0, 0.0f64..=1.0, any::<bool>()));
    (
        10.0f64..500.0,
        prop_oneof![Just(0.0), 0.01f64..30.0],
        1.0f64..10.0,
        near,
        hood,
    )
        .prop_map(|(v, n, k, near, hood)| Room {
            volume: Volume::from_si(v).unwrap(),
            air_changes: Frequency::from_si(n / 3600.0).unwrap(),
            mixing_factor: k,
            near_field: near.map(|(v, b)| NearField {
                volume: Volume::from_si(v).unwrap(),
                exchange: VolumeRate::from_si(b / 3600.0).unwrap(),
            }),
            extraction: hood.map(|(f, c, on)| Extraction {
                flow: VolumeRate::from_si(f / 3600.0).unwrap(),
                captures: RelativeAmount::new(c).unwrap(),
                on,
            }),
        })
}

fn emissions() -> impl Strategy<Value = Vec<Emission>> {
    let one = (0.0f64..30_000.0, 60.0f64..7200.0, 0.0f64..50.0).prop_map(|(a, t, g)| Emission {
        from: Time::from_si(a).unwrap(),
        until: Time::from_si(a + t).unwrap(),
        mass: Mass::from_si(1e-3 * g).unwrap(),
    });
    proptest::collection::vec(one, 1..8)
}

fn of(room: Room, emissions: &[Emission]) -> VapourInRoom {
    VapourInRoom {
        agent: "styrene".into(),
        room,
        temperature: temperature::celsius(20.0),
        emissions: emissions.to_vec(),
        jurisdiction: Jurisdiction::France,
        followed: None,
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// What is set free is what has gone and what is still there; a shorter window's highest mean is no lower, and the peak is
    /// above all means.
    #[test]
    fn what_is_set_free_is_removed_or_still_there(room in rooms(), e in emissions()) {
        let x = of(room, &e).exposure().unwrap();
        let all = x.emitted.si();
        prop_assert!((x.removed.si() + x.left.si() - all).abs() <= 1e-9 * all.max(1e-9), "{} {} {}", all, x.removed.si(), x.left.si());
        prop_assert!(x.highest_8_h.get() <= x.highest_15_min.get() * (1.0 + 1e-9));
        prop_assert!(x.highest_15_min.get() <= x.peak.get() * (1.0 + 1e-9));
    }

    /// More air never raises a mean, nor a peak; more vapour never lowers one.
    #[test]
    fn more_air_never_raises_a_mean(room in rooms(), e in emissions(), more in 1.01f64..5.0) {
        let before = of(room, &e).exposure().unwrap();
        let mut aired = room;
        aired.air_changes = Frequency::from_si(room.air_changes.si() * more + 1e-5).unwrap();
        let after = of(aired, &e).exposure().unwrap();
        let less = |a: VolumeFraction, b: VolumeFraction| a.get() <= b.get() * (1.0 + 1e-9);
        prop_assert!(less(after.highest_15_min, before.highest_15_min) && less(after.highest_8_h, before.highest_8_h));
        prop_assert!(less(after.peak, before.peak));
        let twice: Vec<Emission> = e.iter().map(|e| Emission { mass: e.mass * 2.0, ..*e }).collect();
        let doubled = of(room, &twice).exposure().unwrap();
        let ratio = doubled.highest_15_min.get() / before.highest_15_min.get().max(1e-30);
        prop_assert!((ratio - 2.0).abs() < 1e-6 || before.highest_15_min.get() < 1e-15 || doubled.peak.get() >= 1.0);
    }
}
