/* Confidence against being right: the score's published examples, the decomposition worked out by hand, and
   its identity on random sets. */
#include "model/random.h"
#include "sim/calibration.h"
#include "tests/support/check_main.h"

#include <math.h>

static Calibration c;

/* The example of the function brier_score_loss in the documentation of scikit-learn: 0.037 and, as fractions,
   (0.01 + 0.01 + 0.04 + 0.09) / 4. */
START_TEST(score_is_that_of_the_published_example) {
    CalibrationItem item[] = {{0.1, false}, {0.9, true}, {0.8, true}, {0.3, false}};
    sim_calibration_make(item, 4, &c);
    ck_assert_double_eq_tol(c.brier, 0.0375, 1e-12);
    /* each confidence was stated once: what is known of it is its own outcome */
    ck_assert_double_eq_tol(c.reliability, 0.0375, 1e-12);
    ck_assert_double_eq_tol(c.resolution, 0.25, 1e-12);
    ck_assert_double_eq_tol(c.uncertainty, 0.25, 1e-12);
}
END_TEST

/* Brier, Mon Weather Rev 1950;78:1: always the same forecast equal to the frequency scores the variance. */
START_TEST(always_saying_the_frequency_scores_the_uncertainty) {
    CalibrationItem item[10];
    for (int i = 0; i < 10; i++)
        item[i] = (CalibrationItem){0.3, i < 3};
    sim_calibration_make(item, 10, &c);
    ck_assert_double_eq_tol(c.brier, 0.21, 1e-12);
    ck_assert_double_eq_tol(c.reliability, 0, 1e-12);
    ck_assert_double_eq_tol(c.resolution, 0, 1e-12);
    ck_assert_double_eq_tol(c.uncertainty, 0.21, 1e-12);
}
END_TEST

/* Ten calls, worked out by hand with Murphy, J Appl Meteorol 1973;12:595, eq. 5. At 20 %: 4 calls, 1 right;
   at 60 %: 4 calls, 3 right; at 90 %: 2 calls, 1 right. Right in all: 5 of 10. reliability  0.4 (0.20-0.25)^2
   + 0.4 (0.60-0.75)^2 + 0.2 (0.90-0.50)^2 = 0.001 + 0.009 + 0.032 = 0.042 resolution   0.4 (0.25-0.50)^2 +
   0.4 (0.75-0.50)^2 + 0.2 (0.50-0.50)^2 = 0.025 + 0.025 + 0     = 0.050 uncertainty  0.5 x 0.5 = 0.250 score
   (3 x 0.04 + 0.64 + 3 x 0.16 + 0.36 + 0.01 + 0.81) / 10                            = 0.242 */
START_TEST(decomposition_is_that_worked_out_by_hand) {
    CalibrationItem item[] = {{0.9, true}, {0.2, false}, {0.6, true},  {0.6, false}, {0.2, true},
                              {0.6, true}, {0.2, false}, {0.9, false}, {0.6, true},  {0.2, false}};
    sim_calibration_make(item, 10, &c);
    ck_assert_double_eq_tol(c.brier, 0.242, 1e-12);
    ck_assert_double_eq_tol(c.reliability, 0.042, 1e-12);
    ck_assert_double_eq_tol(c.resolution, 0.050, 1e-12);
    ck_assert_double_eq_tol(c.uncertainty, 0.250, 1e-12);
    ck_assert_double_eq_tol(c.stated_frac, 0.5, 1e-12);
    ck_assert_double_eq_tol(c.right_frac, 0.5, 1e-12);
    static const int COUNT[] = {0, 4, 0, 4, 2}, RIGHT[] = {0, 1, 0, 3, 1};
    for (int b = 0; b < CALIBRATION_BINS; b++) {
        ck_assert_int_eq(c.bin[b].count, COUNT[b]);
        ck_assert_int_eq(c.bin[b].right, RIGHT[b]);
        ck_assert(COUNT[b] > 0 || isnan(c.bin[b].right_frac));
    }
    ck_assert_double_eq_tol(c.bin[3].right_frac, 0.75, 1e-12);
    ck_assert_double_eq_tol(c.bin[3].stated_frac, 0.6, 1e-12);
}
END_TEST

START_TEST(terms_add_up_whatever_was_said) {
    enum { MOST = 60, SETS = 200 };
    CalibrationItem item[MOST];
    Random random = model_random_seed(20261125);
    for (int set = 0; set < SETS; set++) {
        size_t count = 1 + (size_t)(model_random_uniform(&random) * (MOST - 1));
        for (size_t i = 0; i < count; i++)
            item[i] = (CalibrationItem){floor(model_random_uniform(&random) * 11.0) / 10.0,
                                        model_random_uniform(&random) < 0.6};
        sim_calibration_make(item, count, &c);
        ck_assert_double_eq_tol(c.brier, c.reliability - c.resolution + c.uncertainty, 1e-12);
        ck_assert(c.reliability >= 0 && c.resolution >= 0 && c.resolution <= c.uncertainty + 1e-12);
        int binned = 0;
        for (int b = 0; b < CALIBRATION_BINS; b++)
            binned += c.bin[b].count;
        ck_assert_int_eq(binned, (int)count);
    }
}
END_TEST

START_TEST(ends_and_damaged_confidences_have_a_bin) {
    CalibrationItem item[] = {{0, false}, {1, true}, {-3, false}, {7, true}, {NAN, false}};
    sim_calibration_make(item, 5, &c);
    ck_assert_int_eq(c.bin[0].count, 3);
    ck_assert_int_eq(c.bin[CALIBRATION_BINS - 1].count, 2);
    ck_assert_double_eq_tol(c.brier, 0, 1e-12);
    sim_calibration_make(item, 0, &c);
    ck_assert_int_eq(c.count, 0);
    ck_assert(isnan(c.brier) && isnan(c.uncertainty));
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("sim/calibration");
    TCase *t = tcase_create("calibration");
    tcase_add_test(t, score_is_that_of_the_published_example);
    tcase_add_test(t, always_saying_the_frequency_scores_the_uncertainty);
    tcase_add_test(t, decomposition_is_that_worked_out_by_hand);
    tcase_add_test(t, terms_add_up_whatever_was_said);
    tcase_add_test(t, ends_and_damaged_confidences_have_a_bin);
    suite_add_tcase(s, t);
    return s;
}

CHECK_MAIN(suite)
