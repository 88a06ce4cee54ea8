//! Laws of the embedded data: every value has a source, names refer to something, ratios follow from equivalents.

use std::collections::BTreeSet;

use gelwright::limit::{Limits, Severity};
use gelwright::material::{AreaReinforcementForm, Catalogue, Caution, Class, ExposureLimits, Family, Hazard};
use gelwright::quantity::Quantity;
use gelwright::{Property, Standing};

fn value<Q: Quantity>(p: &Option<Property<Q>>) -> f64 {
    p.as_ref().unwrap().value.si()
}

#[test]
fn every_value_has_a_source_and_only_words_have_none() {
    let mut values = 0;
    for m in Catalogue::generic().iter() {
        for f in m.facts() {
            let is_number = f
                .value
                .iter()
                .chain(&f.low)
                .chain(&f.high)
                .any(|t| t.starts_with(|c: char| c.is_ascii_digit() || c == '-'));
            assert_eq!(is_number, f.source.is_some(), "{} {}: {f:?}", m.id, f.field);
            if let Some(s) = f.source {
                values += 1;
                assert!(!s.title.is_empty(), "{} {}", m.id, f.field);
                assert!(
                    !matches!(
                        s.standing,
                        Standing::Invented | Standing::DataSheet | Standing::MeasuredHere
                    ),
                    "{} {}: a generic value is not {}",
                    m.id,
                    f.field,
                    s.standing
                );
            }
        }
        assert!(m.price.is_none() && m.data_sheet.is_none(), "{}: generic", m.id);
    }
    assert!(values > 500, "{values}");
}

#[test]
fn what_goes_into_a_mix_has_a_density() {
    for m in Catalogue::generic().iter() {
        let rho = m.known_density().unwrap().value.si();
        assert!((40.0..=9000.0).contains(&rho), "{}: {rho} kg/m³", m.id);
        let in_bulk = match &m.class {
            Class::Filler(f) => f.bulk_density.as_ref().map(|b| b.value.si()),
            _ => None,
        };
        assert!(
            in_bulk.is_none_or(|b| b < rho),
            "{}: a heap is lighter than its particle",
            m.id
        );
    }
}

#[test]
fn names_refer_to_materials_of_the_right_kind() {
    let c = Catalogue::generic();
    for m in c.iter() {
        match &m.class {
            Class::Resin(r) => {
                if let Some(t) = &r.gel_times {
                    assert!(c.get(&t.initiator).unwrap().initiator().is_ok(), "{}", m.id);
                    assert!(r.family.cures_by_peroxide(), "{}", m.id);
                }
                assert_eq!(
                    r.family.cures_by_peroxide(),
                    !r.dose_window.is_empty(),
                    "{}",
                    m.id
                );
                assert_eq!(
                    r.family.cures_by_peroxide(),
                    m.hazards.contains(&Hazard::StyreneVapour),
                    "{}",
                    m.id
                );
            }
            Class::Hardener(h) => assert!(c.get(&h.resin).unwrap().resin().is_ok(), "{}", m.id),
            Class::Initiator(_) => assert!(m.hazards.contains(&Hazard::OrganicPeroxide), "{}", m.id),
            _ => {}
        }
    }
}

#[test]
fn gel_times_fall_with_temperature_and_with_dose() {
    for m in Catalogue::generic().iter() {
        let Class::Resin(r) = &m.class else { continue };
        let Some(t) = &r.gel_times else { continue };
        assert!(t.rows.len() >= 2, "{}", m.id);
        for a in &t.rows {
            for b in &t.rows {
                let (same_dose, same_temperature) = (
                    (a.dose.get() - b.dose.get()).abs() < 1e-9,
                    (a.temperature.si() - b.temperature.si()).abs() < 0.1,
                );
                if (same_dose && a.temperature.si() > b.temperature.si() + 0.1)
                    || (same_temperature && a.dose.get() > b.dose.get() + 1e-9)
                {
                    assert!(a.time.si() < b.time.si(), "{}: {a:?} against {b:?}", m.id);
                }
                if let (Some(low), Some(high)) = (a.low, a.high) {
                    assert!(low.si() <= a.time.si() && a.time.si() <= high.si());
                }
            }
        }
    }
}

#[test]
fn mix_ratios_follow_from_the_equivalents() {
    let c = Catalogue::generic();
    // phr = 100 AHEW/EEW
    let eew = value(
        &c.get("laminating_epoxy")
            .unwrap()
            .resin()
            .unwrap()
            .epoxide_equivalent,
    );
    for id in ["epoxy_hardener_fast", "epoxy_hardener_slow"] {
        let h = c.get(id).unwrap().hardener().unwrap();
        let phr = 100.0 * value(&h.amine_hydrogen_equivalent) / eew;
        assert!((h.mix_by_mass[0].value.get() - phr).abs() < 0.05, "{id}: {phr}");
        assert!(h.mix_window[0].holds(h.mix_by_mass[0].value), "{id}");
    }
    // 1:1 by volume in mass by the two densities; isocyanate index = (m_iso w_NCO/42.017)/(m_polyol OH/56105)
    let (polyol, iso) = (
        c.get("casting_polyol").unwrap(),
        c.get("casting_isocyanate").unwrap(),
    );
    let h = iso.hardener().unwrap();
    let by_mass = value(&iso.density) / value(&polyol.density);
    assert!((h.mix_by_mass[0].value.get() / 100.0 - by_mass).abs() < 1e-3);
    let nco = by_mass * value(&h.isocyanate_content) / 42.017;
    let oh = value(&polyol.resin().unwrap().hydroxyl_number) / 56_105.0;
    let index = nco / oh;
    assert!((1.0..=1.1).contains(&index), "index {index}");
}

#[test]
fn limits_name_things_that_exist_and_say_what_to_do() {
    let mut known: BTreeSet<String> = Catalogue::generic().ids().map(str::to_owned).collect();
    known.extend(Family::ALL.iter().map(|f| f.name().to_owned()));
    known.extend(AreaReinforcementForm::ALL.iter().map(|f| f.name().to_owned()));
    known.extend(["gel_coat_layer", "laminate", "pour", "insert", "seam"].map(str::to_owned));
    let limits = Limits::generic().unwrap();
    let mut ids = BTreeSet::new();
    for l in limits.iter() {
        assert!(ids.insert(l.id.clone()), "{} twice", l.id);
        for name in &l.applies_to {
            assert!(known.contains(name), "{}: '{name}'", l.id);
        }
        assert!(!l.message.is_empty() && !l.way_out.is_empty(), "{}", l.id);
        l.bounds().unwrap();
    }
    assert!(ids.len() > 50);
    assert!(limits.iter().any(|l| l.severity == Severity::Stop));
}

#[test]
fn cautions_and_exposure_limits_cover_the_hazards_of_the_shelf() {
    for m in Catalogue::generic().iter() {
        assert_eq!(Caution::of_all(&m.hazards).len(), m.hazards.len(), "{}", m.id);
    }
    for hazard in [
        Hazard::StyreneVapour,
        Hazard::OrganicPeroxide,
        Hazard::SolventVapour,
        Hazard::SilicaDust,
        Hazard::FibreDust,
        Hazard::Isocyanate,
    ] {
        assert!(
            !ExposureLimits::generic().of_hazards(&[hazard]).is_empty(),
            "{hazard}"
        );
    }
    for act in [
        "promoter_with_peroxide",
        "acetone_with_peroxide",
        "weighing_peroxide",
        "sanding",
        "leftover_cup",
        "rags",
        "post_cure",
    ] {
        Caution::of_act(act).unwrap();
    }
}
