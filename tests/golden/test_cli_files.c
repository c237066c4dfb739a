/* What becomes of the files and streams of a command: nothing is overwritten by mistake, nothing that was
   played is lost when the program is stopped or a stream goes away. */
#include "tests/support/check_main.h"
#include "tests/support/command.h"

/* Runs a shell's `text` with $E as the program, $F as the folder, in the source folder; its exit status. */
static int shell(const char *text) {
    char command[2048];
    snprintf(command, sizeof command, "cd '%s' && E='%s' F='%s' && { %s ; }", EVENKEEL_SOURCE_DIR,
             EVENKEEL_PROGRAM, folder, text);
    int status = system(command);
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

/* Number of lines of a file in the folder; -1 if there is none. */
static int lines_of(const char *name) {
    FILE *file = fopen(path_in_folder(name), "r");
    if (file == NULL) return -1;
    int lines = 0;
    for (int c = fgetc(file); c != EOF; c = fgetc(file))
        lines += c == '\n';
    fclose(file);
    return lines;
}

START_TEST(files_of_one_name_are_refused) {
    expect_refused("run speed-titration --csv - --waves -", 2, "--waves", "another file");
    expect_refused("run speed-titration --csv $F/a --waves $F/a", 2, "--waves", "another file");
    expect_refused("run speed-titration --csv $F/a --save $F/a", 2, "--save", "another file");
    expect_refused("ramp speed-titration --from 8000 --to 8000 --step 1 --csv $F/a --svg $F/a", 2, "--svg",
                   "another file");
    ck_assert_int_eq(shell("cp scenarios/speed-titration.yaml $F/mine.yaml"), 0);
    expect_refused("run $F/mine.yaml --until 1s --csv $F/mine.yaml", 2, "--csv", "the case");
    ck_assert_int_eq(shell("cmp -s scenarios/speed-titration.yaml $F/mine.yaml"), 0);
}
END_TEST

START_TEST(files_stopped_night_is_kept_and_goes_on) {
    /* asked to stop once the table has begun: it can hold no whole day by then */
    ck_assert_int_eq(shell("$E run speed-titration --until 2h --every 1s --save $F/a.night --csv $F/a.csv "
                           "--waves $F/a.waves >$F/out 2>$F/err & p=$!; "
                           "until grep -q arrival $F/out; do sleep 0.02; done; kill -TERM $p; wait $p"),
                     128 + 15);
    ck_assert_int_gt(lines_of("a.csv"), 1 + 50);
    ck_assert_int_lt(lines_of("a.csv"), 1 + 7200);
    ck_assert_int_gt(lines_of("a.waves"), 250 * 50);
    ck_assert_int_eq(lines_of("err"), 1);
    ck_assert_int_eq(shell("grep -q 'stopped at .*evenkeel resume' $F/err"), 0);
    ck_assert_int_eq(shell("! ls $F/*.part >/dev/null 2>&1"), 0);
    run("replay $F/a.night");
    ck_assert_msg(program.status == 0, "%s", program.err);
}
END_TEST

START_TEST(files_reader_that_goes_away_ends_the_night_quietly) {
    ck_assert_int_eq(
        shell("$E run speed-titration --until 2h --every 1s --csv - --waves $F/a.waves 2>$F/err | "
              "head -1 >$F/out"),
        0);
    ck_assert_int_eq(lines_of("out"), 1);
    ck_assert_int_eq(lines_of("err"), 0);
    ck_assert_int_gt(lines_of("a.waves"), 0); /* complete, under its own name */
    ck_assert_int_lt(lines_of("a.waves"), 250 * 7200);
}
END_TEST

START_TEST(files_full_or_closed_output_is_said) {
    static const char *const commands[] = {"$E list parameters >/dev/full 2>$F/err",
                                           "$E --help >/dev/full 2>$F/err",
                                           "$E run speed-titration --until 5s >/dev/full 2>$F/err",
                                           "$E run speed-titration --until 48h --csv - >/dev/full 2>$F/err",
                                           "$E run speed-titration --until 5s --csv $F/a.csv >&- 2>$F/err"};
    for (size_t i = 0; i < sizeof commands / sizeof commands[0]; i++) {
        ck_assert_msg(shell(commands[i]) == 1, "%s", commands[i]);
        ck_assert_msg(lines_of("err") == 1, "%s", commands[i]);
    }
    /* with the standard streams closed, no file takes their place and their text */
    ck_assert_int_eq(shell("$E run speed-titration --until 21s --csv $F/b.csv >&- 2>&- <&-"), 1);
    ck_assert_int_eq(lines_of("b.csv"), 1 + 2 + 1);
    ck_assert_int_eq(shell("! grep -q fingerprint $F/b.csv"), 0);
}
END_TEST

START_TEST(files_table_keeps_what_was_played_before_a_refusal) {
    run("run speed-titration --until 1min --csv $F/a.csv --order '30s pacing atrial 80' "
        "--set rhythm_kind=1");
    ck_assert_int_eq(program.status, 1);
    ck_assert_int_eq(program_lines(program.err), 1);
    ck_assert_int_ge(lines_of("a.csv"), 1 + 3);
}
END_TEST

START_TEST(files_last_row_covers_the_rest) {
    run("run speed-titration --until 1min --every 1h --csv -");
    ck_assert_int_eq(program.status, 0);
    ck_assert_int_eq(program_lines(program.out), 1 + 1);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("golden/cli_files");
    TCase *c = tcase_create("cli_files");
    tcase_set_timeout(c, 300);
    tcase_add_checked_fixture(c, make_folder, remove_folder);
    tcase_add_test(c, files_of_one_name_are_refused);
    tcase_add_test(c, files_stopped_night_is_kept_and_goes_on);
    tcase_add_test(c, files_reader_that_goes_away_ends_the_night_quietly);
    tcase_add_test(c, files_full_or_closed_output_is_said);
    tcase_add_test(c, files_table_keeps_what_was_played_before_a_refusal);
    tcase_add_test(c, files_last_row_covers_the_rest);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
