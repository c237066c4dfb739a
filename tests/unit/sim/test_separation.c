/* Statistics of separation against worked examples of textbooks and against sums done by hand. */
#include "sim/separation.h"

#include "model/random.h"
#include "tests/support/check_main.h"

#include <math.h>

/* Hanley and McNeil, Radiology 1982;143:29, table I: ratings of 58 normal and 51 abnormal CT images from 1
   (surely normal) to 5; the area by Wilcoxon is 0.893. */
START_TEST(area_of_ratings_is_that_of_hanley_and_mcneil) {
    static const int NORMAL[] = {33, 6, 6, 11, 2}, ABNORMAL[] = {3, 2, 2, 11, 33};
    double a[51], b[58];
    int na = 0, nb = 0;
    for (int rating = 0; rating < 5; rating++) {
        for (int i = 0; i < ABNORMAL[rating]; i++)
            a[na++] = rating;
        for (int i = 0; i < NORMAL[rating]; i++)
            b[nb++] = rating;
    }
    ck_assert_int_eq(na, 51);
    ck_assert_int_eq(nb, 58);
    ck_assert_double_eq_tol(sim_separation_area(a, na, b, nb, 0.0), 0.893, 0.0005);
    ck_assert_double_eq_tol(sim_separation_area(b, nb, a, na, 0.0), 1.0 - 0.893, 0.0005);
}
END_TEST

/* U / (n1 n2): ranks by hand. a = {3, 5, 8}, b = {1, 4, 5, 2}: 3 beats 2, 5 beats 3 and ties 1, 8 beats 4: U
 * = 9.5. */
START_TEST(area_is_mann_whitney_u_over_pairs) {
    const double a[] = {3, 5, 8}, b[] = {1, 4, 5, 2};
    ck_assert_double_eq_tol(sim_separation_area(a, 3, b, 4, 0.0), 9.5 / 12.0, 1e-12);
}
END_TEST

/* A pair sqrt 2 sd apart counts Phi(1) = 0.8413 (table of the normal distribution); one that is equal counts
 * half. */
START_TEST(area_with_uncertain_readings_follows_the_normal_distribution) {
    const double a[] = {3.0}, b[] = {3.0 - sqrt(2.0) * 0.7}, same[] = {3.0};
    ck_assert_double_eq_tol(sim_separation_area(a, 1, b, 1, 0.7), 0.8413, 5e-5);
    ck_assert_double_eq_tol(sim_separation_area(a, 1, same, 1, 0.7), 0.5, 1e-12);
    /* a difference that nobody would notice does not tell apart, whatever its sign does */
    const double near[] = {3.0, 3.01, 3.02}, below[] = {2.99, 2.98, 2.97};
    ck_assert_double_eq_tol(sim_separation_area(near, 3, below, 3, 0.0), 1.0, 1e-12);
    ck_assert_double_lt(sim_separation_area(near, 3, below, 3, 1.0), 0.52);
}
END_TEST

START_TEST(area_of_what_is_missing_is_not_known) {
    const double a[] = {1.0, NAN}, b[] = {2.0};
    ck_assert(isnan(sim_separation_area(a, 2, b, 1, 0.0)));
    ck_assert(isnan(sim_separation_area(a, 0, b, 1, 0.0)));
    ck_assert(isnan(sim_separation_d_prime(a, 1, b, 1, 0.0)));
}
END_TEST

/* Means 4 and 3, variances 4 and 4: d' = 1 / 2 by hand; with readings uncertain by sqrt 5, 1 / 3. */
START_TEST(d_prime_is_difference_over_pooled_spread) {
    const double a[] = {2, 4, 6}, b[] = {1, 3, 5}, flat[] = {2, 2};
    ck_assert_double_eq_tol(sim_separation_d_prime(a, 3, b, 3, 0.0), 0.5, 1e-12);
    ck_assert_double_eq_tol(sim_separation_d_prime(a, 3, b, 3, sqrt(5.0)), 1.0 / 3.0, 1e-12);
    ck_assert_double_eq(sim_separation_d_prime(flat, 2, flat, 2, 0.0), 0.0);
}
END_TEST

/* Equal normal spreads: area = Phi(d' / sqrt 2) (Green and Swets 1966); d' = 1 gives 0.760. */
START_TEST(d_prime_and_area_agree_for_normal_readings) {
    enum { N = 2000 };
    static double a[N], b[N];
    Random random = model_random_seed(7);
    for (int i = 0; i < N; i++) {
        a[i] = 1.0 + model_random_normal(&random);
        b[i] = model_random_normal(&random);
    }
    ck_assert_double_eq_tol(sim_separation_d_prime(a, N, b, N, 0.0), 1.0, 0.08);
    ck_assert_double_eq_tol(sim_separation_area(a, N, b, N, 0.0), 0.760, 0.02);
}
END_TEST

/* The example of lectures on discriminants (Gutierrez-Osuna, pattern analysis): direction 0.92, 0.39. By
   hand: means (3, 3.6) and (8.4, 7.6); pooled covariance over 8 degrees of freedom 1.65, -0.275, 3.3; weights
   -3.5237, -1.5058. */
static const double CLASS_1[] = {4, 1, 2, 4, 2, 3, 3, 6, 4, 4}, CLASS_2[] = {9, 10, 6, 8, 9, 5, 8, 7, 10, 8};

START_TEST(discriminant_is_that_calculated_by_hand) {
    const double none[] = {0, 0};
    double w[2];
    ck_assert(sim_separation_discriminant(CLASS_1, 5, CLASS_2, 5, 2, none, w));
    ck_assert_double_eq_tol(w[0], -3.5237, 1e-3);
    ck_assert_double_eq_tol(w[1], -1.5058, 1e-3);
    ck_assert_double_eq_tol(fabs(w[0]) / hypot(w[0], w[1]), 0.92, 0.005);
    ck_assert_double_eq_tol(fabs(w[1]) / hypot(w[0], w[1]), 0.39, 0.005);
}
END_TEST

/* A ridge far above the spread leaves the difference of the means over it; without one, readings that say the
   same twice cannot be solved. */
START_TEST(discriminant_with_ridge_is_defined_where_it_was_not) {
    const double much[] = {1e6, 1e6}, little[] = {1, 1}, none[] = {0, 0};
    double w[2];
    ck_assert(sim_separation_discriminant(CLASS_1, 5, CLASS_2, 5, 2, much, w));
    ck_assert_double_eq_tol(w[0], -5.4e-6, 1e-9);
    ck_assert_double_eq_tol(w[1], -4.0e-6, 1e-9);
    const double a[] = {1, 1, 2, 2, 3, 3}, b[] = {4, 4, 5, 5, 6, 6};
    ck_assert(!sim_separation_discriminant(a, 3, b, 3, 2, none, w));
    ck_assert(sim_separation_discriminant(a, 3, b, 3, 2, little, w));
    ck_assert_double_eq_tol(w[0], w[1], 1e-12);
    ck_assert(!sim_separation_discriminant(a, 3, b, 3, SEPARATION_FEATURES_MAX + 1, little, w));
}
END_TEST

static SeparationTable table; /* static: large */

static void fill(Random *random, int n, int candidates, double apart) {
    table.na = table.nb = n;
    table.candidates = candidates;
    for (int i = 0; i < n; i++) {
        for (int c = 0; c < candidates; c++) {
            table.a[i][c] = 4.0 * model_random_normal(random) + (c == 1 ? apart : 0.0);
            table.b[i][c] = 4.0 * model_random_normal(random);
        }
    }
}

/* Twelve readings that say nothing, 8 people in each group: judged on people it was made from, the best three
   of them would seem to tell; left out in turn, nobody is told apart. The seed is fixed, so that the test is
   too. */
START_TEST(discriminant_that_leaves_one_out_is_not_flattered) {
    Random random = model_random_seed(11);
    double sum = 0.0;
    enum { TABLES = 60 };
    for (int i = 0; i < TABLES; i++) {
        fill(&random, 8, 12, 0.0);
        sum += sim_separation_discriminant_area(&table, 3);
    }
    ck_assert_double_lt(sum / TABLES, 0.62); /* 0.5 at the least, by definition */
}
END_TEST

START_TEST(groups_far_apart_are_told_apart_by_what_differs) {
    Random random = model_random_seed(5);
    double area;
    fill(&random, 8, 12, 60.0);
    ck_assert_int_eq(sim_separation_best(&table, &area), 1);
    ck_assert_double_gt(area, 0.999);
    ck_assert_double_gt(sim_separation_discriminant_area(&table, 3), 0.99);
    /* the direction does not matter to the best single reading */
    for (int i = 0; i < table.na; i++)
        table.a[i][1] = -table.a[i][1];
    ck_assert_int_eq(sim_separation_best(&table, &area), 1);
    ck_assert_double_gt(area, 0.999);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("separation");
    TCase *c = tcase_create("separation");
    tcase_add_test(c, area_of_ratings_is_that_of_hanley_and_mcneil);
    tcase_add_test(c, area_is_mann_whitney_u_over_pairs);
    tcase_add_test(c, area_with_uncertain_readings_follows_the_normal_distribution);
    tcase_add_test(c, area_of_what_is_missing_is_not_known);
    tcase_add_test(c, d_prime_is_difference_over_pooled_spread);
    tcase_add_test(c, d_prime_and_area_agree_for_normal_readings);
    tcase_add_test(c, discriminant_is_that_calculated_by_hand);
    tcase_add_test(c, discriminant_with_ridge_is_defined_where_it_was_not);
    tcase_add_test(c, discriminant_that_leaves_one_out_is_not_flattered);
    tcase_add_test(c, groups_far_apart_are_told_apart_by_what_differs);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
