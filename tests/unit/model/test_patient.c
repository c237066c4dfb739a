/* The patient: conserved blood, snapshots with an identical future, settling, refusals. */
#include "model/patient.h"
#include "model/people.h"
#include "model/units.h"
#include "tests/support/check_main.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static Beat *beat;

static void make_beat(void) {
    beat = malloc(sizeof *beat);
}

static void free_beat(void) {
    free(beat);
}

static Patient *create(const Parameters *parameters, uint64_t seed) {
    Error error;
    Patient *patient = model_patient_create(parameters, seed, &error);
    ck_assert_msg(patient != NULL, "%s", error.what);
    return patient;
}

static void play(Patient *patient, double until_s) {
    Error error;
    while (model_patient_time_s(patient) < until_s)
        ck_assert_msg(model_patient_advance(patient, beat, &error) == ERROR_OK, "%s", error.what);
}

/* The generator, the solver's history in another patient, and drugs all differ before the snapshot is taken
 * over. */
static void same_future(PersonId person, double rhythm_kind) {
    Parameters parameters = model_people_parameters(person);
    parameters.rhythm_kind = rhythm_kind;
    parameters.ectopic_per_min = 6;
    Patient *first = create(&parameters, 3);
    play(first, 20);
    Snapshot *snapshot = malloc(sizeof *snapshot);
    Snapshot *first_end = malloc(sizeof *first_end);
    Snapshot *second_end = malloc(sizeof *second_end);
    model_patient_save(first, snapshot);
    play(first, 40);
    model_patient_save(first, first_end);

    const Parameters other = model_people_parameters(PERSON_HEALTHY);
    Patient *second = create(&other, 99);
    play(second, 7);
    Error error;
    ck_assert_int_eq(model_patient_restore(second, snapshot, &error), ERROR_OK);
    play(second, 40);
    model_patient_save(second, second_end);
    ck_assert_int_eq(first_end->state.tick, second_end->state.tick);
    ck_assert_mem_eq(first_end->state.circulation.y, second_end->state.circulation.y,
                     sizeof first_end->state.circulation.y);
    ck_assert_mem_eq(&first_end->state.random, &second_end->state.random, sizeof first_end->state.random);
    ck_assert_mem_eq(&first_end->state.slow, &second_end->state.slow, sizeof first_end->state.slow);
    free(snapshot);
    free(first_end);
    free(second_end);
    model_patient_destroy(first);
    model_patient_destroy(second);
}

START_TEST(restore_in_another_patient_gives_the_identical_future) {
    for (int kind = 0; kind < RHYTHM_COUNT; kind++)
        same_future(PERSON_SUPPORTED_AXIAL, kind);
    same_future(PERSON_HEALTHY, RHYTHM_SINUS);
    same_future(PERSON_SUPPORTED_RV_FAILURE, RHYTHM_ATRIAL_FIBRILLATION);
}
END_TEST

START_TEST(rr_interval_is_whole_ticks_and_mean_rate_exact) {
    Parameters parameters = model_people_parameters(PERSON_SUPPORTED_AXIAL);
    parameters.rhythm_kind = RHYTHM_PACED_VENTRICULAR;
    parameters.pacing_rate_per_min = 97;
    Patient *patient = create(&parameters, 1);
    int beats = 0;
    Error error;
    while (beats < 97) {
        ck_assert_int_eq(model_patient_advance(patient, beat, &error), ERROR_OK);
        ck_assert_int_ge(beat->ticks, 1);
        ck_assert_int_le(beat->ticks, BEAT_TICKS_MAX);
        beats++;
    }
    ck_assert_double_eq_tol(model_patient_time_s(patient), 60.0, BEAT_TICK_S);
    model_patient_destroy(patient);
}
END_TEST

START_TEST(quiet_rhythms_advance_by_a_second) {
    Parameters parameters = model_people_parameters(PERSON_SUPPORTED_AXIAL);
    parameters.rhythm_kind = RHYTHM_ASYSTOLE;
    Patient *patient = create(&parameters, 1);
    Error error;
    ck_assert_int_eq(model_patient_advance(patient, beat, &error), ERROR_OK);
    ck_assert(!beat->ventricular);
    ck_assert_int_eq(beat->ticks * BEAT_TICK_MS, 1000);
    ck_assert_double_eq_tol(beat->observables.hr_per_min, 0, 1e-12);
    model_patient_destroy(patient);
}
END_TEST

/* During settling nothing is given or lost, so the sum over all compartments must stay. */
START_TEST(settle_keeps_blood_and_leaves_no_reflex_drive) {
    const Parameters parameters = model_people_parameters(PERSON_SUPPORTED_AXIAL);
    Patient *patient = create(&parameters, 1);
    Error error;
    ck_assert_int_eq(model_patient_settle(patient, 120, &error), ERROR_OK);
    ck_assert_double_eq_tol(model_circulation_blood_ml(model_patient_state(patient)->circulation.y),
                            parameters.blood_volume_ml, 1e-7);
    ck_assert_double_eq_tol(model_patient_time_s(patient), 0, 1e-12);
    ck_assert_int_eq(model_patient_advance(patient, beat, &error), ERROR_OK);
    ck_assert_double_eq_tol(beat->observables.lv_ees_mmhg_ml, parameters.lv_ees_mmhg_ml, 1e-3);
    model_patient_destroy(patient);
}
END_TEST

START_TEST(set_out_of_range_is_refused_and_changes_nothing) {
    const Parameters parameters = model_parameters_standard();
    Patient *patient = create(&parameters, 1);
    Error error;
    ck_assert_int_eq(model_patient_set(patient, PARAMETER_left_pump_speed_rpm, 1e6, &error), ERROR_RANGE);
    ck_assert_ptr_nonnull(strstr(error.what, "left_pump_speed_rpm"));
    ck_assert_double_eq_tol(model_patient_parameters(patient)->left_pump_speed_rpm,
                            parameters.left_pump_speed_rpm, 1e-12);
    model_patient_destroy(patient);
}
END_TEST

START_TEST(create_impossible_person_names_the_combination) {
    Parameters parameters = model_parameters_standard();
    parameters.splanchnic_vu_ml = 3000;
    parameters.other_vu_ml = 3500;
    parameters.blood_volume_ml = 2500;
    Error error;
    ck_assert_ptr_null(model_patient_create(&parameters, 1, &error));
    ck_assert_int_eq(error.code, ERROR_COMBINATION);
    ck_assert_str_eq(error.where, "blood_volume_ml");
}
END_TEST

START_TEST(restore_damaged_snapshot_is_refused) {
    const Parameters parameters = model_parameters_standard();
    Patient *patient = create(&parameters, 1);
    play(patient, 3);
    Snapshot *snapshot = malloc(sizeof *snapshot);
    model_patient_save(patient, snapshot);
    snapshot->state.circulation.y[VARIABLE_LV_ML] = NAN;
    Error error;
    ck_assert_int_eq(model_patient_restore(patient, snapshot, &error), ERROR_FORMAT);
    model_patient_save(patient, snapshot);
    snapshot->state.circulation.pulse_next = 100000;
    ck_assert_int_eq(model_patient_restore(patient, snapshot, &error), ERROR_FORMAT);
    model_patient_save(patient, snapshot);
    snapshot->parameters.lv_ees_mmhg_ml = -1;
    ck_assert_int_eq(model_patient_restore(patient, snapshot, &error), ERROR_RANGE);
    free(snapshot);
    model_patient_destroy(patient);
}
END_TEST

/* No ejection without activation; the pump alone carries the circulation (MODEL.md, fibrillation). */
START_TEST(fibrillation_on_the_pump_keeps_flow_without_pulse) {
    Parameters parameters = model_people_parameters(PERSON_SUPPORTED_AXIAL);
    Patient *patient = create(&parameters, 1);
    Error error;
    ck_assert_int_eq(model_patient_settle(patient, 60, &error), ERROR_OK);
    ck_assert_int_eq(
        model_patient_set(patient, PARAMETER_rhythm_kind, RHYTHM_VENTRICULAR_FIBRILLATION, &error), ERROR_OK);
    play(patient, 40);
    /* Boilson, ASAIO J 2012;58: 3.0-3.8 L/min at low pulsatility */
    ck_assert_double_ge(beat->observables.pump_flow_l_min, 2.5);
    ck_assert_double_le(beat->observables.pump_flow_l_min, 4.2);
    ck_assert_double_le(beat->observables.art_sys_mmhg - beat->observables.art_dia_mmhg, 3);
    model_patient_destroy(patient);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("patient");
    TCase *c = tcase_create("patient");
    tcase_add_unchecked_fixture(c, make_beat, free_beat);
    tcase_set_timeout(c, 120);
    tcase_add_test(c, restore_in_another_patient_gives_the_identical_future);
    tcase_add_test(c, rr_interval_is_whole_ticks_and_mean_rate_exact);
    tcase_add_test(c, quiet_rhythms_advance_by_a_second);
    tcase_add_test(c, settle_keeps_blood_and_leaves_no_reflex_drive);
    tcase_add_test(c, set_out_of_range_is_refused_and_changes_nothing);
    tcase_add_test(c, create_impossible_person_names_the_combination);
    tcase_add_test(c, restore_damaged_snapshot_is_refused);
    tcase_add_test(c, fibrillation_on_the_pump_keeps_flow_without_pulse);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
