//! Occupational exposure limits as data: who set it, when, in which form.
//!
//! Limits change and differ by country: value, body, date and form are kept together, and the limit in force at
//! the place of work is the one that counts.

use std::sync::{Arc, LazyLock};

use crate::noun::Noun;

use super::Hazard;
use super::catalogue::document_with_sources;
use super::fact::words;
use crate::error::{Error, Result};
use crate::quantity::{MassDensity, MolarMass, Time, VolumeFraction};
use crate::source::Source;

words! {
    /// The form of an exposure limit.
    LimitForm {
        /// Mean over the shift.
        TimeWeightedAverage "time_weighted_average",
        /// Mean over a short time, usually 15 minutes.
        ShortTerm "short_term",
        /// Never to be passed (or over the time stated).
        Ceiling "ceiling",
        /// Highest value above the ceiling, for the time stated.
        Peak "peak",
        /// Immediately dangerous to life or health.
        ImmediatelyDangerous "immediately_dangerous",
    }
}

words! {
    /// Where a limit is in force, or is recommended.
    Jurisdiction {
        /// The European Union, whose member states may go below.
        EuropeanUnion "european_union",
        /// Finland.
        Finland "finland",
        /// France.
        France "france",
        /// Germany.
        Germany "germany",
        /// Sweden.
        Sweden "sweden",
        /// The United Kingdom.
        UnitedKingdom "united_kingdom",
        /// The United States: what its authority has made law, and what its research body and its hygienists recommend.
        UnitedStates "united_states",
    }
}

/// What is in the air.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct Agent {
    /// Its id (`styrene`).
    pub id: String,
    /// What a person calls it.
    pub name: String,
    /// The hazard that brings it: which materials give it off.
    pub hazard: Hazard,
    /// Its molar mass, for a vapour.
    pub molar_mass: Option<MolarMass>,
}

/// An exposure limit of one body.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct ExposureLimit {
    /// Of what, an agent id.
    pub agent: String,
    /// Who set it.
    pub body: String,
    /// Where it holds.
    pub jurisdiction: Jurisdiction,
    /// From when it holds, or as of when it was read.
    pub year: u16,
    /// Whether another has taken its place: kept for its year, held against nothing.
    #[noun(default)]
    pub superseded: bool,
    /// Its form.
    pub form: LimitForm,
    /// The time it is a mean over.
    pub over: Option<Time>,
    /// Volume of vapour per volume of air.
    pub in_air: Option<VolumeFraction>,
    /// Mass per volume of air.
    pub mass: Option<MassDensity>,
    /// Fibres per cubic centimetre of air.
    pub fibres_per_cubic_centimetre: Option<f64>,
    /// Which fraction of a dust (`respirable`, `total`).
    pub fraction: Option<String>,
    /// A remark.
    pub note: Option<String>,
    /// On whose word.
    pub source: Arc<Source>,
}

/// The agents and their limits.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ExposureLimits {
    agents: Vec<Agent>,
    limits: Vec<ExposureLimit>,
}

#[derive(Noun)]
struct ExposureDocument {
    #[noun(default)]
    agent: std::collections::BTreeMap<String, AgentRow>,
    #[noun(default)]
    limit: Vec<ExposureLimit>,
}

#[derive(Noun)]
struct AgentRow {
    name: String,
    hazard: Hazard,
    molar_mass: Option<MolarMass>,
}

const GENERIC: &str = concat!(
    "version = 1\n",
    include_str!("../../data/source.toml"),
    include_str!("../../data/exposure.toml")
);

impl ExposureLimits {
    /// The limits that come with the library.
    pub fn generic() -> &'static ExposureLimits {
        static READ: LazyLock<ExposureLimits> = LazyLock::new(|| {
            ExposureLimits::from_toml(GENERIC).unwrap_or_else(|e| {
                // Embedded at compile time and read by every test run: can not happen in a released build.
                unreachable!("embedded data: {e}")
            })
        });
        &READ
    }

    /// Reads a document of `[source.KEY]`, `[agent.ID]` and `[[limit]]`.
    ///
    /// # Errors
    /// As a catalogue document; [`ErrorKind::UnknownName`](crate::ErrorKind::UnknownName) for a limit of an
    /// agent that the document does not define; [`ErrorKind::Document`](crate::ErrorKind::Document) for a limit
    /// without a value.
    pub fn from_toml(text: &str) -> Result<Self> {
        let (rest, _) = document_with_sources(text)?;
        let d: ExposureDocument = crate::noun::read(&rest.into())?;
        for (i, l) in d.limit.iter().enumerate() {
            if !d.agent.contains_key(&l.agent) {
                return Err(Error::unknown_name(
                    format!("limit[{i}].agent"),
                    &l.agent,
                    d.agent.keys().map(String::as_str),
                ));
            }
            if l.in_air.is_none() && l.mass.is_none() && l.fibres_per_cubic_centimetre.is_none() {
                return Err(Error::new(crate::ErrorKind::Document, format!("limit[{i}]"))
                    .with_value("no value")
                    .with_way_out("give 'in_air', 'mass' or 'fibres_per_cubic_centimetre'"));
            }
        }
        Ok(ExposureLimits {
            agents: d
                .agent
                .into_iter()
                .map(|(id, a)| Agent {
                    id,
                    name: a.name,
                    hazard: a.hazard,
                    molar_mass: a.molar_mass,
                })
                .collect(),
            limits: d.limit,
        })
    }

    /// All agents.
    pub fn agents(&self) -> &[Agent] {
        &self.agents
    }

    /// An agent by its id.
    ///
    /// # Errors
    /// [`ErrorKind::UnknownName`](crate::ErrorKind::UnknownName) with the nearest known ids.
    pub fn agent(&self, id: &str) -> Result<&Agent> {
        self.agents
            .iter()
            .find(|a| a.id == id)
            .ok_or_else(|| Error::unknown_name("agent", id, self.agents.iter().map(|a| a.id.as_str())))
    }

    /// Every limit of an agent, of every body: they are not reconciled.
    ///
    /// # Errors
    /// As [`ExposureLimits::agent`].
    pub fn of(&self, agent: &str) -> Result<Vec<&ExposureLimit>> {
        self.agent(agent)?;
        Ok(self.limits.iter().filter(|l| l.agent == agent).collect())
    }

    /// Every limit of the agents that `hazards` bring.
    pub fn of_hazards(&self, hazards: &[Hazard]) -> Vec<&ExposureLimit> {
        self.limits
            .iter()
            .filter(|l| {
                self.agents
                    .iter()
                    .any(|a| a.id == l.agent && hazards.contains(&a.hazard))
            })
            .collect()
    }
}
