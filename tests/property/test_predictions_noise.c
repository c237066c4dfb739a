/* What counts as a change: in nights in which nothing is done and nothing happens, the mean of a displayed
   quantity over half a minute must seldom move by as much as predictions.def calls a change, and an order of
   a size that is used must move it by more. Otherwise "same" would be judged by noise. */
#include "sim/practice.h"
#include "sim/session.h"

#include "tests/support/check_main.h"

#include <math.h>
#include <stdio.h>

static Error error;

static const DisplayId asked[] = {DISPLAY_hr_per_min, DISPLAY_art_mean_mmhg,   DISPLAY_pa_mean_mmhg,
                                  DISPLAY_cvp_mmhg,   DISPLAY_pump_flow_l_min, DISPLAY_svo2_percent};

enum { ASKED = sizeof asked / sizeof asked[0], WAIT_S = 300, PAIRS = 8 };

static Session *open_quiet(const char *person, uint64_t seed) {
    Case *night = sim_practice_case(person, seed, &error);
    ck_assert_msg(night != NULL, "%s", error.what);
    Session *session = sim_session_open(night, NULL, &error);
    ck_assert_msg(session != NULL, "%s", error.what);
    sim_case_free(night);
    return session;
}

static void run_to(Session *session, double time_s) {
    if (sim_session_advance_to(session, time_s, &error) != ERROR_OK) ck_abort_msg("%s", error.what);
}

/* Says "same" of the asked quantities by a rule of the case's own, with an order that does nothing to them.
 */
START_TEST(predictions_noise_is_seldom_a_change) {
    static const char *const people[] = {"supported_axial", "supported_rv_failure",
                                         "supported_centrifugal_small"};
    int changes[ASKED] = {0}, pairs = 0;
    double widest[ASKED] = {0};
    for (int p = 0; p < 3; p++) {
        static PredictionsState state; /* static: large */
        Session *session = open_quiet(people[p], 21 + (uint64_t)p);
        PredictionAsk ask = {.count = PREDICTION_PARTS};
        PredictionAnswer answer = {.count = PREDICTION_PARTS, .sure = 5};
        sim_predictions_start(&state);
        for (int pair = 0; pair < PAIRS; pair++) {
            for (int half = 0; half < ASKED; half += PREDICTION_PARTS) {
                for (int i = 0; i < PREDICTION_PARTS; i++) {
                    ask.quantity[i] = answer.quantity[i] = asked[half + i];
                    answer.way[i] = WAY_SAME;
                }
                ask.horizon_s = WAIT_S;
                Order order = {.id = ORDER_fio2, .act = ORDER_ACT_SET, .value = 0.5};
                if (pair > 0)
                    ck_assert_int_eq(sim_predictions_add(&state, &order, &ask, &answer,
                                                         sim_session_display(session),
                                                         sim_session_time_s(session), &error),
                                     ERROR_OK);
            }
            double until_s = sim_session_time_s(session) + WAIT_S + 2;
            while (sim_session_time_s(session) < until_s) {
                double before_s = sim_session_time_s(session);
                run_to(session, before_s + 0.1);
                const Prediction *seen;
                double dt_s = sim_session_time_s(session) - before_s;
                while ((seen = sim_predictions_advance(&state, sim_session_display(session), dt_s,
                                                       sim_session_time_s(session))) != NULL) {
                    dt_s = 0;
                    for (int i = 0; i < seen->count; i++) {
                        for (int k = 0; k < ASKED; k++) {
                            const PredictionPart *part = &seen->part[i];
                            if (part->quantity != asked[k] || !part->known) continue;
                            changes[k] += part->seen != WAY_SAME;
                            widest[k] = fmax(widest[k], fabs(part->after - part->before));
                        }
                    }
                }
            }
            pairs += pair > 0;
        }
        sim_session_close(session);
    }
    for (int k = 0; k < ASKED; k++) {
        const char *key = sim_instruments_display_row(asked[k])->key;
        double least = sim_predictions_least(asked[k]);
        printf("%s: %d of %d, widest %.3g, counts from %g\n", key, changes[k], pairs, widest[k], least);
        ck_assert_msg(changes[k] * 10 <= pairs, "%s moves by itself in %d of %d", key, changes[k], pairs);
    }
}
END_TEST

START_TEST(predictions_see_what_an_order_does) {
    static const struct {
        const char *order;
        DisplayId quantity;
        PredictionWay way;
    } known[] = {
        {"predict speed 9700 : pump_flow up, cvp same, art_mean up, sure 5", DISPLAY_pump_flow_l_min, WAY_UP},
        {"predict norepinephrine 0.15 : art_mean up, cvp up, pump_flow down, sure 5", DISPLAY_art_mean_mmhg,
         WAY_UP},
        {"predict pacing both 110 : hr up, art_mean same, pump_flow same, sure 5", DISPLAY_hr_per_min,
         WAY_UP},
        {"predict bolus colloid 500mL over 10min : cvp up, art_mean up, pump_flow up, sure 5",
         DISPLAY_cvp_mmhg, WAY_UP},
        {"predict nitroprusside 1 : art_mean down, pa_mean down, pump_flow up, sure 5", DISPLAY_art_mean_mmhg,
         WAY_DOWN},
    };
    for (size_t i = 0; i < sizeof known / sizeof known[0]; i++) {
        Session *session = open_quiet("supported_axial", 4);
        run_to(session, 120);
        ErrorCode code = sim_session_say(session, known[i].order, &error);
        ck_assert_msg(code == ERROR_OK, "%s: %s; %s", known[i].order, error.what, error.allowed);
        run_to(session, 1500);
        const Prediction *prediction = sim_session_prediction(session, 0);
        ck_assert_int_eq(prediction->status, PREDICTION_SEEN);
        bool found = false;
        for (int k = 0; k < prediction->count; k++) {
            const PredictionPart *part = &prediction->part[k];
            if (part->quantity != known[i].quantity) continue;
            found = true;
            ck_assert_msg(part->seen == known[i].way, "%s: %g to %g", known[i].order, part->before,
                          part->after);
        }
        ck_assert(found);
        sim_session_close(session);
    }
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("predictions noise");
    TCase *c = tcase_create("predictions_noise");
    tcase_set_timeout(c, 300);
    tcase_add_test(c, predictions_noise_is_seldom_a_change);
    tcase_add_test(c, predictions_see_what_an_order_does);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
