/* Free practice: every person, everything open, the truth readable, and the night kept like any other. */
#include "sim/practice.h"

#include "model/people.h"
#include "sim/session.h"
#include "tests/support/check_main.h"

#include <math.h>
#include <string.h>

static Error error;

START_TEST(practice_every_person_can_be_opened) {
    PersonId id = (PersonId)_i;
    Case *night = sim_practice_case(model_people_key(id), 9, &error);
    ck_assert_msg(night != NULL, "%s: %s", model_people_key(id), error.what);
    ck_assert(night->practice && !night->guided && !night->truth_given);
    ck_assert_int_eq(night->look.probe, LOOK_PROBE_ALWAYS_ON);
    ck_assert_double_ge(night->length_s, 24 * 3600);
    ck_assert_uint_eq(night->seed, 9);
    for (int order = 0; order < ORDER_COUNT; order++) {
        ck_assert(night->limits.of[order].allowed);
    }
    /* what it is made from makes the same case */
    ErrorList *errors = calloc(1, sizeof *errors);
    Case *again = sim_case_parse(night->source, strlen(night->source), night->path, errors);
    ck_assert_ptr_nonnull(again);
    ck_assert_uint_eq(again->file_hash, night->file_hash);
    ck_assert_str_eq(again->source, night->source);
    Session *session = sim_session_open(night, NULL, &error);
    ck_assert_msg(session != NULL, "%s", error.what);
    ck_assert_int_eq(sim_session_advance_to(session, 20, &error), ERROR_OK);
    ck_assert(isfinite(sim_session_beat(session)->observables.lv_edv_ml));
    ck_assert(sim_session_look(session).picture);
    ck_assert_int_eq(sim_session_say(session, "set systemic_resistance_x 0.8 over 10s", &error), ERROR_OK);
    ck_assert_int_eq(sim_session_advance_to(session, 40, &error), ERROR_OK);
    ck_assert_double_eq_tol(sim_session_parameters(session)->systemic_resistance_x, 0.8, 1e-12);
    sim_session_close(session);
    sim_case_free(again);
    sim_case_free(night);
    free(errors);
}
END_TEST

START_TEST(practice_unknown_person_gets_the_nearest) {
    ck_assert_ptr_null(sim_practice_case("supported_axal", 1, &error));
    ck_assert_int_eq(error.code, ERROR_UNKNOWN_NAME);
    ck_assert_ptr_nonnull(strstr(error.allowed, "supported_axial"));
    ck_assert_ptr_null(sim_practice_case("", 1, NULL));
}
END_TEST

START_TEST(practice_can_be_named_in_the_place_of_a_file) {
    ErrorList *errors = calloc(1, sizeof *errors);
    Case *night = sim_case_load(PRACTICE_PREFIX "healthy_small", errors);
    ck_assert_ptr_nonnull(night);
    ck_assert_str_eq(night->id, "practice-healthy_small");
    ck_assert_str_eq(night->path, PRACTICE_PREFIX "healthy_small");
    sim_case_free(night);
    ck_assert_ptr_null(sim_case_load(PRACTICE_PREFIX "nobody_at_all", errors));
    ck_assert_int_eq(errors->count, 1);
    ck_assert_int_eq(errors->items[0].code, ERROR_UNKNOWN_NAME);
    free(errors);
}
END_TEST

START_TEST(practice_a_file_of_a_case_keeps_no_text) {
    ErrorList *errors = calloc(1, sizeof *errors);
    Case *night = sim_practice_case("healthy", 1, &error);
    Case *file = sim_case_parse(night->source, strlen(night->source), "healthy.yaml", errors);
    ck_assert_ptr_nonnull(file);
    ck_assert_str_eq(file->source, "");
    sim_case_free(file);
    sim_case_free(night);
    free(errors);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("sim/practice");
    TCase *c = tcase_create("practice");
    tcase_set_timeout(c, 120);
    tcase_add_loop_test(c, practice_every_person_can_be_opened, 0, PERSON_COUNT);
    tcase_add_test(c, practice_unknown_person_gets_the_nearest);
    tcase_add_test(c, practice_can_be_named_in_the_place_of_a_file);
    tcase_add_test(c, practice_a_file_of_a_case_keeps_no_text);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
