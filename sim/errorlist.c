/* Many errors at once. */
#include "sim/errorlist.h"

void sim_errorlist_add(ErrorList *list, const Error *error) {
    if (list->count >= ERRORLIST_MAX) {
        list->dropped++;
        return;
    }
    list->items[list->count++] = *error;
}

void sim_errorlist_sort(ErrorList *list, int first) {
    for (int i = first + 1; i < list->count; i++) {
        const Error moved = list->items[i];
        int at = i;
        for (; at > first && list->items[at - 1].line > moved.line; at--)
            list->items[at] = list->items[at - 1];
        list->items[at] = moved;
    }
}
