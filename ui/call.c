/* The call: what it holds, its words, and its place among the sheets. */
#include "ui/call.h"

#include "sim/acts.h"

#include <stdio.h>
#include <string.h>

enum { PERCENT_A_STEP = 10 };

const char *ui_call_confidence_word(int step) {
    static const char *const WORDS[CALL_CONFIDENCE_STEPS] = {"no idea at all",
                                                             "hardly",
                                                             "unlikely",
                                                             "rather not",
                                                             "a bit less likely than not",
                                                             "as likely as not",
                                                             "a bit more likely than not",
                                                             "likely",
                                                             "rather sure",
                                                             "nearly certain",
                                                             "certain"};
    return step < 0 ? "" : WORDS[step < CALL_CONFIDENCE_STEPS ? step : CALL_CONFIDENCE_STEPS - 1];
}

const char *ui_call_missing(const CallView *call) {
    if (call->diagnosis >= DIAGNOSIS_COUNT) return "Choose what it is";
    return call->confidence < 0 ? "Say how sure you are" : NULL;
}

void ui_call_words(const CallView *call, char *text, size_t size) {
    Act act = {.id = ACT_call,
               .diagnosis = call->diagnosis,
               .kind = sim_diagnoses_row(call->diagnosis)->kind,
               .confidence_percent = call->confidence * PERCENT_A_STEP};
    snprintf(act.words, sizeof act.words, "%s", call->plan.text);
    sim_acts_format(&act, text, size);
}

static DiagnosisId first_of(ProblemKind kind) {
    for (int i = 0; i < DIAGNOSIS_COUNT; i++) {
        if (sim_diagnoses_row((DiagnosisId)i)->kind == kind) return (DiagnosisId)i;
    }
    return DIAGNOSIS_COUNT;
}

void ui_call_change(CallView *call, const Intent *intent) {
    int value = (int)intent->amount;
    switch ((CallPart)intent->number) {
    case CALL_PART_KIND:
        if (value < 0 || value >= PROBLEM_COUNT) break;
        call->kind = (ProblemKind)value;
        /* a kind with one name says it all */
        call->diagnosis = DIAGNOSIS_COUNT;
        if (first_of(call->kind) < DIAGNOSIS_COUNT) {
            int count = 0;
            for (int i = 0; i < DIAGNOSIS_COUNT; i++)
                count += sim_diagnoses_row((DiagnosisId)i)->kind == call->kind;
            if (count == 1) call->diagnosis = first_of(call->kind);
        }
        break;
    case CALL_PART_DIAGNOSIS:
        if (value < 0 || value >= DIAGNOSIS_COUNT) break;
        call->diagnosis = (DiagnosisId)value;
        call->kind = sim_diagnoses_row(call->diagnosis)->kind;
        break;
    case CALL_PART_CONFIDENCE:
        call->confidence = value < 0 ? 0 : value >= CALL_CONFIDENCE_STEPS ? CALL_CONFIDENCE_STEPS - 1 : value;
        break;
    case CALL_PART_PLAN:
        ui_textfield_edit(&call->plan, intent->amount);
        break;
    case CALL_PART_GIVE:
        break;
    }
    call->problem[0] = '\0';
}

/* Takes over the night's calls. */
static void read_earlier(CallView *call, const Session *session) {
    call->earliers = 0;
    for (int i = 0; i < CALL_LINES_MAX; i++) {
        const Call *made = sim_session_call(session, i);
        if (made == NULL) break;
        CallLine *line = &call->earlier[call->earliers++];
        *line = (CallLine){.time_s = made->time_s,
                           .diagnosis = made->diagnosis,
                           .confidence_percent = made->confidence_percent};
        snprintf(line->plan, sizeof line->plan, "%.90s", made->plan);
    }
}

static void call_open(void *state, SheetContext *context) {
    CallView *call = state;
    if (context->feed == NULL) {
        context->close = true;
        return;
    }
    if (!call->begun) {
        call->diagnosis = DIAGNOSIS_COUNT;
        call->kind = PROBLEM_surgical;
        call->confidence = -1;
        call->begun = true;
    }
    call->frames = 0;
    call->problem[0] = '\0';
    read_earlier(call, ui_feed_session(context->feed));
}

static void call_fill(void *state, SheetContext *context) {
    (void)context;
    ((CallView *)state)->frames++;
}

static void call_draw(Ui *ui, Rect screen, const void *state, Intents *intents) {
    ui_call_draw(ui, screen, state, intents);
}

static void call_apply(void *state, SheetContext *context, const Intent *intent) {
    CallView *call = state;
    if (intent->number != CALL_PART_GIVE) {
        ui_call_change(call, intent);
        return;
    }
    if (ui_call_missing(call) != NULL) {
        snprintf(call->problem, sizeof call->problem, "%s.", ui_call_missing(call));
        return;
    }
    char words[ACT_TEXT_MAX];
    Error error;
    model_error_clear(&error);
    ui_call_words(call, words, sizeof words);
    if (ui_feed_say(context->feed, words, &error) != ERROR_OK) {
        model_error_format(&error, call->problem, sizeof call->problem);
        return;
    }
    /* the next call begins from this one, and is to be thought over anew */
    call->confidence = -1;
    ui_textfield_edit(&call->plan, TEXT_EDIT_CLEAR);
    context->close = true;
}

const SheetKind UI_CALL_SHEET = {.state_size = sizeof(CallView),
                                 .card = true,
                                 .waits = true,
                                 .open = call_open,
                                 .fill = call_fill,
                                 .draw = call_draw,
                                 .apply = call_apply};
