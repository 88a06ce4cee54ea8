//! A wet flange pressed between the halves of its mould.

use gelwright::ErrorKind;
use gelwright::flow::{FibreBed, PressedWet, StoppedBy, Strand, ViscosityHistory, WetEdge};
use gelwright::quantity::*;

fn q<Q: Quantity>(text: &str) -> Q {
    parse("x", text).unwrap()
}

fn constant(viscosity: &str, time: &str) -> ViscosityHistory {
    ViscosityHistory::Constant {
        viscosity: q(viscosity),
        time: q(time),
    }
}

/// Four plies of 450 g/m2 between two halves, laid with 70 % of resin.
fn edge(width: &str, pressure: &str, viscosity: ViscosityHistory) -> WetEdge {
    WetEdge {
        width: q(width),
        pressure: q(pressure),
        glass: q("1800 g/m^2"),
        glass_content: q("30 wt%"),
        glass_density: q("2.55 g/mL"),
        resin_density: q("1.1 g/mL"),
        viscosity,
        strand: Strand::of_mat(),
        bed: FibreBed::default(),
        stops: q("0 mm"),
    }
}

/// Fibres that carry nothing.
fn slack() -> FibreBed {
    FibreBed {
        glass: q("60 vol%"),
        pressure: q("0.001 Pa"),
        exponent: 0.1,
    }
}

fn pressed(edge: &WetEdge) -> PressedWet {
    edge.pressed().unwrap()
}

/// Analytic: it rests where the fibres carry the clamps, `phi = 17 % (p/10 kPa)^0.1`; of a mat 1.8 kg/m2 heavy `h = m/(rho phi)`.
#[test]
fn a_narrow_flange_rests_on_its_fibres() {
    let e = pressed(&edge("12 mm", "83.333 kPa", constant("0.3 Pa*s", "600 s")));
    let solid = 1.8 / 2550.0;
    let phi = 0.17 * 8.3333f64.powf(0.1);
    assert!(
        (e.thickness.si() / (solid / phi) - 1.0).abs() < 1e-4,
        "{}",
        e.thickness.si()
    );
    assert_eq!(e.stopped_by, StoppedBy::Fibres);
    // Laid: volume of glass over that of glass and resin.
    let laid_phi = (0.3 / 2.55) / (0.3 / 2.55 + 0.7 / 1.1);
    assert!((e.laid.si() / (solid / laid_phi) - 1.0).abs() < 1e-9);
    // What has left is what is missing, and it was resin.
    assert!((e.resin_out.si() - (e.laid.si() - e.thickness.si()) * 1100.0).abs() < 1e-9);
    let by_mass = 1.8 / (1.8 + (e.thickness.si() - solid) * 1100.0);
    assert!((e.glass_content.get() - by_mass).abs() < 1e-9);
    assert!((1.8 * 0.7 / 0.3 - e.resin_out.si() - 1.8 * (1.0 / by_mass - 1.0)).abs() < 1e-9);
    assert!(e.thickness_low < e.thickness && e.thickness < e.thickness_high);
    assert!(e.glass_content_low < e.glass_content && e.glass_content < e.glass_content_high);
    assert!(e.resin_out_low < e.resin_out && e.resin_out < e.resin_out_high);
    // A clamp that the plies carry as they lie moves nothing.
    let light = pressed(&edge("12 mm", "1 kPa", constant("0.3 Pa*s", "600 s")));
    assert_eq!(
        (light.thickness, light.stopped_by),
        (light.laid, StoppedBy::Fibres)
    );
    let mut stopped = edge("12 mm", "83.333 kPa", constant("0.3 Pa*s", "600 s"));
    stopped.stops = q("4 mm");
    let stopped = pressed(&stopped);
    assert!((stopped.thickness.si() - 4e-3).abs() < 1e-8 && stopped.stopped_by == StoppedBy::Faces);
}

/// Analytic: Darcy's law over a strip whose fibres carry nothing yet thins it by `12 K p Theta/W^2` of its thickness, while that is
/// small (Gutowski, Morigaki, Cai, J. Compos. Mater. 21, 172 (1987)).
#[test]
fn at_first_it_thins_as_darcys_law_says() {
    let mut wide = edge("300 mm", "20 kPa", constant("0.5 Pa*s", "10 s"));
    wide.bed = slack();
    let e = pressed(&wide);
    let theta = 10.0 / 0.5;
    let share = 12.0 * e.permeability.si() * 20e3 * theta / (0.3 * 0.3);
    assert!((0.001..0.5).contains(&share), "{share}");
    // Over a hundredth of the time, so that K stays.
    wide.viscosity = constant("0.5 Pa*s", "0.05 s");
    let e = pressed(&wide);
    let (share, thinned) = (share / 200.0, 1.0 - e.thickness.si() / e.laid.si());
    assert!((thinned / share - 1.0).abs() < 0.01, "{share}");
    assert_eq!(e.stopped_by, StoppedBy::Gel);
}

/// Stefan (1874): what lets resin through as a slit does closes as one, `1/h^2 = 1/h0^2 + 2 p Theta/W^2`.
#[test]
fn fibres_that_hinder_nothing_leave_stefans_strip() {
    // So short that its coarse strands do not come close to each other.
    let mut open = edge("300 mm", "20 kPa", constant("0.5 Pa*s", "0.05 s"));
    open.bed = slack();
    open.strand.filament = q("3 mm");
    let e = pressed(&open);
    let theta = 0.05 / 0.5;
    let h = (e.laid.si().powi(-2) + 2.0 * 20e3 * theta / 0.09).powf(-0.5);
    assert!(
        (e.thickness.si() / h - 1.0).abs() < 1e-6,
        "{} {h}",
        e.thickness.si()
    );
}

/// Another method for planar random fibres, flow computed on a lattice: `K/r^2 = 5.55/(exp(10.1 phi) - 1)` (A. Koponen et al., Phys.
/// Rev. Lett. 80, 716 (1998); constants from memory), met within a third where strands take 17 to 50 % of the room.
#[test]
fn the_permeability_is_that_of_random_fibres() {
    for strands in [0.17, 0.26, 0.4, 0.5] {
        let mut e = edge("300 mm", "20 kPa", constant("0.5 Pa*s", "1 s"));
        let glass: f64 = 0.6 * strands;
        let by_mass = glass * 2.55 / (glass * 2.55 + (1.0 - glass) * 1.1);
        e.glass_content = MassFraction::new(by_mass).unwrap();
        let radius = 0.5 * e.strand.diameter().unwrap().si();
        let found = pressed(&e).permeability.si() / (radius * radius);
        let expected = 5.55 / ((10.1 * strands).exp() - 1.0);
        assert!(
            (found / expected - 1.0).abs() < 0.34,
            "{strands}: {found} {expected}"
        );
    }
}

#[test]
fn what_is_no_edge_is_refused() {
    let refused = |e: WetEdge| {
        let e = e.pressed().unwrap_err();
        (e.kind(), e.field().to_owned())
    };
    let time = || constant("0.3 Pa*s", "600 s");
    assert_eq!(
        refused(edge("2 mm", "80 kPa", time())),
        (ErrorKind::OutOfRange, "width".into())
    );
    assert_eq!(
        refused(edge("12 mm", "0 kPa", time())),
        (ErrorKind::OutOfRange, "pressure".into())
    );
    let mut dry = edge("12 mm", "80 kPa", time());
    dry.glass_content = q("95 wt%");
    assert_eq!(refused(dry), (ErrorKind::OutOfRange, "glass_content".into()));
    let mut none = edge("12 mm", "80 kPa", time());
    none.strand.filaments = 0;
    assert_eq!(refused(none), (ErrorKind::OutOfRange, "strand.filaments".into()));
}
