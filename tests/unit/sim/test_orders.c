/* The course of orders: what changes at once, what runs, what ends by itself. */
#include "model/beat.h"
#include "sim/orders.h"

#include "tests/support/check_main.h"

#include <math.h>
#include <string.h>

static OrdersState state;
static OrderLimits limits;
static Parameters parameters;
static OrderEffects effects;
static Error error;

static void setup(void) {
    parameters = model_parameters_standard();
    parameters.left_pump_present = 1;
    parameters.ventilated = 1;
    limits = sim_orders_limits_standard();
    sim_orders_start(&state, &parameters);
    memset(&effects, 0, sizeof effects);
}

/* Carries out what the session would. */
static void apply(void) {
    for (int i = 0; i < effects.change_count; i++) {
        ck_assert_int_eq(
            model_parameters_set(&parameters, effects.changes[i].id, effects.changes[i].value, &error),
            ERROR_OK);
    }
}

static ErrorCode give(const char *text, double time_s) {
    Order order;
    ErrorCode code = sim_orders_parse(text, &limits, &order, &error);
    if (code != ERROR_OK) return code;
    memset(&effects, 0, sizeof effects);
    code = sim_orders_give(&state, &order, &limits, &parameters, time_s, &effects, &error);
    if (code == ERROR_OK) apply();
    return code;
}

/* Plays `beats` beats of uneven length; returns the mL that `rate` (mL/min) brought. */
static double play(int beats, const double *rate_ml_min, int *done) {
    double volume_ml = 0;
    *done = 0;
    for (int i = 0; i < beats; i++) {
        double dt_s = 0.6 + 0.004 * (i % 57);
        volume_ml += *rate_ml_min * dt_s / 60;
        sim_orders_advance(&state, &parameters, dt_s, &effects);
        apply();
        *done += effects.done_count;
    }
    return volume_ml;
}

START_TEST(orders_bolus_gives_its_volume_and_ends) {
    int done;
    setup();
    ck_assert_int_eq(give("bolus crystalloid 250mL over 10min", 0), ERROR_OK);
    ck_assert_double_eq_tol(parameters.crystalloid_ml_min, 25, 1e-9);
    double volume_ml = play(900, &parameters.crystalloid_ml_min, &done);
    ck_assert_int_eq(done, 1);
    ck_assert_double_eq_tol(volume_ml, 250, 0.06);
    ck_assert_double_eq_tol(state.given_ml[ORDER_crystalloid], volume_ml, 1e-6);
    ck_assert_double_eq_tol(parameters.crystalloid_ml_min, 0, 1e-12);
    ck_assert(!state.running[0].active);
}
END_TEST

START_TEST(orders_bolus_on_infusion_adds_up_and_leaves_infusion) {
    int done;
    setup();
    ck_assert_int_eq(give("infusion crystalloid 120mL/h", 0), ERROR_OK);
    ck_assert_int_eq(give("bolus crystalloid 100mL over 5min", 0), ERROR_OK);
    ck_assert_double_eq_tol(parameters.crystalloid_ml_min, 22, 1e-9);
    play(600, &parameters.crystalloid_ml_min, &done);
    ck_assert_int_eq(done, 1);
    ck_assert_double_eq_tol(parameters.crystalloid_ml_min, 2, 1e-9);
    ck_assert_int_eq(give("crystalloid off", 400), ERROR_OK);
    ck_assert_double_eq_tol(parameters.crystalloid_ml_min, 0, 1e-12);
}
END_TEST

START_TEST(orders_stop_ends_all_of_one_fluid_only) {
    setup();
    ck_assert_int_eq(give("bolus crystalloid 500mL over 10min", 0), ERROR_OK);
    ck_assert_int_eq(give("bolus crystalloid 250mL over 10min", 0), ERROR_OK);
    ck_assert_int_eq(give("bolus colloid 100mL over 10min", 0), ERROR_OK);
    ck_assert_double_eq_tol(parameters.crystalloid_ml_min, 75, 1e-9);
    ck_assert_int_eq(give("stop crystalloid", 10), ERROR_OK);
    ck_assert_double_eq_tol(parameters.crystalloid_ml_min, 0, 1e-12);
    ck_assert_double_eq_tol(parameters.colloid_ml_min, 10, 1e-9);
}
END_TEST

START_TEST(orders_load_runs_on_top_and_ends) {
    int done;
    setup();
    ck_assert_int_eq(give("milrinone 0.375 load 50mcg/kg over 10min", 0), ERROR_OK);
    ck_assert_double_eq_tol(parameters.milrinone_mcg_kg_min, 5.375, 1e-9);
    double dose = play(900, &parameters.milrinone_mcg_kg_min, &done);
    double drip = 0;
    for (int i = 0; i < 900; i++) {
        drip += 0.375 * (0.6 + 0.004 * (i % 57)) / 60;
    }
    ck_assert_int_eq(done, 1);
    ck_assert_double_eq_tol(dose - drip, 50, 0.02);
    ck_assert_double_eq_tol(parameters.milrinone_mcg_kg_min, 0.375, 1e-9);
}
END_TEST

START_TEST(orders_stopping_a_load_leaves_the_drip) {
    setup();
    ck_assert_int_eq(give("milrinone 0.375 load 50mcg/kg over 10min", 0), ERROR_OK);
    Order stop = sim_orders_stop(&state, 0);
    memset(&effects, 0, sizeof effects);
    ck_assert_int_eq(sim_orders_give(&state, &stop, &limits, &parameters, 60, &effects, &error), ERROR_OK);
    apply();
    ck_assert(!state.running[0].active);
    ck_assert_double_eq_tol(parameters.milrinone_mcg_kg_min, 0.375, 1e-9);
}
END_TEST

START_TEST(orders_too_fast_is_refused_and_changes_nothing) {
    setup();
    ck_assert_int_eq(give("bolus crystalloid 1500mL over 1min", 0), ERROR_RANGE);
    ck_assert_ptr_nonnull(strstr(error.allowed, "1000"));
    ck_assert_double_eq_tol(parameters.crystalloid_ml_min, 0, 1e-12);
    ck_assert(!state.running[0].active);
    ck_assert_double_lt(state.changed_s[ORDER_crystalloid], 0);
}
END_TEST

START_TEST(orders_too_many_things_at_once_are_refused) {
    setup();
    for (int i = 0; i < ORDER_RUNNING_MAX; i++) {
        ck_assert_int_eq(give("bolus plasma 100mL over 1h", 0), ERROR_OK);
    }
    ck_assert_int_eq(give("bolus plasma 100mL over 1h", 0), ERROR_NOT_ALLOWED);
    ck_assert_int_eq(give("reopen_chest", 0), ERROR_NOT_ALLOWED);
}
END_TEST

START_TEST(orders_without_the_device_are_refused) {
    setup();
    parameters.left_pump_present = 0;
    parameters.ventilated = 0;
    ck_assert_int_eq(give("speed 9000", 0), ERROR_NOT_ALLOWED);
    ck_assert_int_eq(give("right_speed 5000", 0), ERROR_NOT_ALLOWED);
    ck_assert_int_eq(give("peep 8", 0), ERROR_NOT_ALLOWED);
    ck_assert_int_eq(give("fio2 0.6", 0), ERROR_OK);
}
END_TEST

START_TEST(orders_reopening_takes_its_time_then_relieves) {
    int done;
    double none = 0;
    setup();
    parameters.clot_ra_ml = 60;
    parameters.bleed_clot_ra_ml_h = 40;
    limits.of[ORDER_reopen_chest].delay_s = 300;
    ck_assert_int_eq(give("reopen_chest", 0), ERROR_OK);
    ck_assert_int_eq(give("reopen_chest", 5), ERROR_NOT_ALLOWED);
    play(400, &none, &done); /* 285 s */
    ck_assert_int_eq(done, 0);
    ck_assert_double_eq_tol(parameters.chest_open, 0, 1e-12);
    play(40, &none, &done);
    ck_assert_int_eq(done, 1);
    ck_assert_double_eq_tol(parameters.chest_open, 1, 1e-12);
    ck_assert_double_eq_tol(parameters.clot_ra_ml, 0, 1e-12);
    ck_assert_double_eq_tol(parameters.bleed_clot_ra_ml_h, 0, 1e-12);
    ck_assert_int_eq(give("reopen_chest", 400), ERROR_NOT_ALLOWED);
}
END_TEST

START_TEST(orders_action_can_be_called_off) {
    int done;
    double none = 0;
    setup();
    ck_assert_int_eq(give("reopen_chest", 0), ERROR_OK);
    ck_assert_int_eq(give("stop reopen_chest", 60), ERROR_OK);
    play(4000, &none, &done);
    ck_assert_int_eq(done, 0);
    ck_assert_double_eq_tol(parameters.chest_open, 0, 1e-12);
}
END_TEST

START_TEST(orders_pacing_sets_rhythm_and_comes_off) {
    setup();
    ck_assert_int_eq(give("pacing both 90", 0), ERROR_OK);
    ck_assert_double_eq_tol(parameters.rhythm_kind, RHYTHM_PACED_BOTH, 1e-12);
    ck_assert_double_eq_tol(parameters.pacing_rate_per_min, 90, 1e-12);
    ck_assert_int_eq(give("pacing off", 10), ERROR_OK);
    ck_assert_double_eq_tol(parameters.rhythm_kind, RHYTHM_SINUS, 1e-12);
}
END_TEST

START_TEST(orders_pacing_does_not_capture_fibrillation) {
    setup();
    ck_assert_int_eq(give("pacing atrial 90", 0), ERROR_OK);
    /* the script brings fibrillation: it wins; after it pacing holds again */
    ck_assert_double_eq_tol(sim_orders_rhythm(&state, RHYTHM_VENTRICULAR_FIBRILLATION),
                            RHYTHM_VENTRICULAR_FIBRILLATION, 1e-12);
    ck_assert_int_eq(give("pacing both 90", 5), ERROR_NOT_ALLOWED);
    ck_assert_double_eq_tol(sim_orders_rhythm(&state, RHYTHM_SINUS), RHYTHM_PACED_ATRIAL, 1e-12);
    ck_assert_double_eq_tol(sim_orders_rhythm(&state, RHYTHM_ATRIAL_FIBRILLATION), RHYTHM_ATRIAL_FIBRILLATION,
                            1e-12);
    ck_assert_int_eq(give("pacing VVI 90", 5), ERROR_OK);
    ck_assert_double_eq_tol(parameters.underlying_rhythm_kind, RHYTHM_ATRIAL_FIBRILLATION, 1e-12);
    ck_assert_double_eq_tol(parameters.ventricular_sensing, 1, 1e-12);
}
END_TEST

START_TEST(orders_rates_reach_the_patient_in_the_parameters_unit) {
    setup();
    parameters.weight_kg = 80;
    /* by hand: 12 mg/h is 12/60/80 = 0.0025 mg/kg/min; 1 mg/min is 0.0125 mg/kg/min; 1 mg/kg/h is 1/60 a
     * minute */
    ck_assert_int_eq(give("furosemide 12mg/h", 0), ERROR_OK);
    ck_assert_double_eq_tol(parameters.furosemide_mg_kg_min, 0.0025, 1e-12);
    ck_assert_int_eq(give("amiodarone 1mg/min", 0), ERROR_OK);
    ck_assert_double_eq_tol(parameters.amiodarone_mg_kg_min, 0.0125, 1e-12);
    ck_assert_int_eq(give("methylene_blue 1mg/kg/h", 0), ERROR_OK);
    ck_assert_double_eq_tol(parameters.methylene_blue_mg_kg_min, 1.0 / 60, 1e-12);
    ck_assert_int_eq(give("nicardipine 5mg/h", 0), ERROR_OK);
    ck_assert_double_eq_tol(parameters.nicardipine_mg_h, 5, 1e-12);
    OrdersState again;
    sim_orders_start(&again, &parameters); /* and back */
    ck_assert_double_eq_tol(again.value[ORDER_furosemide], 12, 1e-9);
    ck_assert_double_eq_tol(again.value[ORDER_methylene_blue], 1, 1e-9);
}
END_TEST

START_TEST(orders_rates_can_be_given_in_other_units) {
    setup();
    parameters.weight_kg = 80;
    const struct {
        const char *text;
        OrderId id;
        double value; /* in the row's unit, by hand */
    } cases[] = {
        {"norepinephrine 6mL/h", ORDER_norepinephrine, 0.1},    /* 6 x 80 mcg/mL / 60 / 80 kg */
        {"norepinephrine 8mcg/min", ORDER_norepinephrine, 0.1}, /* / 80 kg */
        {"norepinephrine 0.48mg/h", ORDER_norepinephrine, 0.1}, /* 480/60/80 */
        {"norepinephrine 6 mcg/kg/h", ORDER_norepinephrine, 0.1},
        {"vasopressin 1.8U/h", ORDER_vasopressin, 0.03},
        {"vasopressin 1.8mL/h", ORDER_vasopressin, 0.03},
        {"nitroglycerin 0.5mcg/kg/min", ORDER_nitroglycerin, 40},
        {"furosemide 1mL/h", ORDER_furosemide, 10},
        {"amiodarone 60mg/h", ORDER_amiodarone, 1},
        {"clevidipine 4mL/h", ORDER_clevidipine, 2},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ck_assert_msg(give(cases[i].text, 0) == ERROR_OK, "%s: %s", cases[i].text, error.what);
        ck_assert_msg(fabs(state.value[cases[i].id] - cases[i].value) < 1e-9, "%s gave %g", cases[i].text,
                      state.value[cases[i].id]);
    }
    ck_assert_int_ne(give("norepinephrine 6mg", 0), ERROR_OK);
    ck_assert_int_ne(give("vasopressin 6mcg/min", 0), ERROR_OK);
}
END_TEST

START_TEST(orders_doses_go_in_and_leave_the_drip) {
    int done;
    setup();
    parameters.weight_kg = 80;
    ck_assert_int_eq(give("furosemide 6mg/h", 0), ERROR_OK);
    ck_assert_int_eq(give("bolus furosemide 40mg", 0), ERROR_OK); /* over 2 min: 20 mg/min */
    ck_assert_double_eq_tol(parameters.furosemide_mg_kg_min, (20 + 0.1) / 80, 1e-9);
    double mg_kg = play(400, &parameters.furosemide_mg_kg_min, &done), hours = 0;
    for (int i = 0; i < 400; i++) {
        hours += (0.6 + 0.004 * (i % 57)) / 3600;
    }
    ck_assert_int_eq(done, 1);
    ck_assert_double_eq_tol(mg_kg * 80 - 6 * hours, 40, 0.02);
    ck_assert_double_eq_tol(parameters.furosemide_mg_kg_min, 0.1 / 80, 1e-9);
    ck_assert_int_eq(give("bolus methylene_blue 2mg/kg over 20min", 0), ERROR_OK);
    ck_assert_double_eq_tol(parameters.methylene_blue_mg_kg_min, 0.1, 1e-9);
    ck_assert_int_eq(give("bolus amiodarone 150mg over 10min", 0), ERROR_OK);
    ck_assert_double_eq_tol(parameters.amiodarone_mg_kg_min, 15.0 / 80, 1e-9);
    ck_assert_int_eq(give("bolus inhaled_milrinone 5mg over 10min", 0), ERROR_OK);
    ck_assert_double_eq_tol(parameters.inhaled_milrinone_mcg_kg_min, 500.0 / 80, 1e-9);
    ck_assert_int_eq(give("bolus nicardipine 2mg over 2min", 0), ERROR_OK);
    ck_assert_double_eq_tol(parameters.nicardipine_mg_h, 60, 1e-9);
    /* a new rate leaves single doses running, a stop does not */
    ck_assert_int_eq(give("amiodarone 1mg/min", 0), ERROR_OK);
    ck_assert_double_eq_tol(parameters.amiodarone_mg_kg_min, 16.0 / 80, 1e-9);
    ck_assert_int_eq(give("amiodarone off", 0), ERROR_OK);
    ck_assert_double_eq_tol(parameters.amiodarone_mg_kg_min, 0, 1e-12);
    ck_assert_int_eq(give("bolus furosemide 900mg", 0), ERROR_RANGE);
    ck_assert_int_eq(give("bolus norepinephrine 100mcg", 0), ERROR_NOT_ALLOWED);
}
END_TEST

START_TEST(orders_every_drug_of_the_model_can_be_ordered) {
    /* a parameter that is a drug's rate and that no order sets would be missed here; calcineurin inhibitors
       are part of a patient, not of a night */
    for (int p = 0; p < PARAMETER_COUNT; p++) {
        const ParameterRow *row = model_parameters_row((ParameterId)p);
        const char *drip[] = {"_mcg_kg_min", "_ng_kg_min", "_mg_kg_min", "_mcg_min",
                              "_u_min",      "_mg_h",      "_ppm"};
        bool drug = false, ordered = false;
        for (size_t i = 0; i < sizeof drip / sizeof drip[0]; i++) {
            size_t length = strlen(row->key), end = strlen(drip[i]);
            drug = drug || (length > end && strcmp(row->key + length - end, drip[i]) == 0);
        }
        for (int id = 0; id < ORDER_COUNT; id++) {
            ordered = ordered || sim_orders_row((OrderId)id)->parameter == (ParameterId)p;
        }
        ck_assert_msg(!drug || ordered, "%s cannot be ordered", row->key);
    }
}
END_TEST

START_TEST(orders_drip_in_ml_h_follows_the_concentration) {
    /* by hand: 0.25 mcg/kg/min x 80 kg x 60 min / 200 mcg/mL = 6 mL/h; 0.03 U/min x 60 / 1 U/mL = 1.8 mL/h */
    ck_assert_double_eq_tol(sim_orders_ml_h(ORDER_milrinone, 0.25, 80), 6, 1e-9);
    ck_assert_double_eq_tol(sim_orders_ml_h(ORDER_vasopressin, 0.03, 80), 1.8, 1e-9);
    ck_assert_double_eq_tol(sim_orders_ml_h(ORDER_norepinephrine, 0.1, 80), 6, 1e-9);
    ck_assert_double_eq_tol(sim_orders_ml_h(ORDER_nicardipine, 5, 80), 10, 1e-9); /* 5 mg/h of 0.5 mg/mL */
    ck_assert_double_eq_tol(sim_orders_ml_h(ORDER_furosemide, 10, 80), 1, 1e-9);  /* 10 mg/h of 10 mg/mL */
    ck_assert_double_eq_tol(sim_orders_ml_h(ORDER_methylene_blue, 0.5, 80), 8, 1e-9); /* 40 mg/h of 5 mg/mL */
    ck_assert_double_eq_tol(sim_orders_ml_h(ORDER_amiodarone, 0.9, 80), 30, 1e-9); /* 54 mg/h of 1.8 mg/mL */
    ck_assert_double_eq_tol(sim_orders_ml_h(ORDER_speed, 9000, 80), 0, 1e-12);
}
END_TEST

START_TEST(orders_table_is_sound) {
    setup();
    for (int id = 0; id < ORDER_COUNT; id++) {
        const OrderRow *row = sim_orders_row((OrderId)id);
        ck_assert_int_eq(sim_orders_find(row->key), id);
        ck_assert_double_le(row->low, row->high);
        ck_assert_str_ne(row->text, "");
        ck_assert_str_ne(row->source, "");
        if (row->parameter == PARAMETER_COUNT) continue;
        const ParameterRow *parameter = model_parameters_row(row->parameter);
        if (row->kind == ORDER_KIND_ACTION || row->kind == ORDER_KIND_FLUID) continue;
        OrdersState at;
        Parameters set = model_parameters_standard();
        OrderEffects now = {0};
        Order most = {
            .id = (OrderId)id, .act = ORDER_ACT_SET, .value = row->high, .pacing = ORDER_PACING_BOTH};
        set.left_pump_present = set.right_pump_present = set.ventilated = 1;
        sim_orders_start(&at, &set);
        ck_assert_int_eq(sim_orders_give(&at, &most, &limits, &set, 0, &now, &error), ERROR_OK);
        for (int k = 0; k < now.change_count; k++) { /* the highest fits the patient's range */
            if (now.changes[k].id == row->parameter)
                ck_assert_msg(now.changes[k].value <= parameter->high * (1 + 1e-9), "%s", row->key);
        }
        ck_assert_double_ge(row->low, 0);
        ck_assert(row->standard >= row->low && row->standard <= row->high);
        ck_assert_double_gt(row->step, 0);
        ck_assert_double_ge(row->coarse, row->step);
    }
    ck_assert_int_eq(sim_orders_find("aspirin"), ORDER_COUNT);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("orders");
    TCase *c = tcase_create("orders");
    tcase_add_test(c, orders_bolus_gives_its_volume_and_ends);
    tcase_add_test(c, orders_bolus_on_infusion_adds_up_and_leaves_infusion);
    tcase_add_test(c, orders_stop_ends_all_of_one_fluid_only);
    tcase_add_test(c, orders_load_runs_on_top_and_ends);
    tcase_add_test(c, orders_stopping_a_load_leaves_the_drip);
    tcase_add_test(c, orders_too_fast_is_refused_and_changes_nothing);
    tcase_add_test(c, orders_too_many_things_at_once_are_refused);
    tcase_add_test(c, orders_without_the_device_are_refused);
    tcase_add_test(c, orders_reopening_takes_its_time_then_relieves);
    tcase_add_test(c, orders_action_can_be_called_off);
    tcase_add_test(c, orders_pacing_sets_rhythm_and_comes_off);
    tcase_add_test(c, orders_pacing_does_not_capture_fibrillation);
    tcase_add_test(c, orders_rates_reach_the_patient_in_the_parameters_unit);
    tcase_add_test(c, orders_rates_can_be_given_in_other_units);
    tcase_add_test(c, orders_doses_go_in_and_leave_the_drip);
    tcase_add_test(c, orders_every_drug_of_the_model_can_be_ordered);
    tcase_add_test(c, orders_drip_in_ml_h_follows_the_concentration);
    tcase_add_test(c, orders_table_is_sound);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
