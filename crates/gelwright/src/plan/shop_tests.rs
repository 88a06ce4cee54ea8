//! Tests that a shop can do, and what they are worth to a plan: each becomes a property with its uncertainty.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::casting::{self, Casting, ZoneLayer};
use super::layout;
use super::sized::{self, ZoneSizes};
use crate::error::{Error, Result};
use crate::flow::{self, YieldLaw, YieldReading, YieldTest};
use crate::laminate::BentBar;
use crate::light::{CoatOptics, DrawDown, TestPiece};
use crate::material::{Catalogue, Class, Family, Material, Window};
use crate::mix::{
    CoatedPanel, Estimate, FilmGauge, Leftover, VapourLost, WeighedArea, WeighedInWater, WeighedLaminate,
    WeighedTin, WeighedVolume,
};
use crate::noun::Noun;
use crate::quantity::{self, Phr, Quantity};
use crate::source::{Property, Source, Standing};

/// A test of this shop and its readings.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub enum ShopTest {
    /// Of a material: a known volume of it on the scale. Its density.
    WeighedVolume(WeighedVolume),
    /// Of a resin: a cured piece weighed in air and in water. Its cured density.
    WeighedInWater(WeighedInWater),
    /// Of a resin: a cast bar bent by a weight. Its modulus; of a gel coat bent until it broke, its elongation, too.
    BentBar(BentBar),
    /// Of a reinforcement: a dry piece weighed. Its mass per area.
    WeighedArea(WeighedArea),
    /// Of a reinforcement: a laminate of it weighed with its dry glass. Its glass content as these hands lay it.
    WeighedLaminate(WeighedLaminate),
    /// Of a release agent: what a tin lost to a mould. What a coat takes.
    WeighedTin(WeighedTin),
    /// Of a recipe of paste: its slump, its spread or the thickest coat that stays. Its yield stress.
    Paste(YieldTest),
    /// Of a recipe of gel coat: a draw-down over black and white. What its coats scatter and absorb.
    DrawDown(DrawDown),
    /// Of a recipe that is poured: a strip of it in front of a lamp. What its bubbles, its glass and its colour do to light.
    Strip(TestPiece),
    /// Of a recipe of gel coat: the comb in the wet film, as these hands lay it. The wet thickness of each of its coats.
    WetFilm(FilmGauge),
    /// Of a recipe: a coated panel weighed over time. The vapour that it gives off in this shop.
    CoatedPanel(CoatedPanel),
    /// Of a recipe: the emptied cup and its tools on the scale. What stays in them.
    Leftover(Leftover),
}

/// What of the catalogue and of rules of thumb a shop test takes the place of: the fields of a material, as
/// [`Material::facts`] names them, with the test's name in a document.
pub const REPLACED: [(&str, &str); 10] = [
    ("density", "weighed_volume"),
    ("resin.cured_density", "weighed_in_water"),
    ("resin.modulus", "bent_bar"),
    ("resin.elongation", "bent_bar"),
    ("reinforcement.areal_mass", "weighed_area"),
    ("reinforcement.glass_content[0]", "weighed_laminate"),
    ("release.coverage[0]", "weighed_tin"),
    ("resin.refractive_index", "strip"),
    ("filler.refractive_index", "strip"),
    ("filler.fibre_diameter", "strip"),
];

/// What a shop test came to, and what it stands in place of.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct TestedProperty {
    /// The material or the recipe that was tested.
    pub of: String,
    /// What was found.
    pub property: String,
    /// Its value.
    pub value: String,
    /// Low end of the interval that holds it with 95 %.
    pub low: Option<String>,
    /// High end of that interval.
    pub high: Option<String>,
    /// What it stands in place of, where that had a value.
    pub in_place_of: Option<String>,
}

impl TestedProperty {
    fn of<Q: Quantity>(of: &str, property: &str, e: Estimate<Q>, in_place_of: Option<String>) -> Self {
        TestedProperty {
            of: of.to_owned(),
            property: property.to_owned(),
            value: quantity::show(e.value).to_string(),
            low: Some(quantity::show(e.low).to_string()),
            high: Some(quantity::show(e.high).to_string()),
            in_place_of,
        }
    }
}

fn here(title: &str) -> Arc<Source> {
    Arc::new(Source::of(Standing::MeasuredHere, title))
}

fn property<Q: Quantity>(e: Estimate<Q>, title: &str) -> Property<Q> {
    Property {
        value: e.value,
        range: Some((e.low, e.high)),
        source: here(title),
    }
}

fn was<Q: Quantity>(old: Option<&Property<Q>>) -> Option<String> {
    old.map(|p| format!("{} ({})", quantity::show(p.value), p.source.standing))
}

impl ShopTest {
    /// Whether it was made of a material, not of a recipe.
    fn is_of_material(&self) -> bool {
        matches!(
            self,
            ShopTest::WeighedVolume(_)
                | ShopTest::WeighedInWater(_)
                | ShopTest::BentBar(_)
                | ShopTest::WeighedArea(_)
                | ShopTest::WeighedLaminate(_)
                | ShopTest::WeighedTin(_)
        )
    }

    /// Puts what it showed into the material it was made of.
    fn put_into(&self, material: &mut Material) -> Result<()> {
        self.told_of(material).map(|_| ())?;
        match (self, &mut material.class) {
            (ShopTest::WeighedVolume(t), _) => {
                material.density = Some(property(t.density()?.density, "a known volume weighed"));
            }
            (ShopTest::WeighedInWater(t), Class::Resin(r)) => {
                r.cured_density = Some(property(
                    t.density()?.density,
                    "a cured piece weighed in air and in water",
                ));
            }
            (ShopTest::BentBar(t), Class::Resin(r)) => {
                let tested = t.tested()?;
                r.modulus = Some(property(tested.modulus, "a bar bent by a weight"));
                // A coat cracks when the wall is bent: what it bears bent is what is asked of it.
                if let (Some(strain), Family::GelCoat) = (tested.strain_at_break, r.family) {
                    r.elongation = Some(property(strain, "a bar bent until it broke"));
                }
            }
            (ShopTest::WeighedArea(t), Class::Reinforcement(r)) => {
                r.areal_mass = property(t.areal_mass()?, "a dry piece weighed");
            }
            (ShopTest::WeighedLaminate(t), Class::Reinforcement(r)) => {
                let found = property(t.glass_content()?, "a laminate weighed with its dry glass");
                r.glass_content.insert(0, found);
            }
            (ShopTest::WeighedTin(t), Class::Release(r)) => {
                let coat = t.coverage()?.value;
                r.coverage.insert(
                    0,
                    Window::new(None, Some(coat), here("a tin weighed before and after"))?,
                );
            }
            _ => {}
        }
        Ok(())
    }

    /// What it showed of a material, and what of it was there before.
    fn told_of(&self, m: &Material) -> Result<Option<TestedProperty>> {
        let at = |name: &'static str| move |e: Error| e.within(name);
        Ok(Some(match self {
            ShopTest::WeighedVolume(t) => {
                let e = t.density().map_err(at("weighed_volume"))?.density;
                TestedProperty::of(&m.id, "density", e, was(m.density.as_ref()))
            }
            ShopTest::WeighedInWater(t) => {
                let e = t.density().map_err(at("weighed_in_water"))?.density;
                TestedProperty::of(&m.id, "cured density", e, was(m.resin()?.cured_density.as_ref()))
            }
            ShopTest::BentBar(t) => {
                let e = t.tested().map_err(at("bent_bar"))?.modulus;
                TestedProperty::of(&m.id, "modulus", e, was(m.resin()?.modulus.as_ref()))
            }
            ShopTest::WeighedArea(t) => {
                let e = t.areal_mass().map_err(at("weighed_area"))?;
                TestedProperty::of(
                    &m.id,
                    "mass per area",
                    e,
                    was(Some(&m.reinforcement()?.areal_mass)),
                )
            }
            ShopTest::WeighedLaminate(t) => {
                let e = t.glass_content().map_err(at("weighed_laminate"))?;
                TestedProperty::of(
                    &m.id,
                    "glass content",
                    e,
                    was(m.reinforcement()?.glass_content.first()),
                )
            }
            ShopTest::WeighedTin(t) => {
                let e = t.coverage().map_err(at("weighed_tin"))?;
                let old = m
                    .release()?
                    .coverage
                    .first()
                    .and_then(|w| w.high)
                    .map(|film| quantity::show(film).into());
                TestedProperty::of(&m.id, "what a coat takes", e, old)
            }
            _ => return Ok(None),
        }))
    }
}

type Tests = BTreeMap<String, Vec<ShopTest>>;

/// Every test with its place in the document.
fn every(tests: &Tests) -> impl Iterator<Item = (&str, &ShopTest, String)> {
    tests.iter().flat_map(|(of, list)| {
        let placed = list.iter().enumerate();
        placed.map(move |(i, t)| (of.as_str(), t, format!("shop_tests.{of}[{i}]")))
    })
}

/// Puts what tests showed of materials into them.
pub(super) fn into_catalogue(tests: &Tests, catalogue: &mut Catalogue) -> Result<()> {
    for (id, test, at) in every(tests).filter(|(_, t, _)| t.is_of_material()) {
        let mut material = catalogue.get(id).map_err(|e| e.at(at.clone()))?.clone();
        test.put_into(&mut material).map_err(|e| e.within(&at))?;
        catalogue.add(material).map_err(|e| e.within(&at))?;
    }
    Ok(())
}

/// Tests of recipes that are not there, or that lay nothing of which the test tells.
pub(super) fn check(casting: &Casting) -> impl Iterator<Item = Result<()>> {
    every(&casting.shop_tests)
        .filter(|(_, t, _)| !t.is_of_material())
        .map(|(recipe, test, at)| {
            casting::known(&casting.recipes, recipe).map_err(|e| e.at(&at))?;
            if used(casting, recipe, test) {
                return Ok(());
            }
            Err(Error::inconsistent(
                at,
                format!("a test of '{recipe}'"),
                "a test of what this casting lays with that recipe",
                "leave it out: nothing here is made of it that the test tells of",
            ))
        })
}

/// Whether the casting lays something with a recipe that a test tells of.
fn used(casting: &Casting, recipe: &str, test: &ShopTest) -> bool {
    let mut layers = casting.zones.iter().flat_map(|z| &z.layers);
    match test {
        ShopTest::DrawDown(_) | ShopTest::WetFilm(_) => {
            layers.any(|l| matches!(l, ZoneLayer::GelCoat(g) if g.recipe == recipe))
        }
        ShopTest::Strip(_) => layers.any(|l| matches!(l, ZoneLayer::Pour(p) if p.recipe == recipe)),
        ShopTest::Paste(_) => casting.seams.iter().any(|s| s.recipe == recipe),
        _ => true,
    }
}

/// The yield stress of a tested paste is off by no more than this factor: readings of a rule, and what it changes from 10 °C to
/// 50 °C (23 % of a measured gel: public data repository three_component_model, 2022).
const TESTED_WITHIN: f64 = 1.25;

/// A casting as it is planned: what was measured and tested of it in place of what that stands for.
pub(super) struct Tested {
    pub(super) casting: Casting,
    /// By zone.
    pub(super) sizes: Vec<ZoneSizes>,
    /// What all of its tests came to.
    pub(super) told: Vec<TestedProperty>,
}

impl Casting {
    /// The weighed leftover of a recipe's cups, where it was tested.
    pub(super) fn leftover_of(&self, recipe: &str) -> Option<&Leftover> {
        self.shop_tests.get(recipe)?.iter().find_map(|t| match t {
            ShopTest::Leftover(l) => Some(l),
            _ => None,
        })
    }

    /// The vapour that a coated panel of a recipe gave off in this shop, where one was weighed.
    ///
    /// # Errors
    /// As [`CoatedPanel::vapour_lost`].
    pub fn vapour_lost(&self, recipe: &str) -> Result<Option<VapourLost>> {
        let panel = self.shop_tests.get(recipe).and_then(|list| {
            list.iter().find_map(|t| match t {
                ShopTest::CoatedPanel(p) => Some(p),
                _ => None,
            })
        });
        panel.map(CoatedPanel::vapour_lost).transpose()
    }

    /// The casting with its measured zones' sizes, and with what tests of its recipes showed in the place of what was assumed.
    pub(super) fn as_tested(&self) -> Result<Tested> {
        let (made, sizes) = sized::sized(self)?;
        let mut tested = Tested {
            casting: made.into_owned(),
            sizes,
            told: Vec::new(),
        };
        if self.shop_tests.is_empty() {
            return Ok(tested);
        }
        let untested = Casting {
            shop_tests: BTreeMap::new(),
            ..self.clone()
        };
        let (before, catalogue) = (untested.catalogue()?, self.catalogue()?);
        for (of, test, at) in every(&self.shop_tests) {
            let property = match test.is_of_material() {
                true => test.told_of(before.get(of)?),
                false => tested.casting.tested_recipe(of, test, &catalogue),
            };
            tested.told.extend(property.map_err(|e| e.within(&at))?);
        }
        Ok(tested)
    }

    /// Puts what a test of a recipe showed where the recipe is laid.
    fn tested_recipe(
        &mut self,
        recipe: &str,
        test: &ShopTest,
        catalogue: &Catalogue,
    ) -> Result<Option<TestedProperty>> {
        match test {
            ShopTest::Paste(t) => self.tested_paste(recipe, t, catalogue).map(Some),
            ShopTest::DrawDown(d) => {
                let layer = d.layer().map_err(|e| e.within("draw_down"))?;
                self.gel_coats(recipe)
                    .for_each(|g| g.optics = Some(CoatOptics::DrawDown(*d)));
                Ok(Some(TestedProperty {
                    of: recipe.to_owned(),
                    property: "scattering and absorption".to_owned(),
                    value: format!(
                        "{}, {}",
                        quantity::show(layer.scattering),
                        quantity::show(layer.absorption)
                    ),
                    low: None,
                    high: None,
                    in_place_of: Some("the coat's optics as given".to_owned()),
                }))
            }
            ShopTest::Strip(s) => {
                s.layer().map_err(|e| e.within("strip"))?;
                let poured = |z: &&mut super::casting::Zone| {
                    z.layers
                        .iter()
                        .any(|l| matches!(l, ZoneLayer::Pour(p) if p.recipe == recipe))
                };
                self.zones
                    .iter_mut()
                    .filter(poured)
                    .for_each(|z| z.strip = z.strip.or(Some(*s)));
                Ok(Some(TestedProperty {
                    of: recipe.to_owned(),
                    property: "light through a strip".to_owned(),
                    value: format!(
                        "{} of {}",
                        quantity::figures(s.transmittance),
                        quantity::show(s.thickness)
                    ),
                    low: None,
                    high: None,
                    in_place_of: Some("bubbles and resin colour as assumed".to_owned()),
                }))
            }
            ShopTest::WetFilm(f) => {
                let film = f.film().map_err(|e| e.within("wet_film"))?.thickness;
                let mut old = None;
                for g in self.gel_coats(recipe) {
                    old = old.or(Some(quantity::show(g.wet_thickness).into()));
                    g.wet_thickness = film.value;
                }
                Ok(Some(TestedProperty::of(
                    recipe,
                    "wet thickness of a coat",
                    film,
                    old,
                )))
            }
            ShopTest::CoatedPanel(p) => {
                let lost = p.vapour_lost().map_err(|e| e.within("coated_panel"))?;
                Ok(Some(TestedProperty::of(
                    recipe,
                    "monomer lost as vapour",
                    lost.share_of_monomer,
                    None,
                )))
            }
            ShopTest::Leftover(l) => Ok(Some(TestedProperty {
                of: recipe.to_owned(),
                property: "left in cup and tools".to_owned(),
                value: quantity::show(l.left).to_string(),
                low: None,
                high: None,
                in_place_of: Some("a film on what the mix wets".to_owned()),
            })),
            _ => Ok(None),
        }
    }

    fn tested_paste(
        &mut self,
        recipe: &str,
        test: &YieldTest,
        catalogue: &Catalogue,
    ) -> Result<TestedProperty> {
        let mixes = layout::mixes(self, catalogue)?;
        let mix = &mixes[recipe];
        let tested = test
            .yield_stress(mix.unit.density)
            .map_err(|e| e.within("paste"))?
            .yield_stress;
        let silica = flow::silica_fraction(Phr::new(mix.thickener())?);
        let law = YieldLaw {
            within_factor: TESTED_WITHIN,
            source: (*here("this shop's test of the paste")).clone(),
            ..YieldLaw::through(YieldReading {
                silica,
                yield_stress: tested,
            })
            .map_err(|e| e.within("paste"))?
        };
        let old = YieldLaw::common_practice().paste(silica)?;
        for seam in self.seams.iter_mut().filter(|s| s.recipe == recipe) {
            seam.yield_law = seam.yield_law.take().or_else(|| Some(law.clone()));
        }
        let (low, high) = (tested.si() / TESTED_WITHIN, tested.si() * TESTED_WITHIN);
        let within = Estimate::with_interval(tested, (high - low) / 4.0, low, high)?;
        let in_place_of = Some(format!("{} (common practice)", quantity::show(old.yield_stress)));
        Ok(TestedProperty::of(recipe, "yield stress", within, in_place_of))
    }

    /// The coats that are laid with a recipe.
    fn gel_coats<'c>(&'c mut self, recipe: &'c str) -> impl Iterator<Item = &'c mut super::casting::GelCoat> {
        self.zones
            .iter_mut()
            .flat_map(|z| &mut z.layers)
            .filter_map(move |l| match l {
                ZoneLayer::GelCoat(g) if g.recipe == recipe => Some(g),
                _ => None,
            })
    }
}
