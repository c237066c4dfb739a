/* Cohorts: statistics of the traits, determinism, refusal of the impossible. */
#include "model/cohort.h"
#include "model/people.h"
#include "tests/support/check_main.h"

#include <math.h>
#include <string.h>

enum { DRAWS = 20000 };

START_TEST(cohort_traits_have_their_spread_and_correlation) {
    static double x[DRAWS][COHORT_TRAITS];
    Random random = model_random_seed(11);
    for (int n = 0; n < DRAWS; n++)
        model_cohort_traits(&random, 1.0, x[n]);
    for (int i = 0; i < COHORT_TRAITS; i++)
        for (int j = 0; j <= i; j++) {
            double a = 0, b = 0, ab = 0, aa = 0, bb = 0;
            for (int n = 0; n < DRAWS; n++) {
                a += x[n][i], b += x[n][j];
                aa += x[n][i] * x[n][i], bb += x[n][j] * x[n][j], ab += x[n][i] * x[n][j];
            }
            a /= DRAWS, b /= DRAWS;
            const double sd_a = sqrt(aa / DRAWS - a * a), sd_b = sqrt(bb / DRAWS - b * b);
            const double r = (ab / DRAWS - a * b) / (sd_a * sd_b);
            /* the cut at 2.5 standard deviations takes 2 to 3 % of the spread */
            ck_assert_double_eq_tol(sd_a / model_cohort_spread((CohortTrait)i), 0.98, 0.03);
            ck_assert_double_eq_tol(a / model_cohort_spread((CohortTrait)i), 0.0, 0.03);
            ck_assert_double_eq_tol(r, model_cohort_correlation((CohortTrait)i, (CohortTrait)j), 0.03);
        }
}
END_TEST

START_TEST(cohort_of_no_width_is_the_base) {
    const Parameters base = model_people_parameters(PERSON_SUPPORTED_AXIAL);
    double ln_x[COHORT_TRAITS];
    Random random = model_random_seed(3);
    model_cohort_traits(&random, 0.0, ln_x);
    const Parameters same = model_cohort_apply(&base, ln_x);
    for (int i = 0; i < PARAMETER_COUNT; i++) {
        const double was = model_parameters_get(&base, (ParameterId)i);
        ck_assert_double_eq_tol(model_parameters_get(&same, (ParameterId)i), was,
                                1e-9 * fmax(1.0, fabs(was)));
    }
}
END_TEST

START_TEST(cohort_repeats_with_its_seed) {
    const Parameters base = model_people_parameters(PERSON_SUPPORTED_CENTRIFUGAL);
    Parameters first[3], again[3];
    Random random = model_random_seed(42);
    for (int i = 0; i < 3; i++)
        ck_assert_int_eq(model_cohort_draw(&base, 1.0, 30.0, &random, &first[i], NULL, NULL, NULL), ERROR_OK);
    random = model_random_seed(42);
    for (int i = 0; i < 3; i++)
        ck_assert_int_eq(model_cohort_draw(&base, 1.0, 30.0, &random, &again[i], NULL, NULL, NULL), ERROR_OK);
    ck_assert_int_eq(memcmp(first, again, sizeof first), 0);
    random = model_random_seed(43);
    ck_assert_int_eq(model_cohort_draw(&base, 1.0, 30.0, &random, &again[0], NULL, NULL, NULL), ERROR_OK);
    ck_assert_int_ne(memcmp(&first[0], &again[0], sizeof first[0]), 0);
}
END_TEST

START_TEST(cohort_varies_about_its_base_and_lives) {
    enum { PEOPLE = 40 };
    const Parameters base = model_people_parameters(PERSON_SUPPORTED_AXIAL);
    Random random = model_random_seed(7);
    double sum = 0, square = 0, cvp = 0;
    int refused = 0;
    for (int i = 0; i < PEOPLE; i++) {
        Parameters person;
        Observables o;
        Error error;
        ck_assert_msg(model_cohort_draw(&base, 1.0, 60.0, &random, &person, &o, &refused, &error) == ERROR_OK,
                      "%s", error.what);
        ck_assert(model_cohort_is_survivable(&o));
        sum += o.wedge_mmhg, square += o.wedge_mmhg * o.wedge_mmhg, cvp += o.cvp_mmhg;
    }
    const double mean = sum / PEOPLE, sd = sqrt(square / PEOPLE - mean * mean);
    /* registry, 1 to 3 months of support: wedge 13.1 +- 6.9, right atrium 9.6 +- 6.0 mmHg (1,328 patients):
       the cohort's mean within half a standard deviation, and a real spread */
    ck_assert_double_eq_tol(mean, 13.1, 3.45);
    ck_assert_double_eq_tol(cvp / PEOPLE, 9.6, 3.0);
    ck_assert_double_ge(sd, 2.0);
    ck_assert_double_le(sd, 7.0);
    ck_assert_int_lt(refused, PEOPLE);
}
END_TEST

START_TEST(cohort_refuses_the_impossible) {
    Observables o = {.art_mean_mmhg = 75,
                     .cvp_mmhg = 9,
                     .wedge_mmhg = 12,
                     .pa_mean_mmhg = 22,
                     .cardiac_index_l_min_m2 = 2.5,
                     .svo2_frac = 0.65};
    ck_assert(model_cohort_is_survivable(&o));
    o.art_mean_mmhg = 35;
    ck_assert(!model_cohort_is_survivable(&o));
    o.art_mean_mmhg = 75;
    o.cvp_mmhg = 31;
    ck_assert(!model_cohort_is_survivable(&o));

    /* around a base nobody survives, it says so instead of going on for ever */
    Parameters bled = model_people_parameters(PERSON_HEALTHY);
    bled.blood_volume_ml = 2000;
    Parameters person;
    Error error;
    int refused = 0;
    Random random = model_random_seed(1);
    ck_assert_int_eq(model_cohort_draw(&bled, 0.3, 10.0, &random, &person, NULL, &refused, &error),
                     ERROR_COMBINATION);
    ck_assert_int_eq(refused, 50);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("cohort");
    TCase *c = tcase_create("cohort");
    tcase_set_timeout(c, 120);
    tcase_add_test(c, cohort_traits_have_their_spread_and_correlation);
    tcase_add_test(c, cohort_of_no_width_is_the_base);
    tcase_add_test(c, cohort_repeats_with_its_seed);
    tcase_add_test(c, cohort_varies_about_its_base_and_lives);
    tcase_add_test(c, cohort_refuses_the_impossible);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
