//! A casting: what is to be made, in which mould and shop, by which recipes. The document of the main job.

use std::collections::BTreeMap;

use crate::noun::Noun;

use super::air::CleaningSolvent;
use super::clock::Clock;
use super::shop_tests::{self, ShopTest};
use super::stockroom::{Costing, Stockroom};
use crate::air::Room;
use crate::calibrate::{CupTest, GelTest};
use crate::cure::DemouldCriterion;
use crate::document::{self, Versions};
use crate::error::{Error, ErrorKind, Result};
use crate::flow::YieldLaw;
use crate::heat::Stance;
use crate::kept::Kept;
use crate::laminate::{BlockHold, ReleaseTest};
use crate::light::{CoatOptics, TestPiece};
use crate::limit::{Limits, Method};
use crate::material::{Catalogue, Jurisdiction};
use crate::mix::{Bench, Recipe};
use crate::mould::SizeMeasurement;
use crate::quantity::{
    self, Area, BenchUnits, Force, Index, Length, Mass, MassFraction, Pressure, Quantity, RelativeAmount,
    RelativeHumidity, ThermodynamicTemperature, Time, Volume, temperature,
};
use crate::stock::Held;

/// The version of the casting document that this library reads.
pub const CASTING_VERSION: u32 = 2;

const VERSIONS: Versions = Versions {
    reads: CASTING_VERSION,
    earlier: &[(
        1,
        "a casting of version 1 holds its cup tests otherwise: write 'version = 2'; each cup test becomes a table in a list, \
         '[[cup_tests.RESIN]]', with dose, mass, surroundings, gel_time, gel_to_peak, peak_temperature and source side by \
         side; leave its heat_transfer out (or say where the cup stood with 'place'), and its density and heat_capacity \
         unless they were measured; all else stays",
    )],
};

/// A casting before any resin is mixed.
#[derive(Clone, PartialEq, Noun)]
#[noun(versions = "VERSIONS", check)]
pub struct Casting {
    /// Version of this document: 2.
    pub version: u32,
    /// What is cast.
    pub name: String,
    /// A remark, carried to the plan.
    pub note: Option<String>,
    /// Where and when, with which tools.
    pub shop: Shop,
    /// In which mould.
    pub mould: Mould,
    /// The recipes by name.
    pub recipes: BTreeMap<String, Recipe>,
    /// The zones of the mould and what is laid on each, in order.
    pub zones: Vec<Zone>,
    /// Things set into the shell (a hanging block, a threaded bush).
    #[noun(default)]
    pub inserts: Vec<Insert>,
    /// The seams between the halves.
    #[noun(default)]
    pub seams: Vec<Seam>,
    /// Whether the mould is closed on wet work, or once that has gelled.
    #[noun(default)]
    pub closing: Closing,
    /// How the halves are held together.
    pub clamping: Option<Clamping>,
    /// Several castings from this mould, one after another.
    pub series: Option<Series>,
    /// When it leaves the mould, and the cure after that.
    #[noun(default)]
    pub cure: CurePlan,
    /// What resins showed in test cups, by material: with their gel-time tables the exotherm of cups and zones is computed
    /// from them.
    #[noun(default)]
    pub cup_tests: BTreeMap<String, Vec<CupTest>>,
    /// Thin films of resins that were timed to gel, by material: they tell the same law without self-heating.
    #[noun(default)]
    pub film_tests: BTreeMap<String, Vec<GelTest>>,
    /// What tests of this shop showed, by the material or the recipe they were made of: each takes the place of what the catalogue,
    /// or a rule of thumb, says of it. A dropper's drops stand with the bench, test cups and films with `cup_tests` and `film_tests`.
    #[noun(default)]
    pub shop_tests: BTreeMap<String, Vec<ShopTest>>,
    /// What is mixed beyond what stays in the part.
    #[noun(default)]
    pub waste: Waste,
    /// How fast the hands are.
    #[noun(default)]
    pub pace: Pace,
    /// What is on the shelf, by material: a mass, a volume or an area ("2.5 kg", "0.8 m^2").
    #[noun(default)]
    pub stock: BTreeMap<String, Held>,
    /// The shelf by lots, and the packages in which materials are sold.
    pub stockroom: Option<Stockroom>,
    /// What a part costs besides its materials.
    pub costing: Option<Costing>,
    /// Sources that the materials and limits of this document name.
    #[noun(default)]
    pub source: BTreeMap<String, serde_json::Value>,
    /// Materials of this shop, added to the generic catalogue or built on one of its entries with `base`.
    #[noun(default)]
    pub material: BTreeMap<String, serde_json::Value>,
    /// Limits of this shop, added to the general ones.
    #[noun(default)]
    pub limit: Vec<serde_json::Value>,
}

/// The shop on the day.
#[derive(Clone, PartialEq, Noun)]
pub struct Shop {
    /// Air temperature.
    #[noun(within = crate::ranges::BENCH_TEMPERATURE)]
    pub temperature: ThermodynamicTemperature,
    /// Temperature of the resin in its tin; the air's, if not said.
    #[noun(within = crate::ranges::BENCH_TEMPERATURE)]
    pub resin_temperature: Option<ThermodynamicTemperature>,
    /// Temperature of the mould's face; the air's, if not said.
    #[noun(within = crate::ranges::BENCH_TEMPERATURE)]
    pub mould_temperature: Option<ThermodynamicTemperature>,
    /// Relative humidity of the air.
    #[noun(within("1 %", "100 %", "give what the hygrometer shows: no shop's air is quite dry"))]
    pub humidity: RelativeHumidity,
    /// Air over the hours, where it changes (a night that cools): from the start of work at the latest until demoulding at the
    /// earliest, its temperature straight between the points, its humidity in steps. It warms and cools what lies in the mould;
    /// `temperature` stays that of the day's work. What its humidity does to the mould's face is judged at the worst hour
    /// from the first coat of release agent until the last cup is laid and the mould closed.
    #[noun(default)]
    pub day: Vec<AirOfHour>,
    /// When work starts, every day.
    pub start: Clock,
    /// When work ends, every day; ten hours after the start, if not said. What would not be done by then waits for
    /// the next morning.
    pub end: Option<Clock>,
    /// How many people work on it.
    #[noun(default = 1, within(1, 20, "count the people who work on the casting"))]
    pub workers: u8,
    /// The room, for what is breathed of the vapours; nothing is told of the air without it.
    pub room: Option<Room>,
    /// Whose exposure limits count; needed with a room.
    pub jurisdiction: Option<Jurisdiction>,
    /// Solvent that the tools are cleaned with in that room.
    pub cleaning: Option<CleaningSolvent>,
    /// The units on the bench.
    #[noun(default)]
    pub units: BenchUnits,
    /// Scale, dropper, syringe, thermometer.
    pub bench: Bench,
}

/// The air at an hour.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct AirOfHour {
    /// When.
    pub at: Clock,
    /// Its temperature.
    #[noun(within = crate::ranges::BENCH_TEMPERATURE)]
    pub temperature: ThermodynamicTemperature,
    /// Its relative humidity from then on, until a later hour gives another; before the first that is given, the shop's.
    #[noun(within("1 %", "100 %", "give what the hygrometer shows: no shop's air is quite dry"))]
    pub humidity: Option<RelativeHumidity>,
}

impl Shop {
    fn check(&self) -> Result<()> {
        self.bench.check().map_err(|e| e.within("bench"))?;
        if let Some(first) = self.day.first().filter(|a| a.at.since(self.start).si() > 0.0) {
            return Err(Error::inconsistent(
                "day[0].at",
                first.at.to_string(),
                format!("{} (the start of work) or before", self.start),
                "give the air's temperature from the start of work on",
            ));
        }
        for (i, pair) in self.day.windows(2).enumerate() {
            if pair[1].at.since(pair[0].at).si() <= 0.0 {
                return Err(Error::inconsistent(
                    format!("day[{}].at", i + 1),
                    pair[1].at.to_string(),
                    format!("after {}", pair[0].at),
                    "give the hours in order; the next morning is written like '06:00 +1 d'",
                ));
            }
        }
        let Some(end) = self.end else { return Ok(()) };
        let day = end.since(self.start).si();
        if (60.0..=86_400.0).contains(&day) {
            return Ok(());
        }
        Err(Error::inconsistent(
            "end",
            format!("{end} after a start at {}", self.start),
            "1 min to 24 h after the start",
            "work past midnight is written like '02:00 +1 d'",
        ))
    }
    /// The air's temperature at an hour: of the day, held after its last point, or the one temperature.
    pub fn air_at(&self, at: Clock) -> ThermodynamicTemperature {
        let after = self.day.iter().position(|a| a.at.since(at).si() > 0.0);
        match (after, self.day.last()) {
            (_, None) => self.temperature,
            (None, Some(last)) => last.temperature,
            (Some(0), _) => self.day[0].temperature,
            (Some(i), _) => {
                let (a, b) = (self.day[i - 1], self.day[i]);
                let share = at.since(a.at).si() / b.at.since(a.at).si();
                a.temperature + (temperature::difference(b.temperature, a.temperature) * share)
            }
        }
    }
    /// The air's relative humidity at an hour: the last that the day gives up to then, or the one humidity.
    pub fn humidity_at(&self, at: Clock) -> RelativeHumidity {
        let until = self.day.iter().take_while(|a| a.at.since(at).si() <= 0.0);
        until.filter_map(|a| a.humidity).last().unwrap_or(self.humidity)
    }
    /// The air from an hour on, that hour first.
    pub fn air_from(&self, from: Clock) -> Vec<(Clock, ThermodynamicTemperature)> {
        let later = self.day.iter().filter(|a| a.at.since(from).si() > 0.0);
        std::iter::once((from, self.air_at(from)))
            .chain(later.map(|a| (a.at, a.temperature)))
            .collect()
    }
    /// The resin's temperature.
    pub fn resin(&self) -> ThermodynamicTemperature {
        self.resin_temperature.unwrap_or(self.temperature)
    }
    /// Length of the working day.
    pub fn workday(&self) -> Time {
        match self.end {
            Some(end) => end.since(self.start),
            None => Time::new::<uom::si::time::hour>(10.0),
        }
    }
    /// The mould face's temperature.
    pub fn mould(&self) -> ThermodynamicTemperature {
        self.mould_temperature.unwrap_or(self.temperature)
    }
}

/// The mould.
#[derive(Clone, PartialEq, Noun)]
pub struct Mould {
    /// What its wall is made of, a material id.
    pub wall: String,
    /// Thickness of its wall; needed where the heat of a zone is computed, without effect elsewhere.
    #[noun(within("0.1 mm", "1 m", "give the mould wall's thickness"))]
    pub thickness: Option<Length>,
    /// Whether the pores of a porous wall (plaster, wood) have been sealed; without effect on any other wall.
    #[noun(default)]
    pub sealed: bool,
    /// What is put on it before the first coat, in order.
    #[noun(default)]
    pub release: Vec<ReleaseCoats>,
    /// A strip lifted off a patch that was released as this mould is: how firmly the part will stick. Without it a band from
    /// memory stands in.
    pub release_test: Option<ReleaseTest>,
}

/// Several castings from one mould, one after another: the next begins with cleaning the mould that the last one has left.
#[derive(Clone, PartialEq, Noun)]
pub struct Series {
    /// How many, the first among them.
    #[noun(within(1, 40, "count the castings; plan more of them in parts"))]
    pub castings: u8,
    /// What is put on the mould before each further casting, in order: the mould's own coats once more, if not said.
    pub release: Option<Vec<ReleaseCoats>>,
    /// When the last of them should have left the mould: it is told how many have.
    pub until: Option<Clock>,
}

/// Coats of a release agent.
#[derive(Clone, PartialEq, Noun)]
pub struct ReleaseCoats {
    /// The release agent, a material id.
    pub material: String,
    /// How many coats.
    #[noun(within(1, 20, "count the coats, or leave the entry out"))]
    pub coats: u8,
    /// Wait after each coat; the material's usual interval, if not said.
    pub wait: Option<Time>,
}

/// A zone of the mould: one surface, or one cavity, and what is laid on it in order.
#[derive(Clone, PartialEq, Noun)]
pub struct Zone {
    /// Its name ("upper body", "left fore wing").
    pub name: String,
    /// Its area, for coats and plies, and for pours given by thickness.
    #[noun(within("0.0001 m^2", "100 m^2", "give the zone's area"))]
    pub area: Option<Area>,
    /// How its area was measured (tape, outline, weighed template, solid), in place of `area`.
    pub measured: Option<Box<SizeMeasurement>>,
    /// What is laid on it, first against the mould.
    pub layers: Vec<ZoneLayer>,
    /// A thin edge that is pulled at demoulding.
    pub pulled_edge: Option<PullOnEdge>,
    /// How its open face stands in the air while it is laid and cures; the mould's back stands the other way round.
    #[noun(default = upright())]
    pub stance: Stance,
    /// The length of the face that its stance asks for; that of a square of its area, if not said.
    #[noun(within(
        "1 mm",
        "10 m",
        "give the height, the diameter, or the area over the perimeter of the face"
    ))]
    pub size: Option<Length>,
    /// The light that a strip of its pour lets through in front of a lamp, measured: it replaces what is assumed of bubbles
    /// and resin colour.
    pub strip: Option<TestPiece>,
    /// Where its middle lies: x, y and z (upwards) from any one point of the part, for how the part hangs.
    pub at: Option<[Length; 3]>,
}

fn upright() -> Stance {
    Stance::Vertical
}

/// A thin edge that leaves the mould last: a strip from its root to its tip.
#[derive(Clone, PartialEq, Noun)]
pub struct PullOnEdge {
    /// From root to tip.
    pub length: Length,
    /// Width that carries the pull.
    pub width: Length,
    /// The pull at the tip, where it is known. If not said, it is peeled off by as much as it sticks: `mould.release_test`
    /// tells that, a band from memory stands in for it.
    #[noun(within("0.001 N", "100000 N", "give the pull, for example '12 N', or leave it out"))]
    pub pull: Option<Force>,
    /// Thickness of the tip; the zone's, if not said.
    pub tip_thickness: Option<Length>,
}

/// A layer of a zone.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub enum ZoneLayer {
    /// Gel coat, brushed or sprayed.
    GelCoat(GelCoat),
    /// Plies of mat, cloth or veil wetted with resin, by hand.
    Laminate(Laminate),
    /// Filled or unfilled resin poured in.
    Pour(Pour),
}

/// A gel coat.
#[derive(Clone, PartialEq, Noun)]
pub struct GelCoat {
    /// Recipe by name.
    pub recipe: String,
    /// Wet thickness of each coat.
    #[noun(within("10 um", "20 mm", "give the wet thickness of one coat"))]
    pub wet_thickness: Length,
    /// How many coats.
    #[noun(default = 1, within(1, 20, "count the coats"))]
    pub coats: u8,
    /// How it is put on: rules for the other way do not count.
    #[noun(default)]
    pub applied: Application,
    /// How well it hides, from a draw-down or its pigment (its content in the gel coat as it is laid; what is left when monomer
    /// has gone holds more); then the contrast ratio of the cured film is computed.
    pub optics: Option<CoatOptics>,
}

/// How a gel coat is put on.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Default, Noun)]
pub enum Application {
    /// By brush.
    #[default]
    Brush,
    /// By spray gun.
    Spray,
}

impl Application {
    /// The word that a limit's `method` uses.
    pub(super) fn tag(self) -> &'static str {
        match self {
            Application::Brush => Method::Brush.name(),
            Application::Spray => Method::Spray.name(),
        }
    }
}

/// A laminate.
#[derive(Clone, PartialEq, Noun)]
pub struct Laminate {
    /// Recipe of the resin by name.
    pub recipe: String,
    /// Plies by material id, first against the gel coat.
    pub plies: Vec<String>,
    /// Glass content of the laminate; if not said, the first of the published ones of each ply's material.
    #[noun(within("1 wt%", "85 wt%", "hand lay-up of mat is near 30 wt%"))]
    pub glass_content: Option<MassFraction>,
}

/// A pour.
#[derive(Clone, PartialEq, Noun)]
pub struct Pour {
    /// Recipe by name.
    pub recipe: String,
    /// Volume of the pour; or give its `thickness` on the zone's area.
    #[noun(within("0.01 mL", "1000 L", "give the volume of the pour"))]
    pub volume: Option<Volume>,
    /// How its volume was measured (water, solid), in place of `volume`.
    pub measured: Option<Box<SizeMeasurement>>,
    /// Thickness of the pour, its greatest depth where a `volume` is given too.
    #[noun(within("10 um", "1 m", "give the depth of the pour"))]
    pub thickness: Option<Length>,
    /// Whether the mould is closed over it before it gels: then it loses hardly any vapour.
    #[noun(default)]
    pub closed: bool,
}

/// Something set into the shell.
#[derive(Clone, PartialEq, Noun)]
pub struct Insert {
    /// What it is.
    pub name: String,
    /// Recipe of the paste it is bedded in, by name.
    pub recipe: String,
    /// Volume of that paste.
    #[noun(within("0.01 mL", "100 L", "give the paste's volume"))]
    pub volume: Volume,
    /// Mass of the thing itself, for what hangs and how.
    #[noun(within("1 mg", "100 kg", "give what the scale shows, for example '18 g'"))]
    pub mass: Option<Mass>,
    /// Where it lies: x, y and z (upwards) from the same point as the zones; of a block that the part hangs by, where the line
    /// is fixed.
    pub at: Option<[Length; 3]>,
    /// Where the part hangs by it: what it is held by.
    pub carries: Option<HangingBlock>,
}

/// A block that the part hangs by: its face on the shell.
#[derive(Clone, PartialEq, Noun)]
pub struct HangingBlock {
    /// The zone of the shell that it is set into.
    pub zone: String,
    /// How the shell holds it.
    #[noun(default)]
    pub hold: BlockHold,
    /// Length of the block's face on the shell.
    #[noun(within(
        "1 mm",
        "1 m",
        "measure the block where it lies on the shell, for example '40 mm'"
    ))]
    pub length: Length,
    /// Width of that face.
    #[noun(within(
        "1 mm",
        "1 m",
        "measure the block where it lies on the shell, for example '30 mm'"
    ))]
    pub width: Length,
    /// Area that is bonded; the whole face, if not said.
    #[noun(within(
        "1 mm^2",
        "1 m^2",
        "give the area that paste covers, for example '10 cm^2'; a block without a bond holds by nothing"
    ))]
    pub bond_area: Option<Area>,
    /// Shear strength of the bond, from a test of this paste on this wood; the low end of what polyester showed on wood, if not
    /// said.
    #[noun(within = crate::ranges::STRENGTH)]
    pub bond_shear: Option<Pressure>,
    /// What hangs from the part besides: lamp, cable, strings.
    #[noun(within("1 mg", "100 kg", "give what the scale shows, for example '150 g'"))]
    pub besides: Option<Mass>,
    /// Load over weight as it is hoisted and jerked; two is a load let go into a slack line of no height (exact for a spring).
    #[noun(
        default = "2",
        within(1, 20, "1 hangs still; a load let go into its line pulls twice its weight")
    )]
    pub dynamic_factor: Index,
}

/// A seam filled with paste.
#[derive(Clone, PartialEq, Noun)]
pub struct Seam {
    /// Which.
    pub name: String,
    /// Recipe of the paste, by name.
    pub recipe: String,
    /// Length of the seam.
    #[noun(within("1 mm", "1000 m", "give the seam's length"))]
    pub length: Length,
    /// Width of the bead.
    #[noun(within("0.1 mm", "200 mm", "give the bead's width"))]
    pub width: Length,
    /// Height of the bead.
    #[noun(within("0.1 mm", "200 mm", "give the bead's height"))]
    pub height: Length,
    /// Where its middle lies: x, y and z (upwards) from the same point as the zones.
    pub at: Option<[Length; 3]>,
    /// Width of the flange that it is squeezed on; the bead's, if not said.
    pub flange: Option<Length>,
    /// Yield stress of the paste by its silica, from this shop's slump test; common practice, if not said.
    pub yield_law: Option<YieldLaw>,
}

/// When a mould is closed.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Default, Noun)]
pub enum Closing {
    /// Once all but the beads has gelled: the seams are filled with paste.
    #[default]
    AfterGel,
    /// While pours, laminates and beads are liquid, so that the halves grow together.
    Wet,
}

/// The clamps.
#[derive(Clone, PartialEq, Noun)]
pub struct Clamping {
    /// How many.
    #[noun(within(1, 10000, "count the clamps, or leave 'clamping' out"))]
    pub clamps: u32,
    /// Force of each.
    #[noun(within("0.1 N", "100 kN", "give the force of one clamp"))]
    pub force: Force,
}

/// Demoulding and post-cure.
#[derive(Clone, PartialEq, Noun)]
pub struct CurePlan {
    /// Time in the closed mould; the default is overnight (common practice, no source).
    #[noun(
        default = "16 h",
        within("1 min", "60 d", "give the time in the closed mould")
    )]
    pub in_mould: Time,
    /// Post-cure, in order.
    #[noun(default)]
    pub post_cure: Vec<Hold>,
    /// What must hold before the part is demoulded; the limits on the degree of cure, if not said.
    pub demould: Option<DemouldCriterion>,
    /// When it must be ready to leave the mould: the plan says whether it is, and how warm the shop must be for it.
    pub demould_by: Option<Clock>,
    /// Hottest that the part gets in use (under its lamp, in the sun): the plan says whether it stays stiff.
    #[noun(within(
        "-50 degC",
        "250 degC",
        "give what a thermometer on the part shows under its lamp, or in the sun"
    ))]
    pub in_use: Option<ThermodynamicTemperature>,
}

impl Default for CurePlan {
    fn default() -> Self {
        crate::noun::defaults()
    }
}

/// A hold at a temperature.
#[derive(Clone, PartialEq, Noun)]
pub struct Hold {
    /// Temperature.
    #[noun(within("-20 degC", "250 degC", "give the oven's temperature"))]
    pub temperature: ThermodynamicTemperature,
    /// Time.
    #[noun(within("1 min", "60 d", "give the time of the hold"))]
    pub time: Time,
    /// How long the part takes to get that warm, of that time; ten minutes, if not said (from memory, a wall of some
    /// millimetres put into a warm oven), half the time at most.
    #[noun(within("1 s", "30 d", "give how long the oven is set to rise"))]
    pub rise: Option<Time>,
}

/// How long a thin part takes to get as warm as the oven it is put into, s: from memory.
const RISE: f64 = 600.0;

impl Hold {
    /// How long the part takes to get that warm.
    pub fn rise(&self) -> Time {
        self.rise
            .unwrap_or_else(|| Time::new::<uom::si::time::second>(RISE.min(0.5 * self.time.si())))
    }
}

/// What is mixed beyond what stays in the part, as a share of it: dripped, left in the cup and in the brush, trimmed off. Of each cup it
/// is at least what stays in the cup and on its tools as a film ([`WettedTools`](crate::mix::WettedTools)), which of a small cup is the
/// larger part. Common practice, no source; the shop's own figures are better.
#[derive(Clone, PartialEq, Noun)]
pub struct Waste {
    /// Of gel coat: cup and brush.
    #[noun(
        default = "15 %",
        within = crate::ranges::WASTE
    )]
    pub gel_coat: RelativeAmount,
    /// Of laminating resin: cup, brush and roller.
    #[noun(
        default = "10 %",
        within = crate::ranges::WASTE
    )]
    pub laminate: RelativeAmount,
    /// Of reinforcement: overlaps and trim.
    #[noun(
        default = "15 %",
        within = crate::ranges::WASTE
    )]
    pub reinforcement: RelativeAmount,
    /// Of a pour: cup.
    #[noun(
        default = "5 %",
        within = crate::ranges::WASTE
    )]
    pub pour: RelativeAmount,
    /// Of paste: left in the bag. What the clamps squeeze out is computed, and comes on top.
    #[noun(
        default = "20 %",
        within = crate::ranges::WASTE
    )]
    pub paste: RelativeAmount,
}

impl Default for Waste {
    fn default() -> Self {
        crate::noun::defaults()
    }
}

/// How fast the hands are. Common practice, no source; one timed part of the shop's own is better.
#[derive(Clone, PartialEq, Noun)]
pub struct Pace {
    /// To weigh, dose and stir one cup.
    #[noun(default = "4 min", within = crate::ranges::HANDS_TIME)]
    pub mixing: Time,
    /// To put on one square metre of release agent.
    #[noun(default = "20 min", within = crate::ranges::HANDS_TIME)]
    pub release_per_area: Time,
    /// To put one coat of gel coat on one square metre.
    #[noun(default = "30 min", within = crate::ranges::HANDS_TIME)]
    pub gel_coat_per_area: Time,
    /// To wet out and roll one square metre of one ply.
    #[noun(default = "60 min", within = crate::ranges::HANDS_TIME)]
    pub ply_per_area: Time,
    /// To pour one litre into a thin edge.
    #[noun(default = "50 min", within = crate::ranges::HANDS_TIME)]
    pub pour_per_litre: Time,
    /// To lay one metre of seam bead.
    #[noun(default = "3 min", within = crate::ranges::HANDS_TIME)]
    pub seam_per_length: Time,
    /// To set one insert.
    #[noun(default = "5 min", within = crate::ranges::HANDS_TIME)]
    pub insert: Time,
    /// To close the mould and set one clamp.
    #[noun(default = "45 s", within = crate::ranges::HANDS_TIME)]
    pub clamp: Time,
    /// To demould.
    #[noun(default = "20 min", within = crate::ranges::HANDS_TIME)]
    pub demould: Time,
    /// To trim and sand what has been demoulded.
    #[noun(default = "25 min", within = crate::ranges::HANDS_TIME)]
    pub trim: Time,
    /// The longest that one cup may take to place: a larger one is split. The usable share of its gel time alone, if not said.
    #[noun(within("10 s", "7 d", "give the time in which one cup is to be placed"))]
    pub longest_placing: Option<Time>,
    /// Share of the gel time in which a cup is used up: beyond it the resin drags.
    #[noun(
        default = "70 %",
        within("10 %", "95 %", "a cup can be used for part of its gel time only")
    )]
    pub usable: RelativeAmount,
}

impl Default for Pace {
    fn default() -> Self {
        crate::noun::defaults()
    }
}

impl Casting {
    /// Reads a casting from TOML, as people write it; one with spreads: [`Casting::read`].
    ///
    /// # Errors
    /// As [`document::from_toml`], [`ErrorKind::Version`], and [`Casting::check`].
    pub fn from_toml(text: &str) -> Result<Casting> {
        document::from_toml(text)
    }

    /// Reads a casting from JSON, as programs write it.
    ///
    /// # Errors
    /// As [`Casting::from_toml`].
    pub fn from_json(text: &str) -> Result<Casting> {
        document::from_json(text, crate::Cancel::NEVER)
    }

    /// Writes the casting as JSON; reading it back gives the same casting.
    ///
    /// # Errors
    /// [`ErrorKind::Document`] if it holds a number that is not finite.
    pub fn to_json(&self) -> Result<String> {
        document::to_json(self)
    }

    /// The catalogue of this casting: the generic one with the casting's own materials, and with what its shop tests showed of them.
    ///
    /// # Errors
    /// As the catalogue's reading refuses.
    pub fn catalogue(&self) -> Result<Catalogue> {
        let mut catalogue = if self.material.is_empty() {
            Catalogue::generic().clone()
        } else {
            CATALOGUES.or_ask(
                |(source, material)| *source == self.source && *material == self.material,
                || {
                    let mut own = Catalogue::generic().clone();
                    let rows = serde_json::json!(self.material);
                    own.extend(embedded(&self.source, "material", rows))?;
                    Ok(((self.source.clone(), self.material.clone()), own))
                },
            )?
        };
        shop_tests::into_catalogue(&self.shop_tests, &mut catalogue)?;
        Ok(catalogue)
    }

    /// The limits of this casting: the general ones with the casting's own.
    ///
    /// # Errors
    /// As the limits' reading refuses; [`ErrorKind::UnknownName`] for a subject that no limit and no material is called:
    /// nothing would ever measure such a limit.
    pub fn limits(&self) -> Result<Limits> {
        let mut limits = Limits::generic()?;
        if !self.limit.is_empty() {
            let mut own = Limits::default();
            own.extend(embedded(&self.source, "limit", serde_json::json!(self.limit)))?;
            let catalogue = self.catalogue()?;
            Error::none_of(own.iter().enumerate().map(|(i, l)| {
                l.names_subjects(&catalogue)
                    .map_err(|e| e.within(format!("limit[{i}]")))
            }))?;
            for l in own.iter() {
                limits.add(l.clone())?;
            }
        }
        Ok(limits)
    }

    /// Refuses what no plan can be made of: bad numbers, recipes that are not there, empty zones.
    ///
    /// # Errors
    /// Typed, with the path of the field.
    pub fn check(&self) -> Result<()> {
        VERSIONS.check_number(self.version.into())?;
        crate::noun::check(self)?;
        self.shop.check().map_err(|e| e.within("shop"))?;
        if let Some(until) = self.series.as_ref().and_then(|s| s.until)
            && until.since(self.shop.start).si() <= 0.0
        {
            return Err(Error::inconsistent(
                "series.until",
                until,
                format!("after {} (the start of work)", self.shop.start),
                "the next morning is written like '08:30 +1 d'",
            ));
        }
        if self.zones.is_empty() && self.seams.is_empty() && self.inserts.is_empty() {
            return Err(Error::new(ErrorKind::Document, "zones")
                .with_value("an empty list")
                .with_way_out("name at least one zone with its layers"));
        }
        if self.zones.len() > MOST_ZONES {
            return Err(Error::out_of_range(
                "zones",
                format!("{} zones", self.zones.len()),
                format!("1 to {MOST_ZONES}"),
                "plan the casting in parts",
            ));
        }
        let twice = |i: usize| {
            let zone = &self.zones[i];
            if self.zones[..i].iter().any(|z| z.name == zone.name) {
                Err(Error::inconsistent(
                    "name",
                    format!("'{}' twice", zone.name),
                    "each zone once",
                    "give each zone its own name",
                ))
            } else {
                Ok(())
            }
        };
        let zones = self.zones.iter().enumerate().map(|(i, zone)| {
            Error::none_of([twice(i), zone.check_measured(), zone.check(&self.recipes)])
                .map_err(|e| e.within(format_args!("zones[{i}]")))
        });
        let inserts = self.inserts.iter().enumerate().map(|(i, insert)| {
            let set_into = insert.carries.as_ref().map_or(Ok(()), |block| {
                if self.zones.iter().any(|z| z.name == block.zone) {
                    return Ok(());
                }
                Err(Error::unknown_name(
                    "carries.zone",
                    &block.zone,
                    self.zones.iter().map(|z| z.name.as_str()),
                ))
            });
            Error::none_of([known(&self.recipes, &insert.recipe), set_into])
                .map_err(|e| e.within(format_args!("inserts[{i}]")))
        });
        let seams = self.seams.iter().enumerate().map(|(i, seam)| {
            known(&self.recipes, &seam.recipe).map_err(|e| e.within(format_args!("seams[{i}]")))
        });
        let holds = self.cure.post_cure.iter().enumerate().map(|(i, hold)| {
            let too_slow = hold.rise.filter(|r| *r >= hold.time);
            too_slow.map_or(Ok(()), |rise| {
                Err(Error::inconsistent(
                    format!("cure.post_cure[{i}].rise"),
                    quantity::show(rise),
                    format!("less than the hold's {}", quantity::show(hold.time)),
                    "the rise is part of the hold's time",
                ))
            })
        });
        let tests = shop_tests::check(self);
        Error::none_of(zones.chain(inserts).chain(seams).chain(holds).chain(tests))
    }
}

pub(super) fn known(recipes: &BTreeMap<String, Recipe>, name: &str) -> Result<()> {
    if recipes.contains_key(name) {
        return Ok(());
    }
    Err(Error::unknown_name(
        "recipe",
        name,
        recipes.keys().map(String::as_str),
    ))
}

impl Zone {
    fn check(&self, recipes: &BTreeMap<String, Recipe>) -> Result<()> {
        if self.layers.len() > MOST_LAYERS {
            return Err(Error::out_of_range(
                "layers",
                format!("{} layers", self.layers.len()),
                format!("1 to {MOST_LAYERS}"),
                "plies laid wet in wet are the plies of one layer",
            ));
        }
        if self.layers.is_empty() {
            return Err(Error::new(ErrorKind::Document, "layers")
                .with_value("an empty list")
                .with_way_out("say what is laid on the zone: gel_coat, laminate or pour"));
        }
        Error::none_of(self.layers.iter().enumerate().map(|(j, layer)| {
            Error::none_of([known(recipes, layer.recipe()), layer.check(self)])
                .map_err(|e| e.within(format_args!("layers[{j}].{}", layer.kind())))
        }))
    }
}

/// A bench plan beyond this is a mistake, and its timetable would take minutes to work out.
const MOST_ZONES: usize = 500;
/// As above, of one zone.
const MOST_LAYERS: usize = 100;
/// As above, of one layer.
const MOST_PLIES: usize = 200;

/// Tables of a document, by their keys.
type Tables = BTreeMap<String, serde_json::Value>;

/// The generic catalogue with the materials of a few shops, by the sources and the materials that their documents state.
static CATALOGUES: Kept<(Tables, Tables), Catalogue> = Kept::new(4);

/// Tables embedded in a document, as a document of their own, which the catalogue and the limits read.
pub(super) fn embedded(
    source: &BTreeMap<String, serde_json::Value>,
    table: &str,
    rows: serde_json::Value,
) -> serde_json::Value {
    serde_json::json!({ "version": 1, "source": source, table: rows })
}

impl ZoneLayer {
    /// Its key in the document.
    pub fn kind(&self) -> &'static str {
        match self {
            ZoneLayer::GelCoat(_) => "gel_coat",
            ZoneLayer::Laminate(_) => "laminate",
            ZoneLayer::Pour(_) => "pour",
        }
    }
    /// The recipe it is made by.
    pub fn recipe(&self) -> &str {
        match self {
            ZoneLayer::GelCoat(g) => &g.recipe,
            ZoneLayer::Laminate(l) => &l.recipe,
            ZoneLayer::Pour(p) => &p.recipe,
        }
    }

    fn check(&self, zone: &Zone) -> Result<()> {
        let needs_area = || match (zone.area, &zone.measured) {
            (Some(_), _) | (_, Some(_)) => Ok(()),
            (None, None) => Err(Error::new(ErrorKind::Document, "")
                .with_value(format_args!("zone '{}' without area", zone.name))
                .with_way_out("give the zone's 'area', for example '0.09 m^2', or how it was 'measured'")),
        };
        match self {
            ZoneLayer::GelCoat(_) => needs_area(),
            ZoneLayer::Laminate(l) if l.plies.is_empty() || l.plies.len() > MOST_PLIES => {
                needs_area()?;
                Err(Error::out_of_range(
                    "plies",
                    format!("{} plies", l.plies.len()),
                    format!("1 to {MOST_PLIES}"),
                    "name each ply by its material, for example 'mat_450'",
                ))
            }
            ZoneLayer::Laminate(_) => needs_area(),
            ZoneLayer::Pour(p) => match (p.volume, p.thickness) {
                _ if p.measured.is_some() => Ok(()),
                (Some(_), _) => Ok(()),
                (None, Some(_)) => needs_area(),
                (None, None) => Err(Error::new(ErrorKind::Document, "")
                    .with_value("a pour of unknown amount")
                    .with_way_out("give 'volume', or 'thickness' on a zone with 'area'")),
            },
        }
    }
}
