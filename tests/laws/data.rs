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
    known.extend(
        [
            "gel_coat_layer",
            "laminate",
            "pour",
            "insert",
            "seam",
            "porous_wall",
        ]
        .map(str::to_owned),
    );
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
        "post_cure",
    ] {
        Caution::of_act(act).unwrap();
    }
}

/// What another person finds a source by: a DOI, an address, a volume with its page, a table of a standard.
fn can_be_found(s: &gelwright::Source) -> bool {
    let text = format!("{} {}", s.title, s.locator);
    let address = |w: &str| {
        let w = w.trim_matches(|c: char| !c.is_alphanumeric());
        let host = w.split('/').next().unwrap_or_default();
        host.split('.').count() >= 2
            && host
                .split('.')
                .all(|part| !part.is_empty() && !part.chars().all(|c| c.is_ascii_digit()))
            && host
                .rsplit('.')
                .next()
                .is_some_and(|end| (2..=4).contains(&end.len()))
    };
    let volume = |w: &str| {
        w.split_once(':').is_some_and(|(v, p)| {
            let digits = |x: &str| x.chars().any(|c| c.is_ascii_digit());
            digits(v) && digits(p)
        })
    };
    text.contains("doi ") || text.contains("10.1") || text.split_whitespace().any(|w| address(w) || volume(w))
}

/// Every published source of a material's value says who published it, when (or that it bears no date), and where it stands.
#[test]
fn published_values_can_be_found_by_another_person() {
    let mut lost = BTreeSet::new();
    let mut counts = std::collections::BTreeMap::<String, usize>::new();
    for m in Catalogue::generic().iter() {
        for s in m.facts().into_iter().filter_map(|f| f.source) {
            *counts.entry(s.standing.to_string()).or_default() += 1;
            if !matches!(s.standing, Standing::Published | Standing::MakersSheet) {
                continue;
            }
            let dated = s.year.is_some()
                || s.locator.contains("no date on it")
                || s.locator.contains("edition not told");
            let anonymous = s.author.is_empty() || s.author.starts_with("a ") || s.author.starts_with("an ");
            if anonymous || !dated || !can_be_found(&s) {
                lost.insert(format!("{s}"));
            }
            if s.standing == Standing::MakersSheet {
                assert!(
                    s.title.contains("sheet") || s.title.contains("specification"),
                    "{s}: which kind of sheet?"
                );
            }
        }
    }
    println!("{counts:?}");
    assert!(
        lost.is_empty(),
        "{} sources:\n{}",
        lost.len(),
        lost.into_iter().collect::<Vec<_>>().join("\n")
    );
}

fn ends<Q: Quantity>(p: &Property<Q>) -> (f64, f64) {
    p.range
        .map_or((p.value.si(), p.value.si()), |(a, b)| (a.si(), b.si()))
}

/// Liquid and cured density tell a shrinkage, `1 - rho_l/rho_c` (ISO 3521), which is the stated one: the middles within one volume per
/// cent, the ranges overlap. Of a resin of two parts the liquid is the mix with its hardener. A general-purpose resin's own sheet states 7 to
/// 8 % beside densities of 1.13 and 1.20 that tell 5.8 % (2.5 to 9.0 % with their tolerances): sheets are no closer than that.
#[test]
fn densities_and_shrinkage_agree() {
    let c = Catalogue::generic();
    for m in c.iter() {
        let Class::Resin(r) = &m.class else { continue };
        let (Some(cured), Some(stated)) = (&r.cured_density, &r.shrinkage) else {
            continue;
        };
        let hardener = c.iter().find_map(|h| match &h.class {
            Class::Hardener(x) if x.resin == m.id => Some((h, x.mix_by_mass[0].value.get() / 100.0)),
            _ => None,
        });
        let mix = |resin: f64, of: &dyn Fn(&gelwright::material::Material) -> f64| match hardener {
            Some((h, phr)) => (1.0 + phr) / (1.0 / resin + phr / of(h)),
            None => resin,
        };
        let liquid = m.density.as_ref().unwrap();
        let middle = |h: &gelwright::material::Material| h.density.as_ref().unwrap().value.si();
        let told = 1.0 - mix(liquid.value.si(), &middle) / cured.value.si();
        let (low, high) = ends(stated);
        assert!(
            (told - stated.value.get()).abs() < 0.011,
            "{}: {:.1} vol% by density, stated {:.1}",
            m.id,
            100.0 * told,
            100.0 * stated.value.get()
        );
        let (l, c) = (ends(liquid), ends(cured));
        let least = 1.0 - mix(l.1, &middle) / c.0;
        let most = 1.0 - mix(l.0, &middle) / c.1;
        assert!(
            least <= high + 0.005 && low - 0.005 <= most,
            "{}: {least} to {most}",
            m.id
        );
        // What glass and filler do not share in: a cured resin expands less in volume up to its glass transition than it shrank.
        if let (Some(alpha), Some(tg)) = (&r.thermal_expansion, &r.glass_transition) {
            let expansion = 3.0 * alpha.value.si() * (tg.value.si() - 296.15);
            assert!(expansion < told, "{}: {expansion} against {told}", m.id);
        }
    }
}

/// E-glass is one material, whatever it is sold as, and the code's own is the catalogue's.
#[test]
fn e_glass_is_one_fact() {
    let modulus = gelwright::laminate::wall::e_glass().unwrap().modulus.si();
    for m in Catalogue::generic().iter() {
        let found = match &m.class {
            Class::Filler(f) if f.shape == gelwright::material::ParticleShape::Fibre => f.modulus.as_ref(),
            Class::Reinforcement(r) => r.fibre_modulus.as_ref(),
            _ => continue,
        };
        assert_eq!(found.unwrap().value.si(), modulus, "{}", m.id);
    }
}

/// The peroxide solution's density follows from its composition on the safety sheet (peroxide 34, dimethyl phthalate 43, diisobutyrate
/// 20, hydrogen peroxide 1, butanone 2, water 1), component densities recalled: 1.109 to 1.125 g/mL. 77 mixtures with a phthalate that
/// were measured: ideal volumes are off by 0.9 % rms (public data repository dropfactory_analysis, densities_data.csv).
#[test]
fn the_peroxide_solution_is_as_dense_as_its_parts() {
    let parts = |peroxide: f64| {
        [
            (34.0, peroxide),
            (43.0, 1.19),
            (20.0, 0.945),
            (1.0, 1.45),
            (2.0, 0.805),
            (1.0, 1.0),
        ]
    };
    let density = |p: f64| {
        let all = parts(p);
        all.iter().map(|x| x.0).sum::<f64>() / all.iter().map(|x| x.0 / x.1).sum::<f64>()
    };
    let kept = Catalogue::generic()
        .get("mekp_9")
        .unwrap()
        .known_density()
        .unwrap()
        .value
        .si()
        / 1000.0;
    assert!(
        density(1.15) * 0.991 <= kept && kept <= density(1.20) * 1.009,
        "{kept}"
    );
}

/// A clear casting resin is as stiff as polyesters are: 3.1 to 3.6 GPa, 3.58 the flexural modulus of its own sheet.
#[test]
fn casting_polyester_is_as_stiff_as_polyester() {
    let c = Catalogue::generic();
    let e = c
        .get("casting_polyester")
        .unwrap()
        .resin()
        .unwrap()
        .modulus
        .as_ref()
        .unwrap()
        .value
        .si();
    assert!((3.1e9..=3.6e9).contains(&e));
}
