/* Looking back on a night: bands, signs, chain, calls, score and page, measured on a night whose course is
 * known. */
#include "sim/debrief.h"
#include "sim/debrief_notes.h"
#include "sim/whatif_job.h"
#include "tests/support/check_main.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

/* The right ventricle weakens within two minutes from 6 min on. */
static const char NIGHT[] =
    "evenkeel_case: 1\nid: debrief-night\ntitle: A <night> & a half\ntheme: tests\nlevel: 1\n"
    "length: 15min\nseed: 8\nsummary: Used by tests.\nguided: no\n"
    "handover:\n  who: Nobody.\n  done: Nothing.\n  attached: Lines.\n  objectives: [MAP.]\n"
    "patient:\n  base: supported_axial\n  settle: 60s\n  set: {ventilated: 1}\n"
    "targets:\n  art_mean_mmhg: [20, 150]\n  cvp_mmhg: [40, 50]\n"
    "truth: {diagnosis: well}\n"
    "timeline:\n  - id: weakens\n    at: 6min\n    do:\n"
    "      - ramp: {parameter: rv_ees_mmhg_ml, to: 0.06, over: 2min}\n"
    "      - truth: {diagnosis: right_failure, also: [right_failure_high_resistance]}\n"
    "objectives:\n  - id: named\n    text: It is named.\n    when: call_right > 0.5\n    by: 14min\n"
    "  - id: never\n    text: The moon is reached.\n    when: art_mean_mmhg > 290\n    by: 14min\n"
    "teaching:\n  - text: Look at the right ventricle.\n    source: common practice\n"
    "endings:\n  - id: morning\n    at_length: yes\n    outcome: good\n    text: It is morning.\n";

static char folder[64], path[128];
static Error error;
static Recall *recall;
static Debrief *debrief;

static void record_night(void) {
    static const struct {
        double time_s;
        const char *words;
    } SAID[] = {{120, "peep 6"},
                {480, "call tamponade confidence 90"},
                {540, "look four_chamber"},
                {600, "call right_failure_high_resistance confidence 60"},
                {660, "milrinone 0.25"}};
    char file[128];
    strcpy(folder, "/tmp/evenkeel_debrief_XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/night.night", folder);
    snprintf(file, sizeof file, "%s/night.yaml", folder);
    FILE *out = fopen(file, "w");
    fputs(NIGHT, out);
    fclose(out);
    ErrorList *errors = calloc(1, sizeof *errors);
    Case *night = sim_case_load(file, errors);
    ck_assert_msg(night != NULL, "%s: %s", errors->items[0].what, errors->items[0].allowed);
    free(errors);
    Session *session = sim_session_open(night, NULL, &error);
    JournalSetup setup = {.maker = "run", .until_s = 900, .plan = ""};
    Journal *journal = sim_journal_create(path, session, &setup, &error);
    ck_assert_msg(journal != NULL, "%s", error.what);
    size_t next = 0;
    while (!sim_session_ended(session)) {
        for (; next < sizeof SAID / sizeof SAID[0] && SAID[next].time_s <= sim_session_time_s(session);
             next++)
            ck_assert_msg(sim_session_say(session, SAID[next].words, &error) == ERROR_OK, "%s", error.what);
        ck_assert_int_eq(sim_session_advance(session, &error), ERROR_OK);
        ck_assert_int_eq(sim_journal_follow(journal, session, &error), ERROR_OK);
    }
    ck_assert_int_eq(sim_journal_close(journal, session, true, &error), ERROR_OK);
    sim_session_close(session);
    sim_case_free(night);
    recall = sim_recall_open(path, &error);
    ck_assert_msg(recall != NULL, "%s", error.what);
    debrief = calloc(1, sizeof *debrief);
    sim_debrief_make(recall, debrief);
}

static void forget_night(void) {
    char command[128];
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    ck_assert_int_eq(system(command), 0);
    free(debrief);
    sim_recall_free(recall);
}

START_TEST(truth_chain_and_calls_are_those_of_the_night) {
    ck_assert_int_eq(debrief->band_count, 2);
    ck_assert_int_eq(debrief->band[0].truth.diagnosis, DIAGNOSIS_well);
    ck_assert_int_eq(debrief->band[1].truth.diagnosis, DIAGNOSIS_right_failure);
    ck_assert_double_eq_tol(debrief->band[1].from_s, 360, 2);
    ck_assert_double_eq(debrief->band[0].to_s, debrief->band[1].from_s);
    ck_assert_double_eq_tol(debrief->chain.trouble_s, 360, 2);
    ck_assert_double_eq_tol(debrief->chain.call_s, 600, 2); /* the second call, which passes for it */
    ck_assert_double_eq_tol(debrief->chain.look_s, 540, 2);
    ck_assert_double_eq_tol(debrief->chain.answer_s, 660, 2); /* PEEP came before the trouble */
    ck_assert_int_eq(recall->calls.kept, 2);
    ck_assert_int_eq(debrief->call_right[0], 0);
    ck_assert_int_eq(debrief->call_right[1], 2);
    ck_assert_int_eq(debrief->mark_count, 5);
    ck_assert_ptr_eq(sim_debrief_truth_at(debrief, 400), &debrief->band[1].truth);
}
END_TEST

START_TEST(signs_come_after_the_trouble_and_point_the_right_way) {
    ck_assert_int_ge(debrief->sign_count, 3);
    bool venous = false, picture = false;
    for (int i = 0; i < debrief->sign_count; i++) {
        const DebriefSign *sign = &debrief->sign[i];
        ck_assert_double_gt(sign->time_s, debrief->chain.trouble_s);
        if (i > 0) ck_assert_double_ge(sign->time_s, debrief->sign[i - 1].time_s);
        ck_assert_int_eq(sign->after_order, sign->time_s > debrief->chain.answer_s);
        if (strcmp(sign->label, "CVP") == 0) {
            venous = true;
            ck_assert_double_gt(sign->now, sign->before); /* common practice: it rises */
        }
        if (strcmp(sign->label, "Right ventricle") == 0) {
            picture = sign->picture;
            ck_assert_double_gt(sign->now, sign->before); /* and the ventricle dilates */
        }
    }
    ck_assert(venous);
    ck_assert(picture);
    ck_assert_double_eq(debrief->chain.sign_s, debrief->sign[0].time_s);
}
END_TEST

START_TEST(score_and_targets_say_why) {
    /* the standard rubric: two objectives, of which one was met, and a good ending */
    ck_assert_int_eq(debrief->line_count, 3);
    ck_assert_double_eq(debrief->line[0].got, SCORE_OBJECTIVE_POINTS);
    ck_assert_double_eq(debrief->line[1].got, 0.0);
    ck_assert_str_eq(debrief->line[1].why, "not met by 00:14");
    ck_assert_double_eq(debrief->line[2].got, SCORE_ENDING_POINTS);
    ck_assert_double_eq(debrief->total.got, SCORE_OBJECTIVE_POINTS + SCORE_ENDING_POINTS);
    ck_assert_double_eq(debrief->total.most, 2.0 * SCORE_OBJECTIVE_POINTS + SCORE_ENDING_POINTS);
    for (int i = 0; i < debrief->target_count; i++) {
        const DebriefTarget *target = &debrief->target[i];
        if (target->quantity == DISPLAY_art_mean_mmhg) ck_assert_double_eq(target->inside_frac, 1.0);
        if (target->quantity == DISPLAY_cvp_mmhg) ck_assert_double_eq(target->inside_frac, 0.0);
    }
    ck_assert_int_eq(debrief->target_count, 2);
    ck_assert_int_ge(debrief->question_count, 2);
    ck_assert_int_ge(debrief->well_count, 2); /* named within ten minutes of its sign, looked at before it was treated */
    ck_assert_ptr_nonnull(strstr(debrief->well[0], "You named it at 00:10"));
    ck_assert_ptr_nonnull(strstr(debrief->well[1], "before you treated"));
}
END_TEST

static char *page_text(void) {
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);
    sim_debrief_write_page(debrief, NULL, out);
    fclose(out);
    return text;
}

/* Every element that is opened is closed, in order: what an XML reader asks for (SVG) and a browser likes. */
static void check_nesting(const char *text) {
    static const char *const EMPTY[] = {"meta", "!DOCTYPE", "rect", "path", "circle"};
    char open[64][16];
    int depth = 0;
    for (const char *c = strchr(text, '<'); c != NULL; c = strchr(c + 1, '<')) {
        char name[16] = "";
        bool closing = c[1] == '/';
        sscanf(c + 1 + closing, "%15[A-Za-z0-9!]", name);
        const char *end = strchr(c, '>');
        ck_assert_ptr_nonnull(end);
        bool empty = end[-1] == '/';
        for (size_t i = 0; i < sizeof EMPTY / sizeof EMPTY[0] && !closing; i++)
            empty = empty || (strcmp(name, EMPTY[i]) == 0 && i < 2);
        if (empty) continue;
        if (closing) {
            ck_assert_int_gt(depth, 0);
            ck_assert_str_eq(open[--depth], name);
        } else {
            ck_assert_int_lt(depth, 64);
            strcpy(open[depth++], name);
        }
    }
    ck_assert_int_eq(depth, 0);
}

START_TEST(page_is_whole_and_needs_nothing_else) {
    char *text = page_text();
    check_nesting(text);
    ck_assert_ptr_nonnull(strstr(text, "A &lt;night&gt; &amp; a half"));
    ck_assert_ptr_null(strstr(text, "<night>"));
    ck_assert_ptr_nonnull(strstr(text, "Training only."));
    ck_assert_ptr_nonnull(strstr(text, "Score: 30 of 40"));
    ck_assert_ptr_nonnull(strstr(text, "Look at the right ventricle."));
    ck_assert_ptr_null(strstr(text, "<script"));
    ck_assert_ptr_null(strstr(text, "src="));
    ck_assert_ptr_null(strstr(text, "nan"));
    /* the only address is the name of a notation */
    int addresses = 0, notations = 0;
    for (size_t i = 0; text[i] != '\0'; i++) {
        addresses += strncmp(&text[i], "http", 4) == 0;
        notations += strncmp(&text[i], "http://www.w3.org/2000/svg", 26) == 0;
    }
    ck_assert_int_eq(notations, 1);
    ck_assert_int_eq(addresses, 1);
    free(text);
}
END_TEST

/* The right ventricle fails at 6 min: what a look would have shown at 14 min is a bigger one than at the
 * start. */
START_TEST(moments_tell_what_could_be_seen) {
    DebriefSeen seen;
    bool venous = false, right = false;
    sim_debrief_seen(debrief, 840, &seen);
    ck_assert_int_ge(seen.count, 4);
    for (int i = 0; i < seen.count; i++) {
        venous = venous || (!seen.picture[i] && strncmp(seen.line[i], "CVP ", 4) == 0);
        right = right || (seen.picture[i] && strstr(seen.line[i], "Right ventricle larger") != NULL);
    }
    ck_assert(venous);
    ck_assert(right);
    ck_assert_int_eq(sim_debrief_point(debrief, -1), -1);
    ck_assert_double_le(recall->point[sim_debrief_point(debrief, 500)].time_s, 500);
    ck_assert_double_gt(recall->point[sim_debrief_point(debrief, 500) + 1].time_s, 500);
    ck_assert_int_ge(debrief->moment_count, 4);
    for (int i = 1; i < debrief->moment_count; i++)
        ck_assert_double_ge(debrief->moment[i].time_s - debrief->moment[i - 1].time_s, 60);
}
END_TEST

START_TEST(heart_of_a_moment_is_that_of_the_kept_state) {
    DebriefHeart heart;
    ck_assert_msg(sim_debrief_heart(debrief, 840, &heart, &error) == ERROR_OK, "%s", error.what);
    ck_assert_double_gt(heart.now.rv_edv_ml, heart.start.rv_edv_ml);
    ck_assert_double_gt(heart.parameters.left_pump_present, 0.5);
    ck_assert_double_eq(heart.clot_ml[1], 0);
    ck_assert_double_eq_tol(heart.parameters.rv_ees_mmhg_ml, 0.06, 1e-9); /* where the case's ramp ended */
}
END_TEST

static int hearts_drawn;

static void draw_heart(const DebriefHeart *heart, FILE *out) {
    hearts_drawn++;
    fprintf(out, "<svg><rect width=\"%.0f\"/></svg>", heart->now.rv_edv_ml);
}

START_TEST(page_with_everything_is_whole) {
    DebriefNotes notes = {.count = 0};
    ck_assert(sim_debrief_notes_put(&notes, NOTE_FELT, 0, 0, "fast & <wild>"));
    ck_assert(sim_debrief_notes_put(&notes, NOTE_MOMENT, 0, 600, "here"));
    RerunActs acts, otherwise;
    ck_assert(sim_whatif_acts(recall, &acts));
    ck_assert(sim_whatif_copy_acts(&acts, &otherwise));
    otherwise.act[4].time_s = 480;
    RerunCourse night, other;
    ck_assert_int_eq(sim_whatif_compare(recall, &acts, &otherwise, 900, NULL, NULL, &night, &other, &error),
                     ERROR_OK);
    WhatifRange range = {.variants = 20};
    DebriefExtras extras = {.notes = &notes,
                            .heart = draw_heart,
                            .acts = &acts,
                            .otherwise = &otherwise,
                            .night = &night,
                            .other = &other,
                            .range = &range};
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);
    sim_debrief_write_page(debrief, &extras, out);
    fclose(out);
    check_nesting(text);
    ck_assert_int_eq(hearts_drawn, debrief->moment_count);
    ck_assert_ptr_nonnull(strstr(text, "fast &amp; &lt;wild&gt;"));
    ck_assert_ptr_nonnull(strstr(text, "now at 00:08: milrinone 0.25"));
    ck_assert_ptr_nonnull(strstr(text, "5th to 95th of 20"));
    ck_assert_ptr_nonnull(strstr(text, "Right heart failure, high lung resistance, 60 %"));
    free(text);
    sim_rerun_course_free(&night);
    sim_rerun_course_free(&other);
    sim_rerun_acts_free(&acts);
    sim_rerun_acts_free(&otherwise);
}
END_TEST

START_TEST(notes_keep_what_was_written) {
    char night[160];
    DebriefNotes notes = {.count = 0}, again;
    snprintf(night, sizeof night, "%s/words", folder);
    ck_assert_int_eq(sim_debrief_notes_read(night, &again, &error), ERROR_OK); /* no file: no notes */
    ck_assert_int_eq(again.count, 0);
    ck_assert(sim_debrief_notes_put(&notes, NOTE_WELL, 0, 0, "the call"));
    ck_assert(sim_debrief_notes_put(&notes, NOTE_NEXT, 2, 0, "two\nlines"));
    ck_assert(sim_debrief_notes_put(&notes, NOTE_WELL, 0, 0, "the early call")); /* in its place */
    ck_assert(sim_debrief_notes_put(&notes, NOTE_MOMENT, 0, 90, "gone"));
    ck_assert(sim_debrief_notes_put(&notes, NOTE_MOMENT, 0, 91, "")); /* the same moment: taken away */
    ck_assert_int_eq(notes.count, 2);
    ck_assert_int_eq(sim_debrief_notes_write(night, &notes, &error), ERROR_OK);
    ck_assert_int_eq(sim_debrief_notes_read(night, &again, &error), ERROR_OK);
    ck_assert_int_eq(again.count, 2);
    ck_assert_str_eq(sim_debrief_notes_find(&again, NOTE_WELL, 0, 0)->text, "the early call");
    ck_assert_str_eq(sim_debrief_notes_find(&again, NOTE_NEXT, 2, 0)->text, "two lines");
    ck_assert_ptr_null(sim_debrief_notes_find(&again, NOTE_NEXT, 0, 0));
    snprintf(night, sizeof night, "%s/no/such/words", folder);
    ck_assert_int_eq(sim_debrief_notes_write(night, &notes, &error), ERROR_FILE_WRITE);
    for (int i = 0; i < DEBRIEF_NOTES_MAX; i++)
        (void)sim_debrief_notes_put(&notes, NOTE_MOMENT, 0, 100 * i, "note");
    ck_assert_int_eq(notes.count, DEBRIEF_NOTES_MAX);
    ck_assert(!sim_debrief_notes_put(&notes, NOTE_MOMENT, 0, 1e6, "one too many"));
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("debrief");
    TCase *c = tcase_create("debrief");
    tcase_set_timeout(c, 120);
    tcase_add_unchecked_fixture(c, record_night, forget_night);
    tcase_add_test(c, truth_chain_and_calls_are_those_of_the_night);
    tcase_add_test(c, signs_come_after_the_trouble_and_point_the_right_way);
    tcase_add_test(c, score_and_targets_say_why);
    tcase_add_test(c, page_is_whole_and_needs_nothing_else);
    tcase_add_test(c, moments_tell_what_could_be_seen);
    tcase_add_test(c, heart_of_a_moment_is_that_of_the_kept_state);
    tcase_add_test(c, page_with_everything_is_whole);
    tcase_add_test(c, notes_keep_what_was_written);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
