//! Sentences of a plan's numbers that stand behind the card, for text and page.

use super::cause::Grouped;
use super::figure::{Reader, in_air, money};
use super::made::{ClockLine, clock};
use super::message::{self, Language, Say};
use crate::cure::{CureState, StaysStiff};
use crate::laminate::WeakestPart;
use crate::limit::{Finding, QuantityText, SmallestCure};
use crate::plan::{
    AirOfDay, Clock, ConflictingRules, Consumable, CureLaw, DustLimit, DustOfDay, FilledPour, Hang,
    MountSummary, OrderProof, Plan, PlannedBatch, PulledEdge, Rule, SeriesOfWork, Vapour, Warp, WetFlange,
    WithoutEffect, WorkStep, ZoneCure, ZoneSize, sentence, words,
};
use crate::quantity::{self, Length, MassFraction, Quantity, VolumeFraction};

/// What is given and changes nothing.
pub(super) fn without_effect(w: &WithoutEffect) -> String {
    format!("'{}' is given and changes nothing: {}", w.field, w.reason)
}

/// By when a step is to be begun, where that is near, and what it is then too late for.
pub(super) fn start_by(s: &WorkStep) -> Option<String> {
    const NEAR: f64 = 3600.0;
    let latest = s.latest.filter(|t| t.since(s.start).si() <= NEAR)?;
    match s.breaks.first() {
        Some(window) => Some(format!("Begin by {latest}: {window}")),
        None => Some(format!("Begin by {latest}")),
    }
}

/// What a rule says.
pub(super) fn rule(reader: Reader, r: &Rule) -> String {
    let text = |t: &QuantityText| {
        let of_glass = t
            .read::<MassFraction>("")
            .map(|share| quantity::show(share).to_string());
        match r.quantity {
            Some(q) => reader.of_text(t, q.measure()),
            None => of_glass.unwrap_or_else(|_| reader.of_text(t, quantity::Phr::MEASURE)),
        }
    };
    if let (Some(_), Some(Ok(w))) = (r.resin, r.low.as_ref().map(|t| t.read::<MassFraction>(""))) {
        return format!(
            "{} of glass, resin to mat {:.2} : 1 by mass",
            quantity::show(w),
            (1.0 - w.get()) / w.get()
        );
    }
    let range = match (&r.low, &r.high) {
        (Some(l), Some(h)) => format!("{} to {}", text(l), text(h)),
        (Some(l), None) => format!("at least {}", text(l)),
        (None, Some(h)) => format!("at most {}", text(h)),
        (None, None) => "no bound".to_owned(),
    };
    match (&r.about, &r.printed) {
        (Some(a), _) => format!("{a}: {range}"),
        (None, Some(p)) => format!("{range} (printed: {p})"),
        (None, None) => range,
    }
}

/// What follows from a rule for this plan.
pub(super) fn gives(reader: Reader, c: &ConflictingRules, r: &Rule) -> Option<String> {
    let resin = reader.brief(r.resin?);
    Some(match &c.zone {
        Some(zone) => format!("{resin} of resin for this ply on {zone}"),
        None => format!("{resin} of resin for this ply"),
    })
}

/// What of the evidence on the resins' cure disagrees.
pub(super) fn disagreements(laws: &[CureLaw]) -> Vec<String> {
    let told = |l: &CureLaw| -> Vec<String> {
        let of = |d: &String| format!("{}: {d}", words(&l.resin));
        l.disagreements.iter().map(of).collect()
    };
    laws.iter().flat_map(told).collect()
}

/// What a full cup does if it is left standing. Its gel time is told once, with the cup.
pub(super) fn left_standing(reader: Reader, b: &PlannedBatch) -> Option<String> {
    let e = b.left_standing.as_ref()?;
    let decides = e.decides.as_ref().map_or_else(String::new, |d| format!("; {d}"));
    if e.gel.is_none() {
        return Some(format!(
            "left standing full it does not gel, by {}{decides}",
            e.basis
        ));
    }
    Some(format!(
        "left standing full it reaches {} ({} to {}) after {}, by {}{decides}",
        reader.figures(e.peak, 3),
        reader.figures(e.band.peak_low, 3),
        reader.figures(e.band.peak_high, 3),
        reader.figures(e.peak_at, 2),
        e.basis
    ))
}

/// When a zone may leave the mould, what the oven does, what it bears.
fn cure_of_zone(reader: Reader, c: &ZoneCure) -> Vec<String> {
    let glass = |s: &CureState| {
        s.glass_transition.map_or_else(String::new, |g| {
            format!(
                ", glass transition {} ({} to {})",
                reader.figures(g.value, 2),
                reader.figures(g.low, 2),
                reader.figures(g.high, 2)
            )
        })
    };
    let cured = |s: &CureState| match s.vitrified {
        Some(v) => format!(
            "{} ({} to {}) cured",
            reader.figures(s.conversion, 2),
            reader.figures(v.low, 2),
            reader.figures(v.high, 2)
        ),
        None => format!("{} cured", reader.figures(s.conversion, 2)),
    };
    let mut said = Vec::new();
    let [ready, sure] = [c.ready, c.sure].map(|t| t.map(Clock::foreseen));
    said.push(match (ready, sure, &c.stops_at) {
        (Some(t), Some(sure), _) if sure == t => format!("may leave the mould from {t}"),
        (Some(t), Some(sure), _) => format!("may leave the mould from {t}, surely from {sure}"),
        (Some(t), None, _) => format!("may leave the mould from {t}; by itself it is never sure"),
        (None, _, Some(s)) => format!(
            "by itself it stops at {} and never meets what demoulding asks for: warm it to {} for {}",
            reader.figures(s.conversion, 2),
            reader.figures(s.warm_to, 2),
            reader.figures(s.warm_for, 2)
        ),
        (None, _, None) => "never meets what demoulding asks for".to_owned(),
    });
    if let Some(t) = c.needed {
        said.push(format!(
            "for the deadline mould and air are kept at {} or warmer",
            reader.figures(t, 2)
        ));
    }
    said.push(format!(
        "at demoulding {}{}",
        cured(&c.at_demould),
        glass(&c.at_demould)
    ));
    for (i, s) in c.after_holds.iter().enumerate() {
        said.push(format!("after post-cure {} {}{}", i + 1, cured(s), glass(s)));
    }
    if !c.after_holds.is_empty() {
        let k = c.softest.si();
        said.push(if k > 0.0 {
            format!(
                "at {} it is {k:.0} K above its glass transition: soft, support it",
                c.softest_at
            )
        } else {
            format!("never nearer than {:.0} K to its glass transition", -k)
        });
    }
    if let Some(u) = &c.in_use {
        let (low, high) = (u.margin_low.si(), u.margin_high.si());
        let heat = reader.figures(u.state.temperature, 2);
        said.push(match u.stays {
            StaysStiff::Stiff => {
                format!("stays stiff at {heat} in use, {low:.0} to {high:.0} K below its glass transition")
            }
            StaysStiff::Unsure => format!(
                "may soften at {heat} in use: its glass transition lies {low:.0} to {high:.0} K above"
            ),
            StaysStiff::Softens => format!(
                "softens at {heat} in use, {:.0} to {:.0} K above its glass transition",
                -high, -low
            ),
        });
    }
    said
}

/// How sure the dose of a cup is.
pub(super) fn dose(reader: Reader, b: &PlannedBatch) -> Option<String> {
    let d = b.batch.cure_dose.as_ref()?;
    let by = b.batch.cure_part()?.measured_by;
    let dose = &d.by_mass;
    Some(format!(
        "dose {}; by {by} it comes out between {} and {}",
        reader.figures(dose.value, 2),
        reader.figures(dose.low, 2),
        reader.figures(dose.high, 2)
    ))
}

/// When a cup gels.
pub(super) fn gel_time(reader: Reader, b: &PlannedBatch) -> String {
    b.gel_time.as_ref().map_or_else(
        || "gel time unknown".to_owned(),
        |g| {
            let outside = g
                .extrapolated
                .as_ref()
                .map_or_else(String::new, |e| format!(" ({e})"));
            format!(
                "gels in {} ({} to {}){outside}",
                reader.figures(g.time, 2),
                reader.figures(g.low, 2),
                reader.figures(g.high, 2)
            )
        },
    )
}

/// A limit that is kept: its value and its bound.
pub(super) fn kept(reader: Reader, f: &Finding) -> (String, String) {
    let held = reader.held(f);
    (held.value.unwrap_or_default(), held.bound.unwrap_or_default())
}

/// What shares a key, once for each key, in the order in which the keys come.
fn together<K: PartialEq, V>(all: impl IntoIterator<Item = (K, V)>) -> Vec<(K, Vec<V>)> {
    let mut groups: Vec<(K, Vec<V>)> = Vec::new();
    for (key, value) in all {
        match groups.iter_mut().find(|g| g.0 == key) {
            Some(group) => group.1.push(value),
            None => groups.push((key, vec![value])),
        }
    }
    groups
}

/// What is known of each zone and seam as it comes out.
pub(super) fn lines(reader: Reader, plan: &Plan) -> Vec<String> {
    let (zones, seams) = (&plan.zones, &plan.seams);
    let mut zones_said: Vec<(String, &str)> = Vec::new();
    for z in zones {
        let mut said: Vec<String> = z.sizes.iter().map(|s| measured(reader, s)).collect();
        if let Some(e) = &z.exotherm {
            said.push(format!(
                "peaks at {} in the {} after {}, the mould's face sees {}",
                reader.figures(e.peak, 2),
                e.peak_in,
                reader.figures(e.peak_at, 2),
                reader.figures(e.mould_face, 2)
            ));
            if let Some(b) = &e.boiling {
                said.push(format!(
                    "monomer passes its boiling point in the {} after {} with {} of the mix unreacted",
                    b.place,
                    reader.figures(b.begins, 2),
                    reader.figures(b.monomer, 2)
                ));
            }
            if let Some(t) = e.gelled {
                said.push(format!("all gelled after {}", reader.figures(t, 2)));
            }
            if let (Some(c), None) = (e.cure_at_demould, &z.cure) {
                said.push(match e.vitrified {
                    Some(v) => format!(
                        "{} ({} to {}) cured at demoulding, vitrified: only warmth takes it further",
                        reader.figures(c, 2),
                        reader.figures(v.low, 2),
                        reader.figures(v.high, 2)
                    ),
                    None => format!("{} cured at demoulding", reader.figures(c, 2)),
                });
            }
        }
        said.extend(z.cure.iter().flat_map(|c| cure_of_zone(reader, c)));
        if let Some(s) = &z.shell {
            said.push(format!(
                "laminate {} stiff, cracks first at {}, breaks at {} (to design with: {}{})",
                reader.figures(s.modulus, 2),
                reader.figures(s.first_break, 2),
                reader.figures(s.strength, 2),
                reader.figures(s.design.tension, 2),
                s.strength_low.map_or_else(String::new, |low| format!(
                    "; poorly laid: {}",
                    reader.figures(low, 2)
                ))
            ));
        }
        if let Some(p) = &z.poured {
            said.push(poured(reader, p));
        }
        if let Some(e) = &z.edge {
            said.push(edge(reader, e));
        }
        if let Some(w) = &z.warp {
            said.push(warp(reader, w));
        }
        if let Some(c) = z.contrast_ratio {
            said.push(format!("contrast ratio {}", reader.figures(c, 2)));
        }
        if let Some(l) = &z.light_through {
            said.push(if l.low.get() < l.high.get() {
                format!(
                    "{} to {} of the light comes through, by bubbles and colour",
                    reader.figures(l.low, 2),
                    reader.figures(l.high, 2)
                )
            } else {
                format!("{} of the light comes through", reader.figures(l.through, 2))
            });
        }
        if !said.is_empty() {
            zones_said.push((said.join("; "), &z.zone));
        }
    }
    // Zones that come out alike are told together.
    let mut all: Vec<String> = together(zones_said)
        .into_iter()
        .map(|(said, zones)| format!("{}: {said}", zones.join(", ")))
        .collect();
    for s in seams {
        let mut said = vec![format!(
            "paste like {}, {} times what the bead needs to stay on a vertical face",
            s.consistency,
            quantity::figures((10.0 * s.against_sag.get()).round() / 10.0)
        )];
        if let (Some(t), Some(out), Some(p)) = (s.thickness, s.squeezed_out, s.pressure) {
            let between = match (s.thickness_low, s.thickness_high) {
                (Some(low), Some(high)) => between(reader, low, high),
                _ => String::new(),
            };
            said.push(format!(
                "clamped at {} it gels {} thick{between}, {} squeezed out, which is waste",
                reader.figures(p, 2),
                reader.figures(t, 2),
                reader.figures(out, 2)
            ));
        }
        if let Some(height) = s.height_that_suffices {
            said.push(format!("a bead {} high suffices", reader.figures(height, 2)));
        }
        all.push(format!("{}: {}", s.seam, said.join("; ")));
    }
    all.extend(wet_flanges(reader, &plan.wet_flanges));
    all.extend(hanging(reader, plan));
    all
}

fn poured(reader: Reader, p: &FilledPour) -> String {
    let stiff = format!("pour {} stiff", reader.figures(p.modulus, 2));
    match (p.strength, p.strength_low, p.strength_high) {
        (Some(s), Some(low), Some(high)) => format!(
            "{stiff}, breaks at {} ({} to {})",
            reader.figures(s, 2),
            reader.figures(low, 2),
            reader.figures(high, 2)
        ),
        _ => stiff,
    }
}

fn edge(reader: Reader, e: &PulledEdge) -> String {
    let strain = reader.figures(e.strain, 2);
    if let (Some(bends), Some(breaks)) = (e.deflection, e.breaks_at) {
        return format!(
            "edge bends {} and strains {strain} when pulled, breaks at {}",
            reader.figures(bends, 2),
            reader.figures(breaks, 2)
        );
    }
    let band = match (e.strain_low, e.strain_high) {
        (Some(low), Some(high)) => format!(" ({} to {})", reader.figures(low, 2), reader.figures(high, 2)),
        _ => String::new(),
    };
    let why = if e.assumed.is_some() {
        ", the adhesion assumed: a wedge test on a released patch tells it"
    } else {
        ""
    };
    format!("peeled off the mould its edge strains {strain}{band}{why}")
}

/// What the part hangs by, and how.
fn hanging(reader: Reader, plan: &Plan) -> Vec<String> {
    let mounts = plan.mounts.iter().map(|m| mount(reader, m));
    mounts.chain(plan.hangs.iter().map(|h| hang(reader, h))).collect()
}

fn mount(reader: Reader, m: &MountSummary) -> String {
    let first = match m.weakest {
        WeakestPart::Bond => "its bond lets go",
        WeakestPart::Crushing => "it is crushed",
        WeakestPart::Punching => "it comes through the shell",
        WeakestPart::Bending => "the shell cracks about it",
    };
    format!(
        "{}: {} hang from it, {} with jerks; at {} {first}, {} times that; not counted: {}. Caution: {}",
        m.insert,
        reader.figures(m.mass, 2),
        reader.figures(m.load, 2),
        reader.figures(m.holds, 2),
        quantity::figures(m.factor.round()),
        m.not_counted,
        m.cautions.join("; ")
    )
}

fn hang(reader: Reader, h: &Hang) -> String {
    // Nobody hangs a part truer than a tenth of a millimetre.
    let place = |c: Length| {
        if c.si().abs() < 1e-4 {
            "0".to_owned()
        } else {
            reader.figures(c, 2)
        }
    };
    let [x, y, z] = h.centre_of_mass.map(place);
    let left_out = if h.left_out.is_empty() {
        String::new()
    } else {
        format!("; without {}", h.left_out.join(", "))
    };
    format!(
        "hung by {} its centre of mass lies at {x}, {y}, {z}, and it tilts by {}{left_out}",
        h.by,
        reader.figures(h.tilt, 2)
    )
}

fn warp(reader: Reader, w: &Warp) -> String {
    let side = if w.bow.si() < 0.0 {
        "the back"
    } else {
        "the gel coat's side"
    };
    let size = |bow: Length| reader.figures(if bow.si() < 0.0 { -bow } else { bow }, 2);
    format!(
        "a flat strip of {} bows {} hollow on {side} ({} to {})",
        reader.figures(w.length, 2),
        size(w.bow),
        size(w.bow_low),
        size(w.bow_high)
    )
}

/// What is breathed over the day.
pub(super) fn air(reader: Reader, a: &AirOfDay) -> Vec<String> {
    let mut all = Vec::new();
    let computed = |x: VolumeFraction| in_air(x.get(), 2);
    for e in &a.exposures {
        let x = &e.exposure;
        let never = x.limits.iter().all(|l| x.peak <= l.most);
        let clear = e.clear_from.filter(|_| !never).map_or_else(
            || {
                if never {
                    "never above a limit"
                } else {
                    "not clear within the day"
                }
                .to_owned()
            },
            |c| format!("below every limit again from {c}"),
        );
        all.push(format!(
            "{}: worst 15 min {} (from {}; {} with the high end of the vapour), highest {} at {}, 8 h mean {}; {clear}",
            x.name,
            computed(x.highest_15_min),
            e.highest_15_min_from,
            computed(e.highest_15_min_high),
            computed(x.peak),
            e.peak_at,
            computed(x.highest_8_h),
        ));
        for l in &x.limits {
            // Two figures may be off by a twentieth: nearer to the limit more of them tell on which side it lies.
            let here = if (l.times.get() - 1.0).abs() < 0.05 {
                crate::air::ppm(l.found)
            } else {
                computed(l.found)
            };
            all.push(format!(
                "{}: {} {} {} ({}, {}), here {here}",
                if l.broken { "broken" } else { "kept" },
                words(l.form.name()),
                crate::air::ppm(l.most),
                x.name,
                l.body,
                l.year
            ));
        }
    }
    let part = |what: &str, x: f64| {
        format!(
            "all vapours together, {what}: {:.2} of what their limits allow",
            x
        )
    };
    if a.exposures.len() > 1 {
        all.extend(a.additive_8_h.map(|x| part("8 h", x)));
        all.extend(a.additive_15_min.map(|x| part("15 min", x)));
    }
    all.extend(a.dust.iter().map(|d| dust(reader, d)));
    if !a.dust.is_empty() {
        all.push(
            "how much dust sanding and stirring set free nobody has published: only measuring tells"
                .to_owned(),
        );
    }
    all.extend(a.storage.iter().map(|s| {
        format!(
            "{}: keep it below {}; at {} get out and call the fire service",
            words(&s.material),
            reader.brief(s.temperatures.keep_below),
            reader.brief(s.temperatures.emergency)
        )
    }));
    // A reason once, with all that is kept from the one material for it.
    let pairs = a.incompatible.iter();
    let apart = together(pairs.map(|p| ((&p.one, &p.because), words(&p.other))));
    all.extend(apart.iter().map(|((one, because), others)| {
        format!("keep {} apart from {}: {because}", words(one), others.join(", "))
    }));
    all.push(format!(
        "computed, not measured. {}",
        a.defers.trim_end_matches('.')
    ));
    all
}

/// What can be said of a dust without a measurement: its limits, and how little of it fills the room to them.
fn dust(reader: Reader, d: &DustOfDay) -> String {
    let limit = |l: &DustLimit| {
        let value = match (l.mass, l.fibres_per_cubic_centimetre) {
            (Some(m), _) => format!("{} mg/m³", quantity::figures(1e6 * m.si())),
            (None, Some(f)) => format!("{f} fibres/cm³"),
            (None, None) => String::new(),
        };
        let fraction = l.fraction.as_ref().map_or_else(String::new, |f| format!(" {f}"));
        let fills = match (l.in_room, l.an_hour) {
            (Some(once), Some(hour)) => format!(
                ": {} afloat at once fills this room to it, {} an hour keep it so",
                reader.figures(once, 2),
                reader.figures(hour, 2)
            ),
            _ => String::new(),
        };
        format!("{value}{fraction} ({}, {}){fills}", l.body, l.year)
    };
    let limits: Vec<String> = d.limits.iter().map(limit).collect();
    let limits = if limits.is_empty() {
        "no limit of it is known here".to_owned()
    } else {
        format!("at most {}", limits.join("; "))
    };
    format!("{}: {limits}", d.name)
}

/// " (0.8 mm to 1 mm)"; nothing where the digits that are told do not tell the ends apart.
fn between<Q: Quantity>(reader: Reader, low: Q, high: Q) -> String {
    let [low, high] = [low, high].map(|x| reader.figures(x, 2));
    if low == high {
        String::new()
    } else {
        format!(" ({low} to {high})")
    }
}

/// What the clamps do to the edges of laminates that lie wet on a flange; those that come out alike are told together.
fn wet_flanges(reader: Reader, all: &[WetFlange]) -> Vec<String> {
    together(
        all.iter()
            .map(|f| ((&f.seam, wet_flange(reader, f)), f.zone.as_str())),
    )
    .into_iter()
    .map(|((seam, told), zones)| format!("edge of the laminate of {} on {seam}: {told}", zones.join(", ")))
    .collect()
}

fn wet_flange(reader: Reader, f: &WetFlange) -> String {
    let age = reader.figures(f.age, 2);
    if f.gelled {
        return format!(
            "gelled when the clamps bite, {age} after its catalyst went in: nothing moves any more"
        );
    }
    let outside = f
        .extrapolated
        .as_ref()
        .map_or_else(String::new, |e| format!(" ({e})"));
    format!(
        "{} as laid, clamped wet {age} after its catalyst went in it gels {} thick{} with {} of glass; {} of resin leave it{}, {} \
         times the paste of the bead: half of that runs into the part{outside}",
        reader.figures(f.laid, 2),
        reader.figures(f.thickness, 2),
        between(reader, f.thickness_low, f.thickness_high),
        reader.figures(f.glass_content, 2),
        reader.figures(f.resin_out, 2),
        between(reader, f.resin_out_low, f.resin_out_high),
        quantity::figures((100.0 * f.over_bead.get()).round() / 100.0)
    )
}

/// Of a series, when each casting has the mould, and how many are out in time; then the clock of each further one.
pub(super) fn series(reader: Reader, plan: &Plan, s: &SeriesOfWork) -> Vec<(String, Vec<ClockLine>)> {
    let above =
        "all above is of one casting: materials, cost and what is drawn from the shelf are needed for each"
            .to_owned();
    let mut all = vec![(above, vec![])];
    let castings = s.castings.iter().map(|c| {
        let closed = c.closed.map_or_else(String::new, |t| format!(", closed at {t}"));
        let told = format!(
            "casting {}: begins at {}{closed}, out of the mould at {}, done at {}",
            c.number, c.begins, c.demoulded, c.done
        );
        // The first is the plan itself.
        let clock = if c.number == 1 {
            vec![]
        } else {
            clock(reader, plan, &c.steps)
        };
        (told, clock)
    });
    all.extend(castings);
    if let Some(n) = s.out_in_time {
        all.push((
            format!("{n} of {} are out of the mould in time", s.castings.len()),
            vec![],
        ));
    }
    if s.order.proof == OrderProof::WindowsBroken {
        all.push(("no order keeps every window of the series".to_owned(), vec![]));
    }
    all
}

/// How the sizes of a zone were measured, and how sure they are.
fn measured(reader: Reader, s: &ZoneSize) -> String {
    let told = |value: String, relative: f64| {
        format!(
            "{} {value} ± {} % (95 %), measured {}",
            s.of,
            quantity::figures((2000.0 * relative).round() / 10.0),
            s.how
        )
    };
    match (&s.area, &s.volume) {
        (Some(a), _) => told(reader.figures(a.value(), 3), a.relative()),
        (None, Some(v)) => told(reader.figures(v.value(), 3), v.relative()),
        (None, None) => format!("{} measured {}", s.of, s.how),
    }
}

/// What leaves the films before they cure.
pub(super) fn vapour(reader: Reader, v: &Vapour) -> String {
    format!(
        "{} of monomer and solvent leave the open films before they cure ({} to {}), of {} that there is; the mass above is \
         without them",
        reader.figures(v.lost, 2),
        reader.figures(v.low, 2),
        reader.figures(v.high, 2),
        reader.figures(v.there_was, 2)
    )
}

/// What was found, and what happens then, each message once.
pub(super) fn told(reader: Reader, g: &Grouped) -> Vec<(Vec<String>, String)> {
    let by_message = together(g.values.iter().map(|v| (v.findings[0].message.as_str(), v)));
    by_message
        .into_iter()
        .map(|(message, values)| (reader.found(&values), sentence(&reader.told(message))))
        .collect()
}

/// What to do instead, each way once, those of the worst findings first.
pub(super) fn ways_out(reader: Reader, g: &Grouped) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for v in &g.values {
        let worst = v.findings[0];
        let cured = worst.smallest_cure.as_ref().map(|c| sentence(&proved(reader, c)));
        let general = way_out(reader, worst, || "");
        for said in cured.into_iter().chain([general]) {
            if !all.contains(&said) {
                all.push(said);
            }
        }
    }
    all
}

/// A finding's way out in general words, told so where no one change cures it; `german` are the cause's.
pub(super) fn way_out(reader: Reader, f: &Finding, german: impl Fn() -> &'static str) -> String {
    let general = match (reader.language, german()) {
        (Language::German, words) if !words.is_empty() => words.to_owned(),
        _ => reader.told(&f.way_out),
    };
    if f.no_cure {
        sentence(&format!("{}: {general}", reader.say(Say::NoCure)))
    } else {
        sentence(&general)
    }
}

/// What a smallest cure sets.
pub(super) fn cure(reader: Reader, c: &SmallestCure) -> String {
    let to =
        c.to.as_ref()
            .map_or_else(String::new, |t| reader.of_text(t, c.lever.measure()));
    message::lever(c.lever, reader.language)
        .replace("{to}", &to)
        .replace(
            "{of}",
            &c.of.iter().map(|n| words(n)).collect::<Vec<_>>().join(", "),
        )
}

/// The same with what it was, what it brings and what else it cures.
fn proved(reader: Reader, c: &SmallestCure) -> String {
    let mut said = vec![reader.say(Say::Proved).to_owned()];
    if let Some(from) = &c.from {
        said.push(format!("now {}", reader.of_text(from, c.lever.measure())));
    }
    let listed = |what: &str, names: &[String]| {
        let named: Vec<String> = names.iter().map(|n| words(n)).collect();
        (!named.is_empty()).then(|| format!("{what} {}", named.join(", ")))
    };
    said.extend(listed("it brings", &c.brings));
    said.extend(listed("it puts right too", &c.cures_too));
    format!("{} ({})", cure(reader, c), said.join("; "))
}

/// The rules that are broken, each once, with its source: "advice, at least 15 °C".
pub(super) fn rules(reader: Reader, g: &Grouped) -> Vec<(String, String)> {
    let mut all: Vec<(String, String)> = Vec::new();
    for f in g.values.iter().flat_map(|v| &v.findings) {
        let bound = reader
            .held(f)
            .bound
            .map_or_else(String::new, |b| format!(", {b}"));
        let rule = (
            format!("{}{bound}", sentence(&f.severity.to_string())),
            f.source.to_string(),
        );
        if !all.contains(&rule) {
            all.push(rule);
        }
    }
    all
}

/// What all of it costs, and what that leaves out.
pub(super) fn cost(p: &Plan) -> String {
    let Some(c) = &p.cost else {
        return "Cost unknown: no price is entered.".to_owned();
    };
    let rest = if p.without_price.is_empty() {
        String::new()
    } else {
        format!(
            ", without {}, whose price is not entered",
            p.without_price.join(", ")
        )
    };
    format!("Cost, waste included: {}{rest}.", money(*c))
}

/// "3 × brush".
pub(super) fn consumable(c: &Consumable) -> String {
    match c.count {
        Some(n) => format!("{n} × {}", c.name),
        None => c.name.clone(),
    }
}
