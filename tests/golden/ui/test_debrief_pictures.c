/* The debrief of an invented night against kept pictures: its numbers do not come from the model. */
#include "tests/support/check_main.h"
#include "tests/support/debrief_views.h"
#include "tests/support/golden_image.h"
#include "tests/support/sheet_screen.h"

static SheetScreen sheet;
static DebriefState state;

static void check(DebriefPage page, const char *what, int size) {
    char name[64];
    sheet_start(&sheet, size);
    sheet.bare = true;
    debrief_example(&state);
    state.page = page;
    state.cursor_s = state.seen_s = 2400.0;
    sim_debrief_seen(state.debrief, state.cursor_s, &state.seen);
    sheet_still(&sheet, &UI_DEBRIEF_SHEET, &state);
    snprintf(name, sizeof name, "%s_%s", what, SHEET_SIZE[size].name);
    golden_image_check(sheet.screen.canvas, name);
    sheet_stop(&sheet);
    ui_debrief_forget(&state);
}

START_TEST(what_happened_looks_as_kept) {
    check(DEBRIEF_HAPPENED, "debrief_happened", _i);
}
END_TEST

START_TEST(why_looks_as_kept) {
    check(DEBRIEF_WHY, "debrief_why", 0);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("debrief_pictures");
    TCase *c = tcase_create("debrief_pictures");
    tcase_add_loop_test(c, what_happened_looks_as_kept, 0, SHEET_SIZES);
    tcase_add_test(c, why_looks_as_kept);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
