/* A5 of the checks: conservation of mass. Nothing given, nothing lost: total blood stays constant to 1e-6 mL
   over one hour; with fluids, bleeding and urine the circulation still holds what the ledger says. */
#include "model/patient.h"
#include "model/people.h"
#include "tests/support/check_main.h"

#include <math.h>
#include <stdio.h>

#define TOLERANCE_ML 1e-6

START_TEST(A5_hour_without_gain_or_loss_keeps_blood) {
    Error error;
    const Parameters parameters = model_people_parameters((PersonId)_i);
    Patient *patient = model_patient_create(&parameters, 5, &error);
    ck_assert_ptr_nonnull(patient);
    const double before_ml = model_circulation_blood_ml(model_patient_state(patient)->circulation.y);
    ck_assert_double_eq_tol(before_ml, parameters.blood_volume_ml, TOLERANCE_ML);
    ck_assert_int_eq(model_patient_settle(patient, 3600.0, &error), ERROR_OK);
    const double after_ml = model_circulation_blood_ml(model_patient_state(patient)->circulation.y);
    printf("%s: drift over 1 h %.2e mL\n", model_people_key((PersonId)_i), after_ml - before_ml);
    ck_assert_double_eq_tol(after_ml, before_ml, TOLERANCE_ML);
    model_patient_destroy(patient);
}
END_TEST

START_TEST(A5_giving_and_losing_matches_the_ledger) {
    Error error;
    const Parameters parameters = model_people_parameters(PERSON_SUPPORTED_AXIAL);
    Patient *patient = model_patient_create(&parameters, 5, &error);
    ck_assert_ptr_nonnull(patient);
    ck_assert_int_eq(model_patient_settle(patient, 30.0, &error), ERROR_OK);
    static const struct {
        ParameterId id;
        double value;
    } CHANGES[] = {
        {PARAMETER_crystalloid_ml_min, 20}, {PARAMETER_red_cells_ml_min, 10},
        {PARAMETER_bleed_drain_ml_h, 400},  {PARAMETER_bleed_pericardium_ml_h, 60},
        {PARAMETER_bleed_clot_ra_ml_h, 30}, {PARAMETER_drain_patency_frac, 1},
    };
    for (size_t i = 0; i < sizeof CHANGES / sizeof CHANGES[0]; i++)
        ck_assert_int_eq(model_patient_set(patient, CHANGES[i].id, CHANGES[i].value, &error), ERROR_OK);
    static Beat beat;
    while (model_patient_time_s(patient) < 1800.0) {
        ck_assert_msg(model_patient_advance(patient, &beat, &error) == ERROR_OK, "%s", error.what);
        const State *state = model_patient_state(patient);
        const double held_ml = model_circulation_blood_ml(state->circulation.y);
        const double ledger_ml = state->slow.fluids.plasma_ml + state->slow.fluids.red_cells_ml;
        ck_assert_double_eq_tol(held_ml, ledger_ml, TOLERANCE_ML);
    }
    /* and the ledger moved as ordered: 600 mL in, 200 mL to the bottle or the chest */
    ck_assert_double_gt(model_patient_state(patient)->slow.fluids.bottle_ml, 100.0);
    ck_assert_double_eq_tol(model_patient_state(patient)->slow.fluids.clot_ra_ml, 15.0, 1.0);
    model_patient_destroy(patient);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("A5 conservation of blood");
    TCase *c = tcase_create("ledger");
    tcase_set_timeout(c, 600);
    tcase_add_loop_test(c, A5_hour_without_gain_or_loss_keeps_blood, 0,
                         PERSON_SUPPORTED_RV_FAILURE + 1);
    tcase_add_test(c, A5_giving_and_losing_matches_the_ledger);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
