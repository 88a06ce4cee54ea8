//! The papers, standards and handbooks the models come from.

use crate::source::{Source, Standing};

/// ISO 12215-5:2008, annex C: thickness from glass mass, default properties of glass-polyester laminates.
pub fn iso_12215_5(locator: &str) -> Source {
    Source::published(
        "International Organization for Standardization",
        "ISO 12215-5, Small craft - Hull construction and scantlings - Part 5",
        2008,
        locator,
    )
}

/// BS 4994:1987, unit strength, unit modulus and thickness constant of mat and woven roving.
pub fn bs_4994() -> Source {
    Source::published(
        "British Standards Institution",
        "BS 4994, Design and construction of vessels and tanks in reinforced plastics",
        1987,
        "fig. 5 and table of unit properties, as worked in a public design sheet",
    )
}

/// Ounces: conversion factors.
pub fn nist_sp_811() -> Source {
    Source::published(
        "A. Thompson, B. N. Taylor",
        "Guide for the Use of the International System of Units (NIST SP 811)",
        2008,
        "appendix B.8",
    )
}

/// Void content from densities.
pub fn void_content() -> Source {
    Source::published(
        "International Organization for Standardization",
        "ISO 7822, Textile glass reinforced plastics - Determination of void content",
        1990,
        "method by densities",
    )
}

/// Rules of mixtures, lamination theory and worked examples.
pub fn kaw(locator: &str) -> Source {
    Source::published(
        "A. K. Kaw",
        "Mechanics of Composite Materials, 2nd edition",
        2006,
        locator,
    )
}

/// Halpin-Tsai equations.
pub fn halpin_tsai() -> Source {
    Source::published(
        "J. C. Halpin, J. L. Kardos",
        "The Halpin-Tsai equations: a review, Polymer Engineering and Science 16, 344",
        1976,
        "",
    )
}

/// Random in-plane mat from the unidirectional ply.
pub fn tsai_pagano() -> Source {
    Source::published(
        "S. W. Tsai, N. J. Pagano",
        "Invariant properties of composite materials, in Composite Materials Workshop",
        1968,
        "E = 3/8 E1 + 5/8 E2, G = 1/8 E1 + 1/4 E2",
    )
}

/// Length efficiency of short fibres.
pub fn cox() -> Source {
    Source::published(
        "H. L. Cox",
        "The elasticity and strength of paper and other fibrous materials, British Journal of Applied Physics 3, 72",
        1952,
        "",
    )
}

/// Orientation efficiency.
pub fn krenchel() -> Source {
    Source::published(
        "H. Krenchel",
        "Fibre Reinforcement",
        1964,
        "efficiency factors 1, 1/2, 3/8, 1/5",
    )
}

/// Critical length and strength efficiency of short fibres.
pub fn kelly_tyson() -> Source {
    Source::published(
        "A. Kelly, W. R. Tyson",
        "Tensile properties of fibre-reinforced metals, Journal of the Mechanics and Physics of Solids 13, 329",
        1965,
        "",
    )
}

/// Bounds on the moduli of a two-phase material.
pub fn hashin_shtrikman() -> Source {
    Source::published(
        "Z. Hashin, S. Shtrikman",
        "A variational approach to the theory of the elastic behaviour of multiphase materials, \
         Journal of the Mechanics and Physics of Solids 11, 127",
        1963,
        "",
    )
}

/// Modulus of a particle-filled resin.
pub fn lewis_nielsen() -> Source {
    Source::published(
        "T. B. Lewis, L. E. Nielsen",
        "Dynamic mechanical properties of particulate-filled composites, Journal of Applied Polymer Science 14, 1449",
        1970,
        "",
    )
}

/// Hollow spheres in a matrix.
pub fn lee_westmann() -> Source {
    Source::published(
        "K. J. Lee, R. A. Westmann",
        "Elastic properties of hollow-sphere-reinforced composites, Journal of Composite Materials 4, 242",
        1970,
        "",
    )
}

/// Thermal expansion of a unidirectional ply.
pub fn schapery() -> Source {
    Source::published(
        "R. A. Schapery",
        "Thermal expansion coefficients of composite materials based on energy principles, \
         Journal of Composite Materials 2, 380",
        1968,
        "",
    )
}

/// The Tsai-Hill criterion.
pub fn tsai_hill() -> Source {
    Source::published(
        "V. D. Azzi, S. W. Tsai",
        "Anisotropic strength of composites, Experimental Mechanics 5, 283",
        1965,
        "",
    )
}

/// The Tsai-Wu criterion.
pub fn tsai_wu() -> Source {
    Source::published(
        "S. W. Tsai, E. M. Wu",
        "A general theory of strength for anisotropic materials, Journal of Composite Materials 5, 58",
        1971,
        "",
    )
}

/// Curvature of two bonded strips that shrink differently.
pub fn timoshenko_strip() -> Source {
    Source::published(
        "S. P. Timoshenko",
        "Analysis of bi-metal thermostats, Journal of the Optical Society of America 11, 233",
        1925,
        "",
    )
}

/// Plates in bending.
pub fn plates() -> Source {
    Source::published(
        "S. P. Timoshenko, S. Woinowsky-Krieger",
        "Theory of Plates and Shells, 2nd edition",
        1959,
        "articles 16, 30 and 53",
    )
}

/// A thick ring pressed on a core.
pub fn thick_ring() -> Source {
    Source::published(
        "S. P. Timoshenko",
        "Strength of Materials, part II, 3rd edition",
        1956,
        "thick-walled cylinder, shrink fit",
    )
}

/// Loads held over people, as German statutory accident insurers have them held.
pub fn over_people(locator: &str) -> Source {
    Source {
        author: "German Social Accident Insurance (DGUV)".to_owned(),
        title: "DGUV Information 215-313, Lasten über Personen".to_owned(),
        year: None,
        locator: locator.to_owned(),
        standing: Standing::Published,
    }
}

/// A relation derived in the documentation of the function, without a printed source.
pub fn derived_here(what: &str) -> Source {
    Source::of(Standing::Derived, what)
}

/// A range recalled by the authors.
pub fn from_memory(what: &str) -> Source {
    Source::of(Standing::FromMemory, what)
}

/// A rule of the trade.
pub fn common_practice(what: &str) -> Source {
    Source::of(Standing::CommonPractice, what)
}
