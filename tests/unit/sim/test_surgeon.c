/* The surgeon judges by what is on show, and by nothing else. */
#include "sim/surgeon.h"

#include "tests/support/check_main.h"

#include <string.h>

static Display display;
static Parameters parameters;

static void setup(void) {
    parameters = model_parameters_standard();
    for (int i = 0; i < DISPLAY_COUNT; i++) {
        display.valid[i] = true;
        display.value[i] = 0;
    }
    display.value[DISPLAY_art_mean_mmhg] = 72;
    display.value[DISPLAY_cvp_mmhg] = 10;
    display.value[DISPLAY_pump_flow_l_min] = 4.8;
    display.value[DISPLAY_drain_ml_h] = 80;
    display.value[DISPLAY_pa_dia_mmhg] = 13;
    display.value[DISPLAY_svo2_percent] = 66;
}

static const char *opinion(void) {
    static char text[SURGEON_TEXT_MAX];
    sim_surgeon_opinion(&display, &parameters, text, sizeof text);
    return text;
}

START_TEST(surgeon_asks_for_what_the_numbers_say) {
    setup();
    ck_assert_ptr_nonnull(strstr(opinion(), "Nothing here"));
    display.value[DISPLAY_drain_ml_h] = 400;
    ck_assert_ptr_nonnull(strstr(opinion(), "theatre"));
    display.value[DISPLAY_drain_ml_h] = 10;
    display.value[DISPLAY_cvp_mmhg] = 19;
    display.value[DISPLAY_pump_flow_l_min] = 2.9;
    ck_assert_ptr_nonnull(strstr(opinion(), "Clot"));
    display.value[DISPLAY_art_mean_mmhg] = 40;
    ck_assert_ptr_nonnull(strstr(opinion(), "I open here"));
    display.value[DISPLAY_art_mean_mmhg] = 55;
    display.value[DISPLAY_cvp_mmhg] = 3;
    ck_assert_ptr_nonnull(strstr(opinion(), "empty"));
}
END_TEST

START_TEST(surgeon_thinks_of_clot_on_the_left_too) {
    setup();
    display.value[DISPLAY_pa_dia_mmhg] = 24;
    ck_assert_ptr_nonnull(strstr(opinion(), "Nothing here"));
    display.value[DISPLAY_svo2_percent] = 52;
    ck_assert_ptr_nonnull(strstr(opinion(), "behind the left atrium"));
}
END_TEST

START_TEST(surgeon_does_not_know_what_is_not_on_show) {
    setup();
    char before[SURGEON_TEXT_MAX];
    memcpy(before, opinion(), sizeof before);
    parameters.clot_ra_ml = 200;
    parameters.bleed_hidden_ml_h = 800;
    ck_assert_str_eq(opinion(), before);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("surgeon");
    TCase *c = tcase_create("surgeon");
    tcase_add_test(c, surgeon_asks_for_what_the_numbers_say);
    tcase_add_test(c, surgeon_thinks_of_clot_on_the_left_too);
    tcase_add_test(c, surgeon_does_not_know_what_is_not_on_show);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
