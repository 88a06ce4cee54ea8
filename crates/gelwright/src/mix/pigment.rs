//! Pigment paste: how much colour, and how much carrier that never cures, comes with it.

use crate::error::Result;
use crate::noun::{Noun, questions};
use crate::quantity::{self, MassFraction, Phr};
use crate::source::{Source, Standing, Why};

/// A pigment paste and how much of it goes to the resin.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct PigmentPaste {
    /// Paste on resin, by mass; workshops stop at 3 phr to 15 phr.
    #[noun(within(
        "0 phr",
        "100 phr",
        "write the paste in parts on a hundred of resin, for example '5 phr'"
    ))]
    pub paste: Phr,
    /// Carrier in the paste: a liquid that does not react.
    pub carrier: MassFraction,
    /// The most paste on resin that its data sheet allows; without it the usual limits answer.
    pub data_sheet_limit: Option<Phr>,
}

/// What a loading of paste brings.
#[derive(Clone, PartialEq, Noun)]
pub struct PigmentLoading {
    /// Dry pigment on resin.
    pub pigment: Phr,
    /// Carrier on resin.
    pub carrier: Phr,
    /// Carrier over all that is liquid (resin and carrier): what stays soft in the cured part.
    pub carrier_in_liquid: MassFraction,
    /// Each loading limit with its verdict: usual limits conflict and all are shown.
    pub limits: Vec<LoadingVerdict>,
    /// The chain behind it.
    pub why: Why,
}

/// A loading held against one limit.
#[derive(Clone, PartialEq, Noun)]
pub struct LoadingVerdict {
    /// The most paste on resin.
    pub most: Phr,
    /// Whether the loading keeps it.
    pub kept: bool,
    /// Where the limit comes from.
    pub source: Source,
}

/// Limits of paste on resin that workshops keep to; they conflict, and the paste's data sheet wins.
pub fn usual_limits() -> Vec<(Phr, Source)> {
    let practice = |what: &str| Source::of(Standing::CommonPractice, what);
    [
        (3.0, practice("1 oz of colour to a quart of gel coat, about 3 %")),
        (
            10.0,
            Source::published(
                "Intermediate Technology Development Group",
                "The Permanent Magnet Generator (PMG): A manual for manufacturers and developers, contract R 7105",
                2001,
                "section 8, Using polyester resin, p. 49: no more than 10 % pigment to the mix",
            ),
        ),
        (15.0, practice("pigment paste 10 % to 15 %")),
    ]
    .into_iter()
    .filter_map(|(most, source)| Some((Phr::new(most).ok()?, source)))
    .collect()
}

#[questions]
impl PigmentPaste {
    /// Pigment and non-reactive carrier that a paste brings, held against its data sheet or the usual limits, which
    /// conflict.
    ///
    /// With `p` parts of paste on a hundred of resin and `c` of carrier in it: pigment `p (1 - c)`, carrier `p c`, carrier
    /// in the liquid `p c/(100 + p c)`. A data sheet's limit alone is held against; else [`usual_limits`], each on its
    /// own.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for more paste than resin.
    #[question("mix.pigment_loading")]
    pub fn loading(&self) -> Result<PigmentLoading> {
        crate::noun::check(self)?;
        let p = self.paste.get();
        let c = p * self.carrier.get();
        let limits = match self.data_sheet_limit {
            Some(most) => vec![(
                most,
                Source::of(Standing::DataSheet, "the pigment paste's data sheet"),
            )],
            None => usual_limits(),
        };
        let in_liquid = MassFraction::new(c / (100.0 + c))?;
        Ok(PigmentLoading {
            pigment: Phr::new(p - c)?,
            carrier: Phr::new(c)?,
            carrier_in_liquid: in_liquid,
            limits: limits
                .into_iter()
                .map(|(most, source)| LoadingVerdict {
                    most,
                    kept: p <= most.get(),
                    source,
                })
                .collect(),
            why: Why::computed(
                "carrier in the liquid",
                quantity::show(in_liquid),
                "p c/(100 + p c)",
                vec![
                    Why::given("paste on resin, p", quantity::show(self.paste)),
                    Why::given("carrier in the paste, c", quantity::show(self.carrier)),
                ],
            )
            .with_note("the carrier is counted as non-reactive: it stays in the cured part as a plasticiser"),
        })
    }
}
