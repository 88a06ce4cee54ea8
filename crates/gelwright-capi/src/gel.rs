//! Typed gel time from a data sheet's table.

use std::ffi::c_char;

use gelwright_core::cure::{GelRow, GelTable, GelTime};
use gelwright_core::quantity::{Phr, Quantity, ThermodynamicTemperature, Time};
use gelwright_core::{Result, Source, Standing};

use crate::guard::{given, guarded, out, run, text};
use crate::{gw_error, gw_status, si};

/// One row of a gel-time table.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
#[allow(non_camel_case_types)]
pub struct gw_gel_row {
    /// Temperature of resin and surroundings, in kelvin.
    pub temperature_K: f64,
    /// Catalyst: parts by mass to a hundred parts by mass of resin.
    pub dose_phr: f64,
    /// Time from mixing to gel, in seconds.
    pub time_s: f64,
}

/// A gel time with its band of about 95 %.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
#[allow(non_camel_case_types)]
pub struct gw_gel_time {
    /// Most likely time from mixing to gel, in seconds.
    pub time_s: f64,
    /// Lower end of the band: plan the working time with this one.
    pub low_s: f64,
    /// Upper end of the band.
    pub high_s: f64,
    /// Whether temperature or dose lie outside the table.
    pub extrapolated: bool,
}

impl gw_gel_time {
    fn of(t: &GelTime) -> Self {
        gw_gel_time {
            time_s: t.time.si(),
            low_s: t.low.si(),
            high_s: t.high.si(),
            extrapolated: t.extrapolated.is_some(),
        }
    }
}

/// A data sheet's gel-time table, checked and fitted. Made by gw_gel_table_new, freed by gw_gel_table_free.
#[derive(Debug)]
#[allow(non_camel_case_types)]
pub struct gw_gel_table(GelTable);

/// A gel-time table from the rows of a data sheet, two or more. `source` says where they stand.
///
/// # Safety
/// `rows` points to `count` structs (or is NULL with `count` 0), `source` to NUL-terminated text, `table` to a
/// writable pointer; `error` is NULL or points to a writable pointer.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn gw_gel_table_new(
    rows: *const gw_gel_row,
    count: usize,
    source: *const c_char,
    table: *mut *mut gw_gel_table,
    error: *mut *mut gw_error,
) -> gw_status {
    // SAFETY: the caller's promises, passed on.
    unsafe {
        guarded(error, || {
            let rows = run("rows", rows, count)?;
            let source = text("source", source)?;
            let table = out("table", table)?;
            let rows = rows
                .iter()
                .enumerate()
                .map(|(i, row)| read(row).map_err(|e| e.within(format!("rows[{i}]"))))
                .collect::<Result<Vec<_>>>()?;
            let made = GelTable::new(rows, Source::of(Standing::DataSheet, source))?;
            *table = Box::into_raw(Box::new(gw_gel_table(made)));
            Ok(())
        })
    }
}

fn read(row: &gw_gel_row) -> Result<GelRow> {
    Ok(GelRow::new(
        si::<ThermodynamicTemperature>("temperature_K", row.temperature_K)?,
        si::<Phr>("dose_phr", row.dose_phr)?,
        si::<Time>("time_s", row.time_s)?,
    ))
}

/// The gel time at a temperature and a dose. Outside the table it is extrapolated, and says so.
///
/// # Safety
/// `table` came from gw_gel_table_new and has not been freed, `gel_time` points to a writable struct; `error` is
/// NULL or points to a writable pointer.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn gw_gel_table_gel_time(
    table: *const gw_gel_table,
    temperature_K: f64,
    dose_phr: f64,
    gel_time: *mut gw_gel_time,
    error: *mut *mut gw_error,
) -> gw_status {
    // SAFETY: the caller's promises, passed on.
    unsafe {
        guarded(error, || {
            let table = given("table", table)?;
            let gel_time = out("gel_time", gel_time)?;
            let found = table
                .0
                .gel_time(si("temperature_K", temperature_K)?, si("dose_phr", dose_phr)?)?;
            *gel_time = gw_gel_time::of(&found);
            Ok(())
        })
    }
}

/// The dose between `least_phr` and `most_phr` (the data sheet's window) that gives a wanted gel time at a
/// temperature. GW_ERROR_NO_SOLUTION if none does; the error tells the nearest.
///
/// `gel_time` receives the gel time at that dose with its band; it may be NULL.
///
/// # Safety
/// `table` came from gw_gel_table_new and has not been freed, `dose_phr` points to a writable number, `gel_time`
/// is NULL or points to a writable struct; `error` is NULL or points to a writable pointer.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn gw_gel_table_dose_for(
    table: *const gw_gel_table,
    time_s: f64,
    temperature_K: f64,
    least_phr: f64,
    most_phr: f64,
    dose_phr: *mut f64,
    gel_time: *mut gw_gel_time,
    error: *mut *mut gw_error,
) -> gw_status {
    // SAFETY: the caller's promises, passed on.
    unsafe {
        guarded(error, || {
            let table = given("table", table)?;
            let dose_phr = out("dose_phr", dose_phr)?;
            let (least, most) = (si("least_phr", least_phr)?, si("most_phr", most_phr)?);
            let found = table.0.dose_for(
                si("time_s", time_s)?,
                si("temperature_K", temperature_K)?,
                least,
                most,
            )?;
            *dose_phr = found.dose.get();
            if let Ok(gel_time) = out("gel_time", gel_time) {
                *gel_time = gw_gel_time::of(&found.gel_time);
            }
            Ok(())
        })
    }
}

/// Frees a gel-time table. NULL is allowed.
///
/// # Safety
/// `table` is NULL or came from gw_gel_table_new and has not been freed.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn gw_gel_table_free(table: *mut gw_gel_table) {
    if !table.is_null() {
        // SAFETY: by the caller's promise it came from `Box::into_raw` here, and comes back once.
        drop(unsafe { Box::from_raw(table) });
    }
}
