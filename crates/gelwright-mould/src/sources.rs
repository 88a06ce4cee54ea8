//! What the equations of this room stand on.

use gelwright_base::source::{Source, Standing};

pub(crate) fn propagation() -> Source {
    Source::published(
        "Joint Committee for Guides in Metrology",
        "JCGM 100:2008, Guide to the expression of uncertainty in measurement",
        2008,
        "5.1.2, 5.1.3 note 2; 4.3.7 (limits)",
    )
}

/// Maximum permissible errors of tapes; read in the text of the Directive and of the United Kingdom's Measuring Instruments
/// Regulations 2016 (schedule 1I), which repeat each other.
pub(crate) fn tapes() -> Source {
    Source::published(
        "European Parliament and Council",
        "Directive 2014/32/EU on measuring instruments, Annex X (MI-008), chapter I, table 1",
        2014,
        "a + b L, class II: a = 0.3 mm, b = 0.2 mm/m, L rounded up to the next metre; c = 0.2 mm from an end",
    )
}

pub(crate) fn water_density() -> Source {
    Source::published(
        "M. Tanaka, G. Girard, R. Davis, A. Peuto, N. Bignell",
        "Recommended table for the density of water between 0 °C and 40 °C based on recent experimental reports",
        2001,
        "Metrologia 38, 301, equation (1); doi 10.1088/0026-1394/38/4/3",
    )
}

pub(crate) fn elliptic_integrals() -> Source {
    Source::published(
        "B. C. Carlson, in F. W. J. Olver et al. (eds.), National Institute of Standards and Technology",
        "NIST Handbook of Mathematical Functions, chapter 19",
        2010,
        "19.33.1 (surface of an ellipsoid), 19.21.10, 19.36.1; numbers of equations from memory",
    )
}

/// Of the parallel body of a convex one.
pub(crate) fn parallel_body() -> Source {
    Source {
        author: "R. Schneider".into(),
        title: "Convex Bodies: The Brunn-Minkowski Theory, 2nd edition, Cambridge University Press".into(),
        year: Some(2014),
        locator: "Steiner's formula, chapter 4; recalled, not looked up".into(),
        standing: Standing::FromMemory,
    }
}

pub(crate) fn green() -> Source {
    Source::of(
        Standing::Derived,
        "Green's theorem on the outline, A = 1/2 |sum (x dy - y dx)|",
    )
}

pub(crate) fn divergence() -> Source {
    Source::of(
        Standing::Derived,
        "divergence theorem on the mesh, V = 1/6 sum a·(b×c) about its own middle",
    )
}
