//! Findings grouped by what is wrong in the shop: one cold room breaks five rules, and is told once.

use crate::limit::{Bound, Finding, LimitQuantity, Severity};
use crate::noun::Noun;
use crate::plan::{GEL_TIME_UNKNOWN, NOTHING_CURES};

/// What is wrong, the worst consequence first.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Noun)]
#[non_exhaustive]
pub enum Cause {
    /// There is nothing to mix.
    Nothing,
    /// The part bonds to its mould.
    Release,
    /// Neither initiator nor hardener.
    NothingCures,
    /// Thinner in the resin.
    Thinner,
    /// Shop, mould or resin too cold or too warm.
    Temperature,
    /// The dose of catalyst or hardener.
    Dose,
    /// Too hot in the cure.
    Heat,
    /// How well the dose can be measured.
    Measuring,
    /// A cup is not placed in its gel time.
    WorkingTime,
    /// Nobody can say when it gels.
    GelTimeUnknown,
    /// Cure and post-cure.
    Cure,
    /// Demoulded too early, or pulled too hard.
    Demoulding,
    /// Glass, fibre, filler, pigment.
    Filling,
    /// Paste, bead, clamps.
    Seam,
    /// Thickness of the gel coat.
    Film,
    /// Damp air, a mould near the dew point.
    Damp,
    /// The wait between gel coat and back-up.
    Waiting,
    /// Hiding and light.
    Looks,
    /// Anything else.
    Other,
}

impl Cause {
    /// Of a finding.
    pub(super) fn of(f: &Finding) -> Cause {
        use LimitQuantity as Q;
        match f.limit.as_str() {
            GEL_TIME_UNKNOWN => return Cause::GelTimeUnknown,
            NOTHING_CURES => return Cause::NothingCures,
            _ => {}
        }
        match f.quantity {
            Q::ReleaseCoats => Cause::Release,
            Q::ThinnerLoading => Cause::Thinner,
            Q::ShopTemperature | Q::MouldTemperature | Q::ResinTemperature => Cause::Temperature,
            Q::RelativeHumidity | Q::AboveDewPoint | Q::FoamGrowth => Cause::Damp,
            Q::CatalystDose => Cause::Dose,
            Q::DoseUncertainty | Q::BatchMass => Cause::Measuring,
            Q::BatchOverWorkingTime | Q::GelTime => Cause::WorkingTime,
            Q::BoilingMonomer
            | Q::PeakTemperature
            | Q::MouldFaceTemperature
            | Q::PourThickness
            | Q::SessionThickness => Cause::Heat,
            Q::OvenTemperature | Q::OvenOverGlass | Q::GlassOverUse => Cause::Cure,
            Q::DemouldCure | Q::DemouldWait | Q::DemouldSheet | Q::EdgeStrain | Q::GelCoatStrain => {
                Cause::Demoulding
            }
            Q::ChopLoading | Q::FillerLoading | Q::PigmentLoading | Q::FillerVolume | Q::GlassContent => {
                Cause::Filling
            }
            Q::SilicaLoading | Q::SagMargin | Q::SeamThickness | Q::SeamSpread | Q::ClampPressure => {
                Cause::Seam
            }
            Q::GelCoatWetThickness | Q::GelCoatFilm => Cause::Film,
            Q::TackWindow => Cause::Waiting,
            Q::ContrastRatio | Q::LightTransmission => Cause::Looks,
            _ => Cause::Other,
        }
    }
}

impl Cause {
    /// Whether too little and too much of it are two troubles.
    fn has_sides(self) -> bool {
        matches!(
            self,
            Cause::Temperature | Cause::Dose | Cause::Filling | Cause::Film
        )
    }
}

/// Whether a finding lies below its bound.
pub(super) fn is_low(f: &Finding) -> bool {
    matches!(f.bound(), Some(Bound::AtLeast(_)))
}

/// All findings of one cause on one side of their bounds.
pub(super) struct Grouped<'p> {
    pub(super) cause: Cause,
    pub(super) low: bool,
    /// Of one quantity of one subject each, or of several subjects with the same value: the most severe rule first.
    pub(super) values: Vec<OneValue<'p>>,
}

/// What one value, or the same value of several subjects, breaks.
pub(super) struct OneValue<'p> {
    pub(super) subjects: Vec<&'p str>,
    pub(super) findings: Vec<&'p Finding>,
}

impl Grouped<'_> {
    pub(super) fn severity(&self) -> Severity {
        self.worst().severity
    }
    /// The finding that names the trouble.
    pub(super) fn worst(&self) -> &Finding {
        self.values[0].findings[0]
    }
}

/// Every finding once: by cause and side, the worst first.
pub(super) fn grouped(findings: &[Finding]) -> Vec<Grouped<'_>> {
    let key = |f: &Finding| {
        let cause = Cause::of(f);
        (cause, cause.has_sides() && is_low(f))
    };
    let mut values: Vec<OneValue> = Vec::new();
    for f in findings {
        let same = |v: &&mut OneValue| {
            let first = v.findings[0];
            first.quantity == f.quantity && first.subject == f.subject && key(first) == key(f)
        };
        match values.iter_mut().find(same) {
            Some(v) => v.findings.push(f),
            None => values.push(OneValue {
                subjects: vec![&f.subject],
                findings: vec![f],
            }),
        }
    }
    let mut merged: Vec<OneValue> = Vec::new();
    for mut v in values {
        v.findings.sort_by_key(|f| std::cmp::Reverse(f.severity));
        let same = |m: &&mut OneValue| {
            m.findings.len() == v.findings.len()
                && m.findings
                    .iter()
                    .zip(&v.findings)
                    .all(|(a, b)| a.limit == b.limit && a.value == b.value && a.value.is_some())
        };
        match merged.iter_mut().find(same) {
            Some(m) => m.subjects.extend(v.subjects),
            None => merged.push(v),
        }
    }
    let mut groups: Vec<Grouped> = Vec::new();
    for v in merged {
        let (cause, low) = key(v.findings[0]);
        match groups.iter_mut().find(|g| g.cause == cause && g.low == low) {
            Some(g) => g.values.push(v),
            None => groups.push(Grouped {
                cause,
                low,
                values: vec![v],
            }),
        }
    }
    for g in &mut groups {
        g.values
            .sort_by_key(|v| std::cmp::Reverse(v.findings[0].severity));
    }
    // What no one change cures stands before what one cures.
    groups.sort_by_key(|g| (std::cmp::Reverse(g.severity()), !g.worst().no_cure, g.cause));
    groups
}
