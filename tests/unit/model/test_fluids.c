/* Fluids: exact bookkeeping, kinetics of crystalloid, colloid and red cells, bleeding, drain. The circulation
   is stood in for by one compliance, so that central venous pressure follows blood volume. */
#include "model/fluids.h"
#include "tests/support/check_main.h"

#include <math.h>

static const double CVP_MMHG = 5.0;
static const double MAP_MMHG = 85.0;
static const double COMPLIANCE_ML_MMHG = 150.0; /* both venous beds with their reflex */
static const double REST_URINE_ML_S = 75.0 / 3600.0;

static double blood_ml(const FluidsState *fluids) {
    return fluids->plasma_ml + fluids->red_cells_ml;
}

static void run(FluidsState *fluids, const Parameters *parameters, double seconds, double urine_ml_s) {
    for (int s = 0; s < (int)seconds; s++) {
        const double cvp = CVP_MMHG + (blood_ml(fluids) - parameters->blood_volume_ml) / COMPLIANCE_ML_MMHG;
        (void)model_fluids_advance(fluids, parameters, MAP_MMHG, cvp, urine_ml_s, 1.0);
    }
}

static FluidsState rest(const Parameters *parameters) {
    FluidsState fluids;
    model_fluids_start(&fluids, parameters);
    model_fluids_settle(&fluids, CVP_MMHG, 3600.0);
    return fluids;
}

START_TEST(fluids_with_intake_equal_to_loss_stay_as_they_are) {
    const Parameters parameters = model_parameters_standard();
    FluidsState fluids = rest(&parameters);
    run(&fluids, &parameters, 12.0 * 3600.0, REST_URINE_ML_S);
    ck_assert_double_eq_tol(blood_ml(&fluids), parameters.blood_volume_ml, 0.05);
    ck_assert_double_eq_tol(model_fluids_hct(&fluids), parameters.hct_start_frac, 1e-5);
    ck_assert_double_eq_tol(fluids.interstitial_ml, fluids.interstitial_rest_ml, 0.05);
}
END_TEST

START_TEST(fluids_whatever_happens_the_ledger_closes) {
    Parameters parameters = model_parameters_standard();
    parameters.pericardial_free_ml = 40.0;
    FluidsState fluids = rest(&parameters);
    const double start_ml = blood_ml(&fluids) + fluids.interstitial_ml;
    const double start_cells_ml = fluids.red_cells_ml;
    double circulation_ml = blood_ml(&fluids), pericardium_ml = 0.0, clots_ml = 0.0;
    parameters.drain_patency_frac = 0.6;
    for (int s = 0; s < 4 * 3600; s++) {
        const int phase = s / 1800;
        parameters.crystalloid_ml_min = phase == 0 ? 30.0 : 0.0;
        parameters.colloid_ml_min = phase == 1 ? 20.0 : 0.0;
        parameters.red_cells_ml_min = phase == 2 ? 15.0 : 0.0;
        parameters.plasma_ml_min = phase == 3 ? 15.0 : 0.0;
        parameters.bleed_drain_ml_h = phase == 1 ? 300.0 : 60.0;
        parameters.bleed_hidden_ml_h = phase == 4 ? 500.0 : 0.0;
        parameters.bleed_pericardium_ml_h = phase == 5 ? 200.0 : 0.0;
        parameters.bleed_clot_lv_ml_h = phase == 6 ? 30.0 : 0.0;
        parameters.bleed_clot_rv_ml_h = phase == 6 ? 40.0 : 0.0;
        parameters.bleed_clot_la_ml_h = phase == 7 ? 20.0 : 0.0;
        parameters.bleed_clot_ra_ml_h = phase == 7 ? 80.0 : 0.0;
        const FluidsChange change =
            model_fluids_advance(&fluids, &parameters, MAP_MMHG, CVP_MMHG, REST_URINE_ML_S, 1.0);
        circulation_ml += change.blood_ml;
        pericardium_ml += change.pericardium_ml;
        clots_ml += change.clot_lv_ml + change.clot_rv_ml + change.clot_la_ml + change.clot_ra_ml;
    }
    const double out_ml = fluids.urine_ml + fluids.insensible_ml + fluids.bottle_ml + fluids.hidden_ml +
                          fluids.pericardium_ml + fluids.clot_lv_ml + fluids.clot_rv_ml + fluids.clot_la_ml +
                          fluids.clot_ra_ml;
    const double now_ml = blood_ml(&fluids) + fluids.interstitial_ml;
    ck_assert_double_eq_tol((now_ml + out_ml) / (start_ml + fluids.given_ml), 1.0, 1e-11);
    ck_assert_double_eq_tol((fluids.red_cells_ml + fluids.lost_red_cells_ml) /
                                (start_cells_ml + fluids.given_red_cells_ml),
                            1.0, 1e-11);
    ck_assert_double_eq_tol(circulation_ml / blood_ml(&fluids), 1.0, 1e-11);
    ck_assert_double_eq_tol(pericardium_ml, fluids.pericardium_ml, 1e-9);
    ck_assert_double_eq_tol(
        clots_ml, fluids.clot_lv_ml + fluids.clot_rv_ml + fluids.clot_la_ml + fluids.clot_ra_ml, 1e-9);
    ck_assert_double_gt(fluids.bottle_ml, 100.0);
    ck_assert_double_gt(clots_ml, 80.0);
}
END_TEST

/* Hahn, Acta Anaesthesiol Scand 2020, doi 10.1111/aas.13533: plasma grows by 50-60 % of a crystalloid while
   it runs and by 15-20 % of it half an hour later. */
START_TEST(fluids_crystalloid_half_stays_at_the_end_and_a_fifth_later) {
    Parameters parameters = model_parameters_standard();
    FluidsState fluids = rest(&parameters);
    const double given_ml = 1000.0;
    parameters.crystalloid_ml_min = given_ml / 30.0;
    run(&fluids, &parameters, 1800.0, 2.0 * REST_URINE_ML_S);
    const double end = (blood_ml(&fluids) - parameters.blood_volume_ml) / given_ml;
    ck_assert_double_ge(end, 0.50);
    ck_assert_double_le(end, 0.60);
    parameters.crystalloid_ml_min = 0.0;
    run(&fluids, &parameters, 1800.0, 2.0 * REST_URINE_ML_S);
    const double later = (blood_ml(&fluids) - parameters.blood_volume_ml) / given_ml;
    ck_assert_double_ge(later, 0.15);
    ck_assert_double_le(later, 0.20);
}
END_TEST

/* Hahn and Lyons 2016 (PMC4890831): colloid has no distribution phase. 500 mL of 5 %: +450..500 mL at the
 * end. */
START_TEST(fluids_albumin_stays_where_crystalloid_leaves) {
    Parameters parameters = model_parameters_standard();
    FluidsState fluids = rest(&parameters);
    parameters.colloid_ml_min = 500.0 / 30.0;
    run(&fluids, &parameters, 1800.0, REST_URINE_ML_S);
    ck_assert_double_gt(blood_ml(&fluids) - parameters.blood_volume_ml, 450.0);
    ck_assert_double_lt(blood_ml(&fluids) - parameters.blood_volume_ml, 500.0);
    parameters.colloid_ml_min = 0.0;
    run(&fluids, &parameters, 3600.0, REST_URINE_ML_S);
    ck_assert_double_gt(blood_ml(&fluids) - parameters.blood_volume_ml, 350.0);
}
END_TEST

/* 20 % albumin 200 mL: +300 to +450 mL at 30-60 min after the end (Hasselgren, Anesth Analg 2019). */
START_TEST(fluids_strong_albumin_draws_water_in) {
    Parameters parameters = model_parameters_standard();
    FluidsState fluids = rest(&parameters);
    parameters.colloid_albumin_g_l = 200.0;
    parameters.colloid_ml_min = 200.0 / 30.0;
    run(&fluids, &parameters, 1800.0, 1.5 * REST_URINE_ML_S);
    parameters.colloid_ml_min = 0.0;
    run(&fluids, &parameters, 3600.0, 1.5 * REST_URINE_ML_S);
    const double gain_ml = blood_ml(&fluids) - parameters.blood_volume_ml;
    ck_assert_double_gt(gain_ml, 300.0);
    ck_assert_double_lt(gain_ml, 450.0);
}
END_TEST

/* Mass balance at once (+2.0 points), +3.2 points at 6 h when the plasma has made room. */
START_TEST(fluids_one_unit_of_red_cells_raises_the_haematocrit_in_two_steps) {
    Parameters parameters = model_parameters_standard();
    parameters.blood_volume_ml = 5000.0;
    parameters.hct_start_frac = 0.25;
    FluidsState fluids = rest(&parameters);
    parameters.red_cells_ml_min = 60.0;
    run(&fluids, &parameters, 300.0, REST_URINE_ML_S);
    ck_assert_double_eq_tol(model_fluids_hct(&fluids), 0.270, 0.003);
    parameters.red_cells_ml_min = 0.0;
    run(&fluids, &parameters, 6.0 * 3600.0, 1.1 * REST_URINE_ML_S);
    ck_assert_double_eq_tol(model_fluids_hct(&fluids), 0.282, 0.005);
}
END_TEST

/* After 1 L: +150..250 mL of plasma within 2-4 h, haematocrit down 2-4 points (transcapillary refill, from
 * memory). */
START_TEST(fluids_after_a_bleed_the_plasma_refills) {
    Parameters parameters = model_parameters_standard();
    FluidsState fluids = rest(&parameters);
    parameters.bleed_hidden_ml_h = 6000.0;
    run(&fluids, &parameters, 600.0, 0.5 * REST_URINE_ML_S);
    ck_assert_double_eq_tol(fluids.hidden_ml, 1000.0, 1.0);
    parameters.bleed_hidden_ml_h = 0.0;
    run(&fluids, &parameters, 3.0 * 3600.0, 0.5 * REST_URINE_ML_S);
    const double refill_ml = blood_ml(&fluids) - (parameters.blood_volume_ml - 1000.0);
    ck_assert_double_gt(refill_ml, 150.0);
    ck_assert_double_lt(refill_ml, 350.0);
    ck_assert_double_lt(model_fluids_hct(&fluids), 0.42 - 0.015);
    ck_assert_double_gt(model_fluids_hct(&fluids), 0.42 - 0.045);
}
END_TEST

START_TEST(fluids_venous_congestion_drives_plasma_out) {
    Parameters parameters = model_parameters_standard();
    FluidsState fluids = rest(&parameters);
    for (int s = 0; s < 3600; s++) {
        (void)model_fluids_advance(&fluids, &parameters, MAP_MMHG, CVP_MMHG + 10.0, REST_URINE_ML_S, 1.0);
    }
    ck_assert_double_lt(blood_ml(&fluids), parameters.blood_volume_ml - 100.0);
    ck_assert_double_gt(model_fluids_hct(&fluids), 0.425);
}
END_TEST

START_TEST(fluids_exchange_shut_off_keeps_the_interstitium) {
    Parameters parameters = model_parameters_standard();
    parameters.capillary_exchange_x = 0.0;
    parameters.maintenance_ml_h = parameters.insensible_ml_h = 0.0;
    FluidsState fluids = rest(&parameters);
    for (int s = 0; s < 3600; s++) {
        const FluidsChange change =
            model_fluids_advance(&fluids, &parameters, MAP_MMHG, CVP_MMHG + 10.0, 0.0, 1.0);
        ck_assert_double_eq_tol(change.blood_ml, 0.0, 1e-15);
    }
}
END_TEST

START_TEST(fluids_bleeding_fades_when_pressure_and_blood_are_gone) {
    Parameters parameters = model_parameters_standard();
    parameters.bleed_hidden_ml_h = 6000.0;
    FluidsState fluids = rest(&parameters);
    const FluidsChange none = model_fluids_advance(&fluids, &parameters, 5.0, 2.0, 0.0, 1.0);
    ck_assert_double_gt(none.blood_ml, -0.2); /* no pressure: only exchange and evaporation are left */
    for (int s = 0; s < 24 * 3600; s++) {
        (void)model_fluids_advance(&fluids, &parameters, 80.0, 2.0, 10.0, 1.0);
        ck_assert_double_gt(fluids.plasma_ml, 1e-15);
        ck_assert_double_gt(fluids.red_cells_ml, 1e-15);
    }
}
END_TEST

START_TEST(fluids_open_drain_takes_what_a_blocked_one_leaves_around_the_heart) {
    Parameters parameters = model_parameters_standard();
    parameters.bleed_pericardium_ml_h = 150.0;
    parameters.bleed_drain_ml_h = 100.0;
    parameters.drain_patency_frac = 1.0;
    FluidsState open = rest(&parameters);
    run(&open, &parameters, 3600.0, REST_URINE_ML_S);
    ck_assert_double_lt(open.pericardium_ml, 30.0);
    ck_assert_double_gt(open.bottle_ml, 215.0);
    ck_assert_double_eq_tol(open.drain_ml_s * 3600.0, 250.0, 10.0);
    parameters.drain_patency_frac = 0.0;
    FluidsState blocked = rest(&parameters);
    run(&blocked, &parameters, 3600.0, REST_URINE_ML_S);
    ck_assert_double_eq_tol(blocked.pericardium_ml, 250.0, 0.5);
    ck_assert_double_eq_tol(blocked.bottle_ml, 0.0, 1e-15);
}
END_TEST

START_TEST(fluids_drain_removes_fluid_that_was_there_at_the_start) {
    Parameters parameters = model_parameters_standard();
    parameters.pericardial_free_ml = 200.0;
    parameters.drain_patency_frac = 1.0;
    FluidsState fluids = rest(&parameters);
    run(&fluids, &parameters, 3600.0, REST_URINE_ML_S);
    const double left_ml = parameters.pericardial_free_ml + fluids.pericardium_ml;
    ck_assert_double_ge(left_ml, 1e-15);
    ck_assert_double_lt(left_ml, 15.0);
    ck_assert_double_eq_tol(fluids.bottle_ml, 200.0 - left_ml, 1e-9);
}
END_TEST

START_TEST(fluids_viscosity_is_one_at_a_normal_haematocrit) {
    ck_assert_double_eq_tol(model_fluids_viscosity_x(0.42), 1.0, 1e-15);
    ck_assert_double_lt(model_fluids_viscosity_x(0.25), 0.9);
    ck_assert_double_gt(model_fluids_viscosity_x(0.55), 1.1);
}
END_TEST

static Suite *suite(void) {
    Suite *made = suite_create("fluids");
    TCase *tests = tcase_create("fluids");
    tcase_add_test(tests, fluids_with_intake_equal_to_loss_stay_as_they_are);
    tcase_add_test(tests, fluids_whatever_happens_the_ledger_closes);
    tcase_add_test(tests, fluids_crystalloid_half_stays_at_the_end_and_a_fifth_later);
    tcase_add_test(tests, fluids_albumin_stays_where_crystalloid_leaves);
    tcase_add_test(tests, fluids_strong_albumin_draws_water_in);
    tcase_add_test(tests, fluids_one_unit_of_red_cells_raises_the_haematocrit_in_two_steps);
    tcase_add_test(tests, fluids_after_a_bleed_the_plasma_refills);
    tcase_add_test(tests, fluids_venous_congestion_drives_plasma_out);
    tcase_add_test(tests, fluids_exchange_shut_off_keeps_the_interstitium);
    tcase_add_test(tests, fluids_bleeding_fades_when_pressure_and_blood_are_gone);
    tcase_add_test(tests, fluids_open_drain_takes_what_a_blocked_one_leaves_around_the_heart);
    tcase_add_test(tests, fluids_drain_removes_fluid_that_was_there_at_the_start);
    tcase_add_test(tests, fluids_viscosity_is_one_at_a_normal_haematocrit);
    suite_add_tcase(made, tests);
    return made;
}

CHECK_MAIN(suite)
