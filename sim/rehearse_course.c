/* One course of a rehearsal: played, and what happened in it measured. */
#include "sim/firstsign.h"
#include "sim/means.h"
#include "sim/rehearse_parts.h"
#include "sim/svg_plot.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define SUCTION_FRAC 0.2 /* as outcomes.def */
#define PICTURES_MAX 8
#define MINUTE_S     60.0

enum { POINTS_FIRST = 160, MOMENTS_FIRST = 1024, TELL_EVERY_BEATS = 64 };

static const double HALF_TICK_S = BEAT_TICK_S / 2.0, NEVER_S = -1.0;

static const struct {
    DisplayId shown;
    ObservableId truth;
} PANELS[REHEARSE_PANEL_COUNT] = {
#define PANEL(key, label, unit, style, shown, truth) {DISPLAY_##shown, OBSERVABLE_##truth},
#include "sim/rehearse_panels.def"
#undef PANEL
};

static const RehearsePanelRow PANEL_ROWS[REHEARSE_PANEL_COUNT] = {
#define PANEL(key, label, unit, style, shown, truth) {#key, label, unit, style},
#include "sim/rehearse_panels.def"
#undef PANEL
};

const RehearsePanelRow *sim_rehearse_panel_row(RehearsePanel panel) {
    return &PANEL_ROWS[panel];
}

/* What the picture showed, every RECORDS_HISTORY_STEP_S. */
typedef struct Moments {
    size_t count, room;
    double *time_s, *value[PICTURES_MAX];
} Moments;

/* A course under way. */
typedef struct Under {
    const RehearsePlay *play;
    Session *session;
    RehearseCourse *course;
    int next_act;
    Means step, minute; /* of a moment of the picture, and of a point */
    double shown_sum[REHEARSE_PANEL_COUNT], shown_count[REHEARSE_PANEL_COUNT];
    double next_moment_s, next_point_s;
    Moments moments;
} Under;

static ErrorCode no_memory(Error *error) {
    return model_error_set(error, ERROR_MEMORY, "no memory for the course of a rehearsal");
}

/* ---- while it is played ---- */

static void free_moments(Moments *m) {
    free(m->time_s);
    for (int i = 0; i < PICTURES_MAX; i++)
        free(m->value[i]);
}

static bool grow(double **list, size_t room) {
    double *grown = realloc(*list, room * sizeof *grown);
    if (grown == NULL) return false;
    *list = grown;
    return true;
}

static ErrorCode add_moment(Under *u, Error *error) {
    Moments *m = &u->moments;
    if (m->count == m->room) {
        size_t room = m->room > 0 ? 2 * m->room : MOMENTS_FIRST;
        bool good = grow(&m->time_s, room);
        for (int i = 0; good && i < sim_firstsign_picture_count(); i++)
            good = grow(&m->value[i], room);
        if (!good) return no_memory(error);
        m->room = room;
    }
    Observables mean = sim_means_read(&u->step);
    sim_means_clear(&u->step);
    m->time_s[m->count] = sim_session_time_s(u->session);
    for (int i = 0; i < sim_firstsign_picture_count(); i++)
        m->value[i][m->count] = model_observables_get(&mean, sim_firstsign_picture(i)->observable);
    m->count++;
    const Display *display = sim_session_display(u->session);
    for (int i = 0; i < REHEARSE_PANEL_COUNT; i++) {
        if (PANELS[i].shown == DISPLAY_COUNT || !display->valid[PANELS[i].shown]) continue;
        u->shown_sum[i] += display->value[PANELS[i].shown];
        u->shown_count[i] += 1.0;
    }
    return ERROR_OK;
}

static void take_extremes(RehearseFacts *f, const Observables *mean, double time_s, double length_s) {
    if (isfinite(mean->art_mean_mmhg) && !(mean->art_mean_mmhg >= f->map_least_mmhg)) {
        f->map_least_mmhg = mean->art_mean_mmhg;
        f->map_least_s = time_s;
    }
    if (isfinite(mean->cvp_mmhg) && !(mean->cvp_mmhg <= f->cvp_most_mmhg)) {
        f->cvp_most_mmhg = mean->cvp_mmhg;
        f->cvp_most_s = time_s;
    }
    if (isfinite(mean->systemic_flow_l_min) && !(mean->systemic_flow_l_min >= f->flow_least_l_min)) {
        f->flow_least_l_min = mean->systemic_flow_l_min;
        f->flow_least_s = time_s;
    }
    if (!(mean->lactate_mmol_l <= f->lactate_most_mmol_l)) f->lactate_most_mmol_l = mean->lactate_mmol_l;
    if (mean->suction_frac > SUCTION_FRAC) f->suction_min += length_s / MINUTE_S;
}

static ErrorCode add_point(Under *u, Error *error) {
    RehearseCourse *c = u->course;
    if (c->points == c->room) {
        int room = c->room > 0 ? 2 * c->room : POINTS_FIRST;
        RehearsePoint *grown = realloc(c->point, (size_t)room * sizeof *grown);
        if (grown == NULL) return no_memory(error);
        c->point = grown;
        c->room = room;
    }
    double length_s = u->minute.time_s;
    Observables mean = sim_means_read(&u->minute);
    sim_means_clear(&u->minute);
    RehearsePoint *point = &c->point[c->points++];
    point->time_s = sim_session_time_s(u->session);
    for (int i = 0; i < REHEARSE_PANEL_COUNT; i++) {
        bool truth = PANELS[i].shown == DISPLAY_COUNT;
        point->value[i] = truth                     ? model_observables_get(&mean, PANELS[i].truth)
                          : u->shown_count[i] > 0.0 ? u->shown_sum[i] / u->shown_count[i]
                                                    : NAN;
        u->shown_sum[i] = u->shown_count[i] = 0.0;
    }
    take_extremes(&c->facts, &mean, point->time_s, length_s);
    return ERROR_OK;
}

/* Says every act whose time has come; what is refused is counted. */
static void say_due(Under *u) {
    const RerunActs *acts = u->play->acts;
    while (acts != NULL && u->next_act < acts->count &&
           acts->act[u->next_act].time_s <= sim_session_time_s(u->session) + HALF_TICK_S) {
        const RerunAct *act = &acts->act[u->next_act++];
        Error error;
        model_error_clear(&error);
        if (sim_session_say_as(u->session, SESSION_VOICE_PLAN, act->words, &error) == ERROR_OK) continue;
        if (u->course->refused++ == 0)
            snprintf(u->course->refusal, sizeof u->course->refusal, "%.0f min %.90s: %.100s",
                     act->time_s / MINUTE_S, act->words, error.what);
    }
}

static ErrorCode play_on(Under *u, CrewSeat *seat, Error *error) {
    ErrorCode code = ERROR_OK;
    double until_s = u->play->until_s;
    for (int64_t beat = 0; code == ERROR_OK && !sim_session_ended(u->session) &&
                           sim_session_time_s(u->session) < until_s - HALF_TICK_S;
         beat++) {
        if (seat != NULL && beat % TELL_EVERY_BEATS == 0 &&
            sim_crew_tell(seat, sim_session_time_s(u->session) / until_s))
            return model_error_set(error, ERROR_NOT_ALLOWED, "given up on request");
        say_due(u);
        code = sim_session_advance(u->session, error);
        if (code != ERROR_OK) break;
        double now_s = sim_session_time_s(u->session);
        sim_means_add(&u->step, sim_session_beat(u->session));
        sim_means_add(&u->minute, sim_session_beat(u->session));
        if (now_s >= u->next_moment_s - HALF_TICK_S) {
            code = add_moment(u, error);
            u->next_moment_s += RECORDS_HISTORY_STEP_S;
        }
        if (code == ERROR_OK && now_s >= u->next_point_s - HALF_TICK_S) {
            code = add_point(u, error);
            u->next_point_s += REHEARSE_STEP_S;
        }
    }
    if (code == ERROR_OK && u->minute.time_s > HALF_TICK_S) code = add_point(u, error);
    return code;
}

/* ---- afterwards ---- */

bool sim_rehearse_onset(const Session *session, double *onset_s, DiagnosisId *truth) {
    for (int64_t i = 0; i < sim_session_log_count(session); i++) {
        const LogEntry *entry = sim_session_log_entry(session, i);
        if (entry == NULL || entry->kind != LOG_TRUTH) continue;
        DiagnosisId id = sim_diagnoses_find(entry->from);
        if (id == DIAGNOSIS_well || id == DIAGNOSIS_COUNT) continue;
        *onset_s = entry->time_s;
        *truth = id;
        return true;
    }
    return false;
}

static void take_bands(RehearseCourse *c, const Session *session) {
    for (int64_t i = 0; i < sim_session_log_count(session); i++) {
        const LogEntry *entry = sim_session_log_entry(session, i);
        if (entry == NULL || entry->kind != LOG_TRUTH) continue;
        if (c->band_count > 0) c->band[c->band_count - 1].to_s = entry->time_s;
        if (c->band_count == REHEARSE_BANDS_MAX) return;
        c->band[c->band_count++] =
            (RehearseBand){entry->time_s, sim_session_time_s(session), sim_diagnoses_find(entry->from)};
    }
}

static void take_alarm(RehearseFacts *f, const Session *session) {
    for (int64_t i = 0; i < sim_session_log_count(session); i++) {
        const LogEntry *entry = sim_session_log_entry(session, i);
        if (entry == NULL || entry->kind != LOG_ALARM || entry->time_s < f->onset_s ||
            strncmp(entry->text, "begins", strlen("begins")) != 0)
            continue;
        f->alarm = sim_alarms_find(entry->from);
        if (f->alarm == ALARM_COUNT) continue;
        f->alarm_s = entry->time_s;
        return;
    }
}

static void take_number(RehearseFacts *f, const Session *session, DisplayId id, double *time_s,
                        double *value) {
    int64_t first = sim_session_history_first(session), count = sim_session_history_count(session);
    for (int64_t i = first; i < count; i++) {
        time_s[i - first] = (double)i * RECORDS_HISTORY_STEP_S;
        value[i - first] = sim_session_history_value(session, id, i);
    }
    FirstSign sign = sim_firstsign_find((SignSeries){time_s, value, (size_t)(count - first)}, f->onset_s,
                                        sim_predictions_least(id), 0.0);
    if (!sign.found || (f->number_s >= 0.0 && sign.time_s >= f->number_s)) return;
    f->number_s = sign.time_s;
    f->number = id;
    f->number_up = sign.now > sign.before;
}

/* First signs since the onset. What is read now and then (a sample) is left to the picture of the whole: its
   usual value is not known. */
static ErrorCode take_signs(Under *u, Error *error) {
    RehearseFacts *f = &u->course->facts;
    if (f->onset_s < 0.0) return ERROR_OK;
    size_t room = (size_t)(sim_session_history_count(u->session) - sim_session_history_first(u->session)) + 1;
    double *time_s = calloc(room, sizeof *time_s), *value = calloc(room, sizeof *value);
    bool good = time_s != NULL && value != NULL;
    for (int id = 0; good && id < DISPLAY_COUNT; id++) {
        if (sim_firstsign_counts((DisplayId)id) && sim_instruments_display_row((DisplayId)id)->window_s > 0.0)
            take_number(f, u->session, (DisplayId)id, time_s, value);
    }
    free(value);
    free(time_s);
    for (int i = 0; i < sim_firstsign_picture_count(); i++) {
        const PictureRow *row = sim_firstsign_picture(i);
        SignSeries series = {u->moments.time_s, u->moments.value[i], u->moments.count};
        FirstSign sign = sim_firstsign_find(series, f->onset_s, row->least, row->least_share);
        if (!sign.found || (f->picture_s >= 0.0 && sign.time_s >= f->picture_s)) continue;
        f->picture_s = sign.time_s;
        f->picture = i;
        f->picture_up = sign.now > sign.before;
    }
    return good ? ERROR_OK : no_memory(error);
}

static void take_end(RehearseFacts *f, const Session *session) {
    const ScriptState *script = sim_session_script(session);
    const Case *night = sim_session_case(session);
    f->objective_count = night->objective_count;
    for (int i = 0; i < night->objective_count; i++)
        f->objectives_met += script->objective_met_s[i] >= 0.0;
    f->ended = sim_session_ended(session);
    f->end = sim_session_outcome(session);
    f->end_s = sim_session_time_s(session);
    if (f->ended) snprintf(f->end_text, sizeof f->end_text, "%s", sim_session_end_text(session));
}

static ErrorCode take_score(RehearseCourse *c, const Session *session, Error *error) {
    ScoreLine *line = calloc(SCORE_LINES_MAX, sizeof *line);
    if (line == NULL) return no_memory(error);
    c->line_count = sim_score_lines(session, line);
    ScoreTotal total = sim_score_total(line, c->line_count);
    c->facts.score = total.got;
    c->facts.score_most = total.most;
    c->line = line;
    return ERROR_OK;
}

static RehearseFacts no_facts(void) {
    return (RehearseFacts){.onset_s = NEVER_S,
                           .alarm_s = NEVER_S,
                           .number_s = NEVER_S,
                           .picture_s = NEVER_S,
                           .map_least_mmhg = NAN,
                           .map_least_s = NEVER_S,
                           .cvp_most_mmhg = NAN,
                           .cvp_most_s = NEVER_S,
                           .flow_least_l_min = NAN,
                           .flow_least_s = NEVER_S,
                           .lactate_most_mmol_l = NAN,
                           .score = NAN,
                           .score_most = NAN};
}

ErrorCode sim_rehearse_play_session(const RehearsePlay *play, Session *session, CrewSeat *seat,
                                    RehearseCourse *course, Error *error) {
    Under under = {.play = play,
                   .session = session,
                   .course = course,
                   .next_moment_s = RECORDS_HISTORY_STEP_S,
                   .next_point_s = REHEARSE_STEP_S};
    course->facts = no_facts();
    sim_means_clear(&under.step);
    sim_means_clear(&under.minute);
    ErrorCode code = play_on(&under, seat, error);
    if (code == ERROR_OK) {
        (void)sim_rehearse_onset(session, &course->facts.onset_s, &course->facts.truth);
        take_bands(course, session);
        take_alarm(&course->facts, session);
        take_end(&course->facts, session);
        code = take_score(course, session, error);
        if (code == ERROR_OK) code = take_signs(&under, error);
    }
    course->played = code == ERROR_OK;
    free_moments(&under.moments);
    return code;
}

ErrorCode sim_rehearse_play(const RehearsePlay *play, CrewSeat *seat, RehearseCourse *course, Error *error) {
    Session *session = sim_session_open(play->case_file, play->options, error);
    if (session == NULL) return error != NULL ? error->code : ERROR_INTERNAL;
    ErrorCode code = sim_rehearse_play_session(play, session, seat, course, error);
    sim_session_close(session);
    return code;
}

void sim_rehearse_course_free(RehearseCourse *course) {
    free(course->point);
    free(course->line);
    course->point = NULL;
    course->line = NULL;
    course->points = course->room = course->line_count = 0;
}

/* ---- facts in rows ---- */

static const RehearseFactRow FACT_ROWS[REHEARSE_FACT_COUNT] = {
#define FACT(key, label, unit, decimals, read) {#key, label, unit, decimals},
#include "sim/rehearse_facts.def"
#undef FACT
};

const RehearseFactRow *sim_rehearse_fact_row(RehearseFact fact) {
    return &FACT_ROWS[fact];
}

double sim_rehearse_fact(const RehearseFacts *f, RehearseFact fact) {
    double value = NAN;
    switch (fact) {
#define FACT(key, label, unit, decimals, read)                                                               \
    case REHEARSE_##key:                                                                                     \
        value = read;                                                                                        \
        break;
#include "sim/rehearse_facts.def"
#undef FACT
    case REHEARSE_FACT_COUNT:
        break;
    }
    bool of_time = strcmp(FACT_ROWS[fact].unit, "time") == 0;
    return of_time && value < 0.0 ? NAN : value;
}
