//! Ratios that never mix: each says of what it is a ratio.
//!
//! `uom` has one `Ratio` for everything dimensionless; a mass fraction, a volume fraction, a degree of cure and
//! a strain would pass for one another. Here each is its own type with a checked constructor.

use super::{Dimension, Kind, Measure, Quantity};
use crate::error::{Error, Result, finite};

macro_rules! ratios {
    ($($(#[$doc:meta])* $ty:ident $name:literal $kind:ident $tag:literal $example:literal $low:expr, $high:expr;)*) => {
        $($(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $ty(f64);

        impl $ty {
            /// The checked constructor, from the plain number (see the type for its scale and bounds).
            ///
            /// # Errors
            /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) outside the type's bounds,
            /// [`ErrorKind::NotFinite`](crate::ErrorKind::NotFinite) for NaN and infinities.
            pub fn new(value: f64) -> Result<Self> {
                let v = finite($name, value)?;
                if ($low..=$high).contains(&v) {
                    // An empty sum is -0.0 in Rust: nobody is shown "-0 wt%".
                    Ok($ty(v + 0.0))
                } else {
                    let show = |x: f64| super::show::plain::<$ty>(x);
                    let allowed = match ($low.is_finite(), $high.is_finite()) {
                        (true, true) => format!("{} to {}", show($low), show($high)),
                        (true, false) => format!("{} or more", show($low)),
                        _ => "any finite number".to_owned(),
                    };
                    Err(Error::out_of_range($name, show(v), allowed, concat!("write for example '", $example, "'")))
                }
            }
            /// The plain number.
            pub const fn get(self) -> f64 {
                self.0
            }
        }

        impl Quantity for $ty {
            const NAME: &'static str = $name;
            const DIMENSION: Dimension = Dimension::new(0, 0, 0, 0, 0, Kind::$kind);
            const TAG_UNIT: &'static str = $tag;
            const EXAMPLE: &'static str = $example;
            const BOUNDS: [f64; 2] = [$low, $high];
            fn from_si(value: f64) -> Result<Self> {
                $ty::new(value)
            }
            fn si(self) -> f64 {
                self.0
            }
        })*
        pub(super) const RATIOS: &[&Measure] = &[$($ty::MEASURE),*];
    };
}

const INF: f64 = f64::INFINITY;

ratios! {
    /// Mass of one part over the mass of the whole, 0 to 1. Written `wt%`.
    MassFraction "mass fraction" MassFraction "wt%" "30 wt%" 0.0_f64, 1.0_f64;
    /// Volume of one part over the volume of the whole, 0 to 1. Written `vol%`.
    VolumeFraction "volume fraction" VolumeFraction "vol%" "18 vol%" 0.0_f64, 1.0_f64;
    /// Parts by mass of something per hundred parts by mass of the resin, 0 or more: 2.0 means 2 g on 100 g.
    /// Written `phr`. Not a mass fraction: 100 phr is half of the whole.
    Phr "parts per hundred resin" Phr "phr" "2 phr" 0.0_f64, INF;
    /// Volume of something per volume of the resin, 0 or more. Written `vol% on resin`.
    PartsByVolume "volume on resin" VolumeOnResin "vol% on resin" "2 vol% on resin" 0.0_f64, INF;
    /// Degree of cure (conversion), 0 to 1. Written `%`.
    DegreeOfCure "degree of cure" DegreeOfCure "%" "95 %" 0.0_f64, 1.0_f64;
    /// Strain, length change over length; negative is shrinkage or compression, above -1. Written `%`.
    Strain "strain" Strain "%" "0.2 %" -1.0_f64, INF;
    /// Relative humidity of the air, 0 to 1. Written `%`.
    RelativeHumidity "relative humidity" Humidity "%" "65 %" 0.0_f64, 1.0_f64;
    /// A probability, 0 to 1. Written `%`.
    Probability "probability" Probability "%" "5 %" 0.0_f64, 1.0_f64;
    /// An amount over a reference amount of the same kind (a waste allowance on the net amount, a time over the
    /// time available, a relative uncertainty), 0 or more. Written `%`.
    RelativeAmount "relative amount" Relative "%" "15 %" 0.0_f64, INF;
    /// Relative spread or relative standard uncertainty: a standard deviation over its mean, 0 or more. Written `%`.
    RelativeSpread "relative spread" Spread "%" "10 %" 0.0_f64, INF;
    /// Hydroxyl number of a polyol in milligrams of KOH per gram, 0 or more. Written `mg KOH/g`.
    HydroxylNumber "hydroxyl number" HydroxylNumber "mg KOH/g" "122 mg KOH/g" 0.0_f64, INF;
    /// A plain number without dimension (Poisson's ratio, refractive index, isocyanate index), any finite value.
    /// Written as a number alone or with `1`.
    Index "plain number" Number "1" "1.55" -INF, INF;
}

impl MassFraction {
    /// Zero.
    pub const ZERO: MassFraction = MassFraction(0.0);
    /// What is left of the whole: `1 - w`.
    #[must_use]
    pub fn rest(self) -> MassFraction {
        MassFraction(1.0 - self.0)
    }
}

impl VolumeFraction {
    /// Zero.
    pub const ZERO: VolumeFraction = VolumeFraction(0.0);
    /// What is left of the whole: `1 - phi`.
    #[must_use]
    pub fn rest(self) -> VolumeFraction {
        VolumeFraction(1.0 - self.0)
    }
}

impl RelativeSpread {
    /// Zero.
    pub const ZERO: RelativeSpread = RelativeSpread(0.0);
}

impl RelativeAmount {
    /// Zero.
    pub const ZERO: RelativeAmount = RelativeAmount(0.0);
    /// One part in a hundred.
    pub const HUNDREDTH: RelativeAmount = RelativeAmount(0.01);
}

impl Index {
    /// One.
    pub const ONE: Index = Index(1.0);
}

impl Phr {
    /// Zero.
    pub const ZERO: Phr = Phr(0.0);
    /// Grams per gram of resin.
    pub fn per_resin(self) -> f64 {
        self.0 / 100.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bounds_are_kept() {
        assert!(MassFraction::new(1.0).is_ok());
        let e = MassFraction::new(2.0).unwrap_err();
        assert_eq!(
            e.to_string(),
            "mass fraction: 200 wt% is out of range; allowed: 0 wt% to 100 wt%; write for example '30 wt%'"
        );
        assert!(MassFraction::new(f64::NAN).is_err());
        assert!(Phr::new(250.0).is_ok(), "a filler may outweigh its resin");
        assert!(Phr::new(-1.0).is_err());
    }
}
