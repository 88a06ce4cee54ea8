//! What a limit can bound.

use super::Method;
use crate::error::Result;
use crate::noun::Noun;
use crate::quantity::{
    self, DegreeOfCure, Index, Length, Mass, MassFraction, Measure, Phr, Pressure, Quantity, RelativeAmount,
    RelativeHumidity, RelativeSpread, Strain, TemperatureInterval, ThermodynamicTemperature, Time,
    VolumeFraction,
};

macro_rules! limit_quantities {
    ($($(#[$doc:meta])* $name:ident $ty:ident $noun:literal;)*) => {
        /// What a limit can bound.
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Noun)]
        #[non_exhaustive]
        pub enum LimitQuantity {
            $($(#[$doc])* $name,)*
        }

        impl LimitQuantity {
            /// What it is called.
            pub fn noun(self) -> &'static str {
                match self { $(LimitQuantity::$name => $noun,)* }
            }
            /// Reads a bound with its unit; answers in SI.
            ///
            /// # Errors
            /// As [`quantity::QuantityText::read`].
            pub fn read(self, field: &str, text: &quantity::QuantityText) -> Result<f64> {
                match self { $(LimitQuantity::$name => text.read::<$ty>(field).map(Quantity::si),)* }
            }
            /// What kind of quantity it is.
            pub fn measure(self) -> &'static Measure {
                match self { $(LimitQuantity::$name => <$ty as Quantity>::MEASURE,)* }
            }
        }
    };
}

limit_quantities! {
    /// Catalyst or hardener on its resin, by mass.
    CatalystDose Phr "catalyst dose";
    /// Air in the shop.
    ShopTemperature ThermodynamicTemperature "shop temperature";
    /// Mould surface.
    MouldTemperature ThermodynamicTemperature "mould temperature";
    /// Resin in the cup.
    ResinTemperature ThermodynamicTemperature "resin temperature";
    /// Surface above the dew point.
    AboveDewPoint TemperatureInterval "mould surface above the dew point";
    /// Air in the shop.
    RelativeHumidity RelativeHumidity "relative humidity";
    /// One coat, wet.
    GelCoatWetThickness Length "wet thickness of one coat of gel coat";
    /// All coats together, wet.
    GelCoatFilm Length "wet gel coat film, all coats";
    /// One pour.
    PourThickness Length "thickness of one pour";
    /// Laminate laid in one session.
    SessionThickness Length "laminate thickness in one session";
    /// Cured wall.
    WallThickness Length "wall thickness";
    /// Seam after clamping.
    SeamThickness Length "seam thickness";
    /// Thickener in the mix.
    SilicaLoading Phr "silica loading";
    /// Chopped fibre in a pour.
    ChopLoading MassFraction "chopped fibre loading";
    /// All fillers in the mix.
    FillerLoading Phr "filler loading";
    /// Pigment paste on resin.
    PigmentLoading Phr "pigment loading";
    /// Glass in the plies of one form (mat, roving, cloth) with the resin that wets them.
    GlassContent MassFraction "glass content of the plies of one form";
    /// Time needed to place a batch over its gel time.
    BatchOverWorkingTime RelativeAmount "batch time over gel time";
    /// Gel time itself.
    GelTime Time "gel time";
    /// How far the dose may be off: the farther end of its 95 % range, as printed, over the dose.
    DoseUncertainty RelativeSpread "half of the 95 % range of the dose";
    /// A batch that is mixed at once.
    BatchMass Mass "batch mass";
    /// Hottest point.
    PeakTemperature ThermodynamicTemperature "peak temperature";
    /// Most monomer, of the resin mix, that has not reacted where it passes its boiling point.
    BoilingMonomer MassFraction "unreacted monomer at its boiling point";
    /// What the mould's face sees.
    MouldFaceTemperature ThermodynamicTemperature "mould face temperature";
    /// Between gel coat and back-up laminate.
    TackWindow Time "time from gel coat to back-up";
    /// Between a laminate and the trimming of its edge.
    GreenTrim Time "time from laying up to trimming";
    /// Between the catalyst in a paste and the clamps on its joint.
    OpenTime Time "time from catalyst to clamped";
    /// At demoulding.
    DemouldCure DegreeOfCure "degree of cure at demoulding";
    /// Between the planned demoulding and when it is ready.
    DemouldWait Time "time from demoulding to ready";
    /// In the mould, over the time to demould of the hardener's sheet.
    DemouldSheet RelativeAmount "time in the mould over the hardener's time to demould";
    /// Carbon dioxide from the water of polyol and fillers, free to expand, over the mix that it rises in.
    FoamGrowth RelativeAmount "gas from water over the volume of the mix";
    /// Of a hold.
    OvenTemperature ThermodynamicTemperature "post-cure temperature";
    /// Part above its own glass transition after demoulding.
    OvenOverGlass TemperatureInterval "part above its glass transition";
    /// Low end of the glass transition, less the heat of use.
    GlassOverUse TemperatureInterval "low end of the glass transition above the heat in use";
    /// At demoulding.
    EdgeStrain Strain "strain of the edge at demoulding";
    /// In the gel coat.
    GelCoatStrain Strain "strain of the gel coat";
    /// Fillers by volume.
    FillerVolume VolumeFraction "filler volume fraction";
    /// Clamping.
    ClampPressure Pressure "clamping pressure";
    /// Paste yield stress over what the bead needs.
    SagMargin RelativeAmount "yield stress of the paste over the stress in the bead";
    /// How much of its flange the clamped seam fills.
    SeamSpread RelativeAmount "part of the flange that the seam fills";
    /// Of the bead, by the clamps.
    SeamSqueezedOut RelativeAmount "part of the bead that is squeezed out";
    /// A drop of what is dosed over the step of the scale it is weighed on.
    DropOverScaleStep RelativeAmount "a drop over the step of the scale";
    /// All coats of release agent on the mould.
    ReleaseCoats Index "coats of release agent";
    /// Thinner in the resin.
    ThinnerLoading Phr "thinner in the resin";
    /// Kubelka-Munk contrast ratio.
    ContrastRatio RelativeAmount "contrast ratio of the gel coat";
    /// Vapour that is breathed, by volume of air.
    VapourInAir VolumeFraction "vapour in the air";
    /// Light through the edge.
    LightTransmission RelativeAmount "light through the edge";
    /// Of a zone that is free of its mould, over its length.
    Bow RelativeAmount "bow over length";
    /// Of the glass on the face.
    PrintThrough Length "depth of the fibre pattern on the face";
    /// Chopped strands in a mix over the content at which they jam.
    ChopOverPacking RelativeAmount "chopped strands over what can be poured";
    /// What a mount holds over the load on it.
    MountFactor Index "what the mount holds over its load";
}

impl LimitQuantity {
    /// The methods that what it bounds is done by: for another no limit on it can ever be measured.
    pub fn methods(self) -> &'static [Method] {
        use LimitQuantity as Q;
        const COAT: &[Method] = &[Method::Brush, Method::Spray];
        const ANY: &[Method] = &[Method::Brush, Method::Spray, Method::Roller, Method::Pour];
        match self {
            Q::GelCoatWetThickness | Q::GelCoatFilm | Q::GelCoatStrain | Q::ContrastRatio | Q::TackWindow => {
                COAT
            }
            Q::SessionThickness | Q::GlassContent => &[Method::Roller],
            Q::PourThickness | Q::LightTransmission => &[Method::Pour],
            Q::SeamThickness
            | Q::SagMargin
            | Q::SeamSpread
            | Q::ClampPressure
            | Q::ReleaseCoats
            | Q::ThinnerLoading
            | Q::OvenTemperature
            | Q::OvenOverGlass
            | Q::GlassOverUse
            | Q::DemouldWait
            | Q::DemouldSheet
            | Q::MouldFaceTemperature => &[],
            _ => ANY,
        }
    }
    /// What a difference of two of it is: of temperatures an interval.
    pub fn difference(self) -> &'static Measure {
        self.measure().difference()
    }
}
