//! What must hold for any text that stands where a quantity or a price is wanted.

use gelwright_base::noun::AsText;
use gelwright_base::quantity::*;
use gelwright_base::{Error, ErrorKind};

/// No text panics; what is accepted is finite, what is written for a document reads back to the same value, and what
/// is shown to people is accepted again, to the same value within its figures.
pub(crate) fn check(text: &str) {
    money(text);
    price(text);
    if spread::is_marked(text) {
        Measure::all().for_each(|of| with_spread(text, of));
        return;
    }
    // A text that has no number or no unit is refused before it is asked which quantity is wanted: asking once is enough.
    if let Err(e) = parse::<Mass>("x", text)
        && matches!(e.kind(), ErrorKind::Unreadable | ErrorKind::UnknownUnit)
    {
        return refused(text, &e);
    }
    macro_rules! each {
        ($($quantity:ident)*) => { $(quantity::<$quantity>(text);)* };
    }
    each! {
        Acceleration AmountOfSubstance Angle Area ArealMassDensity AvailableEnergy DegreeOfCure DiffusionCoefficient
        DynamicViscosity Energy Force Frequency HeatFluxDensity HeatTransfer HydroxylNumber Index Length
        LinearMassDensity Mass MassDensity MassFlux MassFraction MolarEnergy MolarMass PartsByVolume Phr Power Pressure
        Probability ReciprocalLength RelativeAmount RelativeHumidity RelativeSpread SpecificHeatCapacity
        SpecificVolume Strain SurfaceTension TemperatureCoefficient TemperatureInterval ThermalConductivity
        ThermodynamicTemperature Time Velocity Volume VolumeFraction VolumeRate
    }
}

fn quantity<Q: Quantity>(text: &str) {
    let q: Q = match parse("x", text) {
        Ok(q) => q,
        Err(e) => return refused(text, &e),
    };
    assert!(q.si().is_finite(), "{text:?} is read as {q:?}");
    let point = Q::DIMENSION.kind == Kind::Point;
    // Far from any workshop, points have bits that a number of degrees Celsius does not reach.
    let far = point && !(200.0..1000.0).contains(&q.si());
    let blur = if far {
        (q.si() * f64::EPSILON).max(1e-13)
    } else {
        0.0
    };
    reads_back(q, &tagged(q), blur);
    // Four figures of the number that is shown, three where it is brief; a scale's number counts from its own zero.
    // Close to absolute zero rounding steps below it, close to the largest number beyond it.
    if point && q.si() < 1.0 || q.si().abs() > 1.79e308 {
        return;
    }
    for (units, zero) in [(BenchUnits::Metric, 273.15), (BenchUnits::Us, 459.67 / 1.8)] {
        let number = if point {
            (q.si() - zero).abs()
        } else {
            q.si().abs()
        };
        reads_back(q, &show_in(q, units), 5.01e-4 * number + 1e-12);
        reads_back(q, &brief_in(q, units), 5.51e-3 * number + 1e-12);
    }
}

/// `text` stands for `q`, give or take `blur` in SI.
pub(crate) fn reads_back<Q: Quantity>(q: Q, text: &str, blur: f64) {
    match parse::<Q>("x", text) {
        Ok(back) => assert!(
            (back.si() - q.si()).abs() <= blur,
            "{q:?} is written {text:?}, which is read as {back:?}"
        ),
        Err(e) => panic!("{q:?} is written {text:?}, which is refused: {e}"),
    }
}

/// What is read with its spread lies within what it can be, and what is written of it reads back to the same bits.
fn with_spread(text: &str, of: &'static Measure) {
    let input = match spread::read("x", text, of) {
        Ok(input) => input,
        Err(e) => return refused(text, &e),
    };
    let [least, most] = of.bounds;
    for p in [0.0, 1e-9, 0.5, 1.0 - 1e-9, 1.0] {
        let x = input.quantile(p);
        assert!((least..=most).contains(&x), "{text:?} reaches {x} as {}", of.name);
    }
    assert!(
        input.standard_uncertainty().is_finite(),
        "{text:?} as {}",
        of.name
    );
    // Points have bits that a number of degrees Celsius does not reach.
    if of.dimension.kind == Kind::Point {
        return;
    }
    let written = input.tagged();
    match spread::read("x", &written, of) {
        Ok(back) => assert!(
            back.value == input.value && back.distribution == input.distribution,
            "{text:?} is written {written:?}, which is read as {back:?}"
        ),
        Err(e) => panic!("{text:?} is written {written:?}, which is refused: {e}"),
    }
}

fn money(text: &str) {
    match Money::parse("x", text) {
        Ok(m) => {
            assert!(
                m.amount.is_finite() && m.amount >= 0.0,
                "{text:?} is read as {m:?}"
            );
            assert_eq!(Money::parse("x", &m.to_text()), Ok(m), "{text:?} is written {m}");
        }
        Err(e) => refused(text, &e),
    }
}

fn price(text: &str) {
    match Price::parse("x", text) {
        Ok(p) => {
            let one = p.of(1.0).amount;
            assert!(one.is_finite() && one >= 0.0, "{text:?} is read as {p:?}");
            let written = p.to_text();
            let back =
                Price::parse("x", &written).unwrap_or_else(|e| panic!("{p:?} is written {written:?}: {e}"));
            assert_eq!((back.currency, back.basis), (p.currency, p.basis));
            assert!(
                (back.of(1.0).amount - one).abs() <= 1e-11 * one,
                "{p:?} is written {written:?}, which is read as {back:?}"
            );
        }
        Err(e) => refused(text, &e),
    }
}

/// A refusal names the field and stays short, however long the text is.
fn refused(text: &str, e: &Error) {
    let message = e.to_string();
    assert!(
        e.field() == "x" && message.len() < 2_000,
        "{text:?} is refused with {message:?}"
    );
}
