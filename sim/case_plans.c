/* The parts of a case that are about a whole night: windows of time, example plans, the rubric. */
#include "sim/case_schema.h"

#include "sim/duration.h"
#include "sim/quantity.h"
#include "sim/suggest.h"

#include <stdio.h>
#include <string.h>

#define LONGEST_S 172800.0 /* of a window of time and of a step's time: the longest case */

/* Of a row that does not say: design. */
#define INSIDE_FULL_FRAC 0.9
#define INSIDE_NONE_FRAC 0.5
#define CALL_FULL_S      600.0
#define CALL_NONE_S      2400.0

enum { TIME_TEXT_MAX = 32 };

static bool need_text(CaseReader *reader, const YamlNode *node, const char *what, const char *allowed) {
    if (node->kind == YAML_KIND_TEXT) return true;
    Error error;
    model_error_set(&error, ERROR_FORMAT, "%s: %s is found", what, sim_yaml_kind_word(node->kind));
    model_error_allow(&error, "%s", allowed);
    sim_case_read_error(reader, node, &error);
    return false;
}

/* ---- within ---- */

void sim_case_read_within(CaseReader *reader, const YamlNode *node, void *target) {
    static const char FORM[] = "two times: [8min, 20min]";
    CaseEvent *event = target;
    double time_s[2] = {0, 0};
    int count = 0;
    Error error;
    if (node->kind != YAML_KIND_LIST) {
        model_error_set(&error, ERROR_FORMAT, "within is %s", sim_yaml_kind_word(node->kind));
        model_error_allow(&error, "%s", FORM);
        sim_case_read_error(reader, node, &error);
        return;
    }
    for (const YamlNode *child = sim_yaml_first(reader->tree, node); child != NULL && count < 2;
         child = sim_yaml_next(reader->tree, child), count++) {
        if (!need_text(reader, child, "within", FORM)) return;
        if (sim_duration_parse(child->text, &time_s[count], &error) != ERROR_OK) {
            sim_case_read_error(reader, child, &error);
            return;
        }
    }
    if (node->count != 2 || time_s[0] >= time_s[1] || time_s[1] > LONGEST_S) {
        model_error_set(&error, ERROR_COMBINATION, "within is not an earlier and a later time");
        model_error_allow(&error, "%s, at most 48h", FORM);
        sim_case_read_error(reader, node, &error);
        return;
    }
    event->at_s = time_s[0];
    event->until_s = time_s[1];
}

/* ---- plans ---- */

/* Splits "12min look four_chamber" and checks the act's words; an error stands at its column. */
static void read_step(CaseReader *reader, const YamlNode *node, CasePlan *plan) {
    static const char BLANKS[] = " \t\r\n";
    static const char FORM[] = "TIME and an act: 12min look four_chamber; in quotes if it has a colon";
    Case *out = reader->out;
    CaseStep step = {.line = node->line, .column = node->column};
    Error error;
    if (!need_text(reader, node, "a step", FORM)) return;
    size_t time_length = strcspn(node->text, BLANKS);
    size_t start = time_length + strspn(node->text + time_length, BLANKS);
    size_t length = strlen(node->text + start);
    ErrorCode code = ERROR_OK;
    if (length == 0 || length >= sizeof step.text || time_length >= TIME_TEXT_MAX) {
        code = model_error_set(&error, ERROR_SYNTAX, "this is no time followed by an act");
        model_error_allow(&error, "%s", FORM);
    } else if (out->step_count == CASE_STEPS_MAX) {
        code = model_error_set(&error, ERROR_RANGE, "the plans have too many steps");
        model_error_allow(&error, "at most %d in all", CASE_STEPS_MAX);
    } else {
        char time_text[TIME_TEXT_MAX];
        snprintf(time_text, sizeof time_text, "%.*s", (int)time_length, node->text);
        memcpy(step.text, node->text + start, length + 1);
        model_error_clear(&error);
        code = sim_duration_parse(time_text, &step.time_s, &error);
        if (code == ERROR_OK && step.time_s > LONGEST_S) {
            code = model_error_set(&error, ERROR_RANGE, "the time %s is out of range", time_text);
            model_error_allow(&error, "0s to 48h");
        }
    }
    if (code != ERROR_OK) {
        model_error_at(&error, reader->name, node->line, node->column + (node->quoted ? 1 : 0));
        sim_errorlist_add(reader->errors, &error);
        return;
    }
    out->steps[out->step_count++] = step;
    plan->step_count++;
}

void sim_case_read_steps(CaseReader *reader, const YamlNode *node, void *target) {
    CasePlan *plan = target;
    plan->first_step = reader->out->step_count;
    if (node->kind == YAML_KIND_TEXT) {
        read_step(reader, node, plan);
        return;
    }
    if (node->kind != YAML_KIND_LIST) {
        need_text(reader, node, "steps", "a list: - 12min look four_chamber");
        return;
    }
    for (const YamlNode *child = sim_yaml_first(reader->tree, node); child != NULL;
         child = sim_yaml_next(reader->tree, child)) {
        read_step(reader, child, plan);
    }
}

/* The words of every step, once it is known what may be ordered. */
void sim_case_check_plans(CaseReader *reader) {
    Case *out = reader->out;
    for (int p = 0; p < out->plan_count; p++) {
        const CasePlan *plan = &out->plans[p];
        for (int i = 0; i < plan->step_count; i++) {
            const CaseStep *step = &out->steps[plan->first_step + i];
            Act act;
            Error error;
            model_error_clear(&error);
            if (sim_acts_parse(step->text, &out->limits, &act, &error) == ERROR_OK) continue;
            char what[ERROR_WHAT_MAX];
            snprintf(what, sizeof what, "plan %.40s, \"%.60s\": %.120s", plan->id, step->text, error.what);
            memcpy(error.what, what, sizeof what);
            model_error_at(&error, reader->name, step->line, step->column);
            sim_errorlist_add(reader->errors, &error);
        }
    }
}

int sim_case_find_plan(const Case *case_file, const char *id, Error *error) {
    const char *names[CASE_PLANS_MAX];
    for (int i = 0; i < case_file->plan_count; i++) {
        if (strcmp(case_file->plans[i].id, id) == 0) return i;
        names[i] = case_file->plans[i].id;
    }
    model_error_set(error, ERROR_UNKNOWN_NAME, "case %s has no plan \"%.60s\"", case_file->id, id);
    char list[ERROR_ALLOWED_MAX] = "this case has no plans";
    size_t used = 0;
    for (int i = 0; i < case_file->plan_count && used < sizeof list; i++) {
        used += (size_t)snprintf(list + used, sizeof list - used, "%s%s", i == 0 ? "one of: " : ", ",
                                 case_file->plans[i].id);
    }
    sim_suggest_allow(error, id, names, (size_t)case_file->plan_count, "", list);
    return -1;
}

const char *sim_case_rank_word(CaseRank rank) {
    static const char *const words[CASE_RANK_COUNT] = {"good", "late", "wrong"};
    return words[rank];
}

/* ---- score ---- */

void sim_case_read_inside(CaseReader *reader, const YamlNode *node, void *target) {
    CaseScore *row = target;
    Error error;
    if (!need_text(reader, node, "score[].inside", "a displayed quantity: art_mean_mmhg")) return;
    row->inside = sim_instruments_display_find(node->text);
    if (row->inside != DISPLAY_COUNT) return;
    const char *names[DISPLAY_COUNT];
    for (int i = 0; i < DISPLAY_COUNT; i++) {
        names[i] = sim_instruments_display_row((DisplayId)i)->key;
    }
    model_error_set(&error, ERROR_UNKNOWN_NAME, "there is no displayed quantity \"%.60s\"", node->text);
    sim_suggest_allow(&error, node->text, names, DISPLAY_COUNT, "", "see: evenkeel list display");
    sim_case_read_error(reader, node, &error);
}

/* A share of the time, or a duration: which of the two the row needs is checked later. */
static void read_bound(CaseReader *reader, const YamlNode *node, double *out) {
    Error error;
    if (!need_text(reader, node, node->key, "a share of the time (0.9), or a duration (10min)")) return;
    if (sim_quantity_number(node->text, out, NULL) == ERROR_OK ||
        sim_duration_parse(node->text, out, NULL) == ERROR_OK)
        return;
    model_error_set(&error, ERROR_SYNTAX, "%s \"%.40s\" is neither a share nor a duration", node->key,
                    node->text);
    model_error_allow(&error, "inside: a share of the time (0.9); call: a duration (10min)");
    sim_case_read_error(reader, node, &error);
}

void sim_case_read_full(CaseReader *reader, const YamlNode *node, void *target) {
    read_bound(reader, node, &((CaseScore *)target)->full);
}

void sim_case_read_none(CaseReader *reader, const YamlNode *node, void *target) {
    read_bound(reader, node, &((CaseScore *)target)->none);
}

/* What a row of each kind is known by, and the keys that go with it. */
static const struct {
    const char *key, *with; /* separated by blanks */
} KINDS[CASE_SCORE_KIND_COUNT] = {
    [CASE_SCORE_OBJECTIVE] = {"objective", " points text "},
    [CASE_SCORE_ENDING] = {"ending", " points text "},
    [CASE_SCORE_INSIDE] = {"inside", " points full none text "},
    [CASE_SCORE_CALL] = {"call", " points full none text "},
    [CASE_SCORE_PREDICTIONS] = {"predictions", " points text "},
    [CASE_SCORE_MINUS] = {"minus", " when each at_most text "},
};

static void say(CaseReader *reader, const YamlNode *node, const char *what, const char *allowed) {
    Error error;
    model_error_set(&error, ERROR_COMBINATION, "%s", what);
    model_error_allow(&error, "%s", allowed);
    sim_case_read_error(reader, node, &error);
}

/* Exactly one kind, and only the keys that go with it. False if the kind is not clear. */
static bool check_row_keys(CaseReader *reader, const YamlNode *node, CaseScore *row) {
    int kinds = 0;
    for (int i = 0; i < CASE_SCORE_KIND_COUNT; i++) {
        if (sim_yaml_get(reader->tree, node, KINDS[i].key) == NULL) continue;
        row->kind = (CaseScoreKind)i;
        kinds++;
    }
    if (kinds != 1) {
        say(reader, node, kinds == 0 ? "this row of score says nothing" : "this row of score says two things",
            "one of: objective, ending, inside, call, predictions, minus");
        return false;
    }
    for (const YamlNode *child = sim_yaml_first(reader->tree, node); child != NULL;
         child = sim_yaml_next(reader->tree, child)) {
        char wanted[CASE_PATH_TEXT_MAX];
        snprintf(wanted, sizeof wanted, " %.60s ", child->key);
        if (strcmp(child->key, KINDS[row->kind].key) == 0 || strstr(KINDS[row->kind].with, wanted) != NULL ||
            sim_case_schema_find("score[].", child->key) == NULL)
            continue;
        Error error;
        model_error_set(&error, ERROR_COMBINATION, "\"%s\" does not go with \"%s\"", child->key,
                        KINDS[row->kind].key);
        model_error_allow(&error, "with %s:%s", KINDS[row->kind].key, KINDS[row->kind].with);
        sim_case_read_error_key(reader, child, &error);
    }
    return true;
}

static void check_objective(CaseReader *reader, const YamlNode *node, CaseScore *row) {
    Case *out = reader->out;
    const char *names[CASE_OBJECTIVES_MAX];
    row->objective = -1;
    for (int i = 0; i < out->objective_count; i++) {
        names[i] = out->objectives[i].id;
        if (strcmp(names[i], row->objective_id) == 0) row->objective = i;
    }
    if (row->objective >= 0 || row->objective_id[0] == '\0') return;
    Error error;
    model_error_set(&error, ERROR_UNKNOWN_NAME, "there is no objective \"%s\"", row->objective_id);
    sim_suggest_allow(&error, row->objective_id, names, (size_t)out->objective_count, "",
                      "the id of an objective of this case");
    sim_case_read_error(reader, sim_case_key_of(reader, node, "objective"), &error);
}

/* Full and none of a row, in the right sort and order. */
static void check_bounds(CaseReader *reader, const YamlNode *node, CaseScore *row) {
    const YamlNode *full = sim_yaml_get(reader->tree, node, "full"),
                   *none = sim_yaml_get(reader->tree, node, "none");
    bool inside = row->kind == CASE_SCORE_INSIDE;
    if (full == NULL) row->full = inside ? INSIDE_FULL_FRAC : CALL_FULL_S;
    if (none == NULL) row->none = inside ? INSIDE_NONE_FRAC : CALL_NONE_S;
    double number;
    const YamlNode *bounds[] = {full, none};
    for (int i = 0; i < 2; i++) {
        if (bounds[i] == NULL || bounds[i]->kind != YAML_KIND_TEXT) continue;
        bool plain = sim_quantity_number(bounds[i]->text, &number, NULL) == ERROR_OK;
        if (plain != inside || (inside && (number < 0 || number > 1))) {
            say(reader, bounds[i], inside ? "inside needs shares of the time" : "call needs durations",
                inside ? "0 to 1: full: 0.9, none: 0.5" : "full: 10min, none: 40min");
            return;
        }
    }
    if (inside ? row->full <= row->none : row->full >= row->none)
        say(reader, full != NULL ? full : node, inside ? "full is not above none" : "full is not before none",
            inside ? "full: 0.9, none: 0.5" : "full: 10min, none: 40min");
}

static void check_row(CaseReader *reader, const YamlNode *node, CaseScore *row) {
    const Case *out = reader->out;
    if (!check_row_keys(reader, node, row)) return;
    bool minus = row->kind == CASE_SCORE_MINUS;
    if (!minus && sim_yaml_get(reader->tree, node, "points") == NULL)
        say(reader, node, "the key points is missing", "points: 20");
    if (minus && sim_yaml_get(reader->tree, node, "when") == NULL)
        say(reader, node, "the key when is missing", "when: shown_art_mean_mmhg < 55");
    if (minus && sim_yaml_get(reader->tree, node, "text") == NULL)
        say(reader, node, "the key text is missing", "text: Time below 55 mmHg.");
    if (minus && row->each_s <= 0) row->points = row->minus;
    if (row->kind == CASE_SCORE_OBJECTIVE) check_objective(reader, node, row);
    if (row->kind == CASE_SCORE_INSIDE || row->kind == CASE_SCORE_CALL) check_bounds(reader, node, row);
    if (row->kind == CASE_SCORE_INSIDE && row->inside < DISPLAY_COUNT && !out->targets[row->inside].given) {
        Error error;
        model_error_set(&error, ERROR_COMBINATION, "%s has no target",
                        sim_instruments_display_row(row->inside)->key);
        model_error_allow(&error, "targets: {%s: [low, high]}",
                          sim_instruments_display_row(row->inside)->key);
        sim_case_read_error(reader, sim_case_key_of(reader, node, "inside"), &error);
    }
    if (row->kind == CASE_SCORE_PREDICTIONS && !row->predictions)
        say(reader, sim_case_key_of(reader, node, "predictions"), "predictions: no is no row",
            "predictions: yes, or leave the row out");
}

void sim_case_check_score(CaseReader *reader) {
    Case *out = reader->out;
    for (int i = 0; i < out->score_count; i++) {
        const YamlNode *node = sim_case_entry(reader, "score", i);
        if (node != NULL && node->kind == YAML_KIND_MAP) check_row(reader, node, &out->score[i]);
    }
}
