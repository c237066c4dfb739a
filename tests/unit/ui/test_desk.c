/* The order desk on a real session: pending, typing, confirming, refusing. */
#include "tests/support/check_main.h"
#include "tests/support/night_case.h"
#include "ui/desk.h"

#include <math.h>

static Session *session;
static Desk desk;
static DeckView view;

static void fill(void) {
    memset(&view, 0, sizeof view);
    ui_desk_fill(&desk, session, 5, &view);
}

static void start(void) {
    Error error;
    Case *file = night_case();
    session = sim_session_open(file, NULL, &error);
    ck_assert_msg(session != NULL, "%s", error.what);
    sim_case_free(file);
    ui_desk_start(&desk);
    fill();
}

static void stop(void) {
    sim_session_close(session);
}

/* Row of the open group whose name begins with `name`, -1 if there is none. */
static int row_named(const char *name) {
    for (int i = 0; i < view.rows; i++) {
        if (strncmp(view.row[i].name, name, strlen(name)) == 0) return i;
    }
    return -1;
}

static double in_force(OrderId id) {
    return sim_session_orders(session)->value[id];
}

START_TEST(every_allowed_order_has_a_row_in_its_group) {
    int rows = 0;
    for (int group = 0; group < ORDER_GROUP_COUNT; group++) {
        ui_desk_group(&desk, group);
        fill();
        rows += view.rows;
        ck_assert_int_gt(view.rows, 0);
        for (int i = 0; i < view.rows; i++) {
            ck_assert_str_ne(view.row[i].name, "");
            ck_assert(view.row[i].kind == DECK_ACT || view.row[i].high > view.row[i].low);
            ck_assert(view.row[i].kind == DECK_ACT || view.row[i].step > 0.0);
        }
    }
    ck_assert_int_ge(rows, ORDER_COUNT - 1); /* the right pump is not there */
}
END_TEST

START_TEST(step_is_pending_until_confirmed) {
    int row = row_named("Norepinephrine");
    ck_assert_int_ge(row, 0);
    ck_assert_double_eq_tol(view.row[row].current, 0.05, 1e-12);
    ui_desk_step(&desk, session, row, 1.0, false);
    ui_desk_step(&desk, session, row, 1.0, false);
    fill();
    ck_assert(view.row[row].is_pending);
    ck_assert_double_eq_tol(view.row[row].pending, 0.07, 1e-9);
    ck_assert_double_eq_tol(in_force(ORDER_norepinephrine), 0.05, 1e-12);
    ck_assert_int_eq(view.group[ORDER_GROUP_DRUGS].pending, 1);
    ck_assert_int_eq(ui_desk_confirm(&desk, session), 1);
    fill();
    ck_assert(!view.row[row].is_pending);
    ck_assert_double_eq_tol(in_force(ORDER_norepinephrine), 0.07, 1e-9);
}
END_TEST

START_TEST(step_back_to_the_running_value_is_no_change) {
    int row = row_named("Norepinephrine");
    ui_desk_step(&desk, session, row, 3.0, false);
    ui_desk_step(&desk, session, row, -3.0, false);
    ck_assert_int_eq(ui_desk_pending(&desk), 0);
    ck_assert_int_eq(ui_desk_confirm(&desk, session), 0);
}
END_TEST

START_TEST(dropping_changes_nothing) {
    ui_desk_step(&desk, session, row_named("Vasopressin"), 4.0, false);
    ck_assert_int_eq(ui_desk_pending(&desk), 1);
    ui_desk_drop(&desk);
    ck_assert_int_eq(ui_desk_pending(&desk), 0);
    ck_assert_double_eq_tol(in_force(ORDER_vasopressin), 0.0, 1e-12);
}
END_TEST

START_TEST(typed_value_replaces_steps_and_is_given_with_enter) {
    ui_desk_focus(&desk, row_named("Milrinone"));
    for (const char *c = "0.375"; *c != '\0'; c++)
        ui_desk_type(&desk, session, *c);
    fill();
    ck_assert_str_eq(view.entry, "0.375");
    ck_assert_int_eq(ui_desk_confirm(&desk, session), 1);
    ck_assert_double_eq_tol(in_force(ORDER_milrinone), 0.375, 1e-12);
}
END_TEST

START_TEST(typed_value_out_of_range_says_what_is_allowed) {
    ui_desk_group(&desk, ORDER_GROUP_PUMP);
    fill();
    ui_desk_focus(&desk, row_named("Pump speed"));
    double before = in_force(ORDER_speed);
    for (const char *c = "99999"; *c != '\0'; c++)
        ui_desk_type(&desk, session, *c);
    fill();
    ck_assert_ptr_nonnull(strstr(view.problem, "14000"));
    ck_assert_int_eq(ui_desk_confirm(&desk, session), 0);
    ck_assert_double_eq_tol(in_force(ORDER_speed), before, 1e-12);
}
END_TEST

START_TEST(bolus_runs_and_can_be_stopped) {
    ui_desk_group(&desk, ORDER_GROUP_FLUIDS);
    fill();
    int row = row_named("Crystalloid");
    ui_desk_focus(&desk, row);
    ck_assert_int_eq(ui_desk_confirm(&desk, session), 0); /* Enter makes the dose pending first */
    ck_assert_int_eq(ui_desk_pending(&desk), 1);
    ck_assert_int_eq(ui_desk_confirm(&desk, session), 1);
    fill();
    ck_assert(sim_session_orders(session)->running[0].active);
    ck_assert_str_eq(view.row[0].current_word, "Stop");
    ck_assert_int_eq(view.focus_row, row + 1); /* still on the bolus */
    ui_desk_step(&desk, session, 0, 1.0, false);
    ck_assert_int_eq(ui_desk_confirm(&desk, session), 1);
    ck_assert(!sim_session_orders(session)->running[0].active);
}
END_TEST

START_TEST(load_and_rate_of_one_drug_are_one_order) {
    int rate = row_named("Milrinone"), load = row_named("Milrinone load");
    ck_assert_int_eq(load, rate + 1);
    ui_desk_step(&desk, session, rate, 5.0, false);
    ui_desk_step(&desk, session, load, 1.0, false);
    ck_assert_int_eq(ui_desk_pending(&desk), 2);
    ck_assert_int_eq(ui_desk_confirm(&desk, session), 1);
    ck_assert_int_eq(ui_desk_pending(&desk), 0);
    ck_assert_double_eq_tol(in_force(ORDER_milrinone), 0.25, 1e-9);
    ck_assert(sim_session_orders(session)->running[0].active);
    ck_assert_double_eq_tol(sim_session_orders(session)->running[0].total, 50.0, 1e-9);
}
END_TEST

START_TEST(pacing_chambers_and_rate_are_one_order) {
    ui_desk_group(&desk, ORDER_GROUP_RHYTHM);
    fill();
    int chambers = row_named("Pacing wires"), rate = row_named("Pacing rate");
    double before = view.row[rate].current;
    ui_desk_step(&desk, session, chambers, 3.0, false);
    ui_desk_step(&desk, session, rate, 1.0, false);
    ck_assert_int_eq(ui_desk_confirm(&desk, session), 1);
    ck_assert_int_eq(sim_session_orders(session)->pacing, ORDER_PACING_BOTH);
    ck_assert_double_eq_tol(in_force(ORDER_pacing), before + 5.0, 1e-9);
}
END_TEST

START_TEST(long_list_scrolls_with_the_focus) {
    ui_desk_group(&desk, ORDER_GROUP_DRUGS);
    fill();
    ck_assert_int_gt(view.rows, 5);
    ui_desk_focus(&desk, view.rows - 1);
    fill();
    ck_assert_int_eq(view.first_row, view.rows - 5);
    ui_desk_focus(&desk, 0);
    fill();
    ck_assert_int_eq(view.first_row, 0);
    ui_desk_focus(&desk, 999);
    fill();
    ck_assert_int_eq(view.focus_row, view.rows - 1);
}
END_TEST

/* 0.1 mcg/kg/min of 80 mcg/mL: the weight times 0.075 mL/h. */
START_TEST(rates_can_be_read_and_typed_in_ml_h) {
    double weight_kg = sim_session_parameters(session)->weight_kg;
    ui_desk_step(&desk, session, row_named("Rates shown in"), 1.0, false);
    fill();
    int row = row_named("Norepinephrine");
    ck_assert_str_eq(view.row[row].unit, "mL/h");
    ck_assert_double_eq_tol(view.row[row].current, 0.05 * weight_kg * 60.0 / 80.0, 1e-9);
    ui_desk_focus(&desk, row);
    for (const char *c = "6.0"; *c != '\0'; c++)
        ui_desk_type(&desk, session, *c);
    ck_assert_int_eq(ui_desk_confirm(&desk, session), 1);
    ck_assert_double_eq_tol(in_force(ORDER_norepinephrine), 6.0 * 80.0 / 60.0 / weight_kg, 1e-6);
}
END_TEST

START_TEST(running_drugs_come_first_then_by_class) {
    ck_assert_int_eq(row_named("Norepinephrine"), 0); /* the only one that runs in this case */
    ck_assert_int_lt(row_named("Milrinone"), row_named("Vasopressin"));
    ck_assert_int_lt(row_named("Vasopressin"), row_named("Nitroglycerin"));
    ck_assert_str_eq(view.row[row_named("Vasopressin")].detail, "vasoconstrictor");
}
END_TEST

START_TEST(doses_of_drugs_go_in_as_they_are_offered) {
    int row = row_named("Furosemide bolus");
    ck_assert_int_ge(row, 0);
    ui_desk_step(&desk, session, row, 1.0, false);
    ck_assert_int_eq(ui_desk_confirm(&desk, session), 1);
    const OrderRunning *running = &sim_session_orders(session)->running[0];
    ck_assert(running->active);
    ck_assert_double_eq_tol(running->total, 40.0, 1e-9);
    double weight_kg = sim_session_parameters(session)->weight_kg;
    ck_assert_double_eq_tol(sim_session_parameters(session)->furosemide_mg_kg_min, 20.0 / weight_kg, 1e-9);
}
END_TEST

START_TEST(shocks_are_doses_with_and_without_synchronisation) {
    ui_desk_group(&desk, ORDER_GROUP_RHYTHM);
    fill();
    ui_desk_step(&desk, session, row_named("Shock, synchronised"), 1.0, false);
    ck_assert_int_eq(ui_desk_confirm(&desk, session), 1);
    ck_assert(sim_session_orders(session)->running[0].active);
    ck_assert(sim_session_orders(session)->running[0].order.synchronised);
    ck_assert_double_eq_tol(sim_session_orders(session)->running[0].order.value, 200.0, 1e-9);
}
END_TEST

START_TEST(what_cannot_be_now_is_grey_with_the_reason) {
    Error error;
    ui_desk_group(&desk, ORDER_GROUP_PROCEDURES);
    ck_assert_int_eq(sim_session_order(session, "reopen_bedside", &error), ERROR_OK);
    fill();
    int row = row_named("Re-open in theatre");
    ck_assert(!view.row[row].allowed);
    ck_assert_str_eq(view.row[row].detail, "the chest is being re-opened");
    ui_desk_step(&desk, session, row, 1.0, false);
    ck_assert_int_eq(ui_desk_pending(&desk), 0);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("desk");
    TCase *c = tcase_create("orders");
    tcase_set_timeout(c, 60);
    tcase_add_checked_fixture(c, start, stop);
    tcase_add_test(c, every_allowed_order_has_a_row_in_its_group);
    tcase_add_test(c, step_is_pending_until_confirmed);
    tcase_add_test(c, step_back_to_the_running_value_is_no_change);
    tcase_add_test(c, dropping_changes_nothing);
    tcase_add_test(c, typed_value_replaces_steps_and_is_given_with_enter);
    tcase_add_test(c, typed_value_out_of_range_says_what_is_allowed);
    tcase_add_test(c, bolus_runs_and_can_be_stopped);
    tcase_add_test(c, load_and_rate_of_one_drug_are_one_order);
    tcase_add_test(c, pacing_chambers_and_rate_are_one_order);
    tcase_add_test(c, long_list_scrolls_with_the_focus);
    tcase_add_test(c, rates_can_be_read_and_typed_in_ml_h);
    tcase_add_test(c, running_drugs_come_first_then_by_class);
    tcase_add_test(c, doses_of_drugs_go_in_as_they_are_offered);
    tcase_add_test(c, shocks_are_doses_with_and_without_synchronisation);
    tcase_add_test(c, what_cannot_be_now_is_grey_with_the_reason);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
