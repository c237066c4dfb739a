/* Units for the eye against published conversion factors: NIST SP 811 (2008), appendix B.8 (mmHg, cmH2O);
   haemoglobin 1 g/dL = 0.6206 mmol/L as the monomer (IUPAC and IFCC usage). */
#include "tests/support/check_main.h"
#include "ui/traces.h"
#include "ui/units.h"

#include <math.h>
#include <string.h>

static Settings with(SettingId id, int value) {
    Settings settings = ui_settings_default();
    ui_settings_set(&settings, id, value);
    return settings;
}

static void expect(const Settings *settings, const char *key, const char *unit, int decimals, double value,
                   const char *wanted_unit, const char *wanted) {
    char text[TEXT_SHORT];
    ui_units_format(settings, key, unit, decimals, value, text, sizeof text);
    ck_assert_str_eq(text, wanted);
    ck_assert_str_eq(ui_units_shown(settings, key, unit).name, wanted_unit);
}

START_TEST(published_factors_are_used) {
    Settings kpa = with(SETTING_pressure, 1), hpa = with(SETTING_airway, 1), mbar = with(SETTING_airway, 2);
    Settings gas = with(SETTING_gas, 1), g_l = with(SETTING_haemoglobin, 1),
             mmol = with(SETTING_haemoglobin, 2);
    expect(&kpa, "art_mean_mmhg", "mmHg", 0, 75.0, "kPa", "10.0");
    expect(&kpa, "art_mean_mmhg", "mmHg", 0, 760.0, "kPa", "101.3");
    expect(&kpa, "cvp_mmhg", "mmHg", 0, -4.0, "kPa", "\u22120.5");
    expect(&hpa, "peep_cmh2o", "cmH2O", 0, 1000.0, "hPa", "981");
    expect(&mbar, "peep_cmh2o", "cmH2O", 0, 10.0, "mbar", "10");
    expect(&g_l, "hb_g_dl", "g/dL", 1, 9.1, "g/L", "91");
    expect(&mmol, "hb_g_dl", "g/dL", 1, 10.0, "mmol/L", "6.2");
    expect(&gas, "paco2_mmhg", "mmHg", 0, 40.0, "kPa", "5.3");
}
END_TEST

START_TEST(gas_tensions_have_a_unit_of_their_own) {
    Settings kpa = with(SETTING_pressure, 1), gas = with(SETTING_gas, 1);
    expect(&kpa, "paco2_mmhg", "mmHg", 0, 40.0, "mmHg", "40");
    expect(&gas, "art_mean_mmhg", "mmHg", 0, 75.0, "mmHg", "75");
    expect(&gas, "pa_mean_mmhg", "mmHg", 0, 25.0, "mmHg", "25");
}
END_TEST

START_TEST(defaults_and_other_units_stay_as_they_are) {
    expect(NULL, NULL, "mmHg", 0, 75.0, "mmHg", "75");
    expect(NULL, NULL, "L/min", 1, 4.25, "L/min", "4.3");
    Settings kpa = with(SETTING_pressure, 1);
    expect(&kpa, NULL, "L/min", 1, 4.0, "L/min", "4.0");
}
END_TEST

START_TEST(reading_is_converted_as_a_whole) {
    Settings kpa = with(SETTING_pressure, 1);
    Reading r = {.unit = "mmHg",
                 .value = 75.0,
                 .scale_low = 0.0,
                 .scale_high = 150.0,
                 .target_low = 65.0,
                 .target_high = NAN,
                 .trend_low = 60.0,
                 .trend_high = 90.0,
                 .trend = {.count = 2, .value = {75.0f, NAN}}};
    ui_units_reading(&kpa, "art_mean_mmhg", &r);
    ck_assert_str_eq(r.unit, "kPa");
    ck_assert_int_eq(r.decimals, 1);
    ck_assert_double_eq_tol(r.value, 9.99915, 1e-9);
    ck_assert_double_eq_tol(r.scale_high, 19.9983, 1e-9);
    ck_assert_double_eq_tol(r.target_low, 8.66593, 1e-9);
    ck_assert(isnan(r.target_high) && isnan(r.trend.value[1]));
    ck_assert_double_eq_tol(r.trend.value[0], 9.99915, 1e-5);
    /* where the value stands on its bar does not depend on the unit */
    ck_assert_double_eq_tol((r.value - r.scale_low) / (r.scale_high - r.scale_low), 0.5, 1e-12);
}
END_TEST

START_TEST(lanes_get_round_labels_inside_their_scale) {
    const double scales[][2] = {{30, 90}, {30, 130}, {0, 200}, {0, 42}, {0, 62}, {-3, 22}, {-10, 60}};
    Settings kpa = with(SETTING_pressure, 1);
    for (size_t i = 0; i < sizeof scales / sizeof scales[0]; i++) {
        Lane lane = {.low = scales[i][0], .high = scales[i][1], .tick = {1.0, 2.0, 3.0}, .ticks = 3};
        ui_units_lane(&kpa, "mmHg", &lane);
        ck_assert_int_ge(lane.ticks, 2);
        ck_assert_int_le(lane.ticks, 4);
        for (int k = 0; k < lane.ticks; k++) {
            ck_assert(lane.tick[k] >= lane.low - 1e-9 && lane.tick[k] <= lane.high + 1e-9);
            double shown = lane.tick[k] * lane.tick_factor * pow(10.0, lane.tick_decimals);
            ck_assert_double_eq_tol(shown, round(shown), 1e-6);
        }
    }
    Lane lane = {.low = 30, .high = 90, .tick = {40, 60, 80}, .ticks = 3};
    ui_units_lane(NULL, "mmHg", &lane);
    ck_assert_double_eq_tol(lane.tick[0], 40.0, 1e-9);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("units");
    TCase *c = tcase_create("shown");
    tcase_add_test(c, published_factors_are_used);
    tcase_add_test(c, gas_tensions_have_a_unit_of_their_own);
    tcase_add_test(c, defaults_and_other_units_stay_as_they_are);
    tcase_add_test(c, reading_is_converted_as_a_whole);
    tcase_add_test(c, lanes_get_round_labels_inside_their_scale);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
