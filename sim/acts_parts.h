/* Between the files of the acts' text form only. */
#ifndef SIM_ACTS_PARTS_H
#define SIM_ACTS_PARTS_H

#include "sim/acts.h"

enum { ACT_WORD_MAX = 64 };

/* Next word in small letters, or "" at the end; commas stand for blanks. A word that is too long is cut. */
void sim_acts_next_word(const char **text, char word[ACT_WORD_MAX]);

/* Copies free words: runs of blanks become one, what is no character becomes "?". `what` they are, for the
   refusal of too many. */
MODEL_CHECKED ErrorCode sim_acts_copy_words(const char *text, const char *what, char words[ACT_WORDS_MAX],
                                            Error *error);

/* Refuses a word that should not be there, or anything that follows. */
MODEL_CHECKED ErrorCode sim_acts_refuse_end(const char *word, ActId id, Error *error);
MODEL_CHECKED ErrorCode sim_acts_need_end(const char *text, ActId id, Error *error);
MODEL_CHECKED ErrorCode sim_acts_refuse_diagnosis(const char *word, Error *error);

/* The instructor's acts: what follows the first word, and the whole. */
MODEL_CHECKED ErrorCode sim_acts_read_hand(const char *text, Act *act, Error *error);
void sim_acts_format_hand(const Act *act, char *text, size_t size);

#endif
