//! A block set into the shell that the part hangs by: what it holds, and what gives way first.
//!
//! The load goes from the block into the shell by its bond or by its face, and from there through the shell: it may punch
//! through round the block's edge, or bend and crack the shell about it. The least of these is what the mount holds. The
//! screw, the eye, the line and what they hang from are not computed here: they are rated products, by their own sheets.

use std::f64::consts::PI;

use super::{MomentPerWidth, sources};
use crate::error::{Error, Result};
use crate::noun::{self, Noun, questions};
use crate::quantity::{Area, Force, Index, Length, Pressure, Quantity, RelativeAmount, known, show};
use crate::source::{Source, Standing, Why};

/// How a block is held by the shell.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Default, Noun)]
pub enum BlockHold {
    /// By its bond alone: it lies outside, or the pull lifts it off its bed.
    #[default]
    Bond,
    /// It lies behind the shell and the pull draws it against it: even unbonded it can not come through the hole.
    Behind,
}

/// A block in a shell, and the shell about it.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct Mount {
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
    /// Shear strength of the bond, of a block that is held by it. Where not given the low end of what polyester showed on
    /// wood, dry: 6.9 MPa (to 16.6; it failed after one cycle of wet and dry).
    #[noun(default = wood_bond(), within = crate::ranges::STRENGTH)]
    pub bond_shear: Pressure,
    /// Mean over greatest stress in the bond as it breaks: a pull across the face peels at one edge; a quarter where not
    /// given (from memory).
    #[noun(default = usual_evenness(), within("1 %", "100 %", "100 % is a bond that is loaded alike everywhere"))]
    pub bond_evenness: RelativeAmount,
    /// Pressure across its grain that the block bears, of one drawn against the shell; a soft wood's where not given.
    #[noun(default = across_the_grain(), within = crate::ranges::STRENGTH)]
    pub block_crush: Pressure,
    /// Thickness of the shell there.
    #[noun(within = crate::ranges::WALL_THICKNESS)]
    pub shell: Length,
    /// Shear strength of the shell through its thickness; that of its plane is a lower one.
    #[noun(within = crate::ranges::STRENGTH)]
    pub shell_shear: Pressure,
    /// Moment per width that breaks the first ply of the shell ("30 N*m/m" or "30 N").
    #[noun(within("1e-6 N", "1e9 N", "give the moment per width, for example '30 N'"))]
    pub shell_moment: MomentPerWidth,
    /// Poisson's ratio of the shell; from memory where not given.
    #[noun(default = super::laminate_poisson(), within = crate::ranges::POISSON)]
    pub poisson: Index,
    /// From the block's middle to where the shell is held: half the width of the zone.
    #[noun(within("1 mm", "10 m", "give the distance to the rim, for example '80 mm'"))]
    pub reach: Length,
}

/// What gives way first.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Noun)]
pub enum WeakestPart {
    /// The block comes off its bed.
    Bond,
    /// The block is crushed.
    Crushing,
    /// The block is drawn through the shell.
    Punching,
    /// The shell bends and cracks about the block.
    Bending,
}

/// What a mount holds.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct HeldMount {
    /// Pull at which its weakest part gives way.
    pub holds: Force,
    /// Which that is.
    pub weakest: WeakestPart,
    /// Pull that breaks the bond, of a block that is held by it.
    pub bond: Option<Force>,
    /// Pull that crushes the block, of one drawn against the shell.
    pub crushing: Option<Force>,
    /// Pull that punches it through the shell.
    pub punching: Force,
    /// Pull that cracks the shell about it in bending.
    pub bending: Force,
    /// That pull over the load.
    pub factor: f64,
    /// What is outside which range, if anything is.
    pub extrapolated: Option<String>,
    /// Cautions.
    pub cautions: Vec<String>,
    /// The chain behind it.
    pub why: Why,
}

/// The low end of the shear strength of a polyester on wood.
pub(crate) fn wood_bond() -> Pressure {
    known(6.9e6)
}

/// What a soft wood bears across its grain: 3 MPa, from memory of the tables for pine and spruce at 12 % of moisture.
pub(crate) fn across_the_grain() -> Pressure {
    known(3e6)
}

/// Mean over greatest stress in a bond that is pulled across its face: from memory.
pub(crate) fn usual_evenness() -> RelativeAmount {
    known(0.25)
}

/// Where the strength of polyester on wood comes from.
fn bond_source() -> Source {
    Source::published(
        "University of Maine, composites.umaine.edu/publication/progress-update-on-bonding-e-glass-to-wood-using-a-modified-polyester-resin",
        "Progress update on bonding E-glass to wood using a modified polyester resin",
        2001,
        "abstract: compression shear on hard maple, ASTM D 905, standard unsaturated polyester 6.9 to 16.6 MPa dry, failed \
         after one cycle of wetting",
    )
}

/// The factor that a mount over people must hold, and on whose word.
///
/// German statutory accident insurers ask twice the working coefficient of lifting accessories of whatever holds a load over
/// people; of lifting accessories of textile the European machinery directive asks 7, of metal 4. Fibre in resin stands in
/// neither list: the stricter is doubled.
pub fn factor_over_people() -> (f64, Source) {
    let source = Source {
        standing: Standing::Derived,
        ..sources::over_people(
            "section 1.4, arbeitssicherheit.de/schriften/dokument/0%253A5545378%252C20.html: the working coefficient is doubled \
             over people; Directive 2006/42/EC, annex I, 4.1.2.5: 7 of textile, 4 of metal [from memory]; twice 7, as fibre in \
             resin stands in neither list",
        )
    };
    (14.0, source)
}

impl Mount {
    fn face(&self) -> f64 {
        self.length.si() * self.width.si()
    }

    /// The pull that breaks the bond.
    fn bond(&self) -> f64 {
        let area = self.bond_area.map_or(self.face(), Quantity::si);
        self.bond_shear.si() * area * self.bond_evenness.get()
    }

    fn punching(&self) -> f64 {
        2.0 * (self.length.si() + self.width.si()) * self.shell.si() * self.shell_shear.si()
    }

    /// Of a round plate, held but free to turn at its rim, under a load spread over a round patch in its middle.
    fn bending(&self) -> f64 {
        let (a, c) = (self.reach.si(), self.patch());
        let nu = self.poisson.get();
        let per_load = ((1.0 + nu) * (a / c).ln() + 1.0 - (1.0 - nu) * c * c / (4.0 * a * a)) / (4.0 * PI);
        self.shell_moment.si() / per_load
    }

    /// Radius of the round patch of the block's area.
    fn patch(&self) -> f64 {
        (self.face() / PI).sqrt()
    }

    fn sound(&self) -> Result<()> {
        noun::check(self)?;
        if self.patch() >= self.reach.si() {
            return Err(Error::inconsistent(
                "reach",
                show(self.reach),
                format!(
                    "more than the {:.1} mm that the block itself reaches",
                    1e3 * self.patch()
                ),
                "give the distance from the block's middle to the rim of its zone",
            ));
        }
        if let Some(area) = self.bond_area.filter(|a| a.si() > self.face() * (1.0 + 1e-9)) {
            return Err(Error::inconsistent(
                "bond_area",
                show(area),
                format!("at most the face's {:.1} cm^2", 1e4 * self.face()),
                "only what lies on the shell is bonded: leave it out for the whole face",
            ));
        }
        Ok(())
    }
}

#[questions(mount)]
impl Mount {
    /// What a block in a shell holds, and which of its parts gives way first.
    ///
    /// ```text
    /// bond      shear strength x bonded area x evenness                       of a block held by its bond
    /// crushing  pressure across the grain x length x width                     of a block behind the shell
    /// punching  2 (length + width) x shell x shear strength of the shell
    /// bending   M 4 pi/((1 + nu) ln(a/c) + 1 - (1 - nu) c^2/(4 a^2))           c = sqrt(length x width/pi), a = reach
    /// ```
    ///
    /// Bending: S. P. Timoshenko, S. Woinowsky-Krieger, *Theory of Plates and Shells* (1959), article 16, a round plate free to
    /// turn at its rim under a load over a round patch in its middle: a flat plate, so a lower estimate of a curved shell.
    /// Punching by mean shear round the face. Not modelled: screw, eye and line; wet, creep, warmth (a bond under a lamp);
    /// fatigue; holes drilled through the shell.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for fields out of range, a bond of no area among them;
    /// [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent) for a bond larger than the block, or a block as large as
    /// its shell.
    #[question("laminate.mount")]
    pub fn held(
        &self,
        /// What hangs from it with its jerks: mass times gravity times a dynamic factor.
        #[noun(within("0.001 N", "1e6 N", "give the load, for example '6 N'"))]
        load: Force,
    ) -> Result<HeldMount> {
        self.sound()?;
        let behind = self.hold == BlockHold::Behind;
        let bond = (!behind).then(|| self.bond());
        let crushing = behind.then(|| self.block_crush.si() * self.face());
        let (punching, bending) = (self.punching(), self.bending());
        let parts = [
            (WeakestPart::Bond, bond),
            (WeakestPart::Crushing, crushing),
            (WeakestPart::Punching, Some(punching)),
            (WeakestPart::Bending, Some(bending)),
        ];
        let (weakest, holds) = parts
            .into_iter()
            .filter_map(|(part, pull)| Some((part, pull?)))
            .fold((WeakestPart::Bending, f64::INFINITY), |least, p| {
                if p.1 < least.1 { p } else { least }
            });
        let factor = holds / load.si();
        let force = Force::from_si;
        let of = |pull: Option<f64>| pull.map(force).transpose();
        Ok(HeldMount {
            holds: force(holds)?,
            weakest,
            bond: of(bond)?,
            crushing: of(crushing)?,
            punching: force(punching)?,
            bending: force(bending)?,
            factor,
            extrapolated: (self.shell.si() > 0.2 * self.reach.si()).then(|| {
                "the shell is thick against its reach: shear counts, a plate's bending does not tell"
                    .to_owned()
            }),
            cautions: cautions(behind, factor),
            why: self.why(force(holds)?, load, weakest)?,
        })
    }

    fn why(&self, holds: Force, load: Force, weakest: WeakestPart) -> Result<Why> {
        let given = match self.hold {
            BlockHold::Bond => {
                Why::given("shear strength of the bond", show(self.bond_shear)).with_source(&bond_source())
            }
            BlockHold::Behind => Why::given("pressure that the block bears", show(self.block_crush))
                .with_source(&sources::from_memory(
                    "a soft wood across its grain at 12 % of moisture",
                )),
        };
        let bending = Why::computed(
            "pull that cracks the shell in bending",
            show(Force::from_si(self.bending())?),
            "M 4 pi/((1 + nu) ln(a/c) + 1 - (1 - nu) c^2/(4 a^2))",
            vec![
                Why::given("M, moment to the first break", show(self.shell_moment)),
                Why::given("a, reach", show(self.reach)),
                Why::given("c, of the block's area", show(Length::from_si(self.patch())?)),
            ],
        )
        .with_source(&sources::plates());
        let punching = Why::computed(
            "pull that punches it through",
            show(Force::from_si(self.punching())?),
            "2 (length + width) t s",
            vec![
                Why::given("t, shell", show(self.shell)),
                Why::given("s, shear strength of the shell", show(self.shell_shear)),
            ],
        );
        Ok(Why::computed(
            "pull that the mount holds",
            show(holds),
            "the least of bond or crushing, punching, bending",
            vec![Why::given("load", show(load)), given, punching, bending],
        )
        .with_note(match weakest {
            WeakestPart::Bond => "the block comes off its bed first",
            WeakestPart::Crushing => "the block is crushed first",
            WeakestPart::Punching => "the block is drawn through the shell first",
            WeakestPart::Bending => "the shell cracks about the block first",
        }))
    }
}

fn cautions(behind: bool, factor: f64) -> Vec<String> {
    let mut all = vec![
        "what hangs over people is for a licensed rigger to approve, by the law of the place: a rated eye, a rated line, and \
         a second, independent safety line to something other than this block"
            .to_owned(),
        "load it with its factor, once, low over the floor and with nobody under it, before it is hung".to_owned(),
    ];
    if !behind {
        all.push(
            "a bond alone is no positive connection (DGUV Information 215-313, section 1.1 asks for one in all parts that \
             carry over people): set the block behind the shell so that the pull draws it against it"
                .to_owned(),
        );
    }
    if factor < factor_over_people().0 {
        all.push("too weak to hang over people".to_owned());
    }
    all
}
