/* The critical reading of cases: a sound case has no warnings, and each slip gets its own at its place. */
#include "sim/lint.h"

#include "tests/support/check_main.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static ErrorList errors, warnings; /* static: large */

static const char SOUND[] =
    "evenkeel_case: 1\nid: sound\ntitle: Sound\ntheme: tests\nlevel: 3\nlength: 1h\nsummary: Nothing odd.\n"
    "look: {probe: on_request, ready: 3min, longest: 4min, rest: 12min, at_most: 2}\n"
    "handover:\n  who: Nobody.\n  done: Nothing.\n  attached: Lines.\n  objectives: [MAP.]\n"
    "patient:\n  base: supported_axial\n  set: {ventilated: 1, weight_kg: 80}\n"
    "running:\n  - milrinone 0.25mcg/kg/min\n"
    "orders:\n  - speed: {low: 7600rpm, high: 10400rpm}\n  - milrinone\n  - peep: {low: 4cmH2O, high: "
    "10cmH2O}\n"
    "  - reopen_chest\n"
    "targets:\n  art_mean_mmhg: [65, 85]\n"
    "timeline:\n"
    "  - id: clot\n    within: [8min, 20min]\n    chance: 0.5\n    do:\n"
    "      - truth: {diagnosis: clot_right}\n"
    "      - ramp: {parameter: bleed_clot_ra_ml_h, to: 150, over: 10min}\n"
    "    otherwise:\n      - message: {from: nurse, text: All quiet.}\n"
    "  - id: worse\n    after: clot\n    plus: 10min\n    do:\n      - set: {bleed_drain_ml_h: 30}\n"
    "  - id: quiet\n    instead_of: clot\n    plus: 1min\n    do:\n"
    "      - message: {from: nurse, text: Still quiet.}\n"
    "  - id: opened\n    when: chest_open > 0.5\n    do:\n      - truth: {diagnosis: well}\n"
    "prompts:\n  - {id: idle, idle: 15min, when: calls_made < 1, from: nurse, text: What is it?}\n"
    "objectives:\n"
    "  - {id: named, text: It is named., when: call_right > 0.5 and time_s > 20min, by: 50min}\n"
    "  - {id: looked, text: A look., when: looks_had > 0, by: 40min}\n"
    "plans:\n"
    "  - {id: a, rank: good, text: Acts., steps: [12min look four_chamber, 25min reopen_chest]}\n"
    "  - {id: b, rank: late, text: Waits., steps: [50min reopen_chest]}\n"
    "  - {id: c, rank: wrong, text: Errs., steps: [25min speed 9000]}\n"
    "score:\n  - {objective: looked, points: 10}\n  - {call: right, points: 10}\n  - {ending: good, points: "
    "20}\n"
    "  - {inside: art_mean_mmhg, points: 10}\n"
    "  - {minus: 1, when: shown_art_mean_mmhg < 50, text: Low.}\n"
    "teaching:\n  - {text: Look., source: Common practice}\n"
    "endings:\n"
    "  - {id: lost, when: art_mean_mmhg < 38, for: 4min, outcome: death, text: Lost.}\n"
    "  - {id: fine, when: shown_art_mean_mmhg > 60, at_length: yes, outcome: good, text: Fine.}\n"
    "  - {id: rest, at_length: yes, outcome: harm, text: Not fine.}\n";

static const struct {
    const char *old, *new;
    const char *what; /* part of the one warning that comes */
    const char *at;   /* the text that stands at its place */
} SLIPS[] = {
    {"chest_open > 0.5", "chest_open > 1.5", "event opened can never come", "chest_open > 1.5"},
    {"chest_open > 0.5", "chest_open > 0.5 and time_s > 2h", "event opened can never come", "chest_open"},
    {"chest_open > 0.5", "shown_right_pump_rpm > 100", "event opened can never come", "shown_right"},
    {"chest_open > 0.5", "shown_cvp_mmhg > 500", "event opened can never come", "shown_cvp"},
    {"chest_open > 0.5", "fio2_frac > 0.9", "event opened can never come", "fio2_frac"},
    {"chest_open > 0.5", "peep_cmh2o > 12", "event opened can never come", "peep_cmh2o"},
    {"plus: 10min", "plus: 55min", "event worse can never come", "clot\n    plus: 55min"},
    {"plus: 10min", "plus: 10min\n    chance: 1", "event worse always goes its do way", "1\n    do"},
    {"calls_made < 1", "calls_made < 0", "prompt idle can never be said", "calls_made"},
    {"idle: 15min", "idle: 2h", "prompt idle can never be said", "2h, when"},
    {"looks_had > 0", "looks_had > 2", "nobody can meet objective looked", "looks_had > 2"},
    {"at_most: 2", "at_most: 2, views: [short_axis]", "cannot be had", "12min look"},
    {"by: 40min", "by: 90min", "after the case is over", "90min"},
    {"when: looks_had > 0", "when: looks_had > 0, for: 45min", "longer than it has time", "45min"},
    {"by: 50min", "by: 7min", "before anything is wrong", "7min"},
    {"by: 50min", "by: 19min", "before anything is wrong, in some nights", "19min"},
    {"art_mean_mmhg < 38", "art_mean_mmhg < -100", "ending lost can never be taken", "art_mean_mmhg < -100"},
    {"when: shown_art_mean_mmhg > 60, at_length", "at_length", "ending rest can never be taken", "{id: rest"},
    {"outcome: good", "outcome: mixed", "no ending is good", "endings:"},
    {", at_length: yes, outcome: harm", ", when: shown_cvp_mmhg > 3, at_length: yes, outcome: harm",
     "without any ending", "endings:"},
    {"weight_kg: 80", "weight_kg: 180", "weight_kg 180 is outside", "180}"},
    {"milrinone 0.25", "milrinone 0.95", "milrinone_mcg_kg_min 0.95 is outside", "milrinone 0.95"},
    {"to: 150", "to: 1150", "bleed_clot_ra_ml_h 1150 is outside", "1150"},
    {"bleed_drain_ml_h: 30", "bleed_drain_ml_h: 3000", "bleed_drain_ml_h 3000 is outside", "3000"},
    {"rank: late", "rank: wrong", "no plan is late", "plans:"},
    {"50min reopen_chest", "90min reopen_chest", "after the end of the case", "90min reopen"},
    {"12min look four_chamber", "12min fire clott", "plan a", "12min fire"},
    {"12min look four_chamber", "12min look four_chamber, 20min look four_chamber", "plan a", "20min look"},
    {"  - {inside", "  - {objective: looked, points: 1}\n  - {inside", "counts something twice",
     "{objective: looked, points: 1}"},
    {"  - {inside", "  - {predictions: yes, points: 3}\n  - {inside", "not asked for predictions",
     "yes, points"},
    {"shown_art_mean_mmhg < 50", "shown_art_mean_mmhg < -50", "never be lost", "shown_art_mean_mmhg < -50"},
    {"  - {objective: looked, points: 10}\n", "", "objective looked has no row", "{id: looked"},
    {"[65, 85]", "[65, 85]\n  right_pump_flow_l_min: [3, 5]", "never on show",
     "right_pump_flow_l_min: [3, 5]"},
    {"source: Common practice", "source: Everybody knows", "cannot be looked up", "Everybody"},
    {"id: sound", "id: other", "not the file's name", "other"},
};

static void lint(const char *text) {
    Case *night = sim_case_parse(text, strlen(text), "folder/sound.yaml", &errors);
    ck_assert_msg(night != NULL, "%d: %s; %s", errors.items[0].line, errors.items[0].what,
                  errors.items[0].allowed);
    memset(&warnings, 0, sizeof warnings);
    sim_lint_case(night, text, strlen(text), &warnings);
    sim_case_free(night);
}

START_TEST(lint_sound_case_has_no_warnings) {
    lint(SOUND);
    ck_assert_msg(warnings.count == 0, "%d: %s", warnings.items[0].line, warnings.items[0].what);
}
END_TEST

/* What stands at a line and column of a text. */
static const char *at(const char *text, int line, int column) {
    for (; line > 1; line--)
        text = strchr(text, '\n') + 1;
    return text + column - 1;
}

START_TEST(lint_slip_gets_one_warning_at_its_place) {
    const char *place = strstr(SOUND, SLIPS[_i].old);
    ck_assert_msg(place != NULL, "not in the text: %s", SLIPS[_i].old);
    size_t size = sizeof SOUND + strlen(SLIPS[_i].new);
    char *text = malloc(size);
    snprintf(text, size, "%.*s%s%s", (int)(place - SOUND), SOUND, SLIPS[_i].new,
             place + strlen(SLIPS[_i].old));
    lint(text);
    ck_assert_msg(warnings.count > 0, "no warning: %s", SLIPS[_i].new);
    const Error *warning = &warnings.items[0];
    ck_assert_msg(warnings.count == 1, "%s: %d: %s; and %d: %s", SLIPS[_i].new, warning->line, warning->what,
                  warnings.items[1].line, warnings.items[1].what);
    ck_assert_msg(strstr(warning->what, SLIPS[_i].what) != NULL ||
                      strstr(warning->allowed, SLIPS[_i].what) != NULL,
                  "%s: %s; %s", SLIPS[_i].new, warning->what, warning->allowed);
    ck_assert_msg(strncmp(at(text, warning->line, warning->column), SLIPS[_i].at, strlen(SLIPS[_i].at)) == 0,
                  "%s: at %.30s", SLIPS[_i].new, at(text, warning->line, warning->column));
    free(text);
}
END_TEST

START_TEST(lint_chain_of_impossible_events_is_told_whole) {
    static const char CHAIN[] = "  - id: first\n    when: cvp_mmhg > 300\n    do: []\n"
                                "  - id: second\n    after: first\n    do: []\n"
                                "  - id: third\n    after: second\n    do: []\nprompts:";
    const char *place = strstr(SOUND, "prompts:");
    char text[sizeof SOUND + sizeof CHAIN];
    snprintf(text, sizeof text, "%.*s%s%s", (int)(place - SOUND), SOUND, CHAIN, place + strlen("prompts:"));
    lint(text);
    ck_assert_int_eq(warnings.count, 3);
    ck_assert_ptr_nonnull(strstr(warnings.items[0].what, "first"));
    ck_assert_ptr_nonnull(strstr(warnings.items[2].what, "third"));
    ck_assert_ptr_nonnull(strstr(warnings.items[2].allowed, "second never goes its do way"));
}
END_TEST

START_TEST(lint_cases_that_come_with_the_program_have_no_warnings) {
    DIR *folder = opendir(EVENKEEL_SOURCE_DIR "/scenarios");
    int read = 0;
    ck_assert_ptr_nonnull(folder);
    for (struct dirent *entry = readdir(folder); entry != NULL; entry = readdir(folder)) {
        char path[512];
        Error error;
        if (strstr(entry->d_name, ".yaml") == NULL) continue;
        snprintf(path, sizeof path, EVENKEEL_SOURCE_DIR "/scenarios/%.200s", entry->d_name);
        Case *night = sim_case_load(path, &errors);
        ck_assert_msg(night != NULL, "%s:%d: %s", path, errors.items[0].line, errors.items[0].what);
        memset(&warnings, 0, sizeof warnings);
        ck_assert_int_eq(sim_lint_file(night, &warnings, &error), ERROR_OK);
        ck_assert_msg(warnings.count == 0, "%s:%d: %s", path, warnings.items[0].line, warnings.items[0].what);
        sim_case_free(night);
        read++;
    }
    closedir(folder);
    ck_assert_int_gt(read, 2);
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("lint");
    TCase *c = tcase_create("lint");
    tcase_add_test(c, lint_sound_case_has_no_warnings);
    tcase_add_loop_test(c, lint_slip_gets_one_warning_at_its_place, 0, sizeof SLIPS / sizeof SLIPS[0]);
    tcase_add_test(c, lint_chain_of_impossible_events_is_told_whole);
    tcase_add_test(c, lint_cases_that_come_with_the_program_have_no_warnings);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
