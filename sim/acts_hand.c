/* The text form of the instructor's acts. */
#include "sim/acts_parts.h"

#include "sim/duration.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#define LEAST_S 1.0

static ErrorCode need(ActId id, const char *what, Error *error) {
    model_error_set(error, ERROR_SYNTAX, "%s is missing", what);
    model_error_allow(error, "like %s", sim_acts_row(id)->example);
    return ERROR_SYNTAX;
}

/* A length of time, a second or more. */
static ErrorCode read_for(const char *word, ActId id, Act *act, Error *error) {
    ErrorCode code = sim_duration_parse(word, &act->for_s, error);
    if (code != ERROR_OK || act->for_s >= LEAST_S) return code;
    model_error_set(error, ERROR_RANGE, "\"%s\" is too short", word);
    model_error_allow(error, "a second or more, like %s", sim_acts_row(id)->example);
    return ERROR_RANGE;
}

static ErrorCode read_event(const char *text, Act *act, Error *error) {
    char word[ACT_WORD_MAX];
    sim_acts_next_word(&text, word);
    if (word[0] == '\0') return need(act->id, "the event", error);
    if (strlen(word) >= sizeof act->name) return sim_acts_refuse_end(word, act->id, error);
    strcpy(act->name, word);
    if (act->id != ACT_delay) return sim_acts_need_end(text, act->id, error);
    sim_acts_next_word(&text, word);
    if (strcmp(word, "by") != 0) return need(act->id, "\"by\" and how long", error);
    sim_acts_next_word(&text, word);
    ErrorCode code = read_for(word, act->id, act, error);
    return code == ERROR_OK ? sim_acts_need_end(text, act->id, error) : code;
}

static ErrorCode read_freeze(const char *text, Act *act, Error *error) {
    char word[ACT_WORD_MAX];
    sim_acts_next_word(&text, word);
    act->end = strcmp(word, "end") == 0;
    if (!act->end && strcmp(word, "pump") != 0) return need(ACT_freeze, "\"pump\" or \"end\"", error);
    return sim_acts_need_end(text, ACT_freeze, error);
}

/* Copies at most `length` bytes of a name, in small letters, without blanks around it. */
static bool copy_name(const char *text, size_t length, char name[ACT_NAME_MAX]) {
    char words[ACT_WORDS_MAX], part[ACT_WORDS_MAX];
    if (length >= sizeof part) return false;
    memcpy(part, text, length);
    part[length] = '\0';
    Error ignored;
    if (sim_acts_copy_words(part, "name", words, &ignored) != ERROR_OK) return false;
    size_t used = strlen(words);
    while (used > 0 && words[used - 1] == ' ')
        words[--used] = '\0';
    if (used == 0 || used >= ACT_NAME_MAX) return false;
    for (size_t i = 0; i <= used; i++)
        name[i] = (char)tolower((unsigned char)words[i]);
    return true;
}

static ErrorCode read_say(const char *text, Act *act, Error *error) {
    size_t length = strcspn(text, ":");
    if (text[length] == '\0') return need(ACT_say, "who says it, and \":\",", error);
    if (!copy_name(text, length, act->name)) {
        model_error_set(error, ERROR_RANGE, "this is nobody who can say something");
        model_error_allow(error, "a word or two, at most %d bytes, then \":\"", ACT_NAME_MAX - 1);
        return ERROR_RANGE;
    }
    ErrorCode code = sim_acts_copy_words(text + length + 1, "message", act->words, error);
    return code == ERROR_OK && act->words[0] == '\0' ? need(ACT_say, "what is said", error) : code;
}

static ErrorCode read_truth(const char *text, Act *act, Error *error) {
    char word[ACT_WORD_MAX];
    sim_acts_next_word(&text, word);
    act->diagnosis = sim_diagnoses_find(word);
    if (act->diagnosis == DIAGNOSIS_COUNT) return sim_acts_refuse_diagnosis(word, error);
    return sim_acts_need_end(text, ACT_truth, error);
}

static ErrorCode read_back(const char *text, Act *act, Error *error) {
    char word[ACT_WORD_MAX];
    act->for_s = ACT_BACK_USUAL_S;
    sim_acts_next_word(&text, word);
    if (word[0] == '\0') return ERROR_OK;
    ErrorCode code = read_for(word, ACT_take_back, act, error);
    if (code != ERROR_OK) return code;
    if (act->for_s <= ACT_BACK_MOST_S) return sim_acts_need_end(text, ACT_take_back, error);
    model_error_set(error, ERROR_RANGE, "%s is too long to be taken back at once", word);
    model_error_allow(error, "at most 1h");
    return ERROR_RANGE;
}

ErrorCode sim_acts_read_hand(const char *text, Act *act, Error *error) {
    switch (act->id) {
    case ACT_freeze:
        return read_freeze(text, act, error);
    case ACT_say:
        return read_say(text, act, error);
    case ACT_truth:
        return read_truth(text, act, error);
    case ACT_take_back:
        return read_back(text, act, error);
    case ACT_mark:
        return sim_acts_copy_words(text, "mark", act->words, error);
    default:
        return read_event(text, act, error);
    }
}

void sim_acts_format_hand(const Act *act, char *text, size_t size) {
    const char *key = sim_acts_row(act->id)->key;
    char length[DURATION_TEXT_MAX];
    sim_duration_format(act->for_s, length, sizeof length);
    switch (act->id) {
    case ACT_freeze:
        snprintf(text, size, "%s %s", key, act->end ? "end" : "pump");
        break;
    case ACT_say:
        snprintf(text, size, "%s %s: %s", key, act->name, act->words);
        break;
    case ACT_truth:
        snprintf(text, size, "%s %s", key, sim_diagnoses_row(act->diagnosis)->key);
        break;
    case ACT_take_back:
        snprintf(text, size, "%s %s", key, length);
        break;
    case ACT_delay:
        snprintf(text, size, "%s %s by %s", key, act->name, length);
        break;
    default:
        snprintf(text, size, "%s %s", key, act->name);
        break;
    }
}
