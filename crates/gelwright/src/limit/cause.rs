//! What is wrong in the shop where a limit is broken.

use super::{Finding, LimitQuantity};
use crate::noun::Noun;

/// The limit's name of a mix of which nobody can say when it gels. Its value may be a dose or a temperature, of which other
/// limits speak, too.
pub(crate) const GEL_TIME_UNKNOWN: &str = "gel_time_unknown";
/// The limit's name where a recipe has nothing that cures it.
pub(crate) const NOTHING_CURES: &str = "nothing_cures_it";

/// What is wrong, the worst consequence first.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Noun)]
#[non_exhaustive]
pub enum Cause {
    /// There is nothing to mix.
    Nothing,
    /// What it hangs by is too weak.
    Mount,
    /// What is breathed, or may burn.
    Air,
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
    /// Curl of a wing, glass that prints through.
    Shape,
    /// A laminate trimmed, or a joint clamped, after its time.
    TooLate,
    /// Hiding and light.
    Looks,
    /// Anything else.
    Other,
}

impl Cause {
    /// Of a finding.
    pub(crate) fn of(f: &Finding) -> Cause {
        use LimitQuantity as Q;
        match f.limit.as_str() {
            GEL_TIME_UNKNOWN => return Cause::GelTimeUnknown,
            NOTHING_CURES => return Cause::NothingCures,
            _ => {}
        }
        match f.quantity {
            Q::MountFactor => Cause::Mount,
            Q::Bow | Q::PrintThrough => Cause::Shape,
            Q::VapourInAir => Cause::Air,
            Q::ReleaseCoats => Cause::Release,
            Q::ThinnerLoading => Cause::Thinner,
            Q::ShopTemperature | Q::MouldTemperature | Q::ResinTemperature => Cause::Temperature,
            Q::RelativeHumidity | Q::AboveDewPoint | Q::FoamGrowth => Cause::Damp,
            Q::CatalystDose => Cause::Dose,
            Q::DoseUncertainty | Q::BatchMass | Q::DropOverScaleStep => Cause::Measuring,
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
            Q::ChopLoading
            | Q::ChopOverPacking
            | Q::FillerLoading
            | Q::PigmentLoading
            | Q::FillerVolume
            | Q::GlassContent => Cause::Filling,
            Q::SilicaLoading
            | Q::SagMargin
            | Q::SeamThickness
            | Q::SeamSpread
            | Q::SeamSqueezedOut
            | Q::ClampPressure => Cause::Seam,
            Q::GelCoatWetThickness | Q::GelCoatFilm => Cause::Film,
            Q::TackWindow => Cause::Waiting,
            Q::GreenTrim | Q::OpenTime => Cause::TooLate,
            Q::ContrastRatio | Q::LightTransmission => Cause::Looks,
            _ => Cause::Other,
        }
    }

    /// Whether too little and too much of it are two troubles.
    pub(crate) fn has_sides(self) -> bool {
        matches!(
            self,
            Cause::Temperature | Cause::Dose | Cause::Filling | Cause::Film
        )
    }
}
