/* The command line from outside: help, tables, and one line with place and remedy for everything mistyped. */
#include "model/observables.h"
#include "tests/support/check_main.h"
#include "tests/support/command.h"

START_TEST(cli_help_and_version_end_well) {
    run("--help");
    ck_assert_int_eq(program.status, 0);
    const char *const commands[] = {"run CASE",  "ramp CASE",      "inspect CASE",   "list TABLE",
                                    "[CASE]",    "replay SESSION", "resume SESSION", "bench",
                                    "education", "Exit status"};
    for (size_t i = 0; i < sizeof commands / sizeof commands[0]; i++)
        ck_assert_msg(strstr(program.out, commands[i]) != NULL, "help lacks '%s'", commands[i]);
    ck_assert_str_eq(program.err, "");
    run("--version");
    ck_assert_int_eq(program.status, 0);
    ck_assert_ptr_nonnull(strstr(program.out, "build "));
    const char *const asked[] = {"run --help", "run -h", "help run"};
    for (size_t i = 0; i < sizeof asked / sizeof asked[0]; i++) {
        run(asked[i]);
        ck_assert_int_eq(program.status, 0);
        ck_assert_msg(strstr(program.out, "--until DUR") != NULL, "'%s' said: %.900s", asked[i], program.out);
    }
}
END_TEST

START_TEST(cli_wrong_use_ends_with_2) {
    expect_refused("rnu scenarios/speed-titration.yaml", 2, "rnu", "run");
    expect_refused("run scenarios/speed-titration.yaml --untill 2h", 2, "--untill", "--until");
    expect_refused("run scenarios/speed-titration.yaml --csv", 2, "--csv", "FILE");
    expect_refused("run scenarios/speed-titration.yaml --display --display", 2, "--display", "once");
    expect_refused("run", 2, "run", "CASE");
    expect_refused("-x", 2, "-x: unknown", "--help");
    expect_refused("run speed-titration --set weight_kg=70 --set weight_kg=80", 2, "weight_kg", "once");
    expect_refused("run a.yaml b.yaml", 2, "b.yaml", "at most 1");
    expect_refused("ramp scenarios/speed-titration.yaml --to 9000 --step 400", 2, "--from", "--help");
    expect_refused("list ordrs", 2, "ordrs", "orders");
    expect_refused("run scenarios/speed-titration.yaml --set rv_ees_mmhg_ml", 2, "--set", "KEY=VALUE");
}
END_TEST

START_TEST(cli_bad_values_end_with_1) {
    expect_refused("run scenarios/speed-titration.yaml --until 2", 1, "--until", "20min");
    expect_refused("run scenarios/speed-titration.yaml --until 2000h", 1, "--until", "168h");
    expect_refused("run scenarios/speed-titration.yaml --seed 1.5", 1, "--seed", "whole number");
    expect_refused("run scenarios/speed-titration.yaml --set rv_es_mmhg_ml=0.3", 1, "rv_es_mmhg_ml",
                   "rv_ees_mmhg_ml");
    expect_refused("run scenarios/speed-titration.yaml --set rv_ees_mmhg_ml=1e9", 1, "rv_ees_mmhg_ml",
                   " to ");
    expect_refused("run scenarios/speed-titration.yaml --set rv_ees_mmhg_ml=nan", 1, "rv_ees_mmhg_ml",
                   " to ");
    expect_refused("run scenarios/speed-titration.yaml --order '20min sped 9400'", 1, "--order", "speed");
    expect_refused("run scenarios/speed-titration.yaml --order '20min speed 94000'", 1, "--order", "rpm");
    expect_refused("run scenarios/speed-titration.yaml --order '20 speed 9400'", 1, "--order", "20min");
    expect_refused("run speed-titration --order '1min speed 9000' --order '9min speed 94000'", 1,
                   "--order '9min speed 94000'", "rpm");
    expect_refused("run speed-titration --order '1min reopen_chest'", 1, "reopen_chest",
                   "speed, crystalloid");
    expect_refused("run scenarios/speed-titration.yaml --order 20min", 1, "--order", "TIME ORDER");
    expect_refused("ramp scenarios/speed-titration.yaml --from 9000 --to 99000 --step 400", 1, "--to",
                   "14000");
    expect_refused("ramp scenarios/speed-titration.yaml --from 0 --to 14000 --step 1", 1, "--step", "200");
    expect_refused("ramp scenarios/speed-titration.yaml --from 9000 --to 16000 --step 500", 1, "--to",
                   "14000");
    expect_refused("run scenarios/speed-titration.yaml --set art_mean_mmhg=70", 1, "art_mean_mmhg", "cause");
    expect_refused("run scenarios/speed-titration.yaml --seed 99999999999999999999", 1, "--seed",
                   "9007199254740991");
}
END_TEST

START_TEST(cli_orders_file_says_line_and_column) {
    write_file("orders.txt", "# a plan\n\n10min speed 9000\n12min milrinone 0.25  # comment\n");
    run("run scenarios/speed-titration.yaml --until 1s --orders $F/orders.txt");
    ck_assert_int_eq(program.status, 0);
    write_file("orders.txt", "# a plan\n\n10min sped 9000\n");
    expect_refused("run scenarios/speed-titration.yaml --orders $F/orders.txt", 1, "orders.txt:3:7", "speed");
    write_file("orders.txt", "10 min speed 9000\n");
    expect_refused("run scenarios/speed-titration.yaml --orders $F/orders.txt", 1, "orders.txt:1:1", "20min");
    expect_refused("run scenarios/speed-titration.yaml --orders $F/none.txt", 1, "none.txt", "");
    expect_refused("run scenarios/speed-titration.yaml --orders $F", 1, folder, "");
}
END_TEST

START_TEST(cli_missing_and_broken_cases_end_with_1) {
    expect_refused("run speed-titratoin", 1, "speed-titratoin", "speed-titration");
    expect_refused("run $F/none.yaml", 1, "none.yaml", "case");
    expect_refused("run $F", 1, folder, "");
    expect_refused("replay $F/none.night", 1, "none.night", "run --save");
    expect_refused("resume scenarios/speed-titration.yaml", 1, "speed-titration.yaml", "run --save");
    write_file("empty.yaml", "");
    expect_refused("run $F/empty.yaml", 1, "empty.yaml", "");
    write_file("broken.yaml", "evenkeel_case: 1\n  id: [unclosed\n");
    expect_refused("run $F/broken.yaml", 1, "broken.yaml:", "");
    write_file("bytes.yaml", "evenkeel_case: 1\n\xff\xfe\x01\n");
    expect_refused("run $F/bytes.yaml", 1, "bytes.yaml", "");
    write_file("key.yaml", "evenkeel_case: 1\nidd: x\n");
    run("run $F/key.yaml");
    ck_assert_int_eq(program.status, 1);
    ck_assert_int_eq(program_lines(program.err), 1);
}
END_TEST

START_TEST(cli_inspect_says_every_error_with_its_place) {
    write_file("many.yaml", "evenkeel_case: 1\nidd: x\ntitle: t\nlevell: 2\n");
    run("inspect $F/many.yaml");
    ck_assert_int_eq(program.status, 1);
    ck_assert_int_ge(program_lines(program.err), 3);
    ck_assert_ptr_nonnull(strstr(program.err, "many.yaml:2:1"));
    ck_assert_ptr_nonnull(strstr(program.err, "many.yaml:4:1"));
    run("inspect scenarios/speed-titration.yaml");
    ck_assert_int_eq(program.status, 0);
    ck_assert_str_eq(program.err, "");
    run("inspect $F/many.yaml scenarios/speed-titration.yaml $F/none.yaml");
    ck_assert_int_eq(program.status, 1);
    ck_assert_ptr_nonnull(strstr(program.out, "right"));
    ck_assert_ptr_nonnull(strstr(program.err, "none.yaml"));
}
END_TEST

START_TEST(cli_unwritable_folder_ends_with_1) {
    write_file("plain", "");
    expect_refused("run scenarios/speed-titration.yaml --until 1s --csv $F/none/a.csv", 1, "none/a.csv",
                   "folder");
    expect_refused("run scenarios/speed-titration.yaml --until 1s --csv $F/plain/a.csv", 1, "plain/a.csv",
                   "folder");
    expect_refused("run scenarios/speed-titration.yaml --until 1s --csv $F", 1, folder, "file name");
    expect_refused("run scenarios/speed-titration.yaml --until 1s --waves $F/none/a.csv", 1, "none/a.csv",
                   "folder");
    expect_refused("run scenarios/speed-titration.yaml --until 1s --save $F/none/a.night", 1, "none/a.night",
                   "folder");
    expect_refused("run scenarios/speed-titration.yaml --until 1s --save $F/plain", 1, "plain", "new file");
    run("ramp scenarios/speed-titration.yaml --from 9000 --to 9000 --step 400 --dwell 10s --svg "
        "$F/none/a.svg");
    ck_assert_int_eq(program.status, 1);
    ck_assert_int_eq(program_lines(program.err), 1);
}
END_TEST

START_TEST(cli_no_display_ends_with_1) {
    char command[512];
    snprintf(command, sizeof command,
             "cd '%s' && env -u DISPLAY -u WAYLAND_DISPLAY SDL_VIDEODRIVER=x11 timeout 20 '%s' "
             "scenarios/speed-titration.yaml 2>'%s/err' >/dev/null </dev/null",
             EVENKEEL_SOURCE_DIR, EVENKEEL_PROGRAM, folder);
    int status = system(command);
    ck_assert(WIFEXITED(status));
    char path[128];
    snprintf(path, sizeof path, "%s/err", folder);
    program_read(path, program.err);
    ck_assert_msg(WEXITSTATUS(status) == 1, "ended with %d: %.900s", WEXITSTATUS(status), program.err);
    ck_assert_msg(program_lines(program.err) == 1, "said: %.900s", program.err);
}
END_TEST

START_TEST(cli_run_table_has_the_agreed_columns) {
    /* the columns people's scripts rely on, in their order */
    static const char COLUMNS[] =
        "time_s,hr_per_min,art_sys_mmhg,art_dia_mmhg,art_mean_mmhg,cvp_mmhg,pa_sys_mmhg,pa_dia_mmhg,pa_mean_"
        "mmhg,"
        "wedge_mmhg,la_mean_mmhg,ra_mean_mmhg,lv_edv_ml,lv_esv_ml,rv_edv_ml,rv_esv_ml,lv_edd_mm,rv_edd_mm,"
        "septum_mm,"
        "aortic_valve_open_frac,mr_frac,tr_frac,ar_l_min,systemic_flow_l_min,native_flow_l_min,pump_flow_l_"
        "min,"
        "pump_flow_shown_l_min,pump_rpm,pump_power_w,pump_pulsatility,right_pump_flow_l_min,right_pump_rpm,"
        "svr_wu,pvr_wu,papi,pericardial_ml,pericardial_mmhg,blood_volume_ml,hct_frac,sao2_frac,svo2_frac,"
        "lactate_mmol_l,urine_ml_h,drain_ml_h,suction_frac,lv_ees_mmhg_ml,rv_ees_mmhg_ml,";
    run("run scenarios/speed-titration.yaml --until 61s --csv -");
    ck_assert_int_eq(program.status, 0);
    ck_assert_msg(strncmp(program.out, COLUMNS, strlen(COLUMNS)) == 0, "the columns differ: %.900s",
                  program.out);
    ck_assert_int_eq(program_lines(program.out), 1 + 6 + 1); /* a row per 10 s, and one for the rest */
    ck_assert_ptr_null(strstr(program.out, "nan"));
    ck_assert_ptr_null(strstr(program.out, "shown_art_mean"));
    run("run scenarios/speed-titration.yaml --until 31s --every 10s --display --csv -");
    ck_assert_ptr_nonnull(strstr(program.out, ",shown_art_mean_mmhg"));
    run("run scenarios/speed-titration.yaml --until 10s --waves -");
    ck_assert_int_eq(program.status, 0);
    ck_assert_int_ge(program_lines(program.out), 2400); /* 250 a second */
}
END_TEST

START_TEST(cli_same_seed_same_table_other_locale_too) {
    static Program first;
    run("run scenarios/speed-titration.yaml --until 2min --seed 5 --csv -");
    first = program;
    run("run scenarios/speed-titration.yaml --until 2min --seed 5 --csv -");
    ck_assert_msg(strcmp(first.out, program.out) == 0, "the same night gives another table");
    setenv("LC_ALL", "de_DE.UTF-8", 1);
    run("run scenarios/speed-titration.yaml --until 2min --seed 5 --csv -");
    unsetenv("LC_ALL");
    ck_assert_msg(strcmp(first.out, program.out) == 0, "the same night gives another table");
}
END_TEST

START_TEST(cli_orders_act_at_their_time) {
    run("run scenarios/speed-titration.yaml --until 3min --every 20s --set left_pump_speed_rpm=7600 --order "
        "'1min speed 9000' --csv "
        "$F/a.csv");
    ck_assert_int_eq(program.status, 0);
    ck_assert_ptr_nonnull(strstr(program.out, "00:01:00"));
    ck_assert_ptr_nonnull(strstr(program.out, "speed 9000"));
    ck_assert_ptr_nonnull(strstr(program.out, "fingerprint"));
    char path[128];
    snprintf(path, sizeof path, "%s/a.csv", folder);
    FILE *file = fopen(path, "r");
    ck_assert_ptr_nonnull(file);
    char line[8192];
    ck_assert_ptr_nonnull(fgets(line, sizeof line, file));
    double last_rpm = 0.0;
    while (fgets(line, sizeof line, file) != NULL) {
        double value = 0.0, time_s = strtod(line, NULL);
        char *at = line;
        for (int column = 0; column <= OBSERVABLE_pump_rpm; column++) {
            value = strtod(at, &at);
            at = strchr(at, ',') + 1;
        }
        if (time_s < 59.0) ck_assert_double_eq_tol(value, 7600.0, 1.0);
        last_rpm = value;
    }
    fclose(file);
    ck_assert_double_eq_tol(last_rpm, 9000.0, 1.0);
}
END_TEST

static size_t widest_line(const char *text) {
    size_t widest = 0;
    while (*text != '\0') {
        size_t length = strcspn(text, "\n");
        if (length > widest) widest = length;
        text += length + (text[length] == '\n');
    }
    return widest;
}

START_TEST(cli_lists_walk_the_tables) {
    const char *const tables[] = {"parameters", "observables", "display", "orders",
                                  "keys",       "patients",    "cases"};
    const char *const something[] = {"rv_ees_mmhg_ml", "septum_mm",       "shown_cvp_mmhg", "milrinone",
                                     "patient.base",   "supported_axial", "speed-titration"};
    for (size_t i = 0; i < sizeof tables / sizeof tables[0]; i++) {
        char arguments[64];
        snprintf(arguments, sizeof arguments, "list %s --csv", tables[i]);
        run(arguments);
        ck_assert_msg(program.status == 0, "list %s: %.900s", tables[i], program.err);
        ck_assert_msg(strstr(program.out, something[i]) != NULL, "list %s lacks %s", tables[i], something[i]);
        snprintf(arguments, sizeof arguments, "list %s", tables[i]);
        run(arguments);
        ck_assert_msg(strstr(program.out, something[i]) != NULL, "list %s lacks %s", tables[i], something[i]);
        ck_assert_msg(widest_line(program.out) <= 100, "list %s is %zu wide", tables[i],
                      widest_line(program.out));
    }
    run("list observables --csv");
    ck_assert_int_eq(program_lines(program.out), OBSERVABLE_COUNT + 1);
    write_file("broken.yaml", "x\n");
    setenv("EVENKEEL_SCENARIOS", folder, 1);
    run("list cases");
    unsetenv("EVENKEEL_SCENARIOS");
    ck_assert_int_eq(program.status, 1);
    ck_assert_int_eq(program_lines(program.err), 1);
}
END_TEST

/* Column `column` (from 0, blanks between) of the row that begins with `speed`. */
static double ramp_value(const char *speed, int column) {
    const char *row = strstr(program.out, speed);
    ck_assert_msg(row != NULL, "no row %s in\n%.900s", speed, program.out);
    char *at = (char *)row;
    double value = 0.0;
    for (int i = 0; i <= column; i++)
        value = strtod(at, &at);
    return value;
}

START_TEST(cli_ramp_unloads_the_left_ventricle_until_suction) {
    enum { FLOW = 1, WEDGE = 5, LV_EDD = 7, SUCTION = 13 };
    run("ramp scenarios/speed-titration.yaml --from 8000 --to 14000 --step 1000 --dwell 60s --svg $F/a.svg "
        "--csv "
        "$F/a.csv");
    ck_assert_int_eq(program.status, 0);
    ck_assert(ramp_value("\n    9000", FLOW) > ramp_value("\n    8000", FLOW));
    ck_assert(ramp_value("\n    9000", WEDGE) < ramp_value("\n    8000", WEDGE));
    ck_assert(ramp_value("\n   10000", LV_EDD) < ramp_value("\n    9000", LV_EDD));
    ck_assert(ramp_value("\n    8000", SUCTION) < 1.0);
    ck_assert_ptr_nonnull(strstr(program.out, "The ramp ended: suction"));
    ck_assert_ptr_nonnull(strstr(program.out, "fit, per 400 rpm"));
    char path[128];
    snprintf(path, sizeof path, "%s/a.svg", folder);
    ck_assert_int_eq(access(path, R_OK), 0);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("golden/cli");
    TCase *c = tcase_create("cli");
    tcase_set_timeout(c, 300);
    tcase_add_checked_fixture(c, make_folder, remove_folder);
    tcase_add_test(c, cli_help_and_version_end_well);
    tcase_add_test(c, cli_wrong_use_ends_with_2);
    tcase_add_test(c, cli_bad_values_end_with_1);
    tcase_add_test(c, cli_orders_file_says_line_and_column);
    tcase_add_test(c, cli_missing_and_broken_cases_end_with_1);
    tcase_add_test(c, cli_inspect_says_every_error_with_its_place);
    tcase_add_test(c, cli_unwritable_folder_ends_with_1);
    tcase_add_test(c, cli_no_display_ends_with_1);
    tcase_add_test(c, cli_run_table_has_the_agreed_columns);
    tcase_add_test(c, cli_same_seed_same_table_other_locale_too);
    tcase_add_test(c, cli_orders_act_at_their_time);
    tcase_add_test(c, cli_lists_walk_the_tables);
    tcase_add_test(c, cli_ramp_unloads_the_left_ventricle_until_suction);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
