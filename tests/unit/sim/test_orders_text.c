/* The text form of orders. */
#include "sim/orders.h"

#include "tests/support/check_main.h"

#include <string.h>

static const struct {
    const char *text;
    Order order;
} GOOD[] = {
    {"speed 9000", {.id = ORDER_speed, .act = ORDER_ACT_SET, .value = 9000}},
    {"speed 9000rpm", {.id = ORDER_speed, .act = ORDER_ACT_SET, .value = 9000}},
    {"  SPEED   9000  rpm ", {.id = ORDER_speed, .act = ORDER_ACT_SET, .value = 9000}},
    {"milrinone 0.25", {.id = ORDER_milrinone, .act = ORDER_ACT_SET, .value = 0.25}},
    {"milrinone 0.25ug/kg/min", {.id = ORDER_milrinone, .act = ORDER_ACT_SET, .value = 0.25}},
    {"milrinone 0.25 load 50mcg/kg over 10min",
     {.id = ORDER_milrinone, .act = ORDER_ACT_SET, .value = 0.25, .load = 50, .load_s = 600}},
    {"milrinone 0.25 mcg/kg/min load 50 mcg/kg over 20 min",
     {.id = ORDER_milrinone, .act = ORDER_ACT_SET, .value = 0.25, .load = 50, .load_s = 1200}},
    {"norepinephrine off", {.id = ORDER_norepinephrine, .act = ORDER_ACT_OFF}},
    {"stop norepinephrine", {.id = ORDER_norepinephrine, .act = ORDER_ACT_OFF}},
    {"vasopressin 1.8U/h", {.id = ORDER_vasopressin, .act = ORDER_ACT_SET, .value = 0.03}},
    {"nitric_oxide 20ppm", {.id = ORDER_nitric_oxide, .act = ORDER_ACT_SET, .value = 20}},
    {"fio2 60%", {.id = ORDER_fio2, .act = ORDER_ACT_SET, .value = 0.6}},
    {"bolus crystalloid 250mL over 10min",
     {.id = ORDER_crystalloid, .act = ORDER_ACT_BOLUS, .value = 250, .duration_s = 600}},
    {"crystalloid 0.5L over 1h",
     {.id = ORDER_crystalloid, .act = ORDER_ACT_BOLUS, .value = 500, .duration_s = 3600}},
    {"bolus colloid 250", {.id = ORDER_colloid, .act = ORDER_ACT_BOLUS, .value = 250, .duration_s = 600}},
    {"bolus red_cells 2units over 30min",
     {.id = ORDER_red_cells, .act = ORDER_ACT_BOLUS, .value = 574, .duration_s = 1800}},
    {"infusion crystalloid 100mL/h", {.id = ORDER_crystalloid, .act = ORDER_ACT_INFUSION, .value = 100}},
    {"crystalloid 2 mL/min", {.id = ORDER_crystalloid, .act = ORDER_ACT_INFUSION, .value = 120}},
    {"stop plasma", {.id = ORDER_plasma, .act = ORDER_ACT_STOP}},
    {"pacing both 90", {.id = ORDER_pacing, .act = ORDER_ACT_SET, .value = 90, .pacing = ORDER_PACING_BOTH}},
    {"pacing off", {.id = ORDER_pacing, .act = ORDER_ACT_OFF}},
    {"respiratory_rate 14 1/min", {.id = ORDER_respiratory_rate, .act = ORDER_ACT_SET, .value = 14}},
    {"pacing DDD 90", {.id = ORDER_pacing, .act = ORDER_ACT_SET, .value = 90, .pacing = ORDER_PACING_BOTH}},
    {"pacing vvi 70",
     {.id = ORDER_pacing, .act = ORDER_ACT_SET, .value = 70, .pacing = ORDER_PACING_VENTRICULAR}},
    {"pacing AAI 90/min",
     {.id = ORDER_pacing, .act = ORDER_ACT_SET, .value = 90, .pacing = ORDER_PACING_ATRIAL}},
    {"pacing_output 12.5mA", {.id = ORDER_pacing_output, .act = ORDER_ACT_SET, .value = 12.5}},
    {"norepinephrine 6mL/h",
     {.id = ORDER_norepinephrine, .act = ORDER_ACT_SET, .value = 6, .measure = ORDER_MEASURE_ML_H}},
    {"norepinephrine 8 mcg/min",
     {.id = ORDER_norepinephrine, .act = ORDER_ACT_SET, .value = 8, .measure = ORDER_MEASURE_AMOUNT_MIN}},
    {"nitroglycerin 0.5mcg/kg/min",
     {.id = ORDER_nitroglycerin, .act = ORDER_ACT_SET, .value = 0.5, .measure = ORDER_MEASURE_AMOUNT_KG_MIN}},
    {"furosemide 10mg/h", {.id = ORDER_furosemide, .act = ORDER_ACT_SET, .value = 10}},
    {"amiodarone 60mg/h", {.id = ORDER_amiodarone, .act = ORDER_ACT_SET, .value = 1}},
    {"bolus furosemide 40mg",
     {.id = ORDER_furosemide, .act = ORDER_ACT_BOLUS, .value = 40, .duration_s = 120}},
    {"bolus methylene_blue 2mg/kg over 30min",
     {.id = ORDER_methylene_blue, .act = ORDER_ACT_BOLUS, .value = 2, .duration_s = 1800, .per_kg = true}},
    {"bolus inhaled_milrinone 5mg over 10min",
     {.id = ORDER_inhaled_milrinone, .act = ORDER_ACT_BOLUS, .value = 5000, .duration_s = 600}},
    {"shock 200J", {.id = ORDER_shock, .act = ORDER_ACT_DO, .value = 200}},
    {"shock 120 J synchronised",
     {.id = ORDER_shock, .act = ORDER_ACT_DO, .value = 120, .synchronised = true}},
    {"reopen_bedside", {.id = ORDER_reopen_bedside, .act = ORDER_ACT_DO}},
    {"reopen_chest", {.id = ORDER_reopen_chest, .act = ORDER_ACT_DO}},
    {"stop reopen_chest", {.id = ORDER_reopen_chest, .act = ORDER_ACT_STOP}},
};

static void same(const Order *a, const Order *b) {
    ck_assert_int_eq(a->id, b->id);
    ck_assert_int_eq(a->act, b->act);
    ck_assert_double_eq_tol(a->value, b->value, 1e-9);
    ck_assert_double_eq_tol(a->duration_s, b->duration_s, 1e-9);
    ck_assert_double_eq_tol(a->load, b->load, 1e-9);
    ck_assert_double_eq_tol(a->load_s, b->load_s, 1e-9);
    ck_assert_int_eq(a->pacing, b->pacing);
    ck_assert_int_eq(a->measure, b->measure);
    ck_assert_int_eq(a->per_kg, b->per_kg);
    ck_assert_int_eq(a->synchronised, b->synchronised);
}

START_TEST(orders_text_good_is_read) {
    Order order;
    Error error;
    ErrorCode code = sim_orders_parse(GOOD[_i].text, NULL, &order, &error);
    ck_assert_msg(code == ERROR_OK, "%s: %s", GOOD[_i].text, error.what);
    same(&order, &GOOD[_i].order);
}
END_TEST

START_TEST(orders_text_written_is_read_back) {
    char text[ORDER_TEXT_MAX];
    Order order;
    Error error;
    sim_orders_format(&GOOD[_i].order, text, sizeof text);
    ErrorCode code = sim_orders_parse(text, NULL, &order, &error);
    ck_assert_msg(code == ERROR_OK, "%s: %s", text, error.what);
    same(&order, &GOOD[_i].order);
}
END_TEST

static const struct {
    const char *text;
    ErrorCode code;
    const char *hint;
} BAD[] = {
    {"", ERROR_SYNTAX, "speed 9000"},
    {"speeed 9000", ERROR_UNKNOWN_NAME, "speed"},
    {"milrinon 0.25", ERROR_UNKNOWN_NAME, "milrinone"},
    {"coffee", ERROR_UNKNOWN_NAME, "list orders"},
    {"speed", ERROR_SYNTAX, "like speed 9000rpm"},
    {"speed fast", ERROR_SYNTAX, NULL},
    {"speed 99000", ERROR_RANGE, "14000"},
    {"speed -1", ERROR_RANGE, NULL},
    {"speed 9000 mL", ERROR_SYNTAX, "rpm"},
    {"speed 9000 please", ERROR_SYNTAX, "rpm"},
    {"speed 9000 rpm now", ERROR_SYNTAX, "like speed 9000rpm"},
    {"speed off", ERROR_SYNTAX, NULL},
    {"stop speed", ERROR_SYNTAX, NULL},
    {"speed nan", ERROR_SYNTAX, NULL},
    {"milrinone 0.25 load", ERROR_SYNTAX, NULL},
    {"milrinone 0.25 load 50mL", ERROR_SYNTAX, "mcg/kg"},
    {"milrinone 0.25 load 500mcg/kg", ERROR_RANGE, NULL},
    {"milrinone 0.25 load 50mcg/kg over 1s", ERROR_RANGE, NULL},
    {"milrinone 25", ERROR_RANGE, "1"},
    {"bolus norepinephrine 50mcg", ERROR_NOT_ALLOWED, "drip"},
    {"bolus milrinone 50mL", ERROR_SYNTAX, "mcg/kg"},
    {"bolus speed 50", ERROR_SYNTAX, "crystalloid"},
    {"bolus furosemide 2000mg", ERROR_RANGE, "250"},
    {"furosemide 5mcg", ERROR_SYNTAX, "mg/h"},
    {"norepinephrine 5U/h", ERROR_SYNTAX, "mL/h"},
    {"norepinephrine 0.1 load 5mcg/kg", ERROR_NOT_ALLOWED, "faster"},
    {"shock", ERROR_SYNTAX, "like shock 200J"},
    {"shock 200mA", ERROR_SYNTAX, "J"},
    {"shock 4000J", ERROR_RANGE, "360"},
    {"shock 200J twice", ERROR_SYNTAX, "like shock 200J"},
    {"bolus crystalloid", ERROR_SYNTAX, NULL},
    {"bolus crystalloid 250mL over", ERROR_SYNTAX, NULL},
    {"bolus crystalloid 250mL over ten", ERROR_SYNTAX, "20min"},
    {"bolus crystalloid 250mL over 1s", ERROR_RANGE, NULL},
    {"bolus crystalloid 25L", ERROR_RANGE, "2000"},
    {"bolus crystalloid 2units", ERROR_SYNTAX, "mL"},
    {"infusion crystalloid 100mL", ERROR_SYNTAX, "mL/h"},
    {"infusion crystalloid 9000mL/h", ERROR_RANGE, "2000"},
    {"pacing 90", ERROR_SYNTAX, "atrial"},
    {"pacing sideways 90", ERROR_SYNTAX, "atrial"},
    {"pacing both 300", ERROR_RANGE, "180"},
    {"fio2 60", ERROR_RANGE, "1"},
    {"reopen_chest now", ERROR_SYNTAX, NULL},
    {"a b c d e f g h i j k l m n o p", ERROR_SYNTAX, NULL},
    {"aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa 3", ERROR_SYNTAX, NULL},
};

START_TEST(orders_text_bad_is_refused_with_a_hint) {
    Order order = {.value = 77};
    Error error;
    ErrorCode code = sim_orders_parse(BAD[_i].text, NULL, &order, &error);
    ck_assert_msg(code == BAD[_i].code, "%s: %s", BAD[_i].text, error.what);
    ck_assert_double_eq_tol(order.value, 77, 1e-12);
    if (BAD[_i].hint != NULL)
        ck_assert_msg(strstr(error.allowed, BAD[_i].hint) != NULL, "%s: %s", BAD[_i].text, error.allowed);
}
END_TEST

START_TEST(orders_text_case_limits_hold) {
    OrderLimits limits = sim_orders_limits_standard();
    Order order;
    Error error;
    limits.of[ORDER_speed] = (OrderLimit){.allowed = true, .low = 8000, .high = 10000, .step = 200};
    limits.of[ORDER_epinephrine].allowed = false;
    limits.of[ORDER_milrinone].low = 0.125;
    ck_assert_int_eq(sim_orders_parse("speed 9000", &limits, &order, &error), ERROR_OK);
    ck_assert_int_eq(sim_orders_parse("speed 7900", &limits, &order, &error), ERROR_RANGE);
    ck_assert_ptr_nonnull(strstr(error.allowed, "8000 to 10000"));
    ck_assert_int_eq(sim_orders_parse("epinephrine 0.05", &limits, &order, &error), ERROR_NOT_ALLOWED);
    ck_assert_int_eq(sim_orders_parse("milrinone 0", &limits, &order, &error),
                     ERROR_OK); /* off is always allowed */
    ck_assert_int_eq(sim_orders_parse("milrinone 0.1", &limits, &order, &error), ERROR_RANGE);
}
END_TEST

START_TEST(orders_text_values_have_the_decimals_of_their_step) {
    char text[32];
    sim_orders_format_value(ORDER_speed, 9000, text, sizeof text);
    ck_assert_str_eq(text, "9000");
    sim_orders_format_value(ORDER_vasopressin, 0.03, text, sizeof text);
    ck_assert_str_eq(text, "0.030");
    sim_orders_format_value(ORDER_norepinephrine, 0.1, text, sizeof text);
    ck_assert_str_eq(text, "0.10");
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("orders_text");
    TCase *c = tcase_create("orders_text");
    tcase_add_loop_test(c, orders_text_good_is_read, 0, (int)(sizeof GOOD / sizeof GOOD[0]));
    tcase_add_loop_test(c, orders_text_written_is_read_back, 0, (int)(sizeof GOOD / sizeof GOOD[0]));
    tcase_add_loop_test(c, orders_text_bad_is_refused_with_a_hint, 0, (int)(sizeof BAD / sizeof BAD[0]));
    tcase_add_test(c, orders_text_case_limits_hold);
    tcase_add_test(c, orders_text_values_have_the_decimals_of_their_step);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
