/* T32 to T36: crystalloid, albumin, red cells, bleeding. */
#include "tests/support/published.h"
#include "tests/support/treatment.h"

START_TEST(T32) {
    static const double GIVEN_ML = 500.0;
    Treatment po = treatment_start(POPULATION_POST_OPERATIVE);
    closed_loop_set(po.patient, PARAMETER_crystalloid_ml_min, GIVEN_ML / 15.0);
    double highest_cvp = 0.0, highest_map = 0.0, highest_at_min = 0.0;
    Observables end = po.before, later = po.before, hour = po.before;
    for (int minute = 1; minute <= 60; minute++) {
        if (minute == 16) closed_loop_set(po.patient, PARAMETER_crystalloid_ml_min, 0.0);
        const Observables now = treatment_wait(&po, 1.0);
        highest_cvp = fmax(highest_cvp, treatment_change(po, now, cvp_mmhg));
        if (now.art_mean_mmhg > highest_map) {
            highest_map = now.art_mean_mmhg;
            highest_at_min = minute;
        }
        if (minute == 15) end = now;
        if (minute == 45) later = now;
        hour = now;
    }
    published_begin(
        "T32", "after surgery: 500 mL balanced fluid in 15 min", "C",
        "Hahn, Acta Anaesthesiol Scand 2020, doi 10.1111/aas.13533; Yanase, Crit Care Resusc 2021");
    published_between("in the circulation at the end, %",
                      100.0 * treatment_change(po, end, blood_volume_ml) / GIVEN_ML, 60, 75);
    published_between("30 min later, %", 100.0 * treatment_change(po, later, blood_volume_ml) / GIVEN_ML, 20,
                      25);
    published_between("CVP at its peak, mmHg", highest_cvp, 2, 4);
    published_between("highest MAP, min after the end", highest_at_min - 15.0, -15, 10);
    published_between("output at 60 min, %", treatment_percent(po, hour, systemic_flow_l_min), -5, 5);
    treatment_end(&po);
}
END_TEST

START_TEST(T33) {
    Treatment po = treatment_start(POPULATION_POST_OPERATIVE);
    (void)treatment_give(&po, PARAMETER_albumin_20_ml_min, 200.0 / 30.0, 30.0);
    const Observables half_hour = treatment_give(&po, PARAMETER_albumin_20_ml_min, 0.0, 30.0);
    const Observables hour = treatment_wait(&po, 30.0);
    published_begin("T33", "after surgery: 200 mL albumin 20 % in 30 min", "C",
                    "Hasselgren, Acta Anaesthesiol Scand 2019; ICMx 2022;10:31");
    published_between("plasma 30 min after the end, mL", treatment_change(po, half_hour, plasma_ml), 300,
                      450);
    published_between("plasma 60 min after the end, mL", treatment_change(po, hour, plasma_ml), 300, 450);
    const Observables later = treatment_wait(&po, 120.0);
    const double left = treatment_change(po, later, plasma_ml) / treatment_change(po, hour, plasma_ml);
    published_between("half-life of the expansion, h", 2.0 * log(0.5) / log(left), 7, 10);
    treatment_end(&po);
}
END_TEST

START_TEST(T34) {
    Parameters parameters = populations_parameters(POPULATION_VOLUNTEER);
    parameters.blood_volume_ml = 5000.0;
    parameters.hct_start_frac = 0.25;
    parameters.splanchnic_vu_ml -= 130.0; /* the missing 195 mL leave the veins */
    parameters.other_vu_ml -= 65.0;
    Treatment anaemic = treatment_start_as(&parameters);
    (void)treatment_give(&anaemic, PARAMETER_red_cells_ml_min, 30.0, 10.0);
    const Observables end = treatment_give(&anaemic, PARAMETER_red_cells_ml_min, 0.0, 1.0);
    const Observables later = treatment_wait(&anaemic, 360.0);
    published_begin("T34", "blood 5.0 L, haematocrit 25 %: 300 mL red cells", "C",
                    "component tables (R32, R33) and mass balance");
    published_between("haematocrit at once, points", 100.0 * treatment_change(anaemic, end, hct_frac), 1.7,
                      2.3);
    published_between("at 6 h, points", 100.0 * treatment_change(anaemic, later, hct_frac), 2.7, 3.7);
    treatment_end(&anaemic);
}
END_TEST

START_TEST(T36) {
    static const double BLED_ML = 500.0, MINUTES = 5.0;
    Treatment volunteer = treatment_start(POPULATION_VOLUNTEER);
    closed_loop_set(volunteer.patient, PARAMETER_bleed_hidden_ml_h, 60.0 * BLED_ML / MINUTES);
    (void)treatment_wait(&volunteer, MINUTES);
    const Observables after = treatment_give(&volunteer, PARAMETER_bleed_hidden_ml_h, 0.0, 2.0);
    published_begin("T36", "innervated: bleed of 500 mL in 5 min, 2 min later", "C",
                    "Crit Care Med 1989;17:979 (CI -18 %); Leonetti 2004; J Trauma 1998;44(1)");
    published_known(
        "output, %", treatment_percent(volunteer, after, systemic_flow_l_min), -22, -12,
        "the right direction at two thirds of the size: stroke volume falls by a tenth; passive curves and "
        "venous answer decide it and would have to give more");
    published_between("MAP, %", treatment_percent(volunteer, after, art_mean_mmhg), -7, INFINITY);
    published_between("rate, %", treatment_percent(volunteer, after, hr_per_min), -INFINITY, 8);
    treatment_end(&volunteer);
}
END_TEST

static Suite *suite(void) {
    Suite *made = suite_create("T32-T36");
    TCase *tests = tcase_create("volume");
    tcase_set_timeout(tests, 300.0);
    tcase_add_test(tests, T32);
    tcase_add_test(tests, T33);
    tcase_add_test(tests, T34);
    tcase_add_test(tests, T36);
    suite_add_tcase(made, tests);
    return made;
}

PUBLISHED_MAIN(suite)
