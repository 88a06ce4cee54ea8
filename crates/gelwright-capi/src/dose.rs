//! Typed dosing: plain structs in SI, the unit in the field name.

use std::ffi::c_char;

use gelwright_core::mix::dosing::{DENSITY_UNCERTAINTY, Dosing};
use gelwright_core::mix::{Bench, Dose, Dropper, MeasuredBy, bench::DROP_SPREAD, bench::DropperCalibration};
use gelwright_core::quantity::{Mass, MassDensity, Phr, Quantity, RelativeSpread, Volume};
use gelwright_core::{Result, Source, Standing};

use crate::guard::{given, guarded, out, text};
use crate::{gw_error, gw_status, si};

/// A dropper: how much one drop is, and how sure that is. Made by gw_dropper_uncalibrated or
/// gw_dropper_calibrated.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
#[allow(non_camel_case_types)]
pub struct gw_dropper {
    /// Mean volume of a drop, in cubic metres.
    pub drop_volume_m3: f64,
    /// Standard deviation of one drop over the mean drop.
    pub drop_spread: f64,
    /// Relative standard uncertainty of the mean drop: what counting more drops does not remove.
    pub mean_uncertainty: f64,
    /// Whether its drop was weighed rather than assumed.
    pub calibrated: bool,
}

impl gw_dropper {
    fn of(d: &Dropper) -> Self {
        gw_dropper {
            drop_volume_m3: d.drop_volume.si(),
            drop_spread: d.drop_spread.get(),
            mean_uncertainty: d.mean_uncertainty.get(),
            calibrated: d.is_calibrated(),
        }
    }

    fn read(&self) -> Result<Dropper> {
        let source = if self.calibrated {
            Source::of(Standing::MeasuredHere, "the caller's calibration")
        } else {
            Dropper::uncalibrated().source
        };
        Dropper::new(
            si::<Volume>("drop_volume_m3", self.drop_volume_m3)?,
            si::<RelativeSpread>("drop_spread", self.drop_spread)?,
            si::<RelativeSpread>("mean_uncertainty", self.mean_uncertainty)?,
            source,
        )
        .map_err(|e| e.within("dropper"))
    }
}

/// A dose as it is to be measured, and how surely it comes out. The intervals hold the dose with a probability
/// of 95 %.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
#[allow(non_camel_case_types)]
pub struct gw_measured_dose {
    /// The dose: parts by mass to a hundred parts by mass of resin.
    pub dose_phr: f64,
    /// Its mass, in kilograms: what to weigh.
    pub mass_kg: f64,
    /// Its volume, in cubic metres: what to draw up in a syringe.
    pub volume_m3: f64,
    /// If it is weighed: lower end of what comes out.
    pub weighed_low_phr: f64,
    /// If it is weighed: upper end of what comes out.
    pub weighed_high_phr: f64,
    /// Whole drops to count, one at least; 0 without a dropper.
    pub drops: u32,
    /// If drops are counted: the dose of that many whole drops; 0 without a dropper.
    pub counted_phr: f64,
    /// If drops are counted: lower end of what comes out; 0 without a dropper.
    pub counted_low_phr: f64,
    /// If drops are counted: upper end of what comes out; 0 without a dropper.
    pub counted_high_phr: f64,
}

/// The dropper that nobody has calibrated: a drop of 0.03 mL, with the wide spread of what published rules
/// imply. Common practice, no source.
///
/// # Safety
/// `dropper` points to a writable struct; `error` is NULL or points to a writable pointer.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn gw_dropper_uncalibrated(
    dropper: *mut gw_dropper,
    error: *mut *mut gw_error,
) -> gw_status {
    // SAFETY: the caller's promises, passed on.
    unsafe {
        guarded(error, || {
            *out("dropper", dropper)? = gw_dropper::of(&Dropper::uncalibrated());
            Ok(())
        })
    }
}

/// A dropper from its calibration: so many drops of a liquid of this density weigh so much. Weigh the liquid
/// that the dropper will be used with, not water. `scale_step_kg` is the display step of the scale (0.0001 for
/// a scale that shows tenths of a gram).
///
/// # Safety
/// `dropper` points to a writable struct; `error` is NULL or points to a writable pointer.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn gw_dropper_calibrated(
    drops: u32,
    mass_kg: f64,
    density_kg_per_m3: f64,
    scale_step_kg: f64,
    dropper: *mut gw_dropper,
    error: *mut *mut gw_error,
) -> gw_status {
    // SAFETY: the caller's promises, passed on.
    unsafe {
        guarded(error, || {
            let dropper = out("dropper", dropper)?;
            let made = DropperCalibration {
                drops,
                mass: si::<Mass>("mass_kg", mass_kg)?,
                density: si::<MassDensity>("density_kg_per_m3", density_kg_per_m3)?,
                readability: si::<Mass>("scale_step_kg", scale_step_kg)?,
                drop_spread: RelativeSpread::new(DROP_SPREAD)?,
            }
            .dropper()?;
            *dropper = gw_dropper::of(&made.dropper);
            Ok(())
        })
    }
}

/// What to weigh, draw up or count for a dose, and how surely it comes out.
///
/// `dose` is text that says its basis: "2 wt% on resin", "2 vol% on resin", "20 mL/kg", "10 drops/fl oz"; a bare
/// percent is refused. `dropper` may be NULL where no drops are counted. `scale_step_kg` is the display step of
/// the scale.
///
/// # Safety
/// `dose` points to NUL-terminated text, `dropper` is NULL or points to a struct, `measured` points to a
/// writable struct; `error` is NULL or points to a writable pointer.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn gw_dose_measure(
    dose: *const c_char,
    resin_mass_kg: f64,
    resin_density_kg_per_m3: f64,
    dose_density_kg_per_m3: f64,
    scale_step_kg: f64,
    dropper: *const gw_dropper,
    measured: *mut gw_measured_dose,
    error: *mut *mut gw_error,
) -> gw_status {
    // SAFETY: the caller's promises, passed on.
    unsafe {
        guarded(error, || {
            let dose = Dose::parse("dose", text("dose", dose)?)?;
            let measured = out("measured", measured)?;
            let dropper = match dropper.is_null() {
                true => None,
                false => Some(given("dropper", dropper)?.read()?),
            };
            *measured = measure(
                dose,
                si("resin_mass_kg", resin_mass_kg)?,
                si("resin_density_kg_per_m3", resin_density_kg_per_m3)?,
                si("dose_density_kg_per_m3", dose_density_kg_per_m3)?,
                si("scale_step_kg", scale_step_kg)?,
                dropper,
            )?;
            Ok(())
        })
    }
}

fn measure(
    dose: Dose,
    resin: Mass,
    resin_density: MassDensity,
    dose_density: MassDensity,
    scale_step: Mass,
    dropper: Option<Dropper>,
) -> Result<gw_measured_dose> {
    let phr: Phr = dose.as_phr(resin_density, dose_density, dropper.as_ref())?;
    let mass = dose.mass_for(resin, resin_density, dose_density, dropper.as_ref())?;
    let counts = dropper.is_some();
    let mut bench = Bench::with_scale(scale_step);
    bench.dropper = dropper;
    let dosing = Dosing {
        dose: phr,
        dose_density,
        density_uncertainty: RelativeSpread::new(DENSITY_UNCERTAINTY)?,
        bench,
    };
    let weighed = dosing.dosed(resin, MeasuredBy::Scale)?.dose;
    let mut measured = gw_measured_dose {
        dose_phr: phr.get(),
        mass_kg: mass.si(),
        volume_m3: mass.si() / dose_density.si(),
        weighed_low_phr: weighed.low.get(),
        weighed_high_phr: weighed.high.get(),
        ..Default::default()
    };
    if counts {
        let counted = dosing.dosed(resin, MeasuredBy::Dropper)?;
        measured.drops = counted.drops.unwrap_or_default();
        measured.counted_phr = counted.dose.value.get();
        measured.counted_low_phr = counted.dose.low.get();
        measured.counted_high_phr = counted.dose.high.get();
    }
    Ok(measured)
}
