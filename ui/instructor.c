/* The instructor's window: its screen, its time, and what is done with its intents. */
#include "ui/instructor.h"

#include "sim/duration.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define NUMBERS_EVERY_S 0.5
#define HEART_EVERY_S   0.1
#define BACK_FIRST_MIN  5

enum { SPEAKER_NURSE, SPEAKER_SURGEON, SPEAKER_LABORATORY, SPEAKER_FAMILY, SPEAKER_COUNT };

static const char *const SPEAKERS[SPEAKER_COUNT] = {"Nurse", "Surgeon", "Laboratory", "Family"};

typedef struct ReadyLine {
    int who;
    const char *text;
} ReadyLine;

static const ReadyLine READY[] = {
#define LINE(who, text) {who, text},
#include "ui/instructor_lines.def"
#undef LINE
};

int ui_instructor_speakers(void) {
    return SPEAKER_COUNT;
}

const char *ui_instructor_speaker(int who) {
    return SPEAKERS[who < 0 || who >= SPEAKER_COUNT ? 0 : who];
}

int ui_instructor_ready_lines(void) {
    return (int)(sizeof READY / sizeof READY[0]);
}

const char *ui_instructor_ready_line(int index, int *who) {
    *who = READY[index].who;
    return READY[index].text;
}

/* ---- what is done ---- */

/* Says an act and keeps what came of it to be shown; true if it was taken. */
static bool say(InstructorView *v, Feed *feed, const char *words) {
    Error error;
    model_error_clear(&error);
    v->refused = ui_feed_instruct(feed, words, &error) != ERROR_OK;
    if (v->refused)
        model_error_format(&error, v->told, sizeof v->told);
    else
        snprintf(v->told, sizeof v->told, "Done: %.600s", words);
    return !v->refused;
}

static void say_event(InstructorView *v, Feed *feed, const Intent *intent) {
    const InstructorEvent *event = &v->event[v->chosen];
    char words[ACT_TEXT_MAX];
    if (v->events == 0) return;
    if (intent->number == INSTRUCTOR_PART_FIRE)
        snprintf(words, sizeof words, "fire %s", event->id);
    else if (intent->number == INSTRUCTOR_PART_DELAY)
        snprintf(words, sizeof words, "delay %s by %.0fmin", event->id, intent->amount);
    else
        snprintf(words, sizeof words, "%s %s", event->stand == EVENT_SKIPPED ? "keep" : "skip", event->id);
    (void)say(v, feed, words);
}

static void say_message(InstructorView *v, Feed *feed) {
    char words[ACT_TEXT_MAX];
    snprintf(words, sizeof words, "say %s: %s", ui_instructor_speaker(v->who), v->message.text);
    if (say(v, feed, words)) ui_textfield_edit(&v->message, TEXT_EDIT_CLEAR);
}

static void say_mark(InstructorView *v, Feed *feed) {
    char words[ACT_TEXT_MAX];
    snprintf(words, sizeof words, "mark%s%s", v->note.text[0] != '\0' ? " " : "", v->note.text);
    if (say(v, feed, words)) ui_textfield_edit(&v->note, TEXT_EDIT_CLEAR);
}

/* Carries out every cause that is pending. */
static void set_causes(InstructorView *v, Feed *feed) {
    PracticeView *p = &v->causes;
    int done = 0;
    for (int i = 0; i < PARAMETER_COUNT; i++) {
        if (!p->pending[i]) continue;
        Act act = {.id = ACT_set,
                   .parameter = (ParameterId)i,
                   .value = p->wanted[i],
                   .over_s = ui_practice_over_s(p->over)};
        char words[ACT_TEXT_MAX];
        sim_acts_format(&act, words, sizeof words);
        if (!say(v, feed, words)) break;
        p->pending[i] = false;
        done++;
    }
    p->entry[0] = '\0';
    p->now = *sim_session_parameters(ui_feed_session(feed));
    if (done > 1 && !v->refused) snprintf(v->told, sizeof v->told, "Done: %d causes changed", done);
    ui_practice_change(p, &(Intent){.kind = INTENT_PART, .number = PRACTICE_PART_SET});
}

/* ---- taking back ---- */

/* Counts what would be cut off from to_s on. */
static void count_lost(InstructorView *v, const Session *session, double to_s) {
    static const struct {
        LogKind kind;
        const char *one, *many;
    } KINDS[] = {{LOG_ORDER, "order", "orders"},
                 {LOG_LOOK, "look", "looks"},
                 {LOG_CALL, "call", "calls"},
                 {LOG_PREDICTION, "prediction", "predictions"},
                 {LOG_EVENT, "event", "events"},
                 {LOG_OBJECTIVE, "objective met", "objectives met"},
                 {LOG_MESSAGE, "message", "messages"},
                 {LOG_HAND, "act of yours", "acts of yours"},
                 {LOG_CAUSE, "cause", "causes"},
                 {LOG_MARK, "mark", "marks"},
                 {LOG_END, "end", "ends"}};
    int count[LOG_KIND_COUNT] = {0}, parts = 0;
    for (int64_t i = sim_session_log_count(session) - 1; i >= 0; i--) {
        const LogEntry *entry = sim_session_log_entry(session, i);
        if (entry == NULL || entry->time_s < to_s - 0.002) break;
        count[entry->kind]++;
    }
    size_t used = (size_t)snprintf(v->lost, sizeof v->lost, "Lost: ");
    for (size_t i = 0; i < sizeof KINDS / sizeof KINDS[0] && used < sizeof v->lost; i++) {
        int n = count[KINDS[i].kind];
        if (n == 0) continue;
        used += (size_t)snprintf(v->lost + used, sizeof v->lost - used, "%s%d %s", parts++ > 0 ? ", " : "", n,
                                 n == 1 ? KINDS[i].one : KINDS[i].many);
    }
    if (parts == 0) snprintf(v->lost, sizeof v->lost, "Nothing was said or done since.");
}

static void ask_back(InstructorView *v, Feed *feed) {
    Error error;
    if (!v->asked) v->was_running = !ui_feed_paused(feed);
    ui_feed_pause(feed, true); /* what is asked is what is done */
    model_error_clear(&error);
    const Session *session = ui_feed_session(feed);
    v->back_to_s = sim_session_back_to_s(session, 60.0 * v->back_min, &error);
    v->asked = v->back_to_s >= 0.0;
    v->refused = !v->asked;
    if (v->refused && v->was_running) ui_feed_pause(feed, false);
    if (v->refused)
        model_error_format(&error, v->told, sizeof v->told);
    else
        count_lost(v, session, v->back_to_s);
}

static void take_back(InstructorView *v, Feed *feed) {
    char words[ACT_TEXT_MAX];
    v->asked = false;
    snprintf(words, sizeof words, "take_back %dmin", v->back_min);
    (void)say(v, feed, words);
}

static int turn(int now, double by, int count) {
    return ((now + (int)by) % count + count) % count;
}

static void apply_back(InstructorView *v, Feed *feed, const Intent *intent) {
    switch ((InstructorPart)intent->number) {
    case INSTRUCTOR_PART_BACK_BY:
        v->back_min += (int)intent->amount;
        v->back_min = v->back_min < 1                      ? 1
                      : v->back_min > INSTRUCTOR_BACK_MOST ? INSTRUCTOR_BACK_MOST
                                                           : v->back_min;
        if (v->asked) ask_back(v, feed);
        break;
    case INSTRUCTOR_PART_BACK_ASK:
        ask_back(v, feed);
        break;
    case INSTRUCTOR_PART_BACK_DO:
        take_back(v, feed);
        break;
    default:
        if (v->asked && v->was_running && !v->card) ui_feed_pause(feed, false);
        v->asked = false;
        break;
    }
}

static void apply_fields(InstructorView *v, const Intent *intent) {
    switch ((InstructorPart)intent->number) {
    case INSTRUCTOR_PART_EVENT:
        if (intent->amount >= 0 && (int)intent->amount < v->events) v->chosen = (int)intent->amount;
        v->panel = INSTRUCTOR_PANELS;
        break;
    case INSTRUCTOR_PART_WHO:
        v->who = turn(v->who, intent->amount, SPEAKER_COUNT);
        break;
    case INSTRUCTOR_PART_MESSAGE:
        ui_textfield_edit(&v->message, intent->amount);
        break;
    case INSTRUCTOR_PART_NOTE:
        ui_textfield_edit(&v->note, intent->amount);
        break;
    case INSTRUCTOR_PART_LINE:
        ui_textfield_set(&v->message, ui_instructor_ready_line((int)intent->amount, &v->who));
        break;
    case INSTRUCTOR_PART_TRUTH:
        v->diagnosis = (DiagnosisId)turn((int)v->diagnosis, intent->amount, DIAGNOSIS_COUNT);
        break;
    case INSTRUCTOR_PART_PANEL:
        v->panel = (InstructorPanel)intent->amount;
        if (v->panel < INSTRUCTOR_PANELS) v->last_panel = v->panel;
        break;
    default:
        break;
    }
}

void ui_instructor_apply(InstructorView *v, Feed *feed, const Intent *intent) {
    char words[ACT_TEXT_MAX];
    if (intent->number < INSTRUCTOR_PART_EVENT) {
        if (intent->number == PRACTICE_PART_SET)
            set_causes(v, feed);
        else
            ui_practice_change(&v->causes, intent);
        return;
    }
    switch ((InstructorPart)intent->number) {
    case INSTRUCTOR_PART_FIRE:
    case INSTRUCTOR_PART_DELAY:
    case INSTRUCTOR_PART_SKIP:
        say_event(v, feed, intent);
        break;
    case INSTRUCTOR_PART_FREEZE:
        (void)say(v, feed, v->frozen ? "freeze end" : "freeze pump");
        break;
    case INSTRUCTOR_PART_SEND:
        say_message(v, feed);
        break;
    case INSTRUCTOR_PART_MARK:
        say_mark(v, feed);
        break;
    case INSTRUCTOR_PART_TRUTH_SAY:
        snprintf(words, sizeof words, "truth %s", sim_diagnoses_row(v->diagnosis)->key);
        (void)say(v, feed, words);
        break;
    case INSTRUCTOR_PART_BACK_BY:
    case INSTRUCTOR_PART_BACK_ASK:
    case INSTRUCTOR_PART_BACK_DO:
    case INSTRUCTOR_PART_BACK_KEEP:
        apply_back(v, feed, intent);
        break;
    default:
        apply_fields(v, intent);
        break;
    }
}

/* ---- the screen ---- */

static const SheetKind SHEET = {.state_size = sizeof(InstructorView), .draw = ui_instructor_draw};

Instructor *ui_instructor_create(Error *error) {
    Instructor *instructor = calloc(1, sizeof *instructor);
    if (instructor == NULL) {
        (void)model_error_set(error, ERROR_MEMORY, "no memory for the instructor's window");
        return NULL;
    }
    if (ui_screen_start(&instructor->screen, error) == ERROR_OK) return instructor;
    ui_instructor_destroy(instructor);
    return NULL;
}

void ui_instructor_destroy(Instructor *instructor) {
    if (instructor == NULL) return;
    ui_screen_free(&instructor->screen);
    free(instructor);
}

/* Another night, or the first: everything that was typed or chosen for the one before is forgotten. */
static void begin(Instructor *instructor, Feed *feed) {
    InstructorView *v = &instructor->view;
    const Session *session = feed != NULL ? ui_feed_session(feed) : NULL;
    if (session == instructor->session && v->open == (feed != NULL)) return;
    instructor->session = session;
    instructor->due_s = instructor->heart_due_s = 0.0;
    memset(v, 0, sizeof *v);
    v->open = feed != NULL;
    v->panel = INSTRUCTOR_PANELS;
    v->last_panel = INSTRUCTOR_CAUSES;
    v->back_min = BACK_FIRST_MIN;
    v->call_right = -1;
    if (feed == NULL) return;
    const Case *file = sim_session_case(session);
    v->causes.start = file->patient.parameters;
    v->causes.now = *sim_session_parameters(session);
    v->diagnosis = file->truth.diagnosis;
    while (v->chosen + 1 < file->event_count && sim_session_script(session)->fired_s[v->chosen] >= 0)
        v->chosen++; /* the first that is to come */
    ParameterId rows[PARAMETER_COUNT];
    if (ui_practice_rows(&v->causes, rows) > 0) v->causes.focus = rows[0];
}

/* Takes in what is new: the clock always, the heart ten times and everything else twice a second. */
static void take_in(Instructor *instructor, Feed *feed, bool card) {
    InstructorView *v = &instructor->view;
    v->time_s = floor(ui_feed_shown_s(feed));
    v->paused = ui_feed_paused(feed);
    v->rate_x = ui_feed_rate_now(feed);
    v->card = card;
    if (instructor->wall_s >= instructor->heart_due_s) {
        instructor->heart_due_s = instructor->wall_s + HEART_EVERY_S;
        ui_feed_true_heart(feed, &v->heart);
    }
    if (instructor->wall_s < instructor->due_s) return;
    instructor->due_s = instructor->wall_s + NUMBERS_EVERY_S;
    ui_instructor_fill(v, feed);
}

static void apply(Instructor *instructor, Feed *feed, const Intent *intent) {
    switch (intent->kind) {
    case INTENT_ZOOM:
        instructor->zoom = true;
        instructor->zoom_step = (int)intent->amount;
        return;
    case INTENT_FULL_SCREEN:
        instructor->full_screen = true;
        return;
    default:
        break;
    }
    if (feed == NULL) return;
    if (intent->kind == INTENT_PAUSE && !instructor->view.card) ui_feed_pause(feed, !ui_feed_paused(feed));
    if (intent->kind == INTENT_RATE) ui_feed_rate(feed, (int)intent->amount);
    if (intent->kind != INTENT_PART) return;
    ui_instructor_apply(&instructor->view, feed, intent);
    instructor->due_s = 0.0; /* what it did is seen at once */
}

void ui_instructor_frame(Instructor *instructor, Feed *feed, const Settings *settings, bool card,
                         const Input *input, double wall_s, double now_s) {
    instructor->wall_s += wall_s;
    begin(instructor, feed);
    if (feed != NULL) take_in(instructor, feed, card);
    instructor->screen.settings = *settings;
    ScreenFrame frame = {.sheet = &SHEET, .sheet_state = &instructor->view, .input = *input, .time_s = now_s};
    Intents intents = {0};
    for (int i = 0; i < input->keys; i++) {
        Key key = input->key[i].key;
        double step = key == KEY_ZOOM_IN ? 1.0 : key == KEY_ZOOM_OUT ? -1.0 : 0.0;
        if (key == KEY_ZOOM_IN || key == KEY_ZOOM_OUT || key == KEY_ZOOM_RESET)
            ui_intents_add(&intents, INTENT_ZOOM, 0, step, false);
    }
    ui_screen_frame(&instructor->screen, &frame, &intents);
    for (int i = 0; i < intents.count; i++)
        apply(instructor, feed, &intents.of[i]);
}
