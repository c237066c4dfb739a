/* What might have been: acts of the night moved, left out, reworded or added; computed in the background. */
#include "ui/debrief.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define WAIT_S  0.5 /* after the last change, before it is computed */
#define PERCENT 100.0

/* ---- the list of acts ---- */

static void say(DebriefState *state, const char *text) {
    snprintf(state->whatif.problem, sizeof state->whatif.problem, "%s", text);
}

/* The words of the chosen act into their field. */
static void show_words(DebriefState *state) {
    DebriefWhatifState *w = &state->whatif;
    ui_textfield_set(&state->field[DEBRIEF_FIELD_WORDS],
                     w->chosen < w->edits ? w->edit[w->chosen].words : "");
}

static void as_it_was(DebriefState *state) {
    DebriefWhatifState *w = &state->whatif;
    w->edits = 0;
    for (int i = 0; i < w->acts.count && w->edits < DEBRIEF_EDITS_MAX; i++) {
        const RerunAct *act = &w->acts.act[i];
        DebriefEdit *edit = &w->edit[w->edits++];
        *edit = (DebriefEdit){.time_s = act->time_s, .was_s = act->time_s, .kind = act->kind};
        snprintf(edit->words, sizeof edit->words, "%s", act->words);
        snprintf(edit->was, sizeof edit->was, "%s", act->words);
    }
    w->chosen = w->chosen < w->edits ? w->chosen : 0;
}

static void offer(DebriefState *state) {
    DebriefWhatifState *w = &state->whatif;
    double time_s[DEBRIEF_EDITS_MAX];
    as_it_was(state);
    if (w->acts.count > DEBRIEF_EDITS_MAX) return;
    w->offered = sim_whatif_earlier(state->recall, &w->acts, WHATIF_EARLIER_S, time_s);
    int first = -1;
    for (int i = 0; i < w->edits; i++) {
        if (fabs(time_s[i] - w->edit[i].time_s) > 0.5 && first < 0) first = i;
        w->edit[i].time_s = time_s[i];
    }
    if (first >= 0) w->chosen = first;
    show_words(state);
}

/* Makes the other list from the edits. */
static bool make_otherwise(DebriefWhatifState *w) {
    sim_rerun_acts_free(&w->otherwise);
    for (int i = 0; i < w->edits; i++) {
        const DebriefEdit *edit = &w->edit[i];
        if (!edit->dropped && edit->words[0] != '\0' &&
            !sim_rerun_acts_add(&w->otherwise, edit->time_s, edit->kind, edit->words))
            return false;
    }
    return true;
}

static bool changed(const DebriefWhatifState *w) {
    return w->begun && isfinite(sim_whatif_parts_s(&w->acts, &w->otherwise));
}

static void touch(DebriefState *state) {
    DebriefWhatifState *w = &state->whatif;
    if (!make_otherwise(w)) say(state, "There is no memory for this.");
    w->stale = true;
    w->changed_s = -1.0;
    if (w->job != NULL) sim_whatif_job_stop(w->job);
}

void ui_debrief_whatif_begin(DebriefState *state) {
    DebriefWhatifState *w = &state->whatif;
    if (w->begun) return;
    w->begun = true;
    if (!state->recall->same_build) {
        say(state, "Another build recorded this night: it cannot be played otherwise.");
        return;
    }
    if (!sim_whatif_acts(state->recall, &w->acts)) say(state, "There is no memory for this.");
    as_it_was(state);
    offer(state);
    if (w->offered > 0)
        touch(state);
    else
        say(state, "There is no treatment to move in this night. Change or add an act.");
    show_words(state);
}

/* ---- intents ---- */

static void move(DebriefState *state, double by_s) {
    DebriefWhatifState *w = &state->whatif;
    DebriefEdit *edit = &w->edit[w->chosen];
    edit->time_s = fmin(fmax(edit->time_s + by_s, 0.0), fmax(sim_whatif_until_s(state->recall) - 60.0, 0.0));
    touch(state);
}

/* Takes over what was typed, if it can be understood. */
static void take_words(DebriefState *state) {
    DebriefWhatifState *w = &state->whatif;
    DebriefEdit *edit = &w->edit[w->chosen];
    const char *words = state->field[DEBRIEF_FIELD_WORDS].text;
    Act act;
    Error error;
    model_error_clear(&error);
    state->whatif.problem[0] = '\0';
    if (sim_acts_parse(words, &state->recall->case_file->limits, &act, &error) != ERROR_OK) {
        model_error_format(&error, w->problem, sizeof w->problem);
        return;
    }
    snprintf(edit->words, sizeof edit->words, "%s", words);
    touch(state);
}

static void add(DebriefState *state) {
    DebriefWhatifState *w = &state->whatif;
    if (w->edits == DEBRIEF_EDITS_MAX) return;
    w->chosen = w->edits++;
    w->edit[w->chosen] = (DebriefEdit){
        .time_s = fmin(state->cursor_s, sim_whatif_until_s(state->recall)), .was_s = -1.0, .kind = LOG_ORDER};
    show_words(state);
    say(state, "Write what is to be done, for example: bolus crystalloid 250mL over 10min. Enter takes it.");
}

void ui_debrief_whatif_apply(DebriefState *state, const Intent *intent) {
    DebriefWhatifState *w = &state->whatif;
    if (!w->begun || !state->recall->same_build) return;
    bool any = w->edits > 0 && w->chosen < w->edits;
    switch ((DebriefPart)intent->number) {
    case DEBRIEF_PART_ACT:
        if (intent->amount >= 0.0 && intent->amount < w->edits) w->chosen = (int)intent->amount;
        show_words(state);
        break;
    case DEBRIEF_PART_MOVE:
        if (any) move(state, intent->amount);
        break;
    case DEBRIEF_PART_DROP:
        if (any) w->edit[w->chosen].dropped = !w->edit[w->chosen].dropped;
        if (any) touch(state);
        break;
    case DEBRIEF_PART_WORDS:
        if (any) take_words(state);
        break;
    case DEBRIEF_PART_ADD:
        add(state);
        break;
    case DEBRIEF_PART_OFFER:
        w->problem[0] = '\0';
        offer(state);
        touch(state);
        break;
    case DEBRIEF_PART_RESET:
        w->problem[0] = '\0';
        as_it_was(state);
        touch(state);
        break;
    case DEBRIEF_PART_STOP:
        if (w->job != NULL) sim_whatif_job_stop(w->job);
        break;
    default:
        break;
    }
}

/* ---- the job ---- */

static void start_job(DebriefState *state) {
    DebriefWhatifState *w = &state->whatif;
    Error error;
    model_error_clear(&error);
    w->stale = false;
    if (!changed(w)) return;
    w->job = sim_whatif_job_start(state->recall, &w->acts, &w->otherwise, WHATIF_VARIANTS, &error);
    if (w->job == NULL) model_error_format(&error, w->problem, sizeof w->problem);
    w->news = (WhatifNews){.working = w->job != NULL};
}

void ui_debrief_whatif_follow(DebriefState *state, double now_s) {
    DebriefWhatifState *w = &state->whatif;
    if (w->job != NULL) sim_whatif_job_news(w->job, &w->news);
    if (w->job != NULL && !w->news.working && w->news.phase == WHATIF_FAILED && !w->stale)
        model_error_format(&w->news.error, w->problem, sizeof w->problem);
    if (!w->stale) return;
    if (w->changed_s < 0.0) w->changed_s = now_s;
    if (now_s - w->changed_s < WAIT_S || (w->job != NULL && w->news.working)) return;
    sim_whatif_job_free(w->job); /* its thread has ended */
    w->job = NULL;
    start_job(state);
}

void ui_debrief_whatif_forget(DebriefState *state) {
    DebriefWhatifState *w = &state->whatif;
    sim_whatif_job_free(w->job);
    w->job = NULL;
    sim_rerun_acts_free(&w->acts);
    sim_rerun_acts_free(&w->otherwise);
}
