//! The catalogue: materials by id, from the embedded generic data and from the user's own files.

use std::collections::BTreeMap;
use std::sync::{Arc, LazyLock};

use serde_json::{Map, Value};

use super::Material;
use crate::document;
use crate::error::{Error, ErrorKind, Result};
use crate::noun::{self, Noun, Reader, Shape, Walk, Written};
use crate::source::Source;

/// The tables of a document by their names.
type Tree = Map<String, Value>;

/// The version of the catalogue document this library reads.
const VERSION: i64 = 1;

/// The embedded generic data: the sources, then one file a kind; one document when joined.
const GENERIC: &str = concat!(
    "version = 1\n",
    include_str!("../../data/source.toml"),
    include_str!("../../data/resin.toml"),
    include_str!("../../data/initiator.toml"),
    include_str!("../../data/promoter.toml"),
    include_str!("../../data/hardener.toml"),
    include_str!("../../data/filler.toml"),
    include_str!("../../data/reinforcement.toml"),
    include_str!("../../data/pigment.toml"),
    include_str!("../../data/release.toml"),
    include_str!("../../data/mould_wall.toml"),
    include_str!("../../data/solvent.toml"),
);

/// Materials by id.
///
/// A catalogue document (TOML) has `version = 1`, a table `[source.KEY]` for each source and a table
/// `[material.ID]` for each material:
///
/// ```toml
/// version = 1
///
/// [source.sheet]
/// title = "data sheet of the laminating resin in hand"
/// year = 2025
/// standing = "data_sheet"
///
/// [material.our_resin]
/// base = "ortho_polyester"      # everything else as the generic one
/// name = "our laminating resin"
/// density = { value = "1.12 g/mL", low = "1.11 g/mL", high = "1.13 g/mL", source = "sheet" }
///
/// [material.our_resin.resin]
/// viscosity = { value = "350 mPa*s", source = "sheet" }
/// ```
///
/// What has a source is replaced as one: a new `density` takes nothing over from the old one.
///
/// In a request it is what is added to the generic catalogue: such a document's TOML text, or the same as tables.
#[derive(Debug, Clone, PartialEq)]
pub struct Catalogue {
    materials: BTreeMap<String, Arc<Material>>,
}

impl Default for Catalogue {
    fn default() -> Self {
        Catalogue::generic().clone()
    }
}

impl Written for Catalogue {
    fn walk(&self, w: &mut dyn Walk) {
        let generic = Catalogue::generic();
        let added = |id: &str, m: &Arc<Material>| generic.materials.get(id).is_none_or(|g| g != m);
        w.map();
        w.key("version");
        w.whole(i128::from(VERSION));
        w.key("material");
        w.map();
        for (id, material) in self.materials.iter().filter(|(id, m)| added(id, m)) {
            w.key(id);
            material.walk(w);
        }
        w.end();
        w.end();
    }
}

impl Noun for Catalogue {
    fn shape() -> &'static Shape {
        &Shape::Any
    }
    fn read(value: &Value, r: &mut Reader) -> Option<Self> {
        let document = match value {
            Value::String(text) => r.ask(document::toml_value(text))?,
            tables => tables.clone(),
        };
        let mut wider = Catalogue::generic().clone();
        r.ask(wider.extend(document))?;
        Some(wider)
    }
}

impl Catalogue {
    /// A catalogue without materials.
    pub fn empty() -> Self {
        Catalogue {
            materials: BTreeMap::new(),
        }
    }

    /// The generic catalogue: no brands, no prices. Clone it to add to it (a clone shares the materials).
    pub fn generic() -> &'static Catalogue {
        static GENERIC_CATALOGUE: LazyLock<Catalogue> = LazyLock::new(|| {
            Catalogue::from_toml(GENERIC).unwrap_or_else(|e| {
                // Embedded at compile time and read by every test run: can not happen in a released build.
                unreachable!("embedded data: {e}")
            })
        });
        &GENERIC_CATALOGUE
    }

    /// The edition of the embedded data, materials and limits: another word for any other content.
    pub fn edition() -> &'static str {
        static EDITION: LazyLock<String> = LazyLock::new(|| {
            // FNV-1a, 64 bit (Fowler, Noll, Vo): no secret, only a short name for a content.
            let fold = |hash: u64, byte: u8| (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
            let text = GENERIC.bytes().chain(crate::limit::limits::GENERIC.bytes());
            format!("{:016x}", text.fold(0xcbf2_9ce4_8422_2325, fold))
        });
        &EDITION
    }

    /// A material by its id.
    ///
    /// # Errors
    /// [`ErrorKind::UnknownName`] with the nearest known ids.
    pub fn get(&self, id: &str) -> Result<&Material> {
        self.materials
            .get(id)
            .map(Arc::as_ref)
            .ok_or_else(|| Error::unknown_name("material", id, self.ids()))
    }

    /// All ids, in order.
    pub fn ids(&self) -> impl Iterator<Item = &str> {
        self.materials.keys().map(String::as_str)
    }

    /// All materials, in order of their ids.
    pub fn iter(&self) -> impl Iterator<Item = &Material> {
        self.materials.values().map(Arc::as_ref)
    }

    /// Number of materials.
    pub fn len(&self) -> usize {
        self.materials.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.materials.is_empty()
    }

    /// Adds a material, or replaces the one with its id.
    ///
    /// # Errors
    /// As [`Material::check`].
    pub fn add(&mut self, material: Material) -> Result<()> {
        material
            .check()
            .map_err(|e| e.within(format!("material.{}", material.id)))?;
        self.materials.insert(material.id.clone(), Arc::new(material));
        Ok(())
    }

    /// A catalogue from one document; `base` can name only materials of the same document.
    ///
    /// # Errors
    /// As [`Catalogue::extend_toml`].
    pub fn from_toml(text: &str) -> Result<Self> {
        let mut c = Catalogue::empty();
        c.extend_toml(text)?;
        Ok(c)
    }

    /// Adds the materials of a document; a material with a known id replaces it. On an error nothing is added.
    ///
    /// # Errors
    /// [`ErrorKind::Document`] (syntax, an unknown or missing field, a value without a source),
    /// [`ErrorKind::Version`], [`ErrorKind::UnknownName`] (a source key, a base), and what
    /// [`Material::check`] refuses.
    pub fn extend_toml(&mut self, text: &str) -> Result<()> {
        self.extend(document::toml_value(text)?)
    }

    /// As [`Catalogue::extend_toml`], from a document's tree of values.
    ///
    /// # Errors
    /// As [`Catalogue::extend_toml`].
    pub fn extend(&mut self, document: Value) -> Result<()> {
        let (mut document, sources) = document_with_keys(document)?;
        let materials = table(&mut document, "material")?;
        if let Some(unknown) = document.keys().next() {
            return Err(Error::new(ErrorKind::Document, unknown.clone())
                .with_value("an unknown table or field")
                .with_allowed("version, source, material")
                .with_way_out("remove it"));
        }
        let mut wider = self.clone();
        // A base may stand anywhere in the document: bases first.
        let mut waiting: Vec<(String, Tree)> = Vec::new();
        for (id, value) in materials {
            match value {
                Value::Object(t) => waiting.push((id, t)),
                other => {
                    return Err(Error::new(ErrorKind::Document, format!("material.{id}"))
                        .with_value(other)
                        .with_allowed("a table"));
                }
            }
        }
        while !waiting.is_empty() {
            let names: Vec<String> = waiting.iter().map(|w| w.0.clone()).collect();
            // A base of the material's own id is the one already in the catalogue.
            let ready = waiting
                .iter()
                .position(|(id, t)| base_of(t).is_none_or(|b| b == id || !names.iter().any(|n| n == b)));
            let Some(ready) = ready else {
                return Err(Error::inconsistent(
                    format!("material.{}.base", names[0]),
                    format!("a circle among {}", names.join(", ")),
                    "a base that is defined without this material",
                    "break the circle",
                ));
            };
            let (id, t) = waiting.swap_remove(ready);
            let material = wider
                .read(&id, t, &sources)
                .map_err(|e| e.within(format!("material.{id}")))?;
            wider.add(material)?;
        }
        *self = wider;
        Ok(())
    }

    fn read(&self, id: &str, mut own: Tree, sources: &Tree) -> Result<Material> {
        let base = own.remove("base");
        resolve(&mut own, sources)?;
        let mut whole = match base {
            None => Map::new(),
            Some(Value::String(b)) => {
                let base = self
                    .materials
                    .get(&b)
                    .ok_or_else(|| Error::unknown_name("base", &b, self.ids()))?;
                match noun::to_value(base.as_ref())? {
                    Value::Object(fields) => fields,
                    _ => Map::new(),
                }
            }
            Some(other) => {
                return Err(Error::new(ErrorKind::Document, "base")
                    .with_value(other)
                    .with_allowed("the id of a material, as text"));
            }
        };
        merge(&mut whole, own);
        whole.insert("id".to_owned(), Value::String(id.to_owned()));
        noun::read(&Value::Object(whole))
    }
}

/// Reads a document, checks its version and takes its sources out of it.
fn document_with_keys(document: Value) -> Result<(Tree, Tree)> {
    let Value::Object(mut document) = document else {
        return Err(Error::new(ErrorKind::Document, "")
            .with_value(document)
            .with_allowed("a table"));
    };
    match document.remove("version") {
        Some(v) if v == VERSION => {}
        other => {
            return Err(Error::new(ErrorKind::Version, "version")
                .with_value(other.map_or("none".to_owned(), |v| v.to_string()))
                .with_allowed(VERSION.to_string())
                .with_way_out(format!("write 'version = {VERSION}' at the top")));
        }
    }
    let sources = table(&mut document, "source")?;
    for (key, value) in &sources {
        noun::read_at::<Source>(&format!("source.{key}"), value)?;
    }
    Ok((document, sources))
}

/// Reads a document and puts each source where its key stands.
pub(super) fn document_with_sources(text: &str) -> Result<(Tree, Tree)> {
    let (mut document, sources) = document_with_keys(document::toml_value(text)?)?;
    resolve(&mut document, &sources)?;
    Ok((document, sources))
}

/// Takes the table `name` out of a document; a missing one is empty.
fn table(document: &mut Tree, name: &str) -> Result<Tree> {
    match document.remove(name) {
        None => Ok(Map::new()),
        Some(Value::Object(t)) => Ok(t),
        Some(other) => Err(Error::new(ErrorKind::Document, name)
            .with_value(other)
            .with_allowed(format!("tables [{name}.NAME]"))),
    }
}

/// Puts the source itself where its key stands.
fn resolve(t: &mut Tree, sources: &Tree) -> Result<()> {
    for (key, value) in t.iter_mut() {
        match value {
            Value::String(name) if key == "source" || key == "data_sheet" => match sources.get(name) {
                Some(source) => *value = source.clone(),
                None => {
                    return Err(Error::unknown_name(
                        key.as_str(),
                        name,
                        sources.keys().map(String::as_str),
                    ));
                }
            },
            Value::Object(inner) => resolve(inner, sources).map_err(|e| e.within(key))?,
            Value::Array(list) => {
                for (i, item) in list.iter_mut().enumerate() {
                    if let Value::Object(inner) = item {
                        resolve(inner, sources).map_err(|e| e.within(format!("{key}[{i}]")))?;
                    }
                }
            }
            _ => {}
        }
    }
    Ok(())
}

/// Lays `own` over `whole`: tables field by field, but what has a source is replaced as one.
fn merge(whole: &mut Tree, own: Tree) {
    for (key, value) in own {
        match (whole.get_mut(&key), value) {
            (Some(Value::Object(old)), Value::Object(new))
                if !old.contains_key("source") && !new.contains_key("source") =>
            {
                merge(old, new);
            }
            (_, value) => {
                whole.insert(key, value);
            }
        }
    }
}

fn base_of(t: &Tree) -> Option<&str> {
    t.get("base").and_then(Value::as_str)
}

#[cfg(test)]
mod tests {
    use super::*;

    const SHEET: &str = r#"
version = 1
[source.sheet]
title = "data sheet"
standing = "data_sheet"
"#;

    fn extended(text: &str) -> Result<Catalogue> {
        let mut c = Catalogue::generic().clone();
        c.extend_toml(&format!("{SHEET}{text}"))?;
        Ok(c)
    }

    #[test]
    fn one_field_of_a_generic_is_overridden_and_the_rest_stays() {
        let c = extended(
            r#"
[material.ours]
base = "ortho_polyester"
name = "ours"
[material.ours.resin]
viscosity = { value = "350 mPa*s", source = "sheet" }
"#,
        )
        .unwrap();
        let (ours, generic) = (c.get("ours").unwrap(), c.get("ortho_polyester").unwrap());
        let viscosity = ours.resin().unwrap().viscosity.as_ref().unwrap();
        assert_eq!(viscosity.source.standing, crate::Standing::DataSheet);
        assert_eq!(
            viscosity.range, None,
            "nothing of the generic's range is left over"
        );
        assert_eq!(ours.density, generic.density);
        assert_eq!(ours.resin().unwrap().styrene, generic.resin().unwrap().styrene);
    }

    #[test]
    fn refusals_name_the_field_and_the_way_out() {
        for (text, kind, says) in [
            (
                "[material.ours]\nbase = \"orto_polyester\"",
                ErrorKind::UnknownName,
                "material.ours.base: 'orto_polyester' is not known; did you mean",
            ),
            (
                "[material.ours]\nbase = \"ortho_polyester\"\ndensity = { value = \"1.1 g/mL\" }",
                ErrorKind::Document,
                "'source' is missing",
            ),
            (
                "[material.ours]\nbase = \"ortho_polyester\"\ndensity = { value = \"1.1 g/mL\", source = \"shet\" }",
                ErrorKind::UnknownName,
                "material.ours.density.source: 'shet' is not known; did you mean 'sheet'?",
            ),
            (
                "[material.ours]\nbase = \"ortho_polyester\"\ndensity = { value = \"1.1 g\", source = \"sheet\" }",
                ErrorKind::WrongDimension,
                "material.ours.density",
            ),
            (
                "[material.ours]\nbase = \"ortho_polyester\"\ndensity = { value = \"-1.1 g/mL\", source = \"sheet\" }",
                ErrorKind::OutOfRange,
                "material.ours.density",
            ),
            (
                "[material.ours]\nbase = \"ortho_polyester\"\nresin.viscosity = { value = \"-1 Pa*s\", source = \"sheet\" }",
                ErrorKind::OutOfRange,
                "material.ours.resin.viscosity",
            ),
            (
                "[material.ours]\nbase = \"ortho_polyester\"\ndensty = { value = \"1.1 g/mL\", source = \"sheet\" }",
                ErrorKind::Document,
                "did you mean 'density'?",
            ),
            (
                "[material.a]\nbase = \"b\"\n[material.b]\nbase = \"a\"",
                ErrorKind::Inconsistent,
                "circle",
            ),
            (
                "[material.ours]\nname = \"ours\"",
                ErrorKind::Document,
                "exactly one table of: resin, initiator",
            ),
            (
                "[materials.ours]\nname = \"ours\"",
                ErrorKind::Document,
                "materials",
            ),
        ] {
            let e = extended(text).unwrap_err();
            assert_eq!(e.kind(), kind, "{text}: {e}");
            assert!(e.to_string().contains(says), "{text}: {e}");
        }
        let e = Catalogue::from_toml("version = 2").unwrap_err();
        assert_eq!(e.kind(), ErrorKind::Version, "{e}");
        let e = Catalogue::generic().get("orto polyester").unwrap_err();
        assert!(e.to_string().contains("'ortho_polyester'"), "{e}");
    }

    #[test]
    fn a_catalogue_is_written_as_what_it_adds() {
        assert_eq!(
            noun::to_text(Catalogue::generic()),
            r#"{"version":1,"material":{}}"#
        );
        let ours = extended("[material.ours]\nbase = \"ortho_polyester\"\nname = \"ours\"").unwrap();
        let text = noun::to_text(&ours);
        assert!(text.contains("\"ours\"") && !text.contains("iso_polyester"));
        assert_eq!(
            document::from_json::<Catalogue>(&text, crate::Cancel::NEVER).unwrap(),
            ours
        );
    }

    #[test]
    fn a_material_written_and_read_back_is_the_same() {
        for m in Catalogue::generic().iter() {
            let text = document::to_json(m).unwrap();
            assert_eq!(
                &document::from_json::<Material>(&text, crate::Cancel::NEVER).unwrap(),
                m,
                "{}",
                m.id
            );
        }
    }
}
