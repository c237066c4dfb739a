/* Many errors at once. */
#include "sim/errorlist.h"

void sim_errorlist_add(ErrorList *list, const Error *error) {
    if (list->count >= ERRORLIST_MAX) {
        list->dropped++;
        return;
    }
    list->items[list->count++] = *error;
}
