/* The text form of acts: reading and writing. */
#include "sim/acts.h"

#include "sim/acts_parts.h"
#include "sim/duration.h"
#include "sim/quantity.h"
#include "sim/suggest.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { NUMBER_MAX = 32, CONFIDENCE_MOST = 100, TRAINEE = 0, INSTRUCTOR = 1 };

#define INSTRUCTOR_WORD "instructor"

static const ActRow rows[ACT_ROW_COUNT] = {
#define ACT(key, label, who, when_over, example, form, text)                                                 \
    {#key, label, who == INSTRUCTOR, when_over, example, form, text},
#include "sim/acts.def"
#undef ACT
};

const ActRow *sim_acts_row(ActId id) {
    return &rows[id];
}

ActId sim_acts_find(const char *key) {
    for (int id = 0; id < ACT_ROW_COUNT; id++) {
        if (strcmp(key, rows[id].key) == 0) return (ActId)id;
    }
    return ACT_order;
}

/* ---- words ---- */

static bool blank(char c) {
    return isspace((unsigned char)c) || c == ',';
}

/* Next word in small letters, or "" at the end; commas stand for blanks. A word that is too long is cut. */
void sim_acts_next_word(const char **text, char word[ACT_WORD_MAX]) {
    size_t length = 0;
    while (**text != '\0' && blank(**text))
        ++*text;
    for (; **text != '\0' && !blank(**text); ++*text) {
        if (length + 1 < ACT_WORD_MAX) word[length++] = (char)tolower((unsigned char)**text);
    }
    word[length] = '\0';
}

/* Bytes of the UTF-8 character at `text` (1 to 4), or 0 if there is none. RFC 3629; overlong forms and halves
   of pairs are left to whoever draws them. */
static size_t character_length(const char *text) {
    unsigned char lead = (unsigned char)text[0];
    size_t length = lead < 0x80   ? 1
                    : lead < 0xC2 ? 0
                    : lead < 0xE0 ? 2
                    : lead < 0xF0 ? 3
                    : lead < 0xF5 ? 4
                                  : 0;
    for (size_t i = 1; i < length; i++) {
        if (((unsigned char)text[i] & 0xC0) != 0x80) return 0;
    }
    return length;
}

/* Copies free words: runs of blanks become one, what is no character becomes "?". */
ErrorCode sim_acts_copy_words(const char *text, const char *what, char words[ACT_WORDS_MAX], Error *error) {
    size_t used = 0;
    bool gap = false;
    for (size_t step; *text != '\0'; text += step) {
        unsigned char c = (unsigned char)*text;
        step = character_length(text);
        if (isspace(c) || c < ' ' || c == 0x7F) {
            step = 1;
            gap = used > 0;
            continue;
        }
        if (used + gap + (step > 0 ? step : 1) >= ACT_WORDS_MAX) {
            model_error_set(error, ERROR_RANGE, "the %s is too long", what);
            model_error_allow(error, "at most %d bytes", ACT_WORDS_MAX - 1);
            return ERROR_RANGE;
        }
        if (gap) words[used++] = ' ';
        gap = false;
        if (step > 0)
            memcpy(words + used, text, step);
        else
            words[used] = '?';
        used += step > 0 ? step : 1;
        step = step > 0 ? step : 1;
    }
    words[used] = '\0';
    return ERROR_OK;
}

ErrorCode sim_acts_refuse_end(const char *word, ActId id, Error *error) {
    model_error_set(error, ERROR_SYNTAX, "\"%.60s\" is not understood at the end", word);
    model_error_allow(error, "%s", rows[id].form);
    return ERROR_SYNTAX;
}

ErrorCode sim_acts_need_end(const char *text, ActId id, Error *error) {
    char word[ACT_WORD_MAX];
    sim_acts_next_word(&text, word);
    return word[0] == '\0' ? ERROR_OK : sim_acts_refuse_end(word, id, error);
}

/* ---- each act ---- */

static ErrorCode read_look(const char *text, Act *act, Error *error) {
    char word[ACT_WORD_MAX];
    sim_acts_next_word(&text, word);
    act->end = strcmp(word, "end") == 0;
    act->view = act->end ? LOOK_VIEW_four_chamber : sim_look_view_find(word);
    if (act->view != LOOK_VIEW_COUNT) return sim_acts_need_end(text, ACT_look, error);
    const char *names[LOOK_VIEW_COUNT + 1] = {[LOOK_VIEW_COUNT] = "end"};
    for (int view = 0; view < LOOK_VIEW_COUNT; view++) {
        names[view] = sim_look_view_key((LookView)view);
    }
    model_error_set(error, ERROR_UNKNOWN_NAME, "there is no view \"%s\"", word);
    sim_suggest_allow(error, word, names, LOOK_VIEW_COUNT + 1, "look ", rows[ACT_look].text);
    return ERROR_UNKNOWN_NAME;
}

ErrorCode sim_acts_refuse_diagnosis(const char *word, Error *error) {
    const char *names[DIAGNOSIS_COUNT];
    for (int id = 0; id < DIAGNOSIS_COUNT; id++) {
        names[id] = sim_diagnoses_row((DiagnosisId)id)->key;
    }
    model_error_set(error, ERROR_UNKNOWN_NAME, "there is no diagnosis \"%s\"", word);
    sim_suggest_allow(error, word, names, DIAGNOSIS_COUNT, "", "see: evenkeel list diagnoses");
    return ERROR_UNKNOWN_NAME;
}

static ErrorCode read_kind(const char *word, ProblemKind *kind, Error *error) {
    *kind = sim_diagnoses_kind_find(word);
    if (*kind != PROBLEM_COUNT) return ERROR_OK;
    const char *names[PROBLEM_COUNT];
    char list[ERROR_ALLOWED_MAX] = "";
    size_t used = 0;
    for (int i = 0; i < PROBLEM_COUNT; i++) {
        names[i] = sim_diagnoses_kind_key((ProblemKind)i);
        if (used < sizeof list)
            used += (size_t)snprintf(list + used, sizeof list - used, "%s%s", i > 0 ? ", " : "", names[i]);
    }
    model_error_set(error, ERROR_UNKNOWN_NAME, "there is no kind of problem \"%s\"", word);
    sim_suggest_allow(error, word, names, PROBLEM_COUNT, "kind ", list);
    return ERROR_UNKNOWN_NAME;
}

/* "70" or "70%". */
static ErrorCode read_confidence(const char *word, int *percent, Error *error) {
    Quantity quantity;
    double value = -1;
    if (sim_quantity_parse(word, &quantity, NULL) == ERROR_OK && sim_quantity_unit_is(quantity.unit, "%"))
        value = quantity.value;
    if (value >= 0 && value <= CONFIDENCE_MOST && value - (int)value <= 0) {
        *percent = (int)value;
        return ERROR_OK;
    }
    model_error_set(error, ERROR_RANGE, "confidence \"%s\" is no percentage", word);
    model_error_allow(error, "a whole number from 0 to %d", CONFIDENCE_MOST);
    return ERROR_RANGE;
}

static ErrorCode read_call(const char *text, Act *act, Error *error) {
    char word[ACT_WORD_MAX];
    bool confidence = false;
    sim_acts_next_word(&text, word);
    act->diagnosis = sim_diagnoses_find(word);
    if (act->diagnosis == DIAGNOSIS_COUNT) return sim_acts_refuse_diagnosis(word, error);
    act->kind = sim_diagnoses_row(act->diagnosis)->kind;
    for (sim_acts_next_word(&text, word); word[0] != '\0'; sim_acts_next_word(&text, word)) {
        ErrorCode code = ERROR_OK;
        if (strcmp(word, "plan") == 0) {
            code = sim_acts_copy_words(text, "plan", act->words, error);
            text += strlen(text);
        } else if (strcmp(word, "confidence") == 0) {
            sim_acts_next_word(&text, word);
            confidence = true;
            code = read_confidence(word, &act->confidence_percent, error);
        } else if (strcmp(word, "kind") == 0) {
            sim_acts_next_word(&text, word);
            code = read_kind(word, &act->kind, error);
        } else {
            code = sim_acts_refuse_end(word, ACT_call, error);
        }
        if (code != ERROR_OK) return code;
    }
    if (confidence) return ERROR_OK;
    model_error_set(error, ERROR_SYNTAX, "a call needs a confidence");
    model_error_allow(error, "like %s", rows[ACT_call].example);
    return ERROR_SYNTAX;
}

static ErrorCode read_way(const char **text, const char *name, PredictionAnswer *answer, Error *error) {
    char word[ACT_WORD_MAX];
    DisplayId id = sim_predictions_find(name);
    if (id == DISPLAY_COUNT) {
        char shorts[DISPLAY_COUNT][PREDICTION_NAME_MAX];
        const char *names[DISPLAY_COUNT];
        for (int i = 0; i < DISPLAY_COUNT; i++) {
            sim_predictions_name((DisplayId)i, shorts[i]);
            names[i] = shorts[i];
        }
        model_error_set(error, ERROR_UNKNOWN_NAME, "there is no displayed quantity \"%s\"", name);
        sim_suggest_allow(error, name, names, DISPLAY_COUNT, "", "see: evenkeel list display");
        return ERROR_UNKNOWN_NAME;
    }
    sim_acts_next_word(text, word);
    for (int way = 0; way < WAY_COUNT; way++) {
        if (strcmp(word, sim_predictions_way_word((PredictionWay)way)) != 0) continue;
        if (answer->count == PREDICTION_PARTS) break;
        answer->quantity[answer->count] = id;
        answer->way[answer->count++] = (PredictionWay)way;
        return ERROR_OK;
    }
    if (answer->count == PREDICTION_PARTS)
        model_error_set(error, ERROR_SYNTAX, "%s is one quantity too many", name);
    else
        model_error_set(error, ERROR_SYNTAX, "which way %s goes is not said", name);
    model_error_allow(error, "down, same or up, for up to %d quantities", PREDICTION_PARTS);
    return ERROR_SYNTAX;
}

static ErrorCode read_answer(const char *text, PredictionAnswer *answer, Error *error) {
    char word[ACT_WORD_MAX];
    for (sim_acts_next_word(&text, word); word[0] != '\0'; sim_acts_next_word(&text, word)) {
        ErrorCode code = ERROR_OK;
        if (strcmp(word, "skip") == 0 && answer->count == 0 && answer->sure == 0) {
            answer->skipped = true;
            return sim_acts_need_end(text, ACT_predict, error);
        }
        if (strcmp(word, "sure") != 0) {
            code = read_way(&text, word, answer, error);
        } else {
            sim_acts_next_word(&text, word);
            bool digit = word[0] >= '0' + PREDICTION_SURE_LEAST && word[0] <= '0' + PREDICTION_SURE_MOST;
            if (!digit || word[1] != '\0') {
                code = model_error_set(error, ERROR_RANGE, "sure \"%s\" is out of range", word);
                model_error_allow(error, "1 (a guess) to 5 (certain)");
            }
            answer->sure = word[0] - '0';
        }
        if (code != ERROR_OK) return code;
    }
    if (answer->count > 0 && answer->sure > 0) return ERROR_OK;
    model_error_set(error, ERROR_SYNTAX, "%s is missing",
                    answer->count == 0 ? "which way it goes" : "how sure it is");
    model_error_allow(error, "like %s", rows[ACT_predict].example);
    return ERROR_SYNTAX;
}

static ErrorCode read_predict(const char *text, const OrderLimits *limits, Act *act, Error *error) {
    char words[ACT_TEXT_MAX];
    size_t length = strcspn(text, ":");
    if (text[length] == '\0') {
        model_error_set(error, ERROR_SYNTAX, "the \":\" between order and prediction is missing");
        model_error_allow(error, "like %s", rows[ACT_predict].example);
        return ERROR_SYNTAX;
    }
    snprintf(words, sizeof words, "%.*s", (int)length, text);
    ErrorCode code = sim_orders_parse(words, limits, &act->order, error);
    return code == ERROR_OK ? read_answer(text + length + 1, &act->answer, error) : code;
}

static ErrorCode read_set(const char *text, Act *act, Error *error) {
    char word[ACT_WORD_MAX];
    sim_acts_next_word(&text, word);
    act->parameter = model_parameters_find(word);
    if (act->parameter == PARAMETER_COUNT) return sim_suggest_parameter(error, word);
    sim_acts_next_word(&text, word);
    ErrorCode code = sim_quantity_parameter(word, act->parameter, &act->value, error);
    if (code != ERROR_OK) return code;
    sim_acts_next_word(&text, word);
    if (word[0] == '\0') return ERROR_OK;
    if (strcmp(word, "over") != 0) return sim_acts_refuse_end(word, ACT_set, error);
    sim_acts_next_word(&text, word);
    code = sim_duration_parse(word, &act->over_s, error);
    if (code == ERROR_OK && act->over_s > 0 && sim_quantity_is_choice(act->parameter)) {
        model_error_set(error, ERROR_NOT_ALLOWED, "%s cannot be moved evenly",
                        model_parameters_row(act->parameter)->key);
        model_error_allow(error, "at once: without over");
        return ERROR_NOT_ALLOWED;
    }
    return code == ERROR_OK ? sim_acts_need_end(text, ACT_set, error) : code;
}

static ErrorCode read_note(const char *text, Act *act, Error *error) {
    ErrorCode code = sim_acts_copy_words(text, "note", act->words, error);
    if (code != ERROR_OK || act->words[0] != '\0') return code;
    model_error_set(error, ERROR_SYNTAX, "the note is empty");
    model_error_allow(error, "like %s", rows[ACT_note].example);
    return ERROR_SYNTAX;
}

static ErrorCode read_act(const char *text, const OrderLimits *limits, Act *act, Error *error) {
    switch (act->id) {
    case ACT_look:
        return read_look(text, act, error);
    case ACT_call:
        return read_call(text, act, error);
    case ACT_predict:
        return read_predict(text, limits, act, error);
    case ACT_set:
        return read_set(text, act, error);
    case ACT_note:
        return read_note(text, act, error);
    default:
        return rows[act->id].instructor ? sim_acts_read_hand(text, act, error)
                                        : sim_acts_copy_words(text, "text", act->words, error);
    }
}

/* The nearest among orders and acts; the order's own refusal is kept when nothing is near. */
static void suggest_any(const char *typed, Error *error) {
    const char *names[ORDER_COUNT + ACT_ROW_COUNT];
    for (int i = 0; i < ORDER_COUNT; i++) {
        names[i] = sim_orders_row((OrderId)i)->key;
    }
    for (int i = 0; i < ACT_ROW_COUNT; i++) {
        names[ORDER_COUNT + i] = rows[i].key;
    }
    model_error_set(error, ERROR_UNKNOWN_NAME, "there is no order or act \"%s\"", typed);
    sim_suggest_allow(error, typed, names, ORDER_COUNT + ACT_ROW_COUNT, "",
                      "see: evenkeel list orders, evenkeel list acts");
}

ErrorCode sim_acts_parse(const char *text, const OrderLimits *limits, Act *act, Error *error) {
    char word[ACT_WORD_MAX];
    const char *rest = text;
    Act read = {.parameter = PARAMETER_COUNT};
    Error local;
    if (error == NULL) error = &local;
    model_error_clear(error);
    sim_acts_next_word(&rest, word);
    bool prefixed = strcmp(word, INSTRUCTOR_WORD) == 0;
    if (prefixed) {
        text = rest;
        sim_acts_next_word(&rest, word);
    }
    read.id = sim_acts_find(word);
    read.by_instructor = prefixed || (read.id != ACT_order && rows[read.id].instructor);
    ErrorCode code;
    if (read.id == ACT_order) {
        code = sim_orders_parse(text, limits, &read.order, error);
        bool verb = strcmp(word, "bolus") == 0 || strcmp(word, "infusion") == 0 || strcmp(word, "stop") == 0;
        if (code == ERROR_UNKNOWN_NAME && !verb && sim_orders_find(word) == ORDER_COUNT)
            suggest_any(word, error);
    } else {
        bool alarm = read.id == ACT_acknowledge || read.id == ACT_pause || read.id == ACT_limit;
        code = alarm ? sim_alarms_parse(text, &read.alarm, error) : read_act(rest, limits, &read, error);
    }
    if (code == ERROR_OK) *act = read;
    return code;
}

/* ---- writing ---- */

static void format_call(const Act *act, char *text, size_t size) {
    snprintf(text, size, "call %s confidence %d kind %s%s%s", sim_diagnoses_row(act->diagnosis)->key,
             act->confidence_percent, sim_diagnoses_kind_key(act->kind),
             act->words[0] != '\0' ? " plan " : "", act->words);
}

static void format_predict(const Act *act, char *text, size_t size) {
    char order[ORDER_TEXT_MAX];
    const PredictionAnswer *answer = &act->answer;
    sim_orders_format(&act->order, order, sizeof order);
    size_t used = (size_t)snprintf(text, size, "predict %s :%s", order, answer->skipped ? " skip" : "");
    for (int i = 0; i < answer->count && used < size && !answer->skipped; i++) {
        char name[PREDICTION_NAME_MAX];
        sim_predictions_name(answer->quantity[i], name);
        used += (size_t)snprintf(text + used, size - used, " %s %s,", name,
                                 sim_predictions_way_word(answer->way[i]));
    }
    if (!answer->skipped && used < size) snprintf(text + used, size - used, " sure %d", answer->sure);
}

static void format_set(const Act *act, char *text, size_t size) {
    char over[DURATION_TEXT_MAX], number[NUMBER_MAX];
    sim_duration_format(act->over_s, over, sizeof over);
    snprintf(number, sizeof number, "%.15g", act->value);
    /* as short as it can be and still the same to the last bit */
    if (fabs(strtod(number, NULL) - act->value) > 0) snprintf(number, sizeof number, "%.17g", act->value);
    snprintf(text, size, "set %s %s%s%s", model_parameters_row(act->parameter)->key, number,
             act->over_s > 0 ? " over " : "", act->over_s > 0 ? over : "");
}

void sim_acts_format(const Act *act, char *text, size_t size) {
    switch (act->id) {
    case ACT_order:
        sim_orders_format(&act->order, text, size);
        break;
    case ACT_look:
        snprintf(text, size, "look %s", act->end ? "end" : sim_look_view_key(act->view));
        break;
    case ACT_call:
        format_call(act, text, size);
        break;
    case ACT_predict:
        format_predict(act, text, size);
        break;
    case ACT_set:
        format_set(act, text, size);
        break;
    case ACT_acknowledge:
    case ACT_pause:
    case ACT_limit:
        sim_alarms_format(&act->alarm, text, size);
        break;
    case ACT_fire:
    case ACT_delay:
    case ACT_skip:
    case ACT_keep:
    case ACT_freeze:
    case ACT_say:
    case ACT_truth:
    case ACT_take_back:
        sim_acts_format_hand(act, text, size);
        break;
    default:
        snprintf(text, size, "%s%s%s", rows[act->id].key, act->words[0] != '\0' ? " " : "", act->words);
        break;
    }
}
