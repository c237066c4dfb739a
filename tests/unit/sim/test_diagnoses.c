/* The table of diagnoses: names that can be typed, a kind and a source for each. */
#include "sim/diagnoses.h"

#include "tests/support/check_main.h"

#include <ctype.h>
#include <string.h>

static void check_name(const char *key) {
    ck_assert(key[0] != '\0');
    for (const char *c = key; *c != '\0'; c++) {
        ck_assert_msg(islower((unsigned char)*c) || *c == '_', "%s", key);
    }
}

START_TEST(diagnoses_can_be_found_and_have_a_kind) {
    for (int id = 0; id < DIAGNOSIS_COUNT; id++) {
        const DiagnosisRow *row = sim_diagnoses_row((DiagnosisId)id);
        check_name(row->key);
        ck_assert_int_eq(sim_diagnoses_find(row->key), id);
        ck_assert_int_lt(row->kind, PROBLEM_COUNT);
        ck_assert(row->label[0] != '\0' && row->text[0] != '\0' && row->source[0] != '\0');
        /* only a night that goes well is no problem */
        ck_assert_int_eq(row->kind == PROBLEM_none, id == DIAGNOSIS_well);
    }
    ck_assert_int_eq(sim_diagnoses_find("sunshine"), DIAGNOSIS_COUNT);
}
END_TEST

START_TEST(diagnoses_every_kind_has_one) {
    for (int kind = 0; kind < PROBLEM_COUNT; kind++) {
        const char *key = sim_diagnoses_kind_key((ProblemKind)kind);
        check_name(key);
        ck_assert_int_eq(sim_diagnoses_kind_find(key), kind);
        ck_assert(sim_diagnoses_kind_label((ProblemKind)kind)[0] != '\0');
        int found = 0;
        for (int id = 0; id < DIAGNOSIS_COUNT; id++) {
            found += (int)sim_diagnoses_row((DiagnosisId)id)->kind == kind;
        }
        ck_assert_msg(found > 0, "nothing is of kind %s", key);
    }
    ck_assert_int_eq(sim_diagnoses_kind_find("magic"), PROBLEM_COUNT);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("sim/diagnoses");
    TCase *c = tcase_create("diagnoses");
    tcase_add_test(c, diagnoses_can_be_found_and_have_a_kind);
    tcase_add_test(c, diagnoses_every_kind_has_one);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
