//! Monomer that leaves an open film before it gels: a quantity of its own between what is laid and what cures.

use uom::si::mass::kilogram;

use crate::error::{Error, Result};
use crate::noun::{self, Noun, questions};
use crate::quantity::{
    Area, ArealMassDensity, Mass, MassFlux, MassFraction, Quantity, RelativeAmount, Time, show,
};
use crate::source::{Source, Standing, Why};

/// What a film is of.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Noun)]
pub enum FilmKind {
    /// A gel coat, pigmented, clear or for tools.
    GelCoat,
    /// A laminating or casting resin.
    Resin,
}

/// How a film is put on.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Noun)]
pub enum ApplicationMethod {
    /// By brush. A brushed gel coat counts as a sprayed one (40 CFR 63, subpart WWWW, table 3, footnote 3).
    Brush,
    /// By roller: hand lay-up.
    Roller,
    /// By spray gun, atomized.
    Spray,
    /// Poured, its face open to the air until it gels.
    OpenPour,
    /// Poured or squeezed between closed faces.
    ClosedPour,
}

/// A panel coated with the film alone (no glass) and weighed wet and cured, its own mass taken off both times.
#[derive(Clone, Copy, PartialEq, Noun)]
#[noun(check)]
pub struct WeighedPanel {
    /// Mass of the film as laid.
    #[noun(within(> "0 g", .., "give what the film weighed as it was laid, for example '12.4 g'"))]
    pub laid: Mass,
    /// Mass of the same film when it is hard.
    #[noun(within("0 g", ..))]
    pub left: Mass,
}

impl WeighedPanel {
    fn check(&self) -> Result<()> {
        if self.left.si() <= self.laid.si() {
            return Ok(());
        }
        Err(Error::inconsistent(
            "left",
            format!("{} of {}", show(self.left), show(self.laid)),
            "no more than was laid",
            "a film only loses mass: weigh the bare panel again, and take it off both times",
        ))
    }

    /// Mass lost over mass laid.
    fn share(&self) -> f64 {
        1.0 - self.left.si() / self.laid.si()
    }
}

/// A film of resin or gel coat, open to the air until it gels.
///
/// Vapour by mass of resin or gel coat as applied, `H` its monomer in wt%, in kg/Mg: gel coat by any open method
/// `0.445 H^1.675`, resin by spray `0.014 H^2.425`, by brush, roller or open pour `0.014 H^2.275` (40 CFR 63, subpart VVVV,
/// table 3). A filled resin emits by its neat resin alone (40 CFR 63.5714), so `mass` is without filler and glass. Between
/// closed faces `0.9 %` of the monomer (0.46 to 1.13 %, four castings of polymer concrete). A resin that seals itself with
/// wax loses 0.55 (0.4 to 0.7) of that. Never more than the monomer there is. A weighed panel replaces all of them.
///
/// The band is a factor of 1.5 to either side (1.25 of it measured between materials and equipment, EPA/600/SR-97/018:
/// factors of 1.6 to 2.5 on one older set; the rest for small hand work, the authors' judgement). For an open pour, of which
/// no published relation was found, the rolled one is taken, which is high for a face at rest, and its low end is 1 % of the
/// monomer.
///
/// Not modelled: temperature, moving air, the film's thickness and its time to gel, of which the relations know nothing;
/// monomers other than styrene.
#[derive(Clone, PartialEq, Noun)]
pub struct AppliedFilm {
    /// What it is of.
    pub kind: FilmKind,
    /// How it is put on.
    pub method: ApplicationMethod,
    /// Mass of resin or gel coat in it, with its monomer and without filler, glass and initiator.
    #[noun(within("0 g", .., "give the resin's mass in the film, for example '14 g'"))]
    pub mass: Mass,
    /// Monomer in that, by mass.
    pub monomer: MassFraction,
    /// Whether a wax in it seals the film once it is at rest.
    #[noun(default)]
    pub waxed: bool,
    /// Area of the film, for the loss by area.
    #[noun(within(> "0 m^2", .., "give the area that is coated, for example '0.02 m^2'"))]
    pub area: Option<Area>,
    /// From laying it to its gel, for the mean rate.
    #[noun(within(> "0 s", .., "give the time the film lies open, for example '25 min'"))]
    pub open: Option<Time>,
    /// A panel of this film weighed in this shop.
    pub weighed: Option<WeighedPanel>,
}

/// What a film loses to the air.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct VapourLoss {
    /// Mass of vapour.
    pub lost: Mass,
    /// The low end of its band.
    pub low: Mass,
    /// The high end of its band.
    pub high: Mass,
    /// Of the film's mass.
    pub of_film: MassFraction,
    /// Of the monomer in it.
    pub of_monomer: MassFraction,
    /// By area, where that is given.
    pub per_area: Option<ArealMassDensity>,
    /// Mean rate by area until gel, where area and time are given.
    pub mean_rate: Option<MassFlux>,
    /// What is outside which range, if anything is.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

/// Monomer contents that the rule names for its materials, wt%.
const NAMED: [f64; 2] = [28.0, 48.0];
/// To either side of a relation.
const BAND: f64 = 1.5;
/// Of the monomer, between closed faces: low, mean of four, high.
const CLOSED: [f64; 3] = [0.0046, 0.009_05, 0.0113];
/// What a waxed resin loses of a standard one: low, middle, high.
const WAXED: [f64; 3] = [0.4, 0.55, 0.7];
/// Of the monomer, the least that a poured face loses.
const POURED_LEAST: f64 = 0.01;

/// Low, middle and high share of a mass.
type Shares = [f64; 3];

fn vvvv() -> Source {
    Source::published(
        "US Environmental Protection Agency",
        "40 CFR part 63, subpart VVVV, National Emission Standards for Hazardous Air Pollutants for Boat Manufacturing",
        2001,
        "table 3 (66 FR 44232); as supplied content in wt%, kg of vapour per Mg applied",
    )
}

fn closed() -> Source {
    Source::published(
        "J. Barker",
        "Emission test of polymer concrete casting, December 2000, in a temporary total enclosure",
        2000,
        "ecrminc.com/page12.html: 0.0046, 0.0113, 0.0101, 0.0102 of the styrene there is, resin of 43 wt%",
    )
}

fn measured_here() -> Source {
    Source::of(Standing::MeasuredHere, "a coated panel, weighed wet and cured")
}

fn waxed() -> Source {
    Source::published(
        "A. Säämänen, R. Niemelä, T. Blomqvist, E. Nikander",
        "Emission of styrene during the hand lay-up molding of reinforced polyester, Appl. Occup. Environ. Hyg. 6(9)",
        1991,
        "p. 790, abstract: 30 to 60 % less in total with a low-styrene-emission resin",
    )
}

impl AppliedFilm {
    /// Shares of the film's mass that leave it.
    fn shares(&self) -> Result<Shares> {
        let h = self.monomer.get();
        if let Some(panel) = &self.weighed {
            panel.check().map_err(|e| e.within("weighed"))?;
            let share = panel.share();
            // What the scale's figures leave of it by rounding is no monomer that was not there.
            if share > h * (1.0 + 1e-9) {
                return Err(Error::inconsistent(
                    "weighed.left",
                    format!("{:.1} wt% of the film lost", 100.0 * share),
                    format!("at most the monomer there is, {}", show(self.monomer)),
                    "weigh again, or give the monomer content of this resin's data sheet",
                ));
            }
            return Ok([share.min(h); 3]);
        }
        Ok(self.related().map(|share| share.min(h)))
    }

    /// Factor and power of an open film's relation.
    fn relation(&self) -> (f64, f64) {
        match (self.kind, self.method) {
            (FilmKind::GelCoat, _) => (0.445, 1.675),
            (FilmKind::Resin, ApplicationMethod::Spray) => (0.014, 2.425),
            (FilmKind::Resin, _) => (0.014, 2.275),
        }
    }

    fn related(&self) -> Shares {
        let h = self.monomer.get();
        if self.method == ApplicationMethod::ClosedPour {
            return CLOSED.map(|c| c * h);
        }
        let (factor, power) = self.relation();
        let middle = 1e-3 * factor * (100.0 * h).powf(power);
        let low = match (self.method, self.kind) {
            (ApplicationMethod::OpenPour, FilmKind::Resin) => (POURED_LEAST * h).min(middle),
            _ => middle / BAND,
        };
        let shares = [low, middle, middle * BAND];
        if self.waxed {
            [0, 1, 2].map(|i| shares[i] * WAXED[i])
        } else {
            shares
        }
    }

    fn equation(&self) -> String {
        match (self.weighed, self.method) {
            (Some(_), _) => "m (laid - left)/laid".to_owned(),
            (_, ApplicationMethod::ClosedPour) => "0.9 % of the monomer".to_owned(),
            _ => {
                let (factor, power) = self.relation();
                format!("m {factor} H^{power} / 1000")
            }
        }
    }

    fn source(&self) -> Source {
        match (self.weighed, self.method) {
            (Some(_), _) => measured_here(),
            (_, ApplicationMethod::ClosedPour) => closed(),
            _ => vvvv(),
        }
    }

    fn extrapolated(&self) -> Option<String> {
        let percent = 100.0 * self.monomer.get();
        let closed = self.method == ApplicationMethod::ClosedPour;
        if self.weighed.is_some() || percent == 0.0 {
            return None;
        }
        let mut notes = Vec::new();
        if !closed && !(NAMED[0]..=NAMED[1]).contains(&percent) {
            notes.push(format!(
                "monomer {percent:.1} wt% is outside the {} to {} wt% of the materials that the rule names",
                NAMED[0], NAMED[1]
            ));
        }
        if self.waxed && !closed && self.kind == FilmKind::GelCoat {
            notes.push("what wax holds back was measured on laminating resin".to_owned());
        }
        if self.method == ApplicationMethod::OpenPour {
            notes.push(
                "no published relation of a small open pour was found: the rolled one is taken".to_owned(),
            );
        }
        (!notes.is_empty()).then(|| notes.join("; "))
    }

    fn why(&self, lost: Mass, low: Mass, high: Mass) -> Why {
        let mut from = vec![
            Why::given("m, resin in the film", show(self.mass)),
            Why::given("H, monomer in it", show(self.monomer)),
            Why::given("band", format!("{} to {}", show(low), show(high))),
        ];
        if self.waxed && self.weighed.is_none() && self.method != ApplicationMethod::ClosedPour {
            from.push(Why::given("wax in it, factor", WAXED[1].to_string()).with_source(&waxed()));
        }
        Why::computed("vapour from the film", show(lost), self.equation(), from).with_source(&self.source())
    }
}

#[questions]
impl AppliedFilm {
    /// Monomer that leaves an open film before it gels, with its band; by area and time where those are given.
    ///
    /// [`AppliedFilm`] gives relations, band and sources.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for fields out of range;
    /// [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent) for a weighed panel that lost more than the monomer there
    /// is, or grew heavier.
    #[question("mix.vapour")]
    pub fn vapour(&self) -> Result<VapourLoss> {
        noun::check(self)?;
        self.told(self.shares()?, None)
    }
}

impl AppliedFilm {
    /// The same by the share of its monomer that a coated panel lost in this shop.
    pub(crate) fn vapour_by_panel(&self, share: RelativeAmount) -> Result<VapourLoss> {
        noun::check(self)?;
        let by_mass = self.monomer.get() * share.get().clamp(0.0, 1.0);
        self.told([by_mass; 3], Some(share))
    }

    fn told(&self, shares: Shares, panel: Option<RelativeAmount>) -> Result<VapourLoss> {
        let h = self.monomer.get();
        let [low, lost, high] = shares.map(|share| Mass::new::<kilogram>(share * self.mass.si()));
        let per_area = self
            .area
            .map(|a| ArealMassDensity::from_si(lost.si() / a.si()))
            .transpose()?;
        let mean_rate = match (per_area, self.open) {
            (Some(m), Some(t)) => Some(MassFlux::from_si(m.si() / t.si())?),
            _ => None,
        };
        let extrapolated = self.extrapolated().filter(|_| panel.is_none());
        let mut why = match panel {
            None => self.why(lost, low, high),
            Some(share) => Why::computed(
                "vapour from the film",
                show(lost),
                "m H s",
                vec![
                    Why::given("m, resin in the film", show(self.mass)),
                    Why::given("H, monomer in it", show(self.monomer)),
                    Why::given("s, of its monomer that a panel lost", show(share)),
                ],
            )
            .with_source(&measured_here()),
        };
        if let Some(note) = &extrapolated {
            why = why.with_note(format!("extrapolated: {note}"));
        }
        Ok(VapourLoss {
            lost,
            low,
            high,
            of_film: MassFraction::new(shares[1])?,
            of_monomer: MassFraction::new(if h > 0.0 { shares[1] / h } else { 0.0 })?,
            per_area,
            mean_rate,
            extrapolated,
            why,
        })
    }
}
