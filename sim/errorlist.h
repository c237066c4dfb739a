/* Many errors at once, so that a person can mend a file in one go. */
#ifndef SIM_ERRORLIST_H
#define SIM_ERRORLIST_H

#include "model/error.h"

enum { ERRORLIST_MAX = 64 };

typedef struct ErrorList {
    int count;                  /* entries kept in `items` */
    int dropped;                /* further errors that had no room */
    Error items[ERRORLIST_MAX]; /* in the order found, until sorted */
} ErrorList;

/* Adds a copy of `error`; counts it as dropped when the list is full. */
void sim_errorlist_add(ErrorList *list, const Error *error);

/* Puts the entries from `first` on in the order of their lines; those of one line stay as they were found. */
void sim_errorlist_sort(ErrorList *list, int first);

#endif
