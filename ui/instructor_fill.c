/* What the instructor's window shows of a night: the timeline, the truth beside the display, the log, the
   score. */
#include "ui/instructor.h"

#include "model/units.h"
#include "sim/duration.h"
#include "sim/score.h"
#include "ui/tiles.h"
#include "ui/units.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#define APART_SHARE 0.15 /* of the truth: beyond what averaging and noise make of it; design */
#define PERCENT     100.0
#define NO_SHOWN    DISPLAY_COUNT

/* ---- the truth ---- */

typedef struct TruthRow {
    const char *name;
    ObservableId truth;
    DisplayId shown; /* NO_SHOWN: the bedside has no such number */
    int decimals;
    double factor; /* of the truth, to the unit of what is shown */
} TruthRow;

/* In the order of what is looked for first: a low window cuts the end. */
static const TruthRow TRUTHS[] = {
    {"MAP", OBSERVABLE_art_mean_mmhg, DISPLAY_art_mean_mmhg, 0, 1.0},
    {"CVP", OBSERVABLE_cvp_mmhg, DISPLAY_cvp_mmhg, 1, 1.0},
    {"PA mean", OBSERVABLE_pa_mean_mmhg, DISPLAY_pa_mean_mmhg, 0, 1.0},
    {"LA / wedge", OBSERVABLE_la_mean_mmhg, DISPLAY_wedge_mmhg, 1, 1.0},
    {"Pump flow", OBSERVABLE_pump_flow_l_min, DISPLAY_pump_flow_l_min, 1, 1.0},
    {"Systemic / CO td", OBSERVABLE_systemic_flow_l_min, DISPLAY_thermodilution_l_min, 1, 1.0},
    {"Aortic valve", OBSERVABLE_native_flow_l_min, NO_SHOWN, 2, 1.0},
    {"LV volume ED", OBSERVABLE_lv_edv_ml, NO_SHOWN, 0, 1.0},
    {"LV volume ES", OBSERVABLE_lv_esv_ml, NO_SHOWN, 0, 1.0},
    {"RV volume ED", OBSERVABLE_rv_edv_ml, NO_SHOWN, 0, 1.0},
    {"RV volume ES", OBSERVABLE_rv_esv_ml, NO_SHOWN, 0, 1.0},
    {"Septum to the right", OBSERVABLE_septum_mm, NO_SHOWN, 1, 1.0},
    {"Inlet covered", OBSERVABLE_suction_frac, NO_SHOWN, 2, 1.0},
    {"Pericardium", OBSERVABLE_pericardial_mmhg, NO_SHOWN, 1, 1.0},
    {"Pericardial fluid", OBSERVABLE_pericardial_ml, NO_SHOWN, 0, 1.0},
    {"LV contractility", OBSERVABLE_lv_ees_mmhg_ml, NO_SHOWN, 2, 1.0},
    {"RV contractility", OBSERVABLE_rv_ees_mmhg_ml, NO_SHOWN, 2, 1.0},
    {"SVR", OBSERVABLE_svr_wu, NO_SHOWN, 1, 1.0},
    {"PVR", OBSERVABLE_pvr_wu, NO_SHOWN, 1, 1.0},
    {"Blood volume", OBSERVABLE_blood_volume_ml, NO_SHOWN, 0, 1.0},
    {"SvO2", OBSERVABLE_svo2_frac, DISPLAY_svo2_percent, 0, PERCENT},
    {"SaO2 / SpO2", OBSERVABLE_sao2_frac, DISPLAY_spo2_percent, 0, PERCENT},
    {"Lactate", OBSERVABLE_lactate_mmol_l, DISPLAY_lactate_mmol_l, 1, 1.0},
    {"Urine", OBSERVABLE_urine_ml_h, DISPLAY_urine_ml_h, 0, 1.0},
    {"Drain", OBSERVABLE_drain_ml_h, DISPLAY_drain_ml_h, 0, 1.0},
    {"Pump speed", OBSERVABLE_pump_rpm, DISPLAY_pump_rpm, 0, 1.0},
    {"Pump power", OBSERVABLE_pump_power_w, DISPLAY_pump_power_w, 1, 1.0},
};

static void add_row(InstructorView *v, const char *name, const char *unit) {
    InstructorTruth *row = &v->row[v->rows++];
    *row = (InstructorTruth){.apart = false};
    snprintf(row->name, sizeof row->name, "%s", name);
    snprintf(row->unit, sizeof row->unit, "%s", unit);
}

static void format(char text[TEXT_SHORT], double value, int decimals) {
    if (fabs(value) >= 1000.0)
        snprintf(text, TEXT_SHORT, "%.0f", value);
    else
        ui_tiles_format(text, TEXT_SHORT, value, decimals);
}

/* Clots beside the four chambers, where there are any. */
static void fill_clots(InstructorView *v, Feed *feed) {
    static const char *const NAMES[HEART_CHAMBER_COUNT] = {[HEART_LV] = "Clot at LV",
                                                           [HEART_RV] = "Clot at RV",
                                                           [HEART_LA] = "Clot at LA",
                                                           [HEART_RA] = "Clot at RA"};
    double clot_ml[HEART_CHAMBER_COUNT];
    ui_feed_clots(feed, clot_ml);
    for (int i = 0; i < HEART_CHAMBER_COUNT && v->rows < INSTRUCTOR_TRUTHS_MAX; i++) {
        if (clot_ml[i] < 0.5) continue;
        add_row(v, NAMES[i], "mL");
        format(v->row[v->rows - 1].truth, clot_ml[i], 0);
    }
}

static void fill_truth(InstructorView *v, Feed *feed) {
    const Session *session = ui_feed_session(feed);
    const Observables *truth = sim_session_means(session);
    const Display *display = sim_session_display(session);
    const Settings *settings = ui_feed_settings_now(feed);
    bool pump = sim_session_parameters(session)->left_pump_present > 0.5;
    v->rows = 0;
    fill_clots(v, feed);
    for (size_t i = 0; i < sizeof TRUTHS / sizeof TRUTHS[0] && v->rows < INSTRUCTOR_TRUTHS_MAX; i++) {
        const TruthRow *from = &TRUTHS[i];
        bool of_pump = strncmp(from->name, "Pump", 4) == 0 || from->truth == OBSERVABLE_suction_frac;
        if (of_pump && !pump) continue;
        const char *unit = from->shown != NO_SHOWN ? sim_instruments_display_row(from->shown)->unit
                                                   : model_observables_row(from->truth)->unit;
        ShownUnit shown = ui_units_shown(settings, NULL, unit);
        bool plain = strcmp(unit, "fraction") == 0 || strcmp(unit, "1/min") == 0;
        add_row(v, from->name, plain ? (unit[0] == '1' ? "/min" : "") : shown.name);
        InstructorTruth *row = &v->row[v->rows - 1];
        double value = model_observables_get(truth, from->truth) * from->factor;
        format(row->truth, value * shown.factor, from->decimals + shown.more_decimals);
        if (from->shown == NO_SHOWN) continue;
        snprintf(row->shown, sizeof row->shown, "--");
        if (!display->valid[from->shown]) continue;
        double seen = display->value[from->shown];
        format(row->shown, seen * shown.factor, from->decimals + shown.more_decimals);
        double least = 2.0 * pow(10.0, -sim_instruments_display_row(from->shown)->decimals);
        row->apart = fabs(seen - value) > fmax(APART_SHARE * fabs(value), least);
    }
}

/* ---- the timeline ---- */

/* Adds words to a text, with `join` between. */
static void add_words(char *text, size_t size, const char *join, const char *words) {
    size_t used = strlen(text);
    snprintf(text + used, size - used, "%s%s", used > 0 ? join : "", words);
}

static void clock_words(char text[TEXT_LINE], double time_s) {
    char clock[TEXT_SHORT];
    ui_tiles_clock(clock, sizeof clock, time_s, true);
    snprintf(text, TEXT_LINE, "%s", clock);
}

static void when_words(const Case *file, const CaseEvent *event, char *text, size_t size) {
    char a[TEXT_LINE], b[DURATION_TEXT_MAX];
    switch (event->trigger) {
    case CASE_TRIGGER_AT:
        clock_words(a, event->at_s);
        snprintf(text, size, "at %s", a);
        break;
    case CASE_TRIGGER_WITHIN: {
        char c[TEXT_LINE];
        clock_words(a, event->at_s);
        clock_words(c, event->until_s);
        snprintf(text, size, "drawn between %s and %s", a, c);
        break;
    }
    case CASE_TRIGGER_WHEN:
        sim_duration_format(event->hold_s, b, sizeof b);
        snprintf(text, size, "when %.300s%s%s", event->when.text, event->hold_s > 0 ? " for " : "",
                 event->hold_s > 0 ? b : "");
        break;
    case CASE_TRIGGER_AFTER:
    case CASE_TRIGGER_INSTEAD:
        sim_duration_format(event->plus_s, b, sizeof b);
        snprintf(text, size, "%s %s%s%s", event->trigger == CASE_TRIGGER_AFTER ? "after" : "instead of",
                 file->events[event->after].id, event->plus_s > 0 ? " plus " : "",
                 event->plus_s > 0 ? b : "");
        break;
    }
    if (event->only_if.count > 0) {
        add_words(text, size, ", if ", event->only_if.text);
    }
}

static void what_words(const Case *file, int first, int count, char *text, size_t size) {
    text[0] = '\0';
    for (int i = first; i < first + count; i++) {
        const CaseAction *action = &file->actions[i];
        char words[TEXT_LONG], over[DURATION_TEXT_MAX];
        switch (action->kind) {
        case CASE_ACTION_RAMP:
            sim_duration_format(action->over_s, over, sizeof over);
            snprintf(words, sizeof words, "%s to %g over %s", model_parameters_row(action->parameter)->key,
                     action->value, over);
            break;
        case CASE_ACTION_SET:
            snprintf(words, sizeof words, "%s = %g", model_parameters_row(action->parameter)->key,
                     action->value);
            break;
        case CASE_ACTION_MESSAGE:
            snprintf(words, sizeof words, "%s: %.400s", action->from, action->text);
            break;
        case CASE_ACTION_TRUTH:
            snprintf(words, sizeof words, "truth: %s", sim_diagnoses_row(action->truth.diagnosis)->label);
            break;
        case CASE_ACTION_END:
            snprintf(words, sizeof words, "the end: %s", sim_case_outcome_word(action->outcome));
            break;
        }
        add_words(text, size, "; ", words);
    }
}

static EventStand stand_of(const ScriptState *script, const Case *file, int i) {
    if (script->fired_s[i] >= 0) return script->way[i] == SCRIPT_WAY_OTHERWISE ? EVENT_OTHERWISE : EVENT_CAME;
    if (script->called[i]) return EVENT_CALLED;
    if (script->skipped[i]) return EVENT_SKIPPED;
    return isnan(sim_script_due_s(script, file, i)) ? EVENT_WAITS : EVENT_DUE;
}

static void fill_events(InstructorView *v, const Session *session) {
    const Case *file = sim_session_case(session);
    const ScriptState *script = sim_session_script(session);
    v->events = file->event_count;
    for (int i = 0; i < file->event_count; i++) {
        InstructorEvent *event = &v->event[i];
        int first, count;
        *event = (InstructorEvent){.stand = stand_of(script, file, i), .delay_s = script->delay_s[i]};
        snprintf(event->id, sizeof event->id, "%s", file->events[i].id);
        event->time_s = script->fired_s[i] >= 0 ? script->fired_s[i] : sim_script_due_s(script, file, i);
        when_words(file, &file->events[i], event->when, sizeof event->when);
        sim_script_actions(&file->events[i],
                           event->stand == EVENT_OTHERWISE ? SCRIPT_WAY_OTHERWISE : SCRIPT_WAY_DO, &first,
                           &count);
        what_words(file, first, count, event->what, sizeof event->what);
    }
    if (v->chosen >= v->events) v->chosen = v->events > 0 ? v->events - 1 : 0;
}

/* ---- the log ---- */

static bool worth_telling(const LogEntry *entry) {
    return entry->kind != LOG_ALARM && entry->kind != LOG_TRUTH && entry->kind != LOG_PICTURE;
}

/* A call with how right it was. */
static void call_words(const Session *session, const LogEntry *entry, char *text, size_t size) {
    Act act;
    Error ignored;
    snprintf(text, size, "%s", entry->text);
    if (sim_acts_parse(entry->text, NULL, &act, &ignored) != ERROR_OK) return;
    const CaseTruth *truth =
        sim_script_truth_at(sim_session_script(session), sim_session_case(session), entry->time_s);
    const char *how = sim_session_names(truth, act.diagnosis)   ? "right"
                      : sim_session_names_kind(truth, act.kind) ? "right kind"
                                                                : "wrong";
    snprintf(text, size, "calls %s, %d %% sure: %s%s%.300s", sim_diagnoses_row(act.diagnosis)->label,
             act.confidence_percent, how, act.words[0] != '\0' ? "; " : "", act.words);
}

static void line_words(const Session *session, const LogEntry *entry, char *text, size_t size) {
    const ScriptState *script = sim_session_script(session);
    const Case *file = sim_session_case(session);
    switch (entry->kind) {
    case LOG_CALL:
        call_words(session, entry, text, size);
        break;
    case LOG_EVENT: {
        int event = -1;
        for (int i = 0; i < file->event_count; i++)
            if (strcmp(file->events[i].id, entry->from) == 0) event = i;
        bool other = event >= 0 && script->way[event] == SCRIPT_WAY_OTHERWISE;
        snprintf(text, size, "event %s%s", entry->from, other ? ", the other way" : "");
        break;
    }
    case LOG_OBJECTIVE:
        snprintf(text, size, "met: %.500s", entry->text);
        break;
    case LOG_MESSAGE:
    case LOG_END:
    case LOG_ASIDE:
        snprintf(text, size, "%s: %.500s", entry->from, entry->text);
        break;
    default:
        snprintf(text, size, "%.600s", entry->text);
        break;
    }
}

static void fill_log(InstructorView *v, const Session *session) {
    v->lines = v->marks = 0;
    for (int64_t i = sim_session_log_count(session) - 1; i >= 0; i--) {
        const LogEntry *entry = sim_session_log_entry(session, i);
        if (entry == NULL) break;
        if (!worth_telling(entry)) continue;
        if (v->marks < INSTRUCTOR_MARKS_MAX)
            v->mark[v->marks++] = (InstructorMark){entry->time_s, entry->kind};
        if (v->lines == INSTRUCTOR_LINES_MAX) continue;
        InstructorLine *line = &v->line[v->lines++];
        *line = (InstructorLine){.time_s = entry->time_s, .kind = entry->kind};
        line->instructor = strcmp(entry->from, RECORDS_FROM_INSTRUCTOR) == 0;
        line->mine = sim_records_hidden(entry);
        line_words(session, entry, line->text, sizeof line->text);
    }
}

/* ---- what runs, what was reached ---- */

static void fill_drips(InstructorView *v, const Session *session) {
    const OrdersState *orders = sim_session_orders(session);
    v->drips = 0;
    for (int i = 0; i < ORDER_COUNT && v->drips < INSTRUCTOR_DRIPS_MAX; i++) {
        const OrderRow *row = sim_orders_row((OrderId)i);
        bool runs = row->concentration > 0 || row->kind == ORDER_KIND_FLUID || strcmp(row->key, "speed") == 0;
        char value[TEXT_LINE];
        if (!runs || orders->value[i] <= 0) continue;
        sim_orders_format_value((OrderId)i, orders->value[i], value, sizeof value);
        const char *unit = row->kind == ORDER_KIND_FLUID ? "mL/h" : row->unit;
        snprintf(v->drip[v->drips++], TEXT_LINE, "%.40s %.30s %.20s", row->label, value, unit);
    }
    for (int i = 0; i < ORDER_RUNNING_MAX && v->drips < INSTRUCTOR_DRIPS_MAX; i++) {
        const OrderRunning *running = &orders->running[i];
        char words[ORDER_TEXT_MAX];
        if (!running->active) continue;
        sim_orders_format(&running->order, words, sizeof words);
        snprintf(v->drip[v->drips++], TEXT_LINE, "under way: %.80s", words);
    }
}

static void fill_score(InstructorView *v, const Session *session) {
    ScoreLine lines[SCORE_LINES_MAX];
    int count = sim_score_lines(session, lines);
    ScoreTotal total = sim_score_total(lines, count);
    v->got = total.got;
    v->most = total.most;
    v->goals = 0;
    for (int i = 0; i < count && v->goals < INSTRUCTOR_GOALS_MAX; i++) {
        char got[SCORE_POINTS_TEXT_MAX], most[SCORE_POINTS_TEXT_MAX];
        InstructorGoal *goal = &v->goal[v->goals++];
        snprintf(goal->text, sizeof goal->text, "%.500s", lines[i].what);
        snprintf(goal->points, sizeof goal->points, "%s%s%s", sim_score_format(lines[i].got, got),
                 lines[i].most > 0 ? " of " : "",
                 lines[i].most > 0 ? sim_score_format(lines[i].most, most) : "");
        goal->all = lines[i].most > 0 && lines[i].got >= lines[i].most;
        goal->none = lines[i].got <= 0;
    }
}

static void fill_call(InstructorView *v, const Session *session) {
    const Call *last = sim_session_call(session, 0);
    const CaseTruth *truth = sim_session_truth(session);
    v->call_right = -1;
    v->last_call[0] = '\0';
    if (last == NULL) return;
    v->call_right = sim_session_names(truth, last->diagnosis)   ? 2
                    : sim_session_names_kind(truth, last->kind) ? 1
                                                                : 0;
    snprintf(v->last_call, sizeof v->last_call, "%.60s, %d %%", sim_diagnoses_row(last->diagnosis)->label,
             last->confidence_percent);
}

static void fill_wrong(InstructorView *v, const Session *session) {
    const CaseTruth *truth = sim_session_truth(session);
    bool said = sim_session_case(session)->truth_given || sim_session_script(session)->hand_truth_s >= 0;
    snprintf(v->truth, sizeof v->truth, "%s",
             said ? sim_diagnoses_row(truth->diagnosis)->label : "the case does not say");
    v->also[0] = '\0';
    for (int i = 0; said && i < truth->also_count; i++)
        add_words(v->also, sizeof v->also, ", ", sim_diagnoses_row(truth->also[i])->label);
}

void ui_instructor_fill(InstructorView *v, Feed *feed) {
    const Session *session = ui_feed_session(feed);
    const Case *file = sim_session_case(session);
    snprintf(v->case_title, sizeof v->case_title, "%.90s", file->title);
    v->length_s = file->length_s;
    v->ended = sim_session_ended(session);
    snprintf(v->outcome, sizeof v->outcome, "%s", sim_case_outcome_word(sim_session_outcome(session)));
    v->frozen = sim_session_frozen(session);
    fill_wrong(v, session);
    fill_truth(v, feed);
    fill_events(v, session);
    fill_log(v, session);
    fill_drips(v, session);
    fill_score(v, session);
    fill_call(v, session);
    v->causes.now = *sim_session_parameters(session);
}
