/* States from outside: the session's own is sound; one changed anywhere is refused or harmless. */
#include "sim/session_state.h"

#include "tests/support/case_texts.h"
#include "tests/support/check_main.h"

#include <math.h>
#include <string.h>

static ErrorList errors; /* static: large */
static Error error;
static SessionState saved, broken;
static Case *night;
static Session *session;

static void setup(void) {
    night = sim_case_parse(CASE_TEXT_GOOD, strlen(CASE_TEXT_GOOD), "test.yaml", &errors);
    ck_assert_ptr_nonnull(night);
    session = sim_session_open(night, NULL, &error);
    ck_assert_ptr_nonnull(session);
    ck_assert_int_eq(sim_session_order(session, "bolus crystalloid 250mL over 5min", &error), ERROR_OK);
    ck_assert_int_eq(sim_session_advance_to(session, 20, &error), ERROR_OK);
    sim_session_save(session, &saved);
    broken = saved;
}

static void teardown(void) {
    sim_session_close(session);
    sim_case_free(night);
}

START_TEST(session_state_of_a_session_is_sound) {
    ck_assert(sim_session_state_sound(&saved, night));
}
END_TEST

START_TEST(session_state_with_one_wrong_part_is_refused) {
    switch (_i) {
    case 0:
        broken.time_s = NAN;
        break;
    case 1:
        broken.time_s = -1;
        break;
    case 2:
        broken.orders.running[0].order.id = ORDER_COUNT;
        break;
    case 3:
        broken.orders.value[2] = INFINITY;
        break;
    case 4:
        broken.orders.native_rhythm = 99;
        break;
    case 5:
        broken.script.ramps[3].active = true;
        broken.script.ramps[3].parameter = PARAMETER_COUNT;
        broken.script.ramps[3].over_s = 1;
        break;
    case 6:
        broken.script.ramps[0].active = true;
        broken.script.ramps[0].over_s = 0;
        break;
    case 7:
        broken.script.ending = 7;
        break;
    case 8:
        broken.script.end_action = -2;
        break;
    case 9:
        broken.instruments.ecg.next = ECG_ONSETS_MAX;
        break;
    case 10:
        broken.instruments.ecg.onsets[0].kind = -1;
        break;
    case 11:
        memset(&broken.instruments.random, 0, sizeof broken.instruments.random);
        break;
    case 12:
        memset(&broken.instruments.started, 7, 1);
        break;
    default:
        broken.log_count = -1;
        break;
    }
    ck_assert(!sim_session_state_sound(&broken, night));
    uint64_t hash = sim_session_hash(session);
    ck_assert_int_eq(sim_session_restore(session, &broken, &error), ERROR_FORMAT);
    ck_assert_uint_eq(sim_session_hash(session), hash);
}
END_TEST

/* Seed of the changes below; a failure under a sanitizer names the iteration by its order. */
START_TEST(session_state_changed_anywhere_never_crashes) {
    uint32_t draw = 917;
    unsigned char *bytes = (unsigned char *)&broken;
    for (int i = 0; i < 400; i++) {
        memcpy(&broken, &saved, sizeof broken);
        for (int k = 0; k < 3; k++) {
            draw = draw * 1664525u + 1013904223u;
            bytes[draw % sizeof broken] = (unsigned char)(draw >> 24);
        }
        if (sim_session_restore(session, &broken, &error) != ERROR_OK) continue;
        for (int beat = 0; beat < 2; beat++) {
            if (sim_session_advance(session, &error) != ERROR_OK) break;
        }
    }
    ck_assert_int_eq(sim_session_restore(session, &saved, &error), ERROR_OK);
    ck_assert_int_eq(sim_session_advance(session, &error), ERROR_OK);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("session_state");
    TCase *c = tcase_create("session_state");
    tcase_set_timeout(c, 120);
    tcase_add_checked_fixture(c, setup, teardown);
    tcase_add_test(c, session_state_of_a_session_is_sound);
    tcase_add_loop_test(c, session_state_with_one_wrong_part_is_refused, 0, 14);
    tcase_add_test(c, session_state_changed_anywhere_never_crashes);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
