/* The rubric: what its lines say. */
#include "sim/score.h"

#include "sim/duration.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define ROUNDED     10.0 /* points are tenths */
#define MIXED_SHARE 0.5  /* of the points of a good ending; design */
#define PERCENT     100.0
#define SECOND_S    1.0

enum { CLOCK_MAX = 16, SPAN_MAX = DURATION_TEXT_MAX };

/* What goes through the rows. */
typedef struct Teller {
    const Case *night;
    const ScoreView *view;
    ScoreLine *lines;
    int count;
    bool ending_told;
} Teller;

static double tenths(double points) {
    return round(points * ROUNDED) / ROUNDED;
}

static const char *clock_text(double time_s, char text[CLOCK_MAX]) {
    char clock[DURATION_TEXT_MAX];
    sim_duration_format_clock(fmax(time_s, 0.0), clock, sizeof clock);
    snprintf(text, CLOCK_MAX, "%.5s", clock);
    return text;
}

/* "12min30s", to whole seconds. */
static const char *span_text(double span_s, char text[SPAN_MAX]) {
    sim_duration_format(floor(span_s / SECOND_S) * SECOND_S, text, SPAN_MAX);
    return text;
}

/* Share of the points at `value`, evenly from none (0) to full (1), whichever of the two is larger. */
static double share_between(double value, double none, double full) {
    return fmin(fmax((value - none) / (full - none), 0.0), 1.0);
}

static ScoreLine *add_line(Teller *teller, const CaseScore *row, double share, double most) {
    ScoreLine *line = &teller->lines[teller->count++];
    memset(line, 0, sizeof *line);
    line->kind = row->kind;
    line->got = tenths(share * most);
    line->most = most;
    memcpy(line->what, row->text, sizeof line->what);
    return line;
}

static void tell_objective(Teller *teller, const CaseScore *row) {
    char clock[CLOCK_MAX];
    if (row->objective < 0) return;
    const CaseObjective *objective = &teller->night->objectives[row->objective];
    double met_s = teller->view->objective_met_s[row->objective];
    ScoreLine *line = add_line(teller, row, met_s >= 0 ? 1.0 : 0.0, row->points);
    snprintf(line->key, sizeof line->key, "objective:%s", objective->id);
    if (row->text[0] == '\0') memcpy(line->what, objective->text, sizeof line->what);
    if (met_s >= 0)
        snprintf(line->why, sizeof line->why, "met at %s", clock_text(met_s, clock));
    else
        snprintf(line->why, sizeof line->why, "not met by %s",
                 clock_text(fmin(objective->by_s, teller->night->length_s), clock));
}

/* Points of an outcome, and the most that any outcome gives. */
static double ending_points(const Case *night, CaseOutcome outcome, double *most) {
    double points = 0, good = 0;
    bool own = false;
    *most = 0;
    for (int i = 0; i < night->score_count; i++) {
        const CaseScore *row = &night->score[i];
        if (row->kind != CASE_SCORE_ENDING) continue;
        *most = fmax(*most, row->points);
        if (row->outcome == CASE_OUTCOME_GOOD) good = row->points;
        if (row->outcome != outcome) continue;
        points = row->points;
        own = true;
    }
    return outcome == CASE_OUTCOME_MIXED && !own ? MIXED_SHARE * good : points;
}

/* One line for all rows about endings, where the first of them stands. */
static void tell_ending(Teller *teller, const CaseScore *row) {
    const ScoreView *view = teller->view;
    double most;
    if (teller->ending_told) return;
    teller->ending_told = true;
    double points = ending_points(teller->night, view->outcome, &most);
    ScoreLine *line = add_line(teller, row, view->ended && most > 0 ? points / most : 0.0, most);
    snprintf(line->key, sizeof line->key, "ending");
    if (row->text[0] == '\0') snprintf(line->what, sizeof line->what, "How the night ends.");
    if (!view->ended)
        snprintf(line->why, sizeof line->why, "the night is not over");
    else
        snprintf(line->why, sizeof line->why, "it ended: %s",
                 view->outcome == CASE_OUTCOME_NONE ? "without an outcome"
                                                    : sim_case_outcome_word(view->outcome));
}

static void tell_inside(Teller *teller, const CaseScore *row, int index) {
    const ScoreView *view = teller->view;
    const DisplayRow *display = sim_instruments_display_row(row->inside);
    const CaseTarget *target = &teller->night->targets[row->inside];
    double held_s = view->score->held_s[index], known_s = view->score->known_s[index];
    bool dead = view->ended && view->outcome == CASE_OUTCOME_DEATH;
    double of_s = known_s + (dead ? fmax(teller->night->length_s - view->time_s, 0.0) : 0.0);
    double frac = of_s > 0 ? held_s / of_s : 0.0;
    ScoreLine *line =
        add_line(teller, row, of_s > 0 ? share_between(frac, row->none, row->full) : 0.0, row->points);
    snprintf(line->key, sizeof line->key, "inside:%.40s", display->key);
    if (row->text[0] == '\0')
        snprintf(line->what, sizeof line->what, "%s %g to %g %s.", display->label, target->low, target->high,
                 display->unit);
    if (known_s > 0)
        snprintf(line->why, sizeof line->why,
                 "%.0f %% of the time%s; all points from %.0f %%, none to %.0f %%", PERCENT * frac,
                 dead ? ", counted to the end the night should have had" : " it was on show",
                 PERCENT * row->full, PERCENT * row->none);
    else
        snprintf(line->why, sizeof line->why, "it was never on show");
}

static double call_share(const CaseScore *row, const ScoreTrouble *trouble, double *called_s) {
    *called_s = row->call == CASE_CALL_KIND ? trouble->kind_s : trouble->right_s;
    return *called_s < 0 ? 0.0 : share_between(*called_s - trouble->from_s, row->none, row->full);
}

/* "00:22, 12min after its onset", or that there was none; of several troubles the first that was missed. */
static void say_calls(const CaseScore *row, const ScoreState *score, char *why, size_t size) {
    char from[CLOCK_MAX], at[CLOCK_MAX], span[SPAN_MAX], bounds[2][SPAN_MAX];
    int called = 0, told = 0;
    double called_s;
    for (int i = 0; i < score->trouble_count; i++) {
        call_share(row, &score->trouble[i], &called_s);
        called += called_s >= 0;
    }
    for (int i = 0; i < score->trouble_count; i++) {
        call_share(row, &score->trouble[i], &called_s);
        if (called_s >= 0) continue;
        told = i;
        break;
    }
    const ScoreTrouble *trouble = &score->trouble[told];
    call_share(row, trouble, &called_s);
    clock_text(trouble->from_s, from);
    size_t used = 0;
    if (score->trouble_count > 1)
        used = (size_t)snprintf(why, size, "%d of %d named; ", called, score->trouble_count);
    if (called_s >= 0)
        snprintf(why + used, size - used, "began %s, called %s, %s later; all points to %s, none from %s",
                 from, clock_text(called_s, at), span_text(called_s - trouble->from_s, span),
                 span_text(row->full, bounds[0]), span_text(row->none, bounds[1]));
    else
        snprintf(why + used, size - used, "%s began %s and was not called",
                 sim_diagnoses_row(trouble->diagnosis)->label, from);
}

static void tell_call(Teller *teller, const CaseScore *row) {
    const ScoreState *score = teller->view->score;
    double sum = 0, called_s;
    for (int i = 0; i < score->trouble_count; i++)
        sum += call_share(row, &score->trouble[i], &called_s);
    bool well = score->trouble_count == 0;
    double share = well ? score->false_calls == 0 : sum / score->trouble_count;
    ScoreLine *line = add_line(teller, row, share, row->points);
    snprintf(line->key, sizeof line->key, row->call == CASE_CALL_KIND ? "call:kind" : "call:right");
    if (row->text[0] == '\0')
        snprintf(line->what, sizeof line->what,
                 row->call == CASE_CALL_KIND ? "Says what kind of problem it is." : "Says what is wrong.");
    if (well)
        snprintf(line->why, sizeof line->why, "nothing was wrong, %s",
                 score->false_calls == 0 ? "and no problem was called" : "and a problem was called");
    else
        say_calls(row, score, line->why, sizeof line->why);
}

static void tell_predictions(Teller *teller, const CaseScore *row) {
    const ScoreState *score = teller->view->score;
    double brier = score->parts > 0 ? score->brier_sum / score->parts : SCORE_BRIER_NONE;
    ScoreLine *line =
        add_line(teller, row, share_between(brier, SCORE_BRIER_NONE, SCORE_BRIER_FULL), row->points);
    snprintf(line->key, sizeof line->key, "predictions");
    if (row->text[0] == '\0')
        snprintf(line->what, sizeof line->what, "Knows beforehand what orders do, and how surely.");
    if (score->parts > 0)
        snprintf(line->why, sizeof line->why,
                 "%d of %d right, Brier score %.2f; all points to %.2f, none from %.2f", score->hits,
                 score->parts, brier, SCORE_BRIER_FULL, SCORE_BRIER_NONE);
    else
        snprintf(line->why, sizeof line->why, "nothing was predicted whose time has come");
}

static void tell_minus(Teller *teller, const CaseScore *row, int index) {
    const ScoreState *score = teller->view->score;
    char span[SPAN_MAX], each[SPAN_MAX];
    double times = row->each_s > 0 ? floor(score->held_s[index] / row->each_s) : score->times[index] > 0;
    double off = times * row->minus;
    if (row->points > 0) off = fmin(off, row->points);
    ScoreLine *line = add_line(teller, row, 0.0, 0.0);
    line->got = off > 0 ? -tenths(off) : 0.0;
    snprintf(line->key, sizeof line->key, "minus:%d", index);
    if (score->times[index] == 0)
        snprintf(line->why, sizeof line->why, "did not happen");
    else if (row->each_s > 0)
        snprintf(line->why, sizeof line->why, "%s in all; %g off for each %s%s",
                 span_text(score->held_s[index], span), row->minus, span_text(row->each_s, each),
                 row->points > 0 && off >= row->points ? ", as much as it may cost" : "");
    else
        snprintf(line->why, sizeof line->why, "happened, for %s in all",
                 span_text(score->held_s[index], span));
}

int sim_score_tell(const Case *case_file, const ScoreView *view, ScoreLine lines[SCORE_LINES_MAX]) {
    Teller teller = {.night = case_file, .view = view, .lines = lines};
    for (int i = 0; i < case_file->score_count; i++) {
        const CaseScore *row = &case_file->score[i];
        switch (row->kind) {
        case CASE_SCORE_OBJECTIVE:
            tell_objective(&teller, row);
            break;
        case CASE_SCORE_ENDING:
            tell_ending(&teller, row);
            break;
        case CASE_SCORE_INSIDE:
            tell_inside(&teller, row, i);
            break;
        case CASE_SCORE_CALL:
            tell_call(&teller, row);
            break;
        case CASE_SCORE_PREDICTIONS:
            tell_predictions(&teller, row);
            break;
        case CASE_SCORE_MINUS:
            tell_minus(&teller, row, i);
            break;
        case CASE_SCORE_KIND_COUNT:
            break;
        }
    }
    return teller.count;
}

ScoreTotal sim_score_total(const ScoreLine lines[], int count) {
    ScoreTotal total = {0, 0, 0};
    for (int i = 0; i < count; i++) {
        total.got += lines[i].got;
        total.most += lines[i].most;
    }
    total.got = tenths(fmax(total.got, 0.0));
    if (total.most > 0) total.percent = PERCENT * total.got / total.most;
    return total;
}

const char *sim_score_format(double points, char text[SCORE_POINTS_TEXT_MAX]) {
    snprintf(text, SCORE_POINTS_TEXT_MAX, "%.6g", tenths(points));
    return text;
}
