/* The base people, in both body sizes: each settles where published patients of his kind lie, and the smaller
   body is the same condition (pressures and indices alike). */
#include "model/people.h"
#include "model/sizes.h"
#include "tests/support/check_main.h"
#include "tests/support/closed_loop.h"

#include <string.h>

#include <math.h>

/* Published ranges. healthy: reference values (Lang 2015; catheter tables). Failing: wedge 23 +- 9, right
   atrium 11 +- 5, mean PA 36 +- 11 (PMC3913073). Supported: right atrium 9.6 +- 6, wedge 13.1 +- 6.9
   (registry, 1,328 patients), MAP 65-90, PA 34/14 to 42/23 (PMC10947813). Right failure: CVP of 16 and more,
   index below 2 (PMID 19059106). Transplant: PMID 3112344; right-sided dysfunction: Kobashigawa 2014, from
   memory. */
static const struct {
    PersonId id;
    double map[2], cvp[2], wedge[2], pa[2], index[2];
} PUBLISHED[PERSON_BODY_COUNT] = {
    {PERSON_HEALTHY, {70, 105}, {1, 6}, {4, 12}, {11, 17}, {2.4, 4.0}},
    {PERSON_DILATED_FAILURE, {65, 85}, {8, 16}, {18, 32}, {25, 47}, {1.4, 2.3}},
    {PERSON_SUPPORTED_AXIAL, {65, 90}, {4, 14}, {8, 18}, {18, 30}, {2.2, 3.0}},
    {PERSON_SUPPORTED_CENTRIFUGAL, {65, 90}, {4, 14}, {8, 18}, {18, 30}, {2.2, 3.0}},
    {PERSON_SUPPORTED_RV_FAILURE, {50, 75}, {15.5, 24}, {3, 12}, {15, 27}, {1.4, 2.0}},
    {PERSON_FAILING_ON_INOTROPES, {60, 85}, {6, 16}, {14, 32}, {25, 47}, {1.4, 2.6}},
    {PERSON_SUPPORTED_HIGH_PVR, {65, 90}, {10, 16}, {10, 18}, {28, 40}, {2.0, 2.6}},
    {PERSON_BIVENTRICULAR, {65, 90}, {5, 14}, {6, 18}, {15, 30}, {2.2, 3.0}},
    {PERSON_FRESH_TRANSPLANT, {82, 110}, {9, 21}, {13, 25}, {23, 37}, {2.2, 3.8}},
    {PERSON_TRANSPLANT_RIGHT_DYSFUNCTION, {55, 80}, {15, 24}, {5, 15}, {18, 30}, {1.4, 2.05}},
};

static Observables settled(PersonId id) {
    const Parameters parameters = model_people_parameters(id);
    Patient *patient = closed_loop_settled(&parameters);
    const Observables o = closed_loop_run(patient, 60.0, 60.0);
    model_patient_destroy(patient);
    return o;
}

START_TEST(people_settle_where_published_patients_lie) {
    const PersonId id = PUBLISHED[_i].id;
    ck_assert_int_eq(id, _i);
    for (int size = 0; size < 2; size++) {
        const PersonId body = (PersonId)(_i + size * PERSON_BODY_COUNT);
        const Observables o = settled(body);
        const double *bands[] = {PUBLISHED[_i].map, PUBLISHED[_i].cvp, PUBLISHED[_i].wedge, PUBLISHED[_i].pa,
                                 PUBLISHED[_i].index};
        const double values[] = {o.art_mean_mmhg, o.cvp_mmhg, o.wedge_mmhg, o.pa_mean_mmhg,
                                 o.cardiac_index_l_min_m2};
        for (size_t i = 0; i < sizeof values / sizeof values[0]; i++)
            ck_assert_msg(values[i] >= bands[i][0] && values[i] <= bands[i][1],
                          "%s, quantity %zu: %g not in %g to %g", model_people_key(body), i, values[i],
                          bands[i][0], bands[i][1]);
    }
}
END_TEST

START_TEST(people_in_a_smaller_body_have_the_same_condition) {
    const Observables large = settled((PersonId)_i);
    const Observables small = settled((PersonId)(_i + PERSON_BODY_COUNT));
    ck_assert_double_eq_tol(small.art_mean_mmhg, large.art_mean_mmhg, 1.5);
    ck_assert_double_eq_tol(small.cvp_mmhg, large.cvp_mmhg, 1.0);
    ck_assert_double_eq_tol(small.wedge_mmhg, large.wedge_mmhg, 1.2);
    ck_assert_double_eq_tol(small.cardiac_index_l_min_m2, large.cardiac_index_l_min_m2, 0.06);
    ck_assert_double_lt(small.lv_edd_mm, large.lv_edd_mm - 1.0);
    ck_assert_double_lt(small.blood_volume_ml, 0.9 * large.blood_volume_ml);
}
END_TEST

START_TEST(people_have_keys_that_find_them) {
    for (int i = 0; i < PERSON_COUNT; i++) {
        ck_assert_int_eq(model_people_find(model_people_key((PersonId)i)), i);
        ck_assert_int_gt((int)strlen(model_people_text((PersonId)i)), 5);
        const Parameters parameters = model_people_parameters((PersonId)i);
        Error error;
        ck_assert_msg(model_parameters_check(&parameters, &error) == ERROR_OK, "%s", error.what);
    }
    ck_assert_int_eq(model_people_find("nobody"), PERSON_COUNT);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("people");
    TCase *c = tcase_create("people");
    tcase_set_timeout(c, 120);
    tcase_add_loop_test(c, people_settle_where_published_patients_lie, 0, PERSON_BODY_COUNT);
    tcase_add_loop_test(c, people_in_a_smaller_body_have_the_same_condition, 0, PERSON_BODY_COUNT);
    tcase_add_test(c, people_have_keys_that_find_them);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
