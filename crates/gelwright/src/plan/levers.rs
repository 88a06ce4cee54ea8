//! What of a casting can be changed to cure a finding, by what it measures: each input alone, from what it is now as far as its
//! range goes, the least harmful first ([`Lever`]).

use super::casting::{Casting, GelCoat, Laminate, Pour, ReleaseCoats, Zone, ZoneLayer};
use super::cure_of_finding::ZoneWait;
use super::layout::{self, Mix};
use crate::error::Result;
use crate::limit::{Finding, Lever, LimitQuantity};
use crate::material::{Catalogue, Class, ParticleShape};
use crate::mix::bench::DropperCalibration;
use crate::mix::{Dose, Role, Scale, Syringe};
use crate::quantity::{
    Force, Length, Mass, MassDensity, MassFraction, Measure, Phr, Quantity, RelativeHumidity,
    ThermodynamicTemperature, Time, Volume,
};

type Apply<'a> = Box<dyn Fn(&mut Casting, f64) -> Result<()> + 'a>;

/// One input, and how far it may be changed. All in SI.
pub(super) struct Change<'a> {
    pub(super) lever: Lever,
    pub(super) fields: Vec<String>,
    pub(super) of: Vec<String>,
    pub(super) measure: &'static Measure,
    /// What it is, where it is anything.
    pub(super) from: Option<f64>,
    /// Where the search begins.
    pub(super) now: f64,
    /// Where it ends.
    pub(super) end: f64,
    /// What a hand can set.
    pub(super) step: f64,
    /// Whether it is only set in whole steps.
    whole: bool,
    /// Where the plan itself says what it takes.
    pub(super) guess: Option<f64>,
    /// Whether the value says anything.
    pub(super) to_is_told: bool,
    apply: Apply<'a>,
}

impl Change<'_> {
    /// The casting with it set.
    pub(super) fn applied(&self, casting: &Casting, x: f64) -> Result<Casting> {
        let mut changed = casting.clone();
        let x = if self.whole { self.rounded(x) } else { x };
        (self.apply)(&mut changed, x)?;
        Ok(changed)
    }

    /// The next value that a hand can set, away from what it is now.
    pub(super) fn rounded(&self, x: f64) -> f64 {
        let offset = self.round_from();
        let steps = (x - offset) / self.step;
        let n = if self.end > self.now {
            (steps - 1e-6).ceil()
        } else {
            (steps + 1e-6).floor()
        };
        // To a figure that shows as it is set: 21.5, not 21.499999.
        offset + n * self.step
    }

    /// Where its round figures begin: temperatures are set in whole or half degrees Celsius.
    fn round_from(&self) -> f64 {
        match self.lever {
            Lever::MouldTemperature | Lever::ResinTemperature | Lever::ShopTemperature => 273.15,
            Lever::OvenTemperature | Lever::HeatInUse => 273.15,
            _ => 0.0,
        }
    }

    /// So many steps further.
    pub(super) fn further(&self, x: f64, steps: u8) -> f64 {
        let towards = (self.end - self.now).signum();
        x + f64::from(steps) * towards * self.step
    }

    /// Whether the heat of the cure may change with it.
    pub(super) fn lever_warms(&self) -> bool {
        !matches!(
            self.lever,
            Lever::CountedDrops
                | Lever::Syringe
                | Lever::Scale
                | Lever::Clamps
                | Lever::ClampForce
                | Lever::HeatInUse
        )
    }
}

const COLDEST: f64 = 283.15;
const WARMEST: f64 = 313.15;
/// Longest in the closed mould.
const LONGEST: f64 = 7.0 * 86_400.0;

/// The changes that may cure a finding of these subjects.
pub(super) fn of<'a>(
    casting: &'a Casting,
    catalogue: &'a Catalogue,
    finding: &'a Finding,
    subjects: &[String],
    waits: &[ZoneWait],
) -> Result<Vec<Change<'a>>> {
    let levers = Levers {
        casting,
        catalogue,
        low: finding.is_low(),
        finding,
        zones: zones_of(casting, subjects),
        recipe: recipe_of(casting, subjects),
        wait: waits
            .iter()
            .filter(|w| subjects.contains(&w.zone))
            .map(|w| w.wait)
            .reduce(|a, b| Some(a?.max(b?))),
    };
    let mut all = levers.by_quantity()?;
    all.sort_by_key(|c| c.lever);
    all.retain(|c| c.now != c.end);
    Ok(all)
}

/// The zones that subjects name ("gel coat on upper body", "upper body").
fn zones_of(casting: &Casting, subjects: &[String]) -> Vec<usize> {
    let named = |z: &Zone| {
        subjects
            .iter()
            .any(|s| *s == z.name || s.split_once(" on ").is_some_and(|(_, name)| name == z.name))
    };
    (0..casting.zones.len())
        .filter(|i| named(&casting.zones[*i]))
        .collect()
}

/// The recipe that subjects name ("acetone in paste", "paste"), or that the named seam takes.
fn recipe_of<'a>(casting: &'a Casting, subjects: &[String]) -> Option<&'a str> {
    let named = |name: &str| {
        subjects
            .iter()
            .any(|s| s == name || s.ends_with(&format!(" in {name}")))
    };
    let own = casting.recipes.keys().map(String::as_str).find(|r| named(r));
    own.or_else(|| {
        let seam = casting.seams.iter().find(|s| named(&s.name));
        seam.map(|s| s.recipe.as_str())
    })
}

struct Levers<'a> {
    casting: &'a Casting,
    catalogue: &'a Catalogue,
    finding: &'a Finding,
    /// Whether it lies below its bound.
    low: bool,
    zones: Vec<usize>,
    recipe: Option<&'a str>,
    /// How much longer the zones must stay in the mould, where the plan computes their cure: nothing where waiting does not help.
    wait: Option<Option<f64>>,
}

impl<'a> Levers<'a> {
    fn by_quantity(&self) -> Result<Vec<Change<'a>>> {
        use LimitQuantity as Q;
        Ok(match self.finding.quantity {
            Q::ShopTemperature => vec![self.shop(self.low)],
            Q::MouldTemperature => vec![self.mould(self.low), self.shop(self.low)],
            Q::ResinTemperature => vec![self.resin(self.low), self.shop(self.low)],
            Q::AboveDewPoint => vec![self.mould(true), self.humidity()],
            Q::RelativeHumidity => vec![self.humidity()],
            Q::CatalystDose => self.dose(!self.low)?,
            Q::DoseUncertainty | Q::DropOverScaleStep => self.instruments(),
            Q::SeamSqueezedOut => self.bead(false),
            Q::GelCoatFilm | Q::ContrastRatio => vec![self.coat_thickness(self.low)],
            Q::GelCoatWetThickness => vec![self.coats(), self.coat_thickness(self.low)],
            Q::PourThickness => vec![self.pour_layers()],
            Q::SessionThickness => vec![self.sessions()],
            Q::PeakTemperature | Q::MouldFaceTemperature | Q::BoilingMonomer => {
                let mut all = vec![self.pour_layers(), self.sessions(), self.shop(false)];
                all.extend(self.dose_of_zones(true)?);
                all
            }
            Q::DemouldCure | Q::DemouldWait => {
                let mut all = vec![self.shop(true)];
                all.extend(self.wait());
                all.extend(self.dose_of_zones(false)?);
                all
            }
            Q::DemouldSheet => vec![self.in_mould()],
            Q::GelTime => {
                let mut all = vec![self.shop(!self.low)];
                all.extend(self.dose(self.low)?);
                all
            }
            Q::BatchOverWorkingTime => vec![self.resin(false), self.shop(false)],
            Q::EdgeStrain | Q::GelCoatStrain => vec![self.pour_thickness()],
            Q::OvenTemperature => self.oven(false),
            Q::OvenOverGlass => {
                let mut all = self.oven_rise();
                all.extend(self.oven(false));
                all
            }
            Q::GlassOverUse => {
                let mut all = self.oven(true);
                all.extend(self.heat_in_use());
                all
            }
            Q::ReleaseCoats => self.release()?,
            Q::ClampPressure => self.clamps(true),
            Q::SeamSpread => {
                let mut all = self.clamps(true);
                all.extend(self.bead(true));
                all
            }
            Q::SeamThickness => {
                let mut all = self.clamps(false);
                all.extend(self.loading(Lever::Thickener, thickens, true)?);
                all
            }
            Q::SagMargin => {
                let mut all = self.loading(Lever::Thickener, thickens, true)?;
                all.extend(self.bead(false));
                all
            }
            Q::SilicaLoading => self.loading(Lever::Thickener, thickens, self.low)?,
            Q::ChopLoading => self.loading(Lever::Loading, is_chop, self.low)?,
            Q::FillerLoading | Q::FillerVolume | Q::FoamGrowth => {
                self.loading(Lever::Loading, is_filler, self.low)?
            }
            Q::PigmentLoading => self.loading(Lever::Loading, |r, _| r == Role::Pigment, self.low)?,
            Q::ThinnerLoading => self.loading(Lever::Thinner, |r, _| r == Role::Solvent, self.low)?,
            Q::GlassContent => vec![self.glass_content()?],
            _ => vec![],
        })
    }

    fn change(
        &self,
        lever: Lever,
        fields: Vec<String>,
        (now, end, step): (f64, f64, f64),
        apply: impl Fn(&mut Casting, f64) -> Result<()> + 'a,
    ) -> Change<'a> {
        Change {
            lever,
            fields,
            of: vec![],
            measure: lever.measure(),
            from: Some(now),
            now,
            end,
            step,
            whole: false,
            guess: None,
            to_is_told: true,
            apply: Box::new(apply),
        }
    }

    /// Air, mould and resin, each no colder (or no warmer) than it is now.
    fn shop(&self, warmer: bool) -> Change<'a> {
        let shop = &self.casting.shop;
        let all = [shop.temperature.si(), shop.mould().si(), shop.resin().si()];
        let (now, end) = if warmer {
            (all.into_iter().fold(f64::MAX, f64::min), WARMEST)
        } else {
            (all.into_iter().fold(f64::MIN, f64::max), COLDEST)
        };
        let mut fields = vec!["shop.temperature".to_owned()];
        fields.extend(
            shop.mould_temperature
                .map(|_| "shop.mould_temperature".to_owned()),
        );
        fields.extend(
            shop.resin_temperature
                .map(|_| "shop.resin_temperature".to_owned()),
        );
        let set = move |t: &mut ThermodynamicTemperature, x: f64| -> Result<()> {
            let x = if warmer { t.si().max(x) } else { t.si().min(x) };
            *t = ThermodynamicTemperature::from_si(x)?;
            Ok(())
        };
        self.change(Lever::ShopTemperature, fields, (now, end, 0.5), move |c, x| {
            let shop = &mut c.shop;
            let own = [&mut shop.mould_temperature, &mut shop.resin_temperature];
            own.into_iter().flatten().try_for_each(|t| set(t, x))?;
            shop.day
                .iter_mut()
                .try_for_each(|hour| set(&mut hour.temperature, x))?;
            set(&mut shop.temperature, x)
        })
    }

    fn mould(&self, warmer: bool) -> Change<'a> {
        let now = self.casting.shop.mould().si();
        let range = (now, if warmer { WARMEST } else { COLDEST }, 0.5);
        let fields = vec!["shop.mould_temperature".to_owned()];
        self.change(Lever::MouldTemperature, fields, range, |c, x| {
            c.shop.mould_temperature = Some(ThermodynamicTemperature::from_si(x)?);
            Ok(())
        })
    }

    fn resin(&self, warmer: bool) -> Change<'a> {
        let now = self.casting.shop.resin().si();
        let range = (now, if warmer { WARMEST } else { COLDEST }, 0.5);
        let fields = vec!["shop.resin_temperature".to_owned()];
        self.change(Lever::ResinTemperature, fields, range, |c, x| {
            c.shop.resin_temperature = Some(ThermodynamicTemperature::from_si(x)?);
            Ok(())
        })
    }

    fn humidity(&self) -> Change<'a> {
        let shop = &self.casting.shop;
        let hours = shop.day.iter().filter_map(|a| a.humidity);
        let most = hours.map(|h| h.get()).fold(shop.humidity.get(), f64::max);
        let range = (most, 0.30, 0.01);
        let fields = vec!["shop.humidity".to_owned()];
        self.change(Lever::Humidity, fields, range, |c, x| {
            let drier = RelativeHumidity::new(x)?;
            let hours = c.shop.day.iter_mut().filter_map(|a| a.humidity.as_mut());
            hours.filter(|h| h.get() > x).for_each(|h| *h = drier);
            c.shop.humidity = drier;
            Ok(())
        })
    }

    /// Drops counted once, a syringe, a finer scale: each once.
    fn instruments(&self) -> Vec<Change<'a>> {
        let bench = &self.casting.shop.bench;
        let mut all = Vec::new();
        if let Some(dropper) = bench.dropper.as_ref().filter(|d| !d.is_calibrated()) {
            let (drop, step) = (dropper.drop_volume, bench.scale.readability);
            let counted = self.change(
                Lever::CountedDrops,
                vec!["shop.bench.dropper.calibration".to_owned()],
                (0.0, 100.0, 100.0),
                move |c, _| {
                    // Their mass is not known before: that of the usual drop of a peroxide stands in.
                    let density = MassDensity::from_si(1150.0)?;
                    let calibration = DropperCalibration {
                        drops: 100,
                        mass: Mass::from_si(100.0 * drop.si() * density.si())?,
                        density,
                        readability: step,
                        drop_spread: crate::quantity::known(crate::mix::bench::DROP_SPREAD),
                    };
                    c.shop.bench.dropper = Some(calibration.dropper()?.dropper);
                    Ok(())
                },
            );
            all.push(Change {
                from: None,
                whole: true,
                ..counted
            });
        }
        let finest = bench.syringe.map_or(f64::INFINITY, |s| s.graduation.si());
        for ml in [0.1, 0.05, 0.02, 0.01] {
            let graduation = ml * 1e-6;
            if graduation < finest * 0.999 {
                let field = vec!["shop.bench.syringe".to_owned()];
                let range = (0.0, graduation, graduation);
                let syringe = self.change(Lever::Syringe, field, range, move |c, _| {
                    c.shop.bench.syringe = Some(Syringe {
                        graduation: Volume::from_si(graduation)?,
                        tolerance: None,
                    });
                    Ok(())
                });
                all.push(Change {
                    from: bench.syringe.map(|s| s.graduation.si()),
                    whole: true,
                    ..syringe
                });
            }
        }
        let now = bench.scale.readability.si();
        for grams in [0.1, 0.01] {
            let step: f64 = grams * 1e-3;
            if step < now * 0.999 {
                let field = vec!["shop.bench.scale.readability".to_owned()];
                let scale = self.change(Lever::Scale, field, (now, step, step), move |c, _| {
                    c.shop.bench.scale = Scale {
                        readability: Mass::from_si(step)?,
                        repeatability: None,
                        ..c.shop.bench.scale
                    };
                    Ok(())
                });
                all.push(Change { whole: true, ..scale });
            }
        }
        all
    }

    fn release(&self) -> Result<Vec<Change<'a>>> {
        let mould = &self.casting.mould;
        if self.finding.value.is_none() {
            let sealed = self.change(
                Lever::SealedPores,
                vec!["mould.sealed".to_owned()],
                (0.0, 1.0, 1.0),
                |c, _| {
                    c.mould.sealed = true;
                    Ok(())
                },
            );
            return Ok(vec![Change {
                from: None,
                to_is_told: false,
                whole: true,
                ..sealed
            }]);
        }
        let named = |r: &ReleaseCoats| {
            let m = self.catalogue.get(&r.material);
            m.is_ok_and(|m| m.name == self.finding.subject)
        };
        let at = mould.release.iter().position(named);
        let material = at.map_or("release_wax".to_owned(), |i| mould.release[i].material.clone());
        let now = at.map_or(0.0, |i| f64::from(mould.release[i].coats));
        let field = at.map_or("mould.release".to_owned(), |i| {
            format!("mould.release[{i}].coats")
        });
        let name = self.catalogue.get(&material)?.name.clone();
        let coats = self.change(Lever::ReleaseCoats, vec![field], (now, 8.0, 1.0), move |c, x| {
            let coats = x.round().clamp(1.0, 20.0) as u8;
            match at {
                Some(i) => c.mould.release[i].coats = coats,
                None => c.mould.release.insert(
                    0,
                    ReleaseCoats {
                        material: material.clone(),
                        coats,
                        wait: None,
                    },
                ),
            }
            Ok(())
        });
        Ok(vec![Change {
            of: vec![name],
            whole: true,
            ..coats
        }])
    }

    fn clamps(&self, more: bool) -> Vec<Change<'a>> {
        let Some(c) = &self.casting.clamping else {
            return vec![];
        };
        let (clamps, force) = (f64::from(c.clamps), c.force.si());
        let (most, strongest) = if more { (4.0, 20.0) } else { (0.25, 0.02) };
        let field = |name: &str| vec![format!("clamping.{name}")];
        let ends = (clamps, (clamps * most).round().max(1.0), 1.0);
        let number = self.change(Lever::Clamps, field("clamps"), ends, |c, x| {
            if let Some(k) = &mut c.clamping {
                k.clamps = x.round().max(1.0) as u32;
            }
            Ok(())
        });
        let step = if force > 100.0 { 10.0 } else { 5.0 };
        let ends = (force, force * strongest, step);
        let force = self.change(Lever::ClampForce, field("force"), ends, |c, x| {
            if let Some(k) = &mut c.clamping {
                k.force = Force::from_si(x)?;
            }
            Ok(())
        });
        vec![
            Change {
                whole: true,
                ..number
            },
            force,
        ]
    }

    fn in_mould(&self) -> Change<'a> {
        let now = self.casting.cure.in_mould.si();
        let step = if now < 7200.0 { 300.0 } else { 3600.0 };
        let fields = vec!["cure.in_mould".to_owned()];
        self.change(
            Lever::InMouldTime,
            fields,
            (now, LONGEST.max(now), step),
            |c, x| {
                c.cure.in_mould = Time::from_si(x)?;
                Ok(())
            },
        )
    }

    /// Waiting, as long as the plan says it takes; where it says that waiting does not help, not at all.
    fn wait(&self) -> Option<Change<'a>> {
        let longer = self.in_mould();
        let guess = match self.wait {
            None => None,
            Some(wait) => Some(longer.now + wait?.max(0.0)),
        };
        Some(Change { guess, ..longer })
    }

    /// All holds that are hotter (or colder) than the value that is set.
    fn oven(&self, hotter: bool) -> Vec<Change<'a>> {
        let holds = &self.casting.cure.post_cure;
        let temperatures = holds.iter().map(|h| h.temperature.si());
        let Some(now) = temperatures.reduce(f64::max) else {
            return vec![];
        };
        let fields = (0..holds.len()).map(|i| format!("cure.post_cure[{i}].temperature"));
        let end = if hotter { now.max(393.15) } else { 303.15 };
        let last = holds.len() - 1;
        let oven = self.change(
            Lever::OvenTemperature,
            fields.collect(),
            (now, end, 1.0),
            move |c, x| {
                for (i, h) in c.cure.post_cure.iter_mut().enumerate() {
                    let t = h.temperature.si();
                    let set = match hotter {
                        true if i == last => t.max(x),
                        true => t,
                        false => t.min(x),
                    };
                    h.temperature = ThermodynamicTemperature::from_si(set)?;
                }
                Ok(())
            },
        );
        vec![oven]
    }

    fn oven_rise(&self) -> Vec<Change<'a>> {
        let holds = &self.casting.cure.post_cure;
        let Some(first) = holds.first() else { return vec![] };
        let now = first.rise().si();
        let range = (now, 0.9 * first.time.si(), 900.0);
        let field = vec!["cure.post_cure[0].rise".to_owned()];
        vec![self.change(Lever::OvenRise, field, range, |c, x| {
            c.cure.post_cure[0].rise = Some(Time::from_si(x)?);
            Ok(())
        })]
    }

    fn heat_in_use(&self) -> Option<Change<'a>> {
        let now = self.casting.cure.in_use?.si();
        let fields = vec!["cure.in_use".to_owned()];
        Some(self.change(
            Lever::HeatInUse,
            fields,
            (now, 293.15_f64.min(now), 1.0),
            |c, x| {
                c.cure.in_use = Some(ThermodynamicTemperature::from_si(x)?);
                Ok(())
            },
        ))
    }

    /// The layers of the zones, with their paths.
    fn layers(&self) -> impl Iterator<Item = (usize, usize, &'a ZoneLayer)> + '_ {
        self.zones.iter().flat_map(|&i| {
            let layers = self.casting.zones[i].layers.iter().enumerate();
            layers.map(move |(j, l)| (i, j, l))
        })
    }

    fn names(&self) -> Vec<String> {
        self.zones
            .iter()
            .map(|i| self.casting.zones[*i].name.clone())
            .collect()
    }

    fn paths(&self, kind: &str, field: &str) -> Vec<String> {
        self.layers()
            .filter(|l| l.2.kind() == kind)
            .map(|(i, j, _)| format!("zones[{i}].layers[{j}].{kind}.{field}"))
            .collect()
    }

    /// More coats, each so much thinner that the film stays.
    fn coats(&self) -> Change<'a> {
        let zones = self.zones.clone();
        let coats = self.layers().filter_map(|l| Some(gel_coat(l.2)?.coats)).max();
        let now = f64::from(coats.unwrap_or(0));
        let fields = self.paths("gel_coat", "coats");
        let end = if now > 0.0 { now + 4.0 } else { now };
        let change = self.change(Lever::Coats, fields, (now, end, 1.0), move |c, x| {
            let coats = x.round().clamp(1.0, 20.0);
            each_layer(c, &zones, |layer| {
                if let ZoneLayer::GelCoat(g) = layer {
                    let film = g.wet_thickness.si() * f64::from(g.coats);
                    g.coats = coats as u8;
                    g.wet_thickness = Length::from_si(film / coats)?;
                }
                Ok(())
            })
        });
        Change {
            of: self.names(),
            whole: true,
            ..change
        }
    }

    fn coat_thickness(&self, thicker: bool) -> Change<'a> {
        let zones = self.zones.clone();
        let first = self
            .layers()
            .find_map(|l| Some(gel_coat(l.2)?.wet_thickness.si()));
        let now = first.unwrap_or(0.0);
        let end = match thicker {
            _ if now == 0.0 => now,
            true => now.max(1.0e-3),
            false => now.min(0.1e-3),
        };
        let fields = self.paths("gel_coat", "wet_thickness");
        let change = self.change(Lever::CoatThickness, fields, (now, end, 0.05e-3), move |c, x| {
            each_layer(c, &zones, |layer| {
                if let ZoneLayer::GelCoat(g) = layer {
                    g.wet_thickness = Length::from_si(x)?;
                }
                Ok(())
            })
        });
        Change {
            of: self.names(),
            ..change
        }
    }

    fn pour_layers(&self) -> Change<'a> {
        let poured = self.layers().any(|l| matches!(l.2, ZoneLayer::Pour(_)));
        self.split(Lever::PourLayers, if poured { 12.0 } else { 1.0 }, split_pour)
    }

    fn sessions(&self) -> Change<'a> {
        let plies = self
            .layers()
            .filter_map(|l| Some(laminate(l.2)?.plies.len()))
            .max();
        let most = plies.map_or(1.0, |n| n as f64);
        self.split(Lever::Sessions, most, split_laminate)
    }

    /// Each layer of the zones as several, as many as `most`.
    fn split(&self, lever: Lever, most: f64, into: fn(ZoneLayer, usize) -> Vec<ZoneLayer>) -> Change<'a> {
        let zones = self.zones.clone();
        let fields = self.zones.iter().map(|i| format!("zones[{i}].layers")).collect();
        let change = self.change(lever, fields, (1.0, most, 1.0), move |c, x| {
            for i in &zones {
                let layers = std::mem::take(&mut c.zones[*i].layers);
                c.zones[*i].layers = layers
                    .into_iter()
                    .flat_map(|l| into(l, x.round() as usize))
                    .collect();
            }
            Ok(())
        });
        Change {
            of: self.names(),
            whole: true,
            ..change
        }
    }

    fn pour_thickness(&self) -> Change<'a> {
        let zones = self.zones.clone();
        let first = self.layers().find_map(|l| match l.2 {
            ZoneLayer::Pour(p) if p.volume.is_none() => p.thickness.map(Quantity::si),
            _ => None,
        });
        let now = first.unwrap_or(0.0);
        // A pour that is given by its volume has no thickness to set.
        let by_thickness = |l: &ZoneLayer| matches!(l, ZoneLayer::Pour(p) if p.volume.is_none());
        let fields = self
            .layers()
            .filter(|l| by_thickness(l.2))
            .map(|(i, j, _)| format!("zones[{i}].layers[{j}].pour.thickness"))
            .collect();
        let change = self.change(
            Lever::PourThickness,
            fields,
            (now, 5.0 * now, 0.1e-3),
            move |c, x| {
                each_layer(c, &zones, |layer| {
                    if let ZoneLayer::Pour(p) = layer
                        && p.volume.is_none()
                    {
                        p.thickness = Some(Length::from_si(x)?);
                    }
                    Ok(())
                })
            },
        );
        Change {
            of: self.names(),
            ..change
        }
    }

    fn glass_content(&self) -> Result<Change<'a>> {
        let zones = self.zones.clone();
        let value = self.finding.value.as_ref();
        let now = value
            .map(|v| v.read::<MassFraction>("value"))
            .transpose()?
            .map_or(0.3, MassFraction::get);
        let end = if self.low { 0.6 } else { 0.1_f64.min(now) };
        let fields = self.paths("laminate", "glass_content");
        let change = self.change(Lever::GlassContent, fields, (now, end, 0.005), move |c, x| {
            each_layer(c, &zones, |layer| {
                if let ZoneLayer::Laminate(l) = layer {
                    l.glass_content = Some(MassFraction::new(x)?);
                }
                Ok(())
            })
        });
        Ok(Change {
            of: self.names(),
            ..change
        })
    }

    /// The bead of the seam that is named.
    fn bead(&self, higher: bool) -> Vec<Change<'a>> {
        let subject = &self.finding.subject;
        let at = self.casting.seams.iter().position(|s| s.name == *subject);
        let Some(i) = at else { return vec![] };
        let now = self.casting.seams[i].height.si();
        let range = (now, if higher { 3.0 * now } else { 0.2 * now }, 0.5e-3);
        let field = vec![format!("seams[{i}].height")];
        let change = self.change(Lever::BeadHeight, field, range, move |c, x| {
            c.seams[i].height = Length::from_si(x)?;
            Ok(())
        });
        vec![Change {
            of: vec![subject.clone()],
            ..change
        }]
    }

    fn mix(&self, recipe: &str) -> Result<Option<Mix<'a>>> {
        Ok(layout::mixes(self.casting, self.catalogue)?.remove(recipe))
    }

    /// The dose of the recipe that is named.
    fn dose(&self, less: bool) -> Result<Vec<Change<'a>>> {
        let Some(recipe) = self.recipe else {
            return Ok(vec![]);
        };
        Ok(self.dose_of(recipe, less)?.into_iter().collect())
    }

    fn dose_of(&self, recipe: &str, less: bool) -> Result<Option<Change<'a>>> {
        let Some(mix) = self.mix(recipe)? else {
            return Ok(None);
        };
        let Some(dose) = &mix.unit.cure_dose else {
            return Ok(None);
        };
        let now = dose.by_mass.value.get();
        // As far as a slip of ten; the windows' own limits say where it ends.
        let end = if less { now / 12.0 } else { now * 12.0 };
        let step = if now > 10.0 { 0.5 } else { 0.1 };
        let at = self.casting.recipes[recipe]
            .parts
            .iter()
            .position(|p| p.material == dose.material);
        let field = vec![format!("recipes.{recipe}.parts[{}].dose", at.unwrap_or_default())];
        let (name, catalogue) = (recipe.to_owned(), self.catalogue);
        let change = self.change(Lever::Dose, field, (now, end, step), move |c, x| {
            if let Some(r) = c.recipes.get_mut(&name) {
                *r = r.with_cure_dose(Dose::ByMass(Phr::new(x)?), catalogue)?;
            }
            Ok(())
        });
        Ok(Some(Change {
            of: vec![recipe.to_owned()],
            ..change
        }))
    }

    /// The doses of what the zones are poured or laid up with.
    fn dose_of_zones(&self, less: bool) -> Result<Vec<Change<'a>>> {
        let mut recipes: Vec<&str> = Vec::new();
        for (_, _, layer) in self.layers().filter(|l| gel_coat(l.2).is_none()) {
            if !recipes.contains(&layer.recipe()) {
                recipes.push(layer.recipe());
            }
        }
        let all = recipes
            .into_iter()
            .map(|r| self.dose_of(r, less))
            .collect::<Result<Vec<_>>>()?;
        Ok(all.into_iter().flatten().collect())
    }

    /// The parts of the recipe that are of a kind, all in proportion; by the first of them.
    fn loading(&self, lever: Lever, is: fn(Role, &Class) -> bool, more: bool) -> Result<Vec<Change<'a>>> {
        let Some(recipe) = self.recipe else {
            return Ok(vec![]);
        };
        let Some(mix) = self.mix(recipe)? else {
            return Ok(vec![]);
        };
        let parts: Vec<(String, f64)> = mix
            .materials
            .iter()
            .zip(&mix.unit.parts)
            .filter(|((role, m), _)| is(*role, &m.class))
            .map(|((_, m), part)| (m.id.clone(), part.on_resin.get()))
            .collect();
        let Some((_, now)) = parts.first().cloned().filter(|p| p.1 > 0.0) else {
            return Ok(vec![]);
        };
        let of = parts
            .iter()
            .map(|(id, _)| mix.materials.iter().find(|(_, m)| m.id == *id));
        let of = of.flatten().map(|(_, m)| m.name.clone()).collect();
        let end = if more { now.max(1.0) * 10.0 } else { 0.0 };
        let name = recipe.to_owned();
        let field = |(id, _): &(String, f64)| {
            let at = self.casting.recipes[recipe]
                .parts
                .iter()
                .position(|p| p.material == *id);
            format!("recipes.{recipe}.parts[{}].dose", at.unwrap_or_default())
        };
        let fields = parts.iter().map(field).collect();
        let step = if now > 10.0 { 1.0 } else { 0.1 };
        let change = self.change(lever, fields, (now, end, step), move |c, x| {
            let Some(r) = c.recipes.get_mut(&name) else {
                return Ok(());
            };
            if x <= 0.0 {
                r.parts.retain(|p| !parts.iter().any(|(id, _)| *id == p.material));
                return Ok(());
            }
            for part in &mut r.parts {
                if let Some((_, was)) = parts.iter().find(|(id, _)| *id == part.material) {
                    part.dose = Dose::ByMass(Phr::new(was * x / now)?);
                }
            }
            Ok(())
        });
        Ok(vec![Change { of, ..change }])
    }
}

fn thickens(_: Role, class: &Class) -> bool {
    matches!(class, Class::Filler(f) if f.thickener.unwrap_or(false))
}

fn is_chop(_: Role, class: &Class) -> bool {
    matches!(class, Class::Filler(f) if f.shape == ParticleShape::Fibre)
}

fn is_filler(role: Role, class: &Class) -> bool {
    matches!(class, Class::Filler(_)) && !thickens(role, class)
}

fn gel_coat(layer: &ZoneLayer) -> Option<&GelCoat> {
    match layer {
        ZoneLayer::GelCoat(g) => Some(g),
        _ => None,
    }
}

fn laminate(layer: &ZoneLayer) -> Option<&Laminate> {
    match layer {
        ZoneLayer::Laminate(l) => Some(l),
        _ => None,
    }
}

/// Sets something of all layers of some zones.
fn each_layer(c: &mut Casting, zones: &[usize], set: impl Fn(&mut ZoneLayer) -> Result<()>) -> Result<()> {
    for i in zones {
        c.zones[*i].layers.iter_mut().try_for_each(&set)?;
    }
    Ok(())
}

/// A pour as so many layers of it, one after the other.
fn split_pour(layer: ZoneLayer, n: usize) -> Vec<ZoneLayer> {
    match layer {
        ZoneLayer::Pour(p) if n > 1 => {
            let one = Pour {
                volume: p.volume.map(|v| v / n as f64),
                thickness: p.thickness.map(|t| t / n as f64),
                ..p
            };
            vec![ZoneLayer::Pour(one); n]
        }
        other => vec![other],
    }
}

/// A laminate's plies in so many sessions, as even as they go.
fn split_laminate(layer: ZoneLayer, n: usize) -> Vec<ZoneLayer> {
    match layer {
        ZoneLayer::Laminate(l) if n > 1 => {
            let each = l.plies.len().div_ceil(n);
            let session = |plies: &[String]| {
                ZoneLayer::Laminate(Laminate {
                    recipe: l.recipe.clone(),
                    plies: plies.to_vec(),
                    glass_content: l.glass_content,
                })
            };
            l.plies.chunks(each).map(session).collect()
        }
        other => vec![other],
    }
}
