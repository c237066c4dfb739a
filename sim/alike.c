/* Look-alikes: playing the case's own cause and the alternatives, steered to go alike. */
#include "sim/alike_parts.h"
#include "sim/means.h"
#include "sim/rehearse_parts.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define MINUTE_S       60.0
#define KEEP_EVERY_S   60.0  /* a state is kept so often, to go back to before the onset */
#define WIDTH          1.0   /* people as different as people are */
#define WEDGE_EVERY_S  300.0 /* before the onset */
#define WEDGE_BEFORE_S 180.0 /* a reading takes a minute */
#define LEVEL_GAIN     0.014 /* of severity each 10 s for a smallest change that counts; design */
#define LEVEL_MOST     0.04  /* each 10 s */
#define HURRY_MOST     2.5   /* a trial is steered so many times faster; more would make it swing */
#define RATE_GAIN      0.4   /* of severity for a smallest change that counts; design */
#define FOLLOWS_LEAST  1.0   /* smallest changes that count: what misses more does not go alike */
#define TRIAL_LEAST    2.0   /* the same in a trial */
#define TRIAL_S        900.0 /* a trial goes the whole way in this time */
#define SMOOTH_POINTS  3     /* of the trends: half a minute */

enum { PEOPLE_SEED = 80, BEATS_TO_TELL = 64 };

static const double HALF_TICK_S = BEAT_TICK_S / 2.0;

/* One patient: the state before the onset, and the way of the leading quantity. */
typedef struct Person {
    Case *own;            /* with the case's cause */
    SessionState *before; /* at most KEEP_EVERY_S before the onset */
    double onset_s;
    int64_t first_point; /* of lead[], in the trends */
    int points;
    double *lead; /* [points], smoothed */
    AlikeNight night;
} Person;

/* All that is shared by the jobs. */
typedef struct Study {
    const Case *case_file;
    const RehearseOptions *options;
    Alike *alike;
    Person *person;    /* [patients] */
    AlikeNight *trial; /* [cause], of the case's own patient */
    AlikeNight *other; /* [kept cause][patients] */
    double watch_from, watch_to;
} Study;

/* ---- numbers and moments of a night ---- */

/* Mean of a displayed number over the trends in (from_s, to_s]; NaN when it was not on show. */
static double mean_shown(const Session *session, DisplayId id, double from_s, double to_s) {
    double sum = 0.0, count = 0.0;
    for (int64_t i = sim_session_history_count(session) - 1; i >= sim_session_history_first(session); i--) {
        double time_s = (double)i * RECORDS_HISTORY_STEP_S, value = sim_session_history_value(session, id, i);
        if (time_s <= from_s) break;
        if (time_s > to_s || !isfinite(value)) continue;
        sum += value;
        count += 1.0;
    }
    return count > 0.0 ? sum / count : NAN;
}

/* A night under way from its onset on. */
typedef struct Watching {
    const Alike *alike;
    AlikeNight *night;
    double onset_s;
    double hurry; /* times come so many times sooner */
    int next;     /* time to be looked at next */
    Means minute;
} Watching;

/* Takes in what the last beat brought; false when all times are over. */
static bool watch_times(Watching *w, const Session *session) {
    if (w->next == w->alike->times) return false;
    double due_s = w->onset_s + w->alike->after_s[w->next] / w->hurry, now_s = sim_session_time_s(session);
    if (now_s > due_s - MINUTE_S) sim_means_add(&w->minute, sim_session_beat(session));
    if (now_s < due_s - HALF_TICK_S) return true;
    for (int id = 0; id < DISPLAY_COUNT; id++)
        w->night->shown[w->next][id] = mean_shown(session, (DisplayId)id, now_s - MINUTE_S, now_s);
    w->night->truth[w->next] = sim_means_read(&w->minute);
    sim_means_clear(&w->minute);
    w->night->times = ++w->next;
    return w->next < w->alike->times;
}

/* Orders a wedge reading; refusals (the case has none, one is under way) do not matter. */
static void read_wedge(Session *session) {
    Error ignored;
    (void)!sim_session_order(session, "wedge", &ignored);
}

/* Orders one when it will be there for the next time, once for each time. */
static void read_wedge_in_time(Session *session, const Watching *w, int *read_for) {
    if (w->next <= *read_for || w->next == w->alike->times) return;
    if (sim_session_time_s(session) < w->onset_s + w->alike->after_s[w->next] / w->hurry - WEDGE_BEFORE_S)
        return;
    read_wedge(session);
    *read_for = w->next;
}

static bool is_wrong(const Session *session) {
    return sim_session_case(session)->truth_given && sim_session_truth(session)->diagnosis != DIAGNOSIS_well;
}

/* ---- the case's own cause ---- */

/* Plays to the onset, keeping the state of the last whole minute. False: there was none. */
static ErrorCode play_to_onset(Person *p, Session *session, const Alike *alike, CrewSeat *seat, bool *found,
                               Error *error) {
    double keep_s = 0.0, wedge_s = WEDGE_EVERY_S, last_s = 2.0 * alike->onset_s + ALIKE_LONGEST_S;
    ErrorCode code = ERROR_OK;
    *found = is_wrong(session);
    for (int64_t beat = 0;
         code == ERROR_OK && !*found && !sim_session_ended(session) && sim_session_time_s(session) < last_s;
         beat++) {
        if (beat % BEATS_TO_TELL == 0 && sim_crew_tell(seat, 0.0))
            return model_error_set(error, ERROR_NOT_ALLOWED, "given up on request");
        if (sim_session_time_s(session) >= keep_s) {
            sim_session_save(session, p->before);
            keep_s += KEEP_EVERY_S;
        }
        if (sim_session_time_s(session) >= wedge_s) {
            read_wedge(session);
            wedge_s += WEDGE_EVERY_S;
        }
        code = sim_session_advance(session, error);
        *found = code == ERROR_OK && is_wrong(session);
    }
    p->onset_s = sim_session_time_s(session);
    return code;
}

static ErrorCode keep_lead(Person *p, const Session *session, DisplayId lead, Error *error) {
    p->first_point = (int64_t)(p->before->time_s / RECORDS_HISTORY_STEP_S);
    p->points = (int)(sim_session_history_count(session) - p->first_point);
    p->lead = calloc((size_t)p->points + 1, sizeof *p->lead);
    if (p->lead == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for a trend");
    for (int i = 0; i < p->points; i++) {
        double time_s = (double)(p->first_point + i) * RECORDS_HISTORY_STEP_S;
        p->lead[i] =
            mean_shown(session, lead, time_s - (SMOOTH_POINTS - 0.5) * RECORDS_HISTORY_STEP_S, time_s);
    }
    return ERROR_OK;
}

static ErrorCode play_after(Person *p, Session *session, const Alike *alike, CrewSeat *seat, Error *error) {
    Watching watching = {.alike = alike, .night = &p->night, .onset_s = p->onset_s, .hurry = 1.0};
    int read_for = -1;
    double length_s = alike->after_s[alike->times - 1];
    sim_means_clear(&watching.minute);
    for (int id = 0; id < DISPLAY_COUNT; id++)
        p->night.base[id] = mean_shown(session, (DisplayId)id, p->onset_s - ALIKE_BASE_S, p->onset_s);
    p->night.outline = *sim_session_reference(session);
    ErrorCode code = ERROR_OK;
    for (int64_t beat = 0; code == ERROR_OK && !sim_session_ended(session); beat++) {
        double done = (sim_session_time_s(session) - p->onset_s) / length_s;
        if (beat % BEATS_TO_TELL == 0 && sim_crew_tell(seat, fmin(fmax(done, 0.0), 1.0)))
            return model_error_set(error, ERROR_NOT_ALLOWED, "given up on request");
        read_wedge_in_time(session, &watching, &read_for);
        code = sim_session_advance(session, error);
        if (code == ERROR_OK && !watch_times(&watching, session)) break;
    }
    p->night.played = code == ERROR_OK && p->night.times > 0;
    if (code == ERROR_OK) code = keep_lead(p, session, alike->lead, error);
    return code;
}

static ErrorCode play_own(void *context, int index, CrewSeat *seat, Error *error) {
    Study *study = context;
    Person *p = &study->person[index];
    Session *session;
    bool found = false;
    p->before = malloc(sizeof *p->before);
    if (p->before == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for a patient");
    ErrorCode code = sim_rehearse_person(study->case_file, &study->options->session, PEOPLE_SEED, index,
                                         WIDTH, &p->own, &session, error);
    if (code == ERROR_OK) code = play_to_onset(p, session, study->alike, seat, &found, error);
    if (code == ERROR_OK && found && p->onset_s >= ALIKE_BASE_LEAST_S)
        code = play_after(p, session, study->alike, seat, error);
    sim_session_close(session);
    return sim_rehearse_unplayable(code) ? ERROR_OK : code;
}

/* ---- an alternative cause ---- */

/* The same patient's case, in which nothing happens by itself any more and causes can be moved. */
static Case *quiet_case(const Case *own) {
    Case *quiet = malloc(sizeof *quiet);
    if (quiet == NULL) return NULL;
    *quiet = *own;
    quiet->practice = true;
    quiet->ending_count = quiet->prompt_count = 0;
    for (int i = 0; i < quiet->action_count; i++) {
        quiet->actions[i].kind = CASE_ACTION_MESSAGE;
        quiet->actions[i].text[0] = '\0';
    }
    return quiet;
}

/* Severity under way. */
typedef struct Steering {
    const Alike *alike;
    const Person *person;
    AlternativeId id;
    Parameters before; /* of the patient when it begins */
    double hurry;      /* 1: at the pace of the night; more: a trial */
    double severity;
    int64_t next_point;
    double miss_sum, miss_count;
} Steering;

/* Looks at the trend's newest point and moves the severity. */
static ErrorCode steer(Steering *s, Session *session, Error *error) {
    if (sim_session_history_count(session) <= s->next_point) return ERROR_OK;
    s->next_point++;
    double now_s = sim_session_time_s(session), onset_s = s->person->onset_s;
    double at_s = now_s > onset_s ? onset_s + s->hurry * (now_s - onset_s) : now_s;
    int64_t point = (int64_t)(at_s / RECORDS_HISTORY_STEP_S) - s->person->first_point;
    if (point < 0 || point >= s->person->points) return ERROR_OK;
    double is =
        mean_shown(session, s->alike->lead, now_s - (SMOOTH_POINTS - 0.5) * RECORDS_HISTORY_STEP_S, now_s);
    double wanted = s->person->lead[point];
    if (!isfinite(is) || !isfinite(wanted)) return ERROR_OK;
    if (now_s > s->person->onset_s) {
        s->miss_sum += fabs(is - wanted);
        s->miss_count += 1.0;
    }
    double behind = (s->alike->falls ? is - wanted : wanted - is) / s->alike->least;
    if (sim_alternatives_row(s->id)->how == ALTERNATIVE_RATE)
        s->severity = RATE_GAIN * behind;
    else
        s->severity += fmin(fmax(LEVEL_GAIN * fmin(s->hurry, HURRY_MOST) * behind, -LEVEL_MOST), LEVEL_MOST);
    s->severity = fmin(fmax(s->severity, 0.0), 1.0);
    ParameterId parameter[ALTERNATIVE_PARTS];
    double value[ALTERNATIVE_PARTS];
    int count = sim_alternatives_at(s->id, &s->before, s->severity, parameter, value);
    ErrorCode code = ERROR_OK;
    for (int i = 0; code == ERROR_OK && i < count; i++)
        code = sim_session_set_parameter(session, parameter[i], value[i], RECORDS_HISTORY_STEP_S, error);
    return code;
}

static ErrorCode play_steered(Steering *s, Session *session, AlikeNight *night, CrewSeat *seat,
                              Error *error) {
    const Person *p = s->person;
    Watching watching = {.alike = s->alike, .night = night, .onset_s = p->onset_s, .hurry = s->hurry};
    int read_for = -1;
    double length_s = s->alike->after_s[p->night.times - 1] / s->hurry;
    sim_means_clear(&watching.minute);
    memcpy(night->base, p->night.base, sizeof night->base);
    night->outline = p->night.outline;
    ErrorCode code = ERROR_OK;
    for (int64_t beat = 0; code == ERROR_OK && watching.next < p->night.times; beat++) {
        double done = (sim_session_time_s(session) - p->onset_s) / length_s;
        if (beat % BEATS_TO_TELL == 0 && sim_crew_tell(seat, fmin(fmax(done, 0.0), 1.0)))
            return model_error_set(error, ERROR_NOT_ALLOWED, "given up on request");
        read_wedge_in_time(session, &watching, &read_for);
        code = sim_session_advance(session, error);
        if (code == ERROR_OK) code = steer(s, session, error);
        if (code == ERROR_OK) (void)watch_times(&watching, session);
    }
    night->played = code == ERROR_OK;
    night->miss = s->miss_count > 0.0 ? s->miss_sum / s->miss_count : NAN;
    night->severity = s->severity;
    return code;
}

static ErrorCode play_other(Study *study, AlternativeId id, int index, double hurry, AlikeNight *night,
                            CrewSeat *seat, Error *error) {
    const Person *p = &study->person[index];
    if (!p->night.played) return ERROR_OK;
    Case *quiet = quiet_case(p->own);
    if (quiet == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for a patient");
    SessionOptions options = study->options->session;
    Session *session = sim_session_open(quiet, &options, error);
    ErrorCode code = session == NULL ? error->code : sim_session_restore(session, p->before, error);
    if (code == ERROR_OK) {
        Steering steering = {.alike = study->alike,
                             .person = p,
                             .id = id,
                             .hurry = hurry,
                             .before = *sim_session_parameters(session),
                             .next_point = sim_session_history_count(session)};
        code = play_steered(&steering, session, night, seat, error);
    }
    sim_session_close(session);
    free(quiet);
    return sim_rehearse_unplayable(code) ? ERROR_OK : code;
}

/* Every alternative in the case's own patient in a quarter of an hour, to see which can go alike. */
static ErrorCode play_trial(void *context, int index, CrewSeat *seat, Error *error) {
    Study *study = context;
    const Alike *alike = study->alike;
    double hurry = fmax(alike->after_s[alike->times - 1] / TRIAL_S, 1.0);
    return play_other(study, alike->cause[index].id, 0, hurry, &study->trial[index], seat, error);
}

/* Those kept, in all patients, at the pace of the night. */
static ErrorCode play_kept(void *context, int index, CrewSeat *seat, Error *error) {
    Study *study = context;
    int cause = index / study->alike->patients, patient = index % study->alike->patients;
    return play_other(study, study->alike->cause[cause].id, patient, 1.0, &study->other[index], seat, error);
}

/* ---- all together ---- */

static bool watch_part(void *context, double done) {
    const Study *study = context;
    const RehearseOptions *options = study->options;
    return options->watch(options->watch_context,
                          study->watch_from + done * (study->watch_to - study->watch_from));
}

static ErrorCode run(Study *study, int jobs, CrewJob job, double to, Error *error) {
    study->watch_from = study->watch_to;
    study->watch_to = to;
    const CrewTask task = {.jobs = jobs,
                           .threads = study->options->threads,
                           .job = job,
                           .context = study,
                           .watch = study->options->watch != NULL ? watch_part : NULL,
                           .watch_context = study};
    return sim_crew_run(&task, error);
}

static bool goes_before(const AlikeCause *a, const AlikeCause *b) {
    if (a->follows != b->follows) return a->follows;
    return a->follows && a->alike < b->alike;
}

/* Judges the trials and brings the most alike to the front; returns how many are kept. */
static int sort_trials(Study *study) {
    Alike *alike = study->alike;
    const AlikeNight *own = &study->person[0].night;
    for (int i = 0; i < alike->cause_count; i++) {
        AlikeCause *cause = &alike->cause[i];
        const AlikeNight *night = &study->trial[i];
        bool lasted = night->played && night->times > 0;
        cause->miss = lasted ? night->miss : NAN;
        cause->follows = lasted && cause->miss <= TRIAL_LEAST * alike->least;
        cause->alike =
            lasted ? sim_alike_distance(alike, own, night->times - 1, night, night->times - 1) : INFINITY;
    }
    for (int i = 1; i < alike->cause_count; i++) {
        for (int k = i; k > 0 && goes_before(&alike->cause[k], &alike->cause[k - 1]); k--) {
            AlikeCause cause = alike->cause[k];
            alike->cause[k] = alike->cause[k - 1];
            alike->cause[k - 1] = cause;
        }
    }
    int kept = 0;
    while (kept < alike->cause_count && kept < ALIKE_KEPT && alike->cause[kept].follows)
        alike->cause[kept++].kept = true;
    return kept;
}

/* What came of one that was kept. */
static bool judge_kept(const Study *study, const AlikeNight *own, int i) {
    const Alike *alike = study->alike;
    AlikeCause *cause = &study->alike->cause[i];
    const AlikeNight *other = &study->other[i * alike->patients];
    cause->miss = other[0].played ? other[0].miss : NAN;
    cause->severity = other[0].severity;
    cause->follows = other[0].played && cause->miss <= FOLLOWS_LEAST * alike->least;
    return sim_alike_compare(alike, own, other, cause);
}

static int by_size(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static void measure_lead(Study *study) {
    Alike *alike = study->alike;
    for (int t = 0; t < alike->times; t++) {
        double change[REHEARSE_ALIKE_MAX];
        int count = 0;
        for (int i = 0; i < alike->patients; i++) {
            const AlikeNight *night = &study->person[i].night;
            double one = night->played && night->times > t
                             ? night->shown[t][alike->lead] - night->base[alike->lead]
                             : NAN;
            if (isfinite(one)) change[count++] = one;
        }
        qsort(change, (size_t)count, sizeof change[0], by_size);
        alike->lead_change[t] = count > 0 ? change[count / 2] : NAN;
    }
    for (int i = 0; i < alike->patients; i++)
        alike->played += study->person[i].night.played;
    while (alike->moved < alike->times && !(fabs(alike->lead_change[alike->moved]) >= alike->least))
        alike->moved++;
}

static ErrorCode study_all(Study *study, Error *error) {
    static const double OWN_DONE = 0.2, TRIALS_DONE = 0.3;
    Alike *alike = study->alike;
    ErrorCode code = run(study, alike->patients, play_own, OWN_DONE, error);
    if (code != ERROR_OK) return code;
    if (!study->person[0].night.played) {
        snprintf(alike->why_not, sizeof alike->why_not, "%s",
                 "The trouble did not come again when it was played.");
        return ERROR_OK;
    }
    measure_lead(study);
    code = run(study, alike->cause_count, play_trial, TRIALS_DONE, error);
    if (code != ERROR_OK) return code;
    int kept = sort_trials(study);
    code = run(study, kept * alike->patients, play_kept, 1.0, error);
    if (code != ERROR_OK) return code;
    AlikeNight *own = calloc((size_t)alike->patients, sizeof *own);
    bool good = own != NULL;
    for (int i = 0; good && i < alike->patients; i++)
        own[i] = study->person[i].night;
    for (int i = 0; good && i < kept; i++)
        good = judge_kept(study, own, i);
    free(own);
    return good ? ERROR_OK : model_error_set(error, ERROR_MEMORY, "no memory for the look-alikes");
}

ErrorCode sim_alike_measure(const Case *case_file, const RehearseOptions *options,
                            const RehearseCourse *untouched, Alike **made, Error *error) {
    Alike *alike = calloc(1, sizeof *alike);
    *made = alike;
    if (alike == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the look-alikes");
    alike->patients = options->alike;
    sim_alike_plan(alike, case_file, untouched);
    if (alike->why_not[0] != '\0') return ERROR_OK;
    size_t patients = (size_t)alike->patients;
    Study study = {.case_file = case_file,
                   .options = options,
                   .alike = alike,
                   .person = calloc(patients, sizeof(Person)),
                   .trial = calloc(ALTERNATIVE_COUNT, sizeof(AlikeNight)),
                   .other = calloc(patients * ALIKE_KEPT, sizeof(AlikeNight))};
    ErrorCode code = ERROR_OK;
    if (study.person == NULL || study.trial == NULL || study.other == NULL)
        code = model_error_set(error, ERROR_MEMORY, "no memory for the look-alikes");
    else
        code = study_all(&study, error);
    for (size_t i = 0; study.person != NULL && i < patients; i++) {
        free(study.person[i].own);
        free(study.person[i].before);
        free(study.person[i].lead);
    }
    free(study.person);
    free(study.other);
    free(study.trial);
    return code;
}

void sim_alike_free(Alike *alike) {
    free(alike);
}
