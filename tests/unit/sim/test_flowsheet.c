/* The flow sheet of a night with known orders: the volumes in it are the volumes given, its sums add up, its
   readings are those of the records, and going back in time gives the earlier sheet again. */
#include "sim/flowsheet.h"
#include "sim/journal.h"
#include "sim/session.h"
#include "tests/support/check_main.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static const char CASE_TEXT[] = "evenkeel_case: 1\n"
                                "id: flowsheet-test\n"
                                "title: A night for the flow sheet\n"
                                "level: 1\n"
                                "theme: tests\n"
                                "length: 3h\n"
                                "seed: 5\n"
                                "summary: Used by tests of the flow sheet.\n"
                                "handover:\n"
                                "  who: Nobody.\n"
                                "  done: Nothing.\n"
                                "  attached: Lines and drips.\n"
                                "  objectives:\n"
                                "    - MAP 65-85\n"
                                "patient:\n"
                                "  base: supported_axial\n"
                                "  set:\n"
                                "    weight_kg: 80\n"
                                "    bleed_drain_ml_h: 100\n"
                                "    drain_patency_frac: 1\n"
                                "    ventilated: 1\n"
                                "    peep_cmh2o: 5\n"
                                "    driving_cmh2o: 11\n"
                                "running:\n"
                                "  - norepinephrine 0.05mcg/kg/min\n"
                                "  - infusion crystalloid 60mL/h\n"
                                "targets:\n"
                                "  art_mean_mmhg: [150, 160]\n"
                                "endings:\n"
                                "  - id: morning\n"
                                "    at_length: yes\n"
                                "    outcome: mixed\n"
                                "    text: The night is over.\n";

#define MINUTE_S            60.0
#define VOLUME_TOLERANCE_ML 0.1 /* a beat of the fastest volume given here */

static Session *session;
static Course course;
static FlowSheet sheet;

static void open_night(void) {
    ErrorList *errors = calloc(1, sizeof *errors);
    Error error;
    ck_assert_ptr_nonnull(errors);
    Case *file = sim_case_parse(CASE_TEXT, strlen(CASE_TEXT), "flowsheet-test.yaml", errors);
    ck_assert_msg(file != NULL, "%s line %d", errors->items[0].what, errors->items[0].line);
    session = sim_session_open(file, NULL, &error);
    ck_assert_msg(session != NULL, "%s", error.what);
    sim_case_free(file);
    free(errors);
}

static void close_night(void) {
    sim_session_close(session);
    session = NULL;
}

static void play(double minutes) {
    Error error;
    ck_assert_msg(sim_session_advance_to(session, minutes * MINUTE_S, &error) == ERROR_OK, "%s", error.what);
}

static void order(double minutes, const char *words) {
    Error error;
    play(minutes);
    ck_assert_msg(sim_session_order(session, words, &error) == ERROR_OK, "%s: %s", words, error.what);
}

static void fill(double step_s) {
    sim_course_read(&course, session);
    sim_flowsheet_fill(&sheet, session, &course, step_s);
}

static int row_of(FlowKind kind, FlowVolume volume, OrderId id) {
    for (int r = 0; r < sheet.rows; r++) {
        const FlowRow *row = &sheet.row[r];
        if (row->kind == kind && (id == ORDER_COUNT ? row->volume == volume : row->order == id)) return r;
    }
    ck_abort_msg("no such row");
    return -1;
}

static int row_shown(DisplayId id) {
    for (int r = 0; r < sheet.rows; r++) {
        if (sheet.row[r].shown == id && sheet.row[r].kind != FLOW_TAKEN) return r;
    }
    ck_abort_msg("no row of this number");
    return -1;
}

static double sum_of(int r) {
    double sum = 0.0;
    for (int k = 0; k < sheet.columns; k++)
        sum += isfinite(sheet.cell[r][k].value) ? sheet.cell[r][k].value : 0.0;
    return sum;
}

static double given_ml(OrderId id) {
    return sim_session_orders(session)->given_ml[id];
}

START_TEST(volumes_in_the_sheet_are_the_volumes_given) {
    order(3, "bolus crystalloid 250mL over 15min");
    order(8, "bolus red_cells 1unit over 20min");
    order(20, "infusion crystalloid 120mL/h");
    order(24, "bolus colloid 100mL over 20min");
    order(29, "stop colloid");
    order(31, "bolus plasma 270mL over 30min"); /* still running at the end */
    play(37);
    const double steps_s[] = {300.0, 900.0, 3600.0};
    for (int i = 0; i < 3; i++) {
        fill(steps_s[i]);
        const OrderId ids[] = {ORDER_crystalloid, ORDER_red_cells, ORDER_colloid, ORDER_plasma};
        for (int k = 0; k < 4; k++) {
            int r = row_of(FLOW_VOLUME, FLOW_VOLUME_ORDER, ids[k]);
            ck_assert_double_eq_tol(sum_of(r), given_ml(ids[k]), VOLUME_TOLERANCE_ML);
            ck_assert_double_eq_tol(sheet.row[r].total, given_ml(ids[k]), VOLUME_TOLERANCE_ML);
        }
    }
    /* by hand: 60 mL/h for 20 min and 120 mL/h for 17 min, the bolus, the unit, a quarter of 100 mL */
    ck_assert_double_eq_tol(given_ml(ORDER_crystalloid), 250.0 + 20.0 + 34.0, 0.2);
    ck_assert_double_eq_tol(given_ml(ORDER_red_cells), 287.0, 0.2);
    ck_assert_double_eq_tol(given_ml(ORDER_colloid), 25.0, 0.2);
}
END_TEST

START_TEST(quarter_hours_hold_what_ran_in_them) {
    order(10, "bolus colloid 200mL over 10min");
    play(31);
    fill(900.0);
    int r = row_of(FLOW_VOLUME, FLOW_VOLUME_ORDER, ORDER_colloid);
    ck_assert_int_eq(sheet.columns, 4); /* 0, 15, 30 min and the present */
    ck_assert(sheet.present_column);
    ck_assert_double_eq_tol(sheet.cell[r][1].value, 100.0, 0.5);
    ck_assert_double_eq_tol(sheet.cell[r][2].value, 100.0, 0.5);
    ck_assert_double_eq_tol(sheet.cell[r][3].value, 0.0, 1e-9);
}
END_TEST

START_TEST(sums_and_balance_add_up) {
    order(2, "bolus crystalloid 250mL over 20min");
    order(5, "norepinephrine 0.1");
    order(6, "milrinone 0.25 load 50mcg/kg over 10min");
    play(62);
    fill(900.0);
    int in = row_of(FLOW_VOLUME, FLOW_VOLUME_IN, ORDER_COUNT);
    int drips = row_of(FLOW_VOLUME, FLOW_VOLUME_DRIPS, ORDER_COUNT);
    int out = row_of(FLOW_VOLUME, FLOW_VOLUME_OUT, ORDER_COUNT);
    int urine = row_of(FLOW_VOLUME, FLOW_VOLUME_URINE, ORDER_COUNT);
    int drain = row_of(FLOW_VOLUME, FLOW_VOLUME_DRAIN, ORDER_COUNT);
    int night = row_of(FLOW_RUNNING, FLOW_VOLUME_BALANCE, ORDER_COUNT);
    int hour = row_of(FLOW_LAST_H, FLOW_VOLUME_BALANCE, ORDER_COUNT);
    double fluids = 0.0;
    for (int r = 0; r < sheet.rows; r++)
        fluids += sheet.row[r].volume == FLOW_VOLUME_ORDER ? sheet.row[r].total : 0.0;
    ck_assert_double_eq_tol(sheet.row[in].total, fluids + sheet.row[drips].total, 1e-6);
    ck_assert_double_eq_tol(sheet.row[out].total, sheet.row[urine].total + sheet.row[drain].total, 1e-6);
    double balance = 0.0;
    for (int k = 0; k < sheet.columns; k++) {
        double a = sheet.cell[in][k].value, b = sheet.cell[out][k].value;
        balance += (isfinite(a) ? a : 0.0) - (isfinite(b) ? b : 0.0);
        if (k > 0) ck_assert_double_eq_tol(sheet.cell[night][k].value, balance, 1e-6);
    }
    ck_assert_double_eq_tol(sheet.cell[hour][4].value, sheet.cell[night][4].value, 1e-6);
    /* by hand, 80 kg: norepinephrine 80 mcg/mL at 0.05 for 5 and 0.1 for 57 min; milrinone 200 mcg/mL at 0.25
       for 56 min and 50 mcg/kg */
    double ml = (0.05 * 5 + 0.1 * 57) * 80 / 80 + (0.25 * 56 + 50) * 80 / 200;
    ck_assert_double_eq_tol(sheet.row[drips].total, ml, 0.05);
    /* what was read from bag and bottle */
    const Display *display = sim_session_display(session);
    ck_assert_double_eq_tol(sheet.row[urine].total, display->value[DISPLAY_urine_total_ml], 1e-6);
    ck_assert_double_eq_tol(sheet.row[drain].total, display->value[DISPLAY_drain_total_ml], 1e-6);
    ck_assert_double_gt(sheet.row[drain].total, 40.0);
    ck_assert(isnan(sheet.cell[urine][1].value)); /* the bag is read on the hour */
    ck_assert_double_gt(sheet.cell[urine][4].value, 0.0);
}
END_TEST

START_TEST(rates_are_those_in_force) {
    order(10, "norepinephrine 0.08");
    order(12, "norepinephrine 6mL/h");
    order(16, "norepinephrine off");
    play(20.5);
    fill(300.0);
    int rate = row_of(FLOW_RATE, FLOW_VOLUME_COUNT, ORDER_norepinephrine);
    int ml_h = row_of(FLOW_ML_H, FLOW_VOLUME_COUNT, ORDER_norepinephrine);
    ck_assert_double_eq_tol(sheet.cell[rate][0].value, 0.05, 1e-9);
    ck_assert_double_eq_tol(sheet.cell[rate][1].value, 0.05, 1e-9);
    ck_assert_double_eq_tol(sheet.cell[ml_h][1].value, 0.05 * 80 * 60 / 80, 1e-6);
    ck_assert_double_eq_tol(sheet.cell[rate][3].value, 0.1, 1e-6); /* 6 mL/h of 80 mcg/mL for 80 kg */
    ck_assert_double_eq_tol(sheet.cell[rate][4].value, 0.0, 1e-9);
    char text[FLOWSHEET_CELL_MAX];
    sim_flowsheet_format(&sheet, rate, 4, text, sizeof text);
    ck_assert_str_eq(text, "off");
}
END_TEST

START_TEST(readings_are_those_of_the_records) {
    play(16);
    fill(300.0);
    int map = row_shown(DISPLAY_art_mean_mmhg);
    for (int k = 0; k <= 3; k++) {
        double kept = sim_session_history_value(session, DISPLAY_art_mean_mmhg, k * 30);
        ck_assert_double_eq_tol(sheet.cell[map][k].value, kept, 1e-12);
        ck_assert_int_eq(sheet.cell[map][k].beyond, -1); /* wanted 150 to 160 */
    }
    ck_assert_double_eq_tol(sheet.cell[map][4].value,
                            sim_session_display(session)->value[DISPLAY_art_mean_mmhg], 1e-12);
}
END_TEST

START_TEST(samples_stand_where_they_were_taken) {
    order(14, "lactate"); /* drawn, and back some minutes later */
    play(20);
    fill(300.0);
    int lactate = row_shown(DISPLAY_lactate_mmol_l), found = 0;
    for (int i = 0; i < sheet.samples; i++) {
        const FlowSample *sample = &sheet.sample[i];
        if (sim_flowsheet_sample_row(sample->row)->taken != DISPLAY_lactate_taken_s) continue;
        found++;
        ck_assert_double_ge(sample->taken_s, 14 * MINUTE_S);
        ck_assert_double_ge(sample->known_s + RECORDS_HISTORY_STEP_S, sample->taken_s);
        int column = (int)ceil((sample->taken_s - 2.0) / 300.0);
        ck_assert_double_eq_tol(sheet.cell[lactate][column].value, sample->value[0], 1e-12);
    }
    ck_assert_int_eq(found, 1);
    ck_assert_double_gt(sheet.cell[lactate][0].value, 0.0); /* the sample the night begins with */
}
END_TEST

START_TEST(marks_number_the_orders) {
    order(2, "speed 9000");
    order(3, "bolus colloid 100mL over 5min");
    play(10);
    fill(300.0);
    int orders = 0, done = 0;
    for (int i = 0; i < sheet.marks; i++) {
        const FlowMark *mark = &sheet.mark[i];
        if (mark->kind == FLOW_MARK_ORDER) ck_assert_int_eq(mark->number, ++orders);
        if (mark->kind == FLOW_MARK_DONE) done++;
    }
    ck_assert_int_eq(orders, 2);
    ck_assert_int_eq(done, 1);
    ck_assert_str_eq(sheet.mark[0].what, "Pump speed");
    ck_assert_ptr_nonnull(strstr(sheet.mark[0].detail, "9000 rpm"));
}
END_TEST

START_TEST(going_back_gives_the_earlier_sheet) {
    static FlowSheet before;
    static SessionState state;
    Error error;
    order(4, "bolus crystalloid 250mL over 10min");
    order(6, "norepinephrine 0.08");
    play(10);
    fill(300.0);
    memcpy(&before, &sheet, sizeof before);
    sim_session_save(session, &state);
    order(12, "bolus red_cells 1unit over 5min");
    order(13, "norepinephrine 0.2");
    play(21);
    fill(300.0);
    ck_assert_int_gt(sheet.columns, before.columns);
    ck_assert_int_eq(sim_session_restore(session, &state, &error), ERROR_OK);
    fill(300.0);
    ck_assert_int_eq(sheet.columns, before.columns);
    ck_assert_int_eq(sheet.rows, before.rows);
    ck_assert_int_eq(sheet.marks, before.marks);
    for (int r = 0; r < sheet.rows; r++)
        ck_assert_int_eq(memcmp(sheet.cell[r], before.cell[r], sizeof(FlowCell) * (size_t)sheet.columns), 0);
}
END_TEST

START_TEST(a_resumed_night_has_the_same_sheet) {
    static FlowSheet before;
    char folder[] = "/tmp/evenkeel-sheet-XXXXXX", case_path[128], night_path[128];
    ErrorList *errors = calloc(1, sizeof *errors);
    Error error;
    ck_assert_ptr_nonnull(errors);
    ck_assert_ptr_nonnull(mkdtemp(folder));
    snprintf(case_path, sizeof case_path, "%s/case.yaml", folder);
    snprintf(night_path, sizeof night_path, "%s/one.night", folder);
    FILE *out = fopen(case_path, "w");
    ck_assert_ptr_nonnull(out);
    ck_assert_int_ge(fputs(CASE_TEXT, out), 0);
    ck_assert_int_eq(fclose(out), 0);
    Case *file = sim_case_load(case_path, errors);
    ck_assert_ptr_nonnull(file);
    sim_session_close(session);
    session = sim_session_open(file, NULL, &error);
    sim_case_free(file);
    free(errors);
    ck_assert_ptr_nonnull(session);
    JournalSetup setup = {.maker = "run", .until_s = 3600.0};
    Journal *journal = sim_journal_create(night_path, session, &setup, &error);
    ck_assert_msg(journal != NULL, "%s", error.what);
    const struct {
        double minutes;
        const char *words;
    } orders[] = {{2, "norepinephrine 0.08"}, {3, "lactate"}, {4, "bolus colloid 100mL over 20min"}};
    for (int i = 0; i <= 3; i++) {
        double until_s = i < 3 ? orders[i].minutes * MINUTE_S : 700.0;
        while (sim_session_time_s(session) < until_s) {
            ck_assert_int_eq(sim_session_advance(session, &error), ERROR_OK);
            ck_assert_int_eq(sim_journal_follow(journal, session, &error), ERROR_OK);
        }
        if (i < 3) ck_assert_int_eq(sim_session_order(session, orders[i].words, &error), ERROR_OK);
        ck_assert_int_eq(sim_journal_follow(journal, session, &error), ERROR_OK);
    }
    fill(300.0);
    memcpy(&before, &sheet, sizeof before);
    ck_assert_int_eq(sim_journal_close(journal, session, false, &error), ERROR_OK);
    sim_session_close(session);
    journal = sim_journal_resume(night_path, &session, &error);
    ck_assert_msg(journal != NULL, "%s", error.what);
    fill(300.0);
    ck_assert_int_eq(sheet.columns, before.columns);
    ck_assert_int_eq(sheet.rows, before.rows);
    ck_assert_int_eq(sheet.marks, before.marks);
    ck_assert_int_eq(sheet.samples, before.samples);
    for (int r = 0; r < sheet.rows; r++)
        ck_assert_msg(memcmp(sheet.cell[r], before.cell[r], sizeof(FlowCell) * (size_t)sheet.columns) == 0,
                      "row %s differs after the night was resumed", sheet.row[r].name);
    ck_assert_int_eq(sim_journal_close(journal, session, false, &error), ERROR_OK);
    unlink(night_path);
    unlink(case_path);
    rmdir(folder);
}
END_TEST

START_TEST(a_night_that_has_not_begun_has_one_column) {
    fill(900.0);
    ck_assert_int_eq(sheet.columns, 1);
    ck_assert(!sheet.present_column);
    ck_assert_int_eq(sheet.marks, 0);
    ck_assert_int_eq(sheet.samples, 0);
    char text[FLOWSHEET_CELL_MAX];
    for (int r = 0; r < sheet.rows; r++) {
        sim_flowsheet_format(&sheet, r, 0, text, sizeof text);
        ck_assert_uint_lt(strlen(text), sizeof text);
    }
}
END_TEST

/* Fields of a line of the table; the table has no quoted line ends. */
static int fields(const char *line) {
    int count = 1;
    bool quoted = false;
    for (; *line != '\0'; line++) {
        if (*line == '"') quoted = !quoted;
        if (*line == ',' && !quoted) count++;
    }
    return count;
}

START_TEST(the_table_has_a_field_for_every_column) {
    char path[] = "/tmp/evenkeel-sheet-XXXXXX", line[8192];
    Error error;
    int fd = mkstemp(path), lines = 0, rows = 0;
    ck_assert_int_ge(fd, 0);
    close(fd);
    order(2, "bolus colloid 100mL over 5min");
    play(16);
    fill(300.0);
    ck_assert_int_eq(sim_flowsheet_write(&sheet, path, &error), ERROR_OK);
    FILE *in = fopen(path, "r");
    ck_assert_ptr_nonnull(in);
    for (; fgets(line, sizeof line, in) != NULL; lines++)
        ck_assert_int_eq(fields(line), 4 + sheet.columns);
    fclose(in);
    for (int r = 0; r < sheet.rows; r++)
        rows += sheet.row[r].kind != FLOW_HEAD;
    ck_assert_int_eq(lines, rows + 1);
    ck_assert_int_eq(sim_flowsheet_write_marks(&sheet, path, &error), ERROR_OK);
    ck_assert_int_eq(sim_flowsheet_write(&sheet, "/nowhere/at/all.csv", &error), ERROR_FILE_WRITE);
    unlink(path);
}
END_TEST

START_TEST(a_level_is_written_with_the_decimals_it_needs) {
    char text[FLOWSHEET_CELL_MAX];
    sim_flowsheet_level(ORDER_milrinone, 0.375, text, sizeof text);
    ck_assert_str_eq(text, "0.375");
    sim_flowsheet_level(ORDER_speed, 9000.0, text, sizeof text);
    ck_assert_str_eq(text, "9000");
    sim_flowsheet_level(ORDER_norepinephrine, 0.1, text, sizeof text);
    ck_assert_str_eq(text, "0.10");
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("flowsheet");
    TCase *c = tcase_create("night");
    tcase_set_timeout(c, 300);
    tcase_add_checked_fixture(c, open_night, close_night);
    tcase_add_test(c, volumes_in_the_sheet_are_the_volumes_given);
    tcase_add_test(c, quarter_hours_hold_what_ran_in_them);
    tcase_add_test(c, sums_and_balance_add_up);
    tcase_add_test(c, rates_are_those_in_force);
    tcase_add_test(c, readings_are_those_of_the_records);
    tcase_add_test(c, samples_stand_where_they_were_taken);
    tcase_add_test(c, marks_number_the_orders);
    tcase_add_test(c, going_back_gives_the_earlier_sheet);
    tcase_add_test(c, a_resumed_night_has_the_same_sheet);
    tcase_add_test(c, a_night_that_has_not_begun_has_one_column);
    tcase_add_test(c, the_table_has_a_field_for_every_column);
    tcase_add_test(c, a_level_is_written_with_the_decimals_it_needs);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
