/* The debrief on the screen: its pages, cursor, notes and what may be typed, at every size, on an invented
 * night. */
#include "tests/support/check_main.h"
#include "tests/support/debrief_views.h"
#include "tests/support/sheet_screen.h"

#include <unistd.h>

static SheetScreen sheet;
static DebriefState state;

static void start(int size) {
    sheet_start(&sheet, size);
    sheet.bare = true;
    debrief_example(&state);
}

static void stop(void) {
    sheet_stop(&sheet);
    ui_debrief_forget(&state);
}

/* Draws a frame and carries out what it asks for. */
static void apply(void) {
    SheetContext context = {.now_s = 1.0};
    for (int i = 0; i < sheet.intents.count; i++) {
        if (sheet.intents.of[i].kind == INTENT_PART)
            UI_DEBRIEF_SHEET.apply(&state, &context, &sheet.intents.of[i]);
    }
    sheet_still(&sheet, &UI_DEBRIEF_SHEET, &state);
}

static void key(Key which) {
    sheet_key(&sheet, &UI_DEBRIEF_SHEET, &state, which);
    apply();
}

static void typed(const char *text) {
    for (; *text != '\0'; text++) {
        sheet_char(&sheet, &UI_DEBRIEF_SHEET, &state, *text);
        apply();
    }
}

static void go_to(DebriefPage page) {
    typed((char[]){(char)('1' + (int)page), '\0'});
    ck_assert_int_eq(state.page, page);
}

START_TEST(every_page_fits_and_is_reached_by_tab_at_every_size) {
    start(_i);
    for (int page = 0; page < DEBRIEF_PAGES; page++) {
        go_to((DebriefPage)page);
        sheet_check_sizes(&sheet);
        sheet_check_tab(&sheet, &UI_DEBRIEF_SHEET, &state);
        sheet.screen.ui.focus = 0;
        if (_i == 2) key(KEY_F7); /* one panel at a time */
        sheet_check_sizes(&sheet);
        sheet.screen.ui.focus = 0;
    }
    stop();
}
END_TEST

START_TEST(pages_say_what_happened_and_why) {
    start(1);
    sheet_still(&sheet, &UI_DEBRIEF_SHEET, &state);
    ck_assert(!sheet_says(&sheet, "Right heart failure")); /* nothing is given away before the first words */
    go_to(DEBRIEF_HAPPENED);
    ck_assert(sheet_says(&sheet, "Right heart failure"));
    ck_assert(sheet_says(&sheet, "norepinephrine"));
    ck_assert(sheet_says(&sheet, "MAP low"));
    go_to(DEBRIEF_WHY);
    ck_assert(sheet_says(&sheet, "Named rightly"));
    ck_assert(sheet_says(&sheet, "1 of 2"));
    ck_assert(sheet_says(&sheet, "Hypovolaemia, 70 %"));
    go_to(DEBRIEF_HOME);
    ck_assert(sheet_says(&sheet, "common practice"));
    ck_assert(sheet_says(&sheet, "Everything fell at once."));
    ck_assert(sheet_says(&sheet, "It is named by 35 min."));
    stop();
}
END_TEST

START_TEST(cursor_moves_by_keys_and_mouse_and_reads_the_values) {
    start(1);
    go_to(DEBRIEF_HAPPENED);
    key(KEY_HOME);
    ck_assert_double_eq(state.cursor_s, 0.0);
    key(KEY_DOWN); /* the first order */
    ck_assert_double_eq(state.cursor_s, 1200.0);
    key(KEY_DOWN);
    ck_assert_double_eq(state.cursor_s, 1500.0);
    key(KEY_UP);
    ck_assert_double_eq(state.cursor_s, 1200.0);
    int64_t i = sim_debrief_point(state.debrief, 1200.0);
    char value[16];
    snprintf(value, sizeof value, "%.0f", state.recall->point[i].shown[DISPLAY_art_mean_mmhg]);
    ck_assert_ptr_nonnull(sheet_text(&sheet, value));
    key(KEY_END);
    ck_assert_double_eq(state.cursor_s, 5400.0);
    sheet_click_text(&sheet, &UI_DEBRIEF_SHEET, &state, "00:25  look four_chamber");
    apply();
    ck_assert_double_eq(state.cursor_s, 1500.0);
    stop();
}
END_TEST

START_TEST(notes_are_written_beside_the_night_and_found_again) {
    char folder[] = "/tmp/evenkeel_notes_XXXXXX", file[64], command[128];
    ck_assert_ptr_nonnull(mkdtemp(folder));
    start(1);
    snprintf(state.path, sizeof state.path, "%s/a.night", folder);
    snprintf(file, sizeof file, "%s/a.night.words", folder);
    state.apart = false;
    go_to(DEBRIEF_HAPPENED);
    key(KEY_HOME);
    key(KEY_DOWN);
    typed("n");
    typed("why so late?");
    ck_assert_str_eq(state.field[DEBRIEF_FIELD_MOMENT].text, "why so late?");
    ck_assert_int_ne(access(file, F_OK), 0);
    UI_DEBRIEF_SHEET.close(&state, &(SheetContext){.now_s = 2.0});
    DebriefNotes notes;
    Error error;
    ck_assert_int_eq(sim_debrief_notes_read(state.path, &notes, &error), ERROR_OK);
    ck_assert_int_eq(notes.count, 2);
    const DebriefNote *note = sim_debrief_notes_find(&notes, NOTE_MOMENT, 0, 1200.0);
    ck_assert_ptr_nonnull(note);
    ck_assert_str_eq(note->text, "why so late?");
    /* a file that is something else is never written over */
    FILE *out = fopen(file, "w");
    fputs("a letter\n", out);
    fclose(out);
    ck_assert_int_eq(sim_debrief_notes_read(state.path, &notes, &error), ERROR_FORMAT);
    state.notes_locked = true;
    state.notes_changed = true;
    UI_DEBRIEF_SHEET.close(&state, &(SheetContext){.now_s = 3.0});
    char first[32] = "";
    FILE *in = fopen(file, "r");
    ck_assert_ptr_nonnull(fgets(first, sizeof first, in));
    fclose(in);
    ck_assert_str_eq(first, "a letter\n");
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    ck_assert_int_eq(system(command), 0);
    stop();
}
END_TEST

START_TEST(a_night_of_another_build_is_looked_back_on_without_hearts_and_what_if) {
    start(1);
    memset(state.turn, 0, sizeof state.turn);
    snprintf(state.heartless, sizeof state.heartless, "No picture: another build recorded this night.");
    go_to(DEBRIEF_WHY);
    ck_assert(sheet_says(&sheet, "another build recorded this night"));
    go_to(DEBRIEF_WHATIF);
    ck_assert(sheet_says(&sheet, "Another build recorded this night"));
    typed("a+d");
    ck_assert_ptr_null(state.whatif.job);
    go_to(DEBRIEF_HOME);
    ck_assert(sheet_says(&sheet, "Another build recorded"));
    stop();
}
END_TEST

START_TEST(acts_are_moved_left_out_reworded_and_added) {
    start(1);
    state.recall->same_build = true; /* nothing is computed here: no frame follows the job */
    go_to(DEBRIEF_WHATIF);
    ck_assert_int_eq(state.whatif.offered, 3); /* norepinephrine, volume, milrinone */
    typed("r");
    ck_assert_int_eq(state.whatif.edits, 6);
    for (int i = 0; i < 6; i++)
        ck_assert_double_eq(state.whatif.edit[i].time_s, state.whatif.edit[i].was_s);
    while (state.whatif.chosen > 0)
        key(KEY_UP);
    typed("+");
    ck_assert_double_eq(state.whatif.edit[0].time_s, 1500.0);
    typed("--");
    ck_assert_double_eq(state.whatif.edit[0].time_s, 900.0);
    key(KEY_DOWN);
    typed("d");
    ck_assert(state.whatif.edit[1].dropped);
    ck_assert_int_eq(state.whatif.otherwise.count, 5);
    ck_assert_double_eq(sim_whatif_parts_s(&state.whatif.acts, &state.whatif.otherwise), 900.0);
    typed("a");
    ck_assert_int_eq(state.whatif.edits, 7);
    typed("no such order");
    key(KEY_ENTER);
    ck_assert_str_ne(state.whatif.problem, ""); /* refused with a reason */
    ck_assert_int_eq(state.whatif.otherwise.count, 5);
    for (int i = 0; i < 20; i++)
        key(KEY_BACKSPACE);
    typed("peep 8");
    key(KEY_ENTER);
    ck_assert_str_eq(state.whatif.problem, "");
    ck_assert_int_eq(state.whatif.otherwise.count, 6);
    ck_assert(state.whatif.stale);
    stop();
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("debrief_screen");
    TCase *c = tcase_create("debrief_screen");
    tcase_set_timeout(c, 120);
    tcase_add_loop_test(c, every_page_fits_and_is_reached_by_tab_at_every_size, 0, SHEET_SIZES);
    tcase_add_test(c, pages_say_what_happened_and_why);
    tcase_add_test(c, cursor_moves_by_keys_and_mouse_and_reads_the_values);
    tcase_add_test(c, notes_are_written_beside_the_night_and_found_again);
    tcase_add_test(c, a_night_of_another_build_is_looked_back_on_without_hearts_and_what_if);
    tcase_add_test(c, acts_are_moved_left_out_reworded_and_added);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
