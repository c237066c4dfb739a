/* What a case leaves to chance: onsets are spread evenly over their window, chances come as often as they
   say, draws do not hang together, the same seed draws the same; and a night with branches is the same to the
   last bit when it is repeated, gone on with from a copy, or replayed and resumed from its file. */
#include "sim/session.h"

#include "tests/support/check_main.h"
#include "tests/support/command.h"

#include <math.h>

enum { NIGHTS = 20000, BINS = 20 };

/* 99.9 % of the chi-square distribution with BINS - 1 = 19 degrees of freedom (tables: 43.82). */
#define CHI_SQUARE_MOST 43.82
#define SIGMAS_MOST     4.0

static Case night; /* static: a case is too large for the stack */
static ErrorList errors;

static void add_event(const char *id, double from_s, double until_s, double chance) {
    CaseEvent *event = &night.events[night.event_count++];
    *event = (CaseEvent){.trigger = CASE_TRIGGER_WITHIN,
                         .at_s = from_s,
                         .until_s = until_s,
                         .chance_given = true,
                         .chance = chance};
    snprintf(event->id, sizeof event->id, "%s", id);
}

static void setup(void) {
    memset(&night, 0, sizeof night);
    add_event("clot", 480, 1200, 0.4);
    add_event("bleeding", 600, 3600, 0.9);
}

START_TEST(branches_onsets_are_spread_evenly) {
    setup();
    for (int e = 0; e < night.event_count; e++) {
        const CaseEvent *event = &night.events[e];
        int bin[BINS] = {0};
        double chi_square = 0;
        for (uint64_t seed = 1; seed <= NIGHTS; seed++) {
            ScriptState state;
            sim_script_start(&state);
            sim_script_draw(&state, &night, seed);
            double share = (state.drawn_s[e] - event->at_s) / (event->until_s - event->at_s);
            ck_assert_msg(share >= 0 && share < 1, "seed %llu", (unsigned long long)seed);
            bin[(int)(share * BINS)]++;
        }
        for (int i = 0; i < BINS; i++) {
            double expected = (double)NIGHTS / BINS;
            chi_square += (bin[i] - expected) * (bin[i] - expected) / expected;
        }
        ck_assert_msg(chi_square < CHI_SQUARE_MOST, "%s: chi-square %g", event->id, chi_square);
    }
}
END_TEST

START_TEST(branches_chances_come_as_often_as_they_say) {
    setup();
    for (int e = 0; e < night.event_count; e++) {
        double chance = night.events[e].chance, came = 0;
        for (uint64_t seed = 1; seed <= NIGHTS; seed++) {
            ScriptState state;
            sim_script_start(&state);
            sim_script_draw(&state, &night, seed);
            came += state.drawn_frac[e] < chance;
        }
        double sigma = sqrt(chance * (1 - chance) * NIGHTS); /* binomial */
        ck_assert_msg(fabs(came - chance * NIGHTS) < SIGMAS_MOST * sigma, "%s: %g", night.events[e].id, came);
    }
}
END_TEST

/* Correlations of n independent pairs are spread with a standard deviation of 1/sqrt(n). */
START_TEST(branches_draws_do_not_hang_together) {
    setup();
    double xy[3] = {0}; /* two onsets; an onset and its chance; the onsets of neighbouring seeds */
    double before = 0.5;
    for (uint64_t seed = 1; seed <= NIGHTS; seed++) {
        ScriptState state;
        sim_script_start(&state);
        sim_script_draw(&state, &night, seed);
        double x = (state.drawn_s[0] - 480) / 720 - 0.5, y = (state.drawn_s[1] - 600) / 3000 - 0.5;
        xy[0] += x * y;
        xy[1] += x * (state.drawn_frac[0] - 0.5);
        xy[2] += x * (before - 0.5);
        before = x + 0.5;
    }
    for (int i = 0; i < 3; i++) {
        double r = xy[i] / NIGHTS * 12; /* variance of an even draw: 1/12 */
        ck_assert_msg(fabs(r) < SIGMAS_MOST / sqrt(NIGHTS), "pair %d: r %g", i, r);
    }
}
END_TEST

START_TEST(branches_same_seed_draws_the_same) {
    setup();
    for (uint64_t seed = 0; seed < 200; seed++) {
        ScriptState one, two;
        sim_script_start(&one);
        sim_script_draw(&one, &night, seed);
        sim_script_start(&two);
        sim_script_draw(&two, &night, seed);
        ck_assert_int_eq(memcmp(&one, &two, sizeof one), 0);
    }
}
END_TEST

/* A quarter of an hour with a window, a chance, a condition and both ways followed. */
static const char TEXT[] =
    "evenkeel_case: 1\nid: branches\ntitle: Branches\ntheme: tests\nlevel: 3\nlength: 15min\nseed: 5\n"
    "summary: Used by tests.\n"
    "handover: {who: Nobody., done: Nothing., attached: Lines., objectives: [MAP.]}\n"
    "patient: {base: supported_axial, settle: 20s, set: {ventilated: 1}}\n"
    "timeline:\n"
    "  - id: clot\n    within: [1min, 4min]\n    chance: 0.5\n    do:\n      - set: {clot_ra_ml: 30}\n"
    "      - truth: {diagnosis: clot_right}\n"
    "    otherwise:\n      - ramp: {parameter: rv_ees_mmhg_ml, to: 0.15, over: 2min}\n"
    "      - truth: {diagnosis: right_failure}\n"
    "  - id: pressed\n    after: clot\n    plus: 2min\n    if: shown_art_mean_mmhg < 500\n    do:\n"
    "      - ramp: {parameter: clot_ra_ml, to: 60, over: 3min}\n    otherwise:\n      - set: {clot_ra_ml: "
    "0}\n"
    "  - id: weak\n    instead_of: clot\n    plus: 2min\n    do:\n      - set: {pulmonary_resistance_x: "
    "1.5}\n"
    "score:\n  - {call: right, points: 20, full: 1min, none: 12min}\n  - {ending: mixed, points: 10}\n"
    "  - {minus: 1, when: shown_cvp_mmhg > 8, each: 30s, at_most: 10, text: High venous pressure.}\n"
    "plans:\n  - id: plan\n    rank: good\n    text: Does something.\n    steps:\n"
    "      - 6min call clot_right confidence 80\n      - 7min milrinone 0.375mcg/kg/min\n"
    "endings:\n  - {id: morning, at_length: yes, outcome: mixed, text: It is morning.}\n";

static Session *open_night(uint64_t seed) {
    Error error;
    Case *read = sim_case_parse(TEXT, strlen(TEXT), "branches.yaml", &errors);
    ck_assert_msg(read != NULL, "%d: %s", errors.items[0].line, errors.items[0].what);
    SessionOptions options = sim_session_options_none();
    options.seed_given = true;
    options.seed = seed;
    Session *session = sim_session_open(read, &options, &error);
    ck_assert_msg(session != NULL, "%s", error.what);
    sim_case_free(read);
    return session;
}

static void play(Session *session, double to_s) {
    Error error;
    ck_assert_msg(sim_session_advance_to(session, to_s, &error) == ERROR_OK, "%s", error.what);
}

START_TEST(branches_night_is_the_same_again_and_from_any_copy) {
    static SessionState copy;
    Error error;
    int ways[SCRIPT_WAY_COUNT] = {0};
    for (uint64_t seed = 1; seed <= 4; seed++) {
        Session *one = open_night(seed), *two = open_night(seed), *other = open_night(seed + 100);
        play(one, 90 + 40 * (double)seed); /* before, between and after the draws */
        sim_session_save(one, &copy);
        play(one, 900);
        play(two, 900);
        ck_assert_uint_eq(sim_session_hash(one), sim_session_hash(two));
        /* a session opened with another seed takes over the draws with the state */
        ck_assert_int_eq(sim_session_restore(other, &copy, &error), ERROR_OK);
        play(other, 900);
        ck_assert_uint_eq(sim_session_hash(one), sim_session_hash(other));
        const ScriptState *a = sim_session_script(one), *b = sim_session_script(other);
        for (int i = 0; i < 3; i++) {
            ck_assert_int_eq(a->way[i], b->way[i]);
            ck_assert_double_eq(a->fired_s[i], b->fired_s[i]);
        }
        ck_assert_int_eq(memcmp(sim_session_score(one), sim_session_score(two), sizeof(ScoreState)), 0);
        ck_assert(a->way[1] == SCRIPT_WAY_NONE || a->way[2] == SCRIPT_WAY_NONE);
        ways[a->way[0]]++;
        sim_session_close(one);
        sim_session_close(two);
        sim_session_close(other);
    }
    ck_assert_int_gt(ways[SCRIPT_WAY_DO], 0);
    ck_assert_int_gt(ways[SCRIPT_WAY_OTHERWISE], 0);
}
END_TEST

static void last_fingerprint(char print[32]) {
    const char *at = strstr(program.out, "fingerprint ");
    ck_assert_msg(at != NULL, "%s%s", program.out, program.err);
    ck_assert_int_eq(sscanf(at, "fingerprint %31s", print), 1);
}

START_TEST(branches_night_replays_and_resumes_bit_for_bit) {
    char path[128], whole[32], again[32], score[256] = "";
    make_folder();
    snprintf(path, sizeof path, "%s/branches.yaml", folder);
    FILE *file = fopen(path, "w");
    ck_assert_ptr_nonnull(file);
    fputs(TEXT, file);
    fclose(file);
    for (int seed = 1; seed <= 2; seed++) {
        char command[256];
        snprintf(command, sizeof command, "run $F/branches.yaml --plan plan --seed %d --save $F/%d.night",
                 seed, seed);
        run(command);
        ck_assert_msg(program.status == 0, "%s", program.err);
        last_fingerprint(whole);
        const char *points = strstr(program.out, "score     ");
        ck_assert_ptr_nonnull(points);
        snprintf(score, sizeof score, "%.*s", (int)strcspn(points, "\n"), points);
        snprintf(command, sizeof command, "replay $F/%d.night", seed);
        run(command);
        ck_assert_msg(program.status == 0, "%s", program.err);
        /* stopped between the branches, and gone on with */
        snprintf(command, sizeof command,
                 "run $F/branches.yaml --plan plan --seed %d --until 200s --save $F/%d-cut.night", seed,
                 seed);
        run(command);
        ck_assert_msg(program.status == 0, "%s", program.err);
        snprintf(command, sizeof command, "resume $F/%d-cut.night --until 15min", seed);
        run(command);
        ck_assert_msg(program.status == 0, "%s", program.err);
        last_fingerprint(again);
        ck_assert_str_eq(again, whole);
        ck_assert_msg(strstr(program.out, score) != NULL, "%s not in %s", score, program.out);
    }
    remove_folder();
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("branches");
    TCase *c = tcase_create("branches");
    tcase_set_timeout(c, 120);
    tcase_add_test(c, branches_onsets_are_spread_evenly);
    tcase_add_test(c, branches_chances_come_as_often_as_they_say);
    tcase_add_test(c, branches_draws_do_not_hang_together);
    tcase_add_test(c, branches_same_seed_draws_the_same);
    tcase_add_test(c, branches_night_is_the_same_again_and_from_any_copy);
    tcase_add_test(c, branches_night_replays_and_resumes_bit_for_bit);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
