/* Alarms in words: the trainee's acts, and what the log says. */
#include "sim/alarms.h"

#include "sim/duration.h"
#include "sim/quantity.h"
#include "sim/suggest.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

enum { WORDS_MAX = 6, WORD_MAX = 40 };

typedef struct Words {
    int count;
    char word[WORDS_MAX][WORD_MAX];
} Words;

static ErrorCode split(const char *text, Words *words, Error *error) {
    words->count = 0;
    for (const char *c = text; *c != '\0';) {
        while (isspace((unsigned char)*c))
            c++;
        size_t length = 0;
        while (c[length] != '\0' && !isspace((unsigned char)c[length]))
            length++;
        if (length == 0) break;
        if (length >= WORD_MAX || words->count == WORDS_MAX)
            return model_error_set(error, ERROR_SYNTAX, "\"%.60s\" is too long for an act on alarms", text);
        for (size_t i = 0; i < length; i++)
            words->word[words->count][i] = (char)tolower((unsigned char)c[i]);
        words->word[words->count++][length] = '\0';
        c += length;
    }
    for (int i = words->count; i < WORDS_MAX; i++)
        words->word[i][0] = '\0';
    return ERROR_OK;
}

static ErrorCode unknown_alarm(const char *typed, Error *error) {
    const char *names[ALARM_COUNT];
    for (int id = 0; id < ALARM_COUNT; id++)
        names[id] = sim_alarms_row((AlarmId)id)->stem;
    model_error_set(error, ERROR_UNKNOWN_NAME, "there is no alarm \"%s\"", typed);
    sim_suggest_allow(error, typed, names, ALARM_COUNT, "", "see: evenkeel list alarms");
    return ERROR_UNKNOWN_NAME;
}

/* "art_mean_mmhg" and "low": the quantity without its unit, and the side. */
static AlarmId find_side(const char *quantity, const char *side) {
    char stem[WORD_MAX], joined[2 * WORD_MAX];
    snprintf(stem, sizeof stem, "%s", quantity);
    for (;;) {
        snprintf(joined, sizeof joined, "%s_%s", stem, side);
        AlarmId id = sim_alarms_find(joined);
        char *cut = strrchr(stem, '_');
        if (id != ALARM_COUNT || cut == NULL) return id;
        *cut = '\0';
    }
}

/* One name, or a quantity and its side. *used is set to the number of words. */
static ErrorCode find_alarm(const Words *words, int from, AlarmId *id, int *used, Error *error) {
    *used = 1;
    *id = sim_alarms_find(words->word[from]);
    if (*id != ALARM_COUNT) return ERROR_OK;
    *used = 2;
    *id = find_side(words->word[from], words->word[from + 1]);
    return *id != ALARM_COUNT ? ERROR_OK : unknown_alarm(words->word[from], error);
}

static ErrorCode refuse(const char *what, Error *error) {
    model_error_set(error, ERROR_SYNTAX, "\"%.40s\" is not understood of alarms", what);
    model_error_allow(
        error, "acknowledge, pause, pause end, limit art_mean low 55, limit cvp_high off, limit reset");
    return ERROR_SYNTAX;
}

static ErrorCode read_limit(const Words *words, int from, AlarmAct *act, Error *error) {
    int used = 0;
    ErrorCode code = find_alarm(words, from, &act->id, &used, error);
    if (code != ERROR_OK) return code;
    from += used;
    if (words->count - from < 1 || words->count - from > 2)
        return refuse(words->word[words->count - 1], error);
    if (words->count - from == 1 && strcmp(words->word[from], "off") == 0) {
        act->kind = ALARM_ACT_OFF;
        return ERROR_OK;
    }
    if (words->count - from == 1 && strcmp(words->word[from], "on") == 0) {
        act->kind = ALARM_ACT_ON;
        return ERROR_OK;
    }
    const AlarmRow *row = sim_alarms_row(act->id);
    char text[2 * WORD_MAX];
    Quantity quantity;
    snprintf(text, sizeof text, "%s %s", words->word[from], words->word[from + 1]);
    if (words->count - from == 1) text[strlen(text) - 1] = '\0';
    act->kind = ALARM_ACT_LIMIT;
    code = sim_quantity_parse(text, &quantity, error);
    if (code != ERROR_OK) return code;
    act->value = quantity.value;
    if (row->side == ALARM_SIDE_SIGN)
        return model_error_set(error, ERROR_NOT_ALLOWED, "%s has no limit to set", row->key);
    const char *unit = sim_instruments_display_row(row->display)->unit;
    if (sim_quantity_unit_is(quantity.unit, unit)) return ERROR_OK;
    model_error_set(error, ERROR_SYNTAX, "the unit \"%s\" does not fit %s", quantity.unit, row->key);
    model_error_allow(error, "%s", unit);
    return ERROR_SYNTAX;
}

ErrorCode sim_alarms_parse(const char *words_text, AlarmAct *act, Error *error) {
    Words words;
    AlarmAct read = {.id = ALARM_COUNT};
    int used = 0;
    ErrorCode code = split(words_text, &words, error);
    if (code != ERROR_OK) return code;
    const char *verb = words.word[0], *next = words.word[1];
    if (strcmp(verb, "acknowledge") == 0) {
        read.kind = ALARM_ACT_ACKNOWLEDGE;
        if (words.count > 1) code = find_alarm(&words, 1, &read.id, &used, error);
        if (code == ERROR_OK && used != words.count - 1) code = refuse(words.word[words.count - 1], error);
    } else if (strcmp(verb, "pause") == 0 && words.count == 1) {
        read.kind = ALARM_ACT_PAUSE;
    } else if (strcmp(verb, "pause") == 0 && words.count == 2 && strcmp(next, "end") == 0) {
        read.kind = ALARM_ACT_UNPAUSE;
    } else if (strcmp(verb, "limit") == 0 && words.count == 2 && strcmp(next, "reset") == 0) {
        read.kind = ALARM_ACT_RESET;
    } else if (strcmp(verb, "limit") == 0 && words.count >= 3) {
        code = read_limit(&words, 1, &read, error);
    } else {
        code = refuse(words_text, error);
    }
    if (code == ERROR_OK) *act = read;
    return code;
}

void sim_alarms_format_limit(AlarmId id, double value, char *text, size_t size) {
    double step = sim_alarms_row(id)->step;
    snprintf(text, size, "%.*f", step >= 1 ? 0 : 1, value);
}

/* A unit as it is typed behind a number. */
static const char *unit_of(AlarmId id) {
    const AlarmRow *row = sim_alarms_row(id);
    return row->side == ALARM_SIDE_SIGN ? "" : sim_instruments_display_row(row->display)->unit;
}

void sim_alarms_format(const AlarmAct *act, char *text, size_t size) {
    const char *stem = act->id < ALARM_COUNT ? sim_alarms_row(act->id)->stem : "";
    switch (act->kind) {
    case ALARM_ACT_ACKNOWLEDGE:
        snprintf(text, size, "acknowledge%s%s", stem[0] != '\0' ? " " : "", stem);
        break;
    case ALARM_ACT_PAUSE:
        snprintf(text, size, "pause");
        break;
    case ALARM_ACT_UNPAUSE:
        snprintf(text, size, "pause end");
        break;
    case ALARM_ACT_RESET:
        snprintf(text, size, "limit reset");
        break;
    case ALARM_ACT_ON:
    case ALARM_ACT_OFF:
        snprintf(text, size, "limit %s %s", stem, act->kind == ALARM_ACT_ON ? "on" : "off");
        break;
    case ALARM_ACT_LIMIT: {
        const char *unit = unit_of(act->id);
        snprintf(text, size, "limit %s %.10g%s%s", stem, act->value,
                 isdigit((unsigned char)unit[0]) ? " " : "", unit); /* 130 1/min */
        break;
    }
    }
}

void sim_alarms_note_text(const AlarmNote *note, char *text, size_t size) {
    const AlarmRow *row = sim_alarms_row(note->id);
    char value[24], limit[24];
    switch (note->kind) {
    case ALARM_NOTE_BEGIN:
        if (row->side == ALARM_SIDE_SIGN) {
            snprintf(text, size, "begins: %s, %s priority", row->label,
                     sim_alarms_priority_word(row->priority));
            break;
        }
        sim_alarms_format_limit(note->id, note->limit, limit, sizeof limit);
        snprintf(value, sizeof value, "%.*f", sim_instruments_display_row(row->display)->decimals,
                 note->value);
        snprintf(text, size, "begins: %s, %s %s, limit %s, %s priority", row->label, value, unit_of(note->id),
                 limit, sim_alarms_priority_word(row->priority));
        break;
    case ALARM_NOTE_ACKNOWLEDGED:
        snprintf(text, size, "acknowledged after %.0f s: %s", note->seconds, row->label);
        break;
    case ALARM_NOTE_END:
        snprintf(text, size, "ends after %.0f s: %s", note->seconds, row->label);
        break;
    case ALARM_NOTE_PAUSE_BROKEN:
        snprintf(text, size, "sound is back: %s is more urgent than what was silenced", row->label);
        break;
    }
}
