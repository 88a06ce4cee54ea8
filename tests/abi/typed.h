/* Typed dosing and gel time, checked against their definitions. */
#ifndef TYPED_H
#define TYPED_H

#include "check.h"

static int near(double found, double expected, double rtol) {
    return fabs(found - expected) <= rtol * fabs(expected);
}

static void dosing(void) {
    gw_measured_dose m;
    gw_dropper dropper;
    CHECK(gw_dropper_uncalibrated(&dropper, NULL) == GW_OK);
    CHECK(!dropper.calibrated);

    /* 2 % by mass on 1 kg: 20 g, by definition; 20/1.15 mL; a scale of 0.1 g steps twice: u = 0.1 sqrt(2/12) g */
    CHECK(gw_dose_measure("2 wt% on resin", 1.0, 1100.0, 1150.0, 1e-4, NULL, &m, NULL) == GW_OK);
    CHECK(near(m.dose_phr, 2.0, 1e-12));
    CHECK(near(m.mass_kg, 0.020, 1e-12));
    CHECK(near(m.volume_m3, 0.020 / 1150.0, 1e-12));
    const double u = 1e-4 * sqrt(2.0 / 12.0) * hypot(1.0 / 0.020, 1.0 / 1.0);
    CHECK(near(m.weighed_high_phr - m.weighed_low_phr, 2.0 * 2.0 * 1.959964 * u, 1e-4));
    CHECK(m.drops == 0 && m.counted_phr == 0.0);

    /* the same dose by volume per mass is another dose: 20 mL of 1150 kg/m3 weigh 23 g */
    CHECK(gw_dose_measure("20 mL/kg", 1.0, 1100.0, 1150.0, 1e-4, NULL, &m, NULL) == GW_OK);
    CHECK(near(m.mass_kg, 0.023, 1e-12));

    /* two drops to every 0.1 fl oz: 16 drops to 0.8 fl oz, by counting; 1 US fl oz = 29.573 529 562 5 mL (NIST SP 811) */
    const double gel_coat_kg = 0.8 * 29.5735295625e-6 * 1200.0;
    CHECK(gw_dose_measure("2 drops/0.1 fl oz", gel_coat_kg, 1200.0, 1150.0, 1e-4, &dropper, &m, NULL) == GW_OK);
    CHECK(m.drops == 16);
    CHECK(m.counted_low_phr < m.counted_phr && m.counted_phr < m.counted_high_phr);
    /* nobody has calibrated this dropper: its band is far wider than that of the scale */
    CHECK(m.counted_high_phr - m.counted_low_phr > 2.0 * (m.weighed_high_phr - m.weighed_low_phr));

    /* 100 drops that weigh 3.2 g at 1150 kg/m3 hold 3.2/115 mL each */
    CHECK(gw_dropper_calibrated(100, 3.2e-3, 1150.0, 1e-4, &dropper, NULL) == GW_OK);
    CHECK(dropper.calibrated);
    CHECK(near(dropper.drop_volume_m3, 3.2e-3 / 115000.0, 1e-12));
}

static void bad_dosing(void) {
    gw_error *error = NULL;
    gw_measured_dose m;
    gw_dropper dropper;
    memset(&m, 0x5a, sizeof m);
    const gw_measured_dose before = m;
    const struct { const char *dose; double mass, scale; gw_status status; const char *field; } bad[] = {
        {"2 %", 1.0, 1e-4, GW_ERROR_WRONG_DIMENSION, "dose"},
        {"2", 1.0, 1e-4, GW_ERROR_BARE_NUMBER, "dose"},
        {"some", 1.0, 1e-4, GW_ERROR_UNREADABLE, "dose"},
        {"10 drops/fl oz", 1.0, 1e-4, GW_ERROR_INCONSISTENT, "dropper"},
        {"2 phr", -1.0, 1e-4, GW_ERROR_OUT_OF_RANGE, "resin_mass"},
        {"2 phr", (double)NAN, 1e-4, GW_ERROR_NOT_FINITE, "resin_mass_kg"},
        {"2 phr", (double)INFINITY, 1e-4, GW_ERROR_NOT_FINITE, "resin_mass_kg"},
        {"2 phr", 1.0, 0.0, GW_ERROR_OUT_OF_RANGE, "bench.scale.readability"},
        {NULL, 1.0, 1e-4, GW_ERROR_DOCUMENT, "dose"},
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        CHECK(gw_dose_measure(bad[i].dose, bad[i].mass, 1100.0, 1150.0, bad[i].scale, NULL, &m, &error) == bad[i].status);
        CHECK(gw_error_field(error) != NULL && strcmp(gw_error_field(error), bad[i].field) == 0);
        CHECK(gw_error_way_out(error) != NULL);
        if (failures > 0) {
            fprintf(stderr, "  %s\n", gw_error_message(error));
        }
        gw_error_free(error);
        error = NULL;
    }
    CHECK(memcmp(&m, &before, sizeof m) == 0);
    CHECK(gw_dose_measure("2 phr", 1.0, 1100.0, 1150.0, 1e-4, NULL, NULL, NULL) == GW_ERROR_DOCUMENT);
    CHECK(gw_dropper_calibrated(0, 3.2e-3, 1150.0, 1e-4, &dropper, NULL) == GW_ERROR_OUT_OF_RANGE);
    CHECK(gw_dropper_calibrated(1, 3.2e-3, 1150.0, 1e-4, &dropper, NULL) == GW_ERROR_OUT_OF_RANGE);
    CHECK(gw_dropper_calibrated(100, 3.2e-3, 0.0, 1e-4, &dropper, NULL) == GW_ERROR_OUT_OF_RANGE);
    CHECK(gw_dropper_uncalibrated(NULL, NULL) == GW_ERROR_DOCUMENT);
}

static void gel_times(void) {
    /* Invented rows that follow t = 40 min / dose at 20 degC and half of that at 30 degC: the model holds exactly. */
    const gw_gel_row rows[] = {{293.15, 1.0, 2400.0}, {293.15, 2.0, 1200.0}, {303.15, 1.0, 1200.0}};
    gw_gel_table *table = NULL;
    gw_gel_time t;
    double dose = 0.0;
    CHECK(gw_gel_table_new(rows, 3, "invented for this test", &table, NULL) == GW_OK);
    CHECK(gw_gel_table_gel_time(table, 293.15, 1.0, &t, NULL) == GW_OK);
    CHECK(near(t.time_s, 2400.0, 1e-9));
    CHECK(t.low_s < t.time_s && t.time_s < t.high_s);
    CHECK(!t.extrapolated);
    CHECK(gw_gel_table_gel_time(table, 283.15, 1.0, &t, NULL) == GW_OK);
    CHECK(t.extrapolated && t.time_s > 2400.0);
    CHECK(gw_gel_table_dose_for(table, 1800.0, 293.15, 1.0, 2.0, &dose, &t, NULL) == GW_OK);
    CHECK(near(dose, 4.0 / 3.0, 1e-6));
    CHECK(near(t.time_s, 1800.0, 1e-6));
    CHECK(gw_gel_table_dose_for(table, 1800.0, 293.15, 1.0, 2.0, &dose, NULL, NULL) == GW_OK);

    gw_error *error = NULL;
    dose = -7.0;
    CHECK(gw_gel_table_dose_for(table, 60.0, 293.15, 1.0, 2.0, &dose, &t, &error) == GW_ERROR_NO_SOLUTION);
    CHECK(dose == -7.0);
    CHECK(has(gw_error_message(error), "nearest") && gw_error_allowed(error) != NULL);
    gw_error_free(error);
    CHECK(gw_gel_table_dose_for(table, 1800.0, 293.15, 2.0, 1.0, &dose, &t, NULL) == GW_ERROR_INCONSISTENT);
    CHECK(gw_gel_table_gel_time(table, 293.15, 0.0, &t, NULL) == GW_ERROR_OUT_OF_RANGE);
    CHECK(gw_gel_table_gel_time(table, (double)NAN, 1.0, &t, NULL) == GW_ERROR_NOT_FINITE);
    CHECK(gw_gel_table_gel_time(table, 293.15, 1.0, NULL, NULL) == GW_ERROR_DOCUMENT);
    CHECK(gw_gel_table_gel_time(NULL, 293.15, 1.0, &t, NULL) == GW_ERROR_DOCUMENT);
    gw_gel_table_free(table);
    gw_gel_table_free(NULL);

    gw_gel_table *untouched = table;
    CHECK(gw_gel_table_new(rows, 0, "none", &untouched, NULL) == GW_ERROR_OUT_OF_RANGE);
    CHECK(gw_gel_table_new(NULL, 0, "none", &untouched, NULL) == GW_ERROR_OUT_OF_RANGE);
    CHECK(gw_gel_table_new(NULL, 3, "none", &untouched, NULL) == GW_ERROR_DOCUMENT);
    CHECK(gw_gel_table_new(rows, SIZE_MAX, "none", &untouched, NULL) == GW_ERROR_OUT_OF_RANGE);
    CHECK(gw_gel_table_new(rows, 3, NULL, &untouched, NULL) == GW_ERROR_DOCUMENT);
    CHECK(gw_gel_table_new(rows, 3, "none", NULL, NULL) == GW_ERROR_DOCUMENT);
    gw_gel_row wrong[] = {{293.15, 1.0, 2400.0}, {303.15, 1.0, (double)NAN}};
    CHECK(gw_gel_table_new(wrong, 2, "none", &untouched, &error) == GW_ERROR_NOT_FINITE);
    CHECK(has(gw_error_field(error), "rows[1].time_s"));
    gw_error_free(error);
    CHECK(untouched == table);
}

/* A tetrahedron of 2, 3 and 4 cm along the axes: 4 mL, by definition. */
static void meshes(void) {
    const double corners[] = {0, 0, 0, 2, 0, 0, 0, 3, 0, 0, 0, 4};
    const uint32_t faces[] = {0, 2, 1, 0, 1, 3, 0, 3, 2, 1, 2, 3};
    const uint32_t beyond[] = {0, 2, 7};
    const char *const file = "v 0 0 0\nv 2 0 0\nv 0 3 0\nv 0 0 4\nf 1 3 2\nf 1 2 4\nf 1 4 3\nf 2 3 4\n";
    const char *const unit = "{\"unit\": \"cm\"}";
    const uint8_t *const bytes = (const uint8_t *)file;
    char *size = NULL;
    gw_error *error = NULL;

    CHECK(gw_mesh_measure_arrays(corners, 4, faces, 4, unit, &size, &error) == GW_OK);
    CHECK(has(size, "\"closed\": true") && has(size, "mL\""));
    gw_string_free(size);
    CHECK(gw_mesh_measure(bytes, strlen(file), GW_MESH_OBJ, unit, &size, NULL) == GW_OK);
    CHECK(has(size, "\"closed\": true"));
    gw_string_free(size);
    /* open: an area, a rim, no volume */
    CHECK(gw_mesh_measure_arrays(corners, 4, faces, 3, unit, &size, NULL) == GW_OK);
    CHECK(has(size, "\"closed\": false") && !has(size, "\"volume\""));
    gw_string_free(size);

    char *const untouched = size = NULL;
    CHECK(gw_mesh_measure_arrays(corners, 4, faces, 4, "{}", &size, &error) == GW_ERROR_DOCUMENT);
    CHECK(has(gw_error_field(error), "unit") && has(gw_error_way_out(error), "inch"));
    gw_error_free(error);
    CHECK(gw_mesh_measure_arrays(corners, 4, beyond, 1, unit, &size, NULL) == GW_ERROR_OUT_OF_RANGE);
    CHECK(gw_mesh_measure_arrays(corners, 4, faces, 0, unit, &size, NULL) == GW_ERROR_OUT_OF_RANGE);
    CHECK(gw_mesh_measure_arrays(corners, 4, faces, SIZE_MAX, unit, &size, NULL) == GW_ERROR_OUT_OF_RANGE);
    CHECK(gw_mesh_measure_arrays(NULL, 4, faces, 4, unit, &size, NULL) == GW_ERROR_DOCUMENT);
    CHECK(gw_mesh_measure_arrays(corners, 4, faces, 4, NULL, &size, NULL) == GW_ERROR_DOCUMENT);
    CHECK(gw_mesh_measure(bytes, strlen(file), 7, unit, &size, NULL) == GW_ERROR_UNKNOWN_NAME);
    CHECK(gw_mesh_measure(bytes, 9, GW_MESH_STL, unit, &size, NULL) == GW_ERROR_UNREADABLE);
    CHECK(gw_mesh_measure(NULL, 0, GW_MESH_OBJ, unit, &size, NULL) == GW_ERROR_OUT_OF_RANGE);
    CHECK(gw_mesh_measure(bytes, strlen(file), GW_MESH_OBJ, unit, NULL, NULL) == GW_ERROR_DOCUMENT);
    CHECK(size == untouched);
}

static void typed(void) {
    dosing();
    bad_dosing();
    gel_times();
    meshes();
}

#endif
