/* Orders and other acts to be given at set times, from a file or from the command line. */
#include "sim/plan.h"

#include "sim/duration.h"
#include "sim/textfile.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { FILE_BYTES_MAX = 1 << 18, TIME_TEXT_MAX = 32 };

/* Puts the place of a part of a line into an error that a parser of that part made. */
static ErrorCode place(Error *error, ErrorCode code, const char *where, int line, int column) {
    if (error == NULL) return code;
    error->code = code;
    model_error_at(error, where, line, line > 0 ? column + (error->column > 0 ? error->column - 1 : 0) : 0);
    return code;
}

/* Behind everything of the same time or earlier. */
static void insert(Plan *plan, const PlanItem *item) {
    int at = plan->count++;
    for (; at > 0 && plan->items[at - 1].time_s > item->time_s; at--)
        plan->items[at] = plan->items[at - 1];
    plan->items[at] = *item;
}

ErrorCode sim_plan_add(Plan *plan, const char *text, const char *where, int line, const OrderLimits *limits,
                       Error *error) {
    static const char BLANKS[] = " \t\r\n";
    size_t start = strspn(text, BLANKS);
    size_t time_length = strcspn(text + start, BLANKS);
    size_t order_start = start + time_length + strspn(text + start + time_length, BLANKS);
    size_t order_length = strlen(text + order_start);
    while (order_length > 0 && strchr(BLANKS, text[order_start + order_length - 1]) != NULL)
        order_length--;

    ErrorCode code = ERROR_OK;
    if (plan->count == PLAN_MAX) {
        code = model_error_set(error, ERROR_RANGE, "too many orders");
        model_error_allow(error, "at most %d", PLAN_MAX);
        return place(error, code, where, line, 1);
    }
    if (order_length == 0 || order_length >= PLAN_LINE_MAX || time_length >= TIME_TEXT_MAX) {
        code = model_error_set(error, ERROR_SYNTAX, "this is no time followed by an order");
        model_error_allow(error, "TIME ORDER, for example: 20min speed 9400");
        return place(error, code, where, line, (int)start + 1);
    }
    PlanItem item = {.line = line};
    char time_text[TIME_TEXT_MAX];
    memcpy(time_text, text + start, time_length);
    time_text[time_length] = '\0';
    memcpy(item.text, text + order_start, order_length);
    item.text[order_length] = '\0';
    snprintf(item.where, sizeof item.where, "%s", where);

    code = sim_duration_parse(time_text, &item.time_s, error);
    if (code != ERROR_OK) return place(error, code, where, line, (int)start + 1);
    code = sim_acts_parse(item.text, limits, &item.act, error);
    if (code != ERROR_OK) return place(error, code, where, line, (int)order_start + 1);

    insert(plan, &item);
    return ERROR_OK;
}

ErrorCode sim_plan_add_steps(Plan *plan, const Case *case_file, int index, Error *error) {
    const CasePlan *own = &case_file->plans[index];
    for (int i = 0; i < own->step_count; i++) {
        const CaseStep *step = &case_file->steps[own->first_step + i];
        PlanItem item = {.time_s = step->time_s, .line = step->line};
        ErrorCode code = ERROR_OK;
        if (plan->count == PLAN_MAX) {
            code = model_error_set(error, ERROR_RANGE, "too many orders");
            model_error_allow(error, "at most %d", PLAN_MAX);
        }
        snprintf(item.text, sizeof item.text, "%s", step->text);
        snprintf(item.where, sizeof item.where, "%.*s", PLAN_WHERE_MAX - 1, case_file->path);
        if (code == ERROR_OK) code = sim_acts_parse(item.text, &case_file->limits, &item.act, error);
        if (code != ERROR_OK) return place(error, code, case_file->path, step->line, step->column);
        insert(plan, &item);
    }
    return ERROR_OK;
}

/* Copies a line up to its end or its comment, with every \# made a #. A line too long for any act is cut: it
   is refused then. Returns the length of the whole line. */
static size_t copy_line(const char *text, char *line, size_t size) {
    size_t used = 0, at = 0;
    for (; text[at] != '\0' && text[at] != '\n' && text[at] != '#'; at++) {
        if (text[at] == '\\' && text[at + 1] == '#') at++;
        if (used + 1 < size) line[used++] = text[at];
    }
    line[used] = '\0';
    return at + strcspn(text + at, "\n");
}

void sim_plan_add_lines(Plan *plan, const char *text, const char *where, const OrderLimits *limits,
                        ErrorList *errors) {
    int number = 0;
    while (*text != '\0') {
        char line[2 * PLAN_LINE_MAX];
        size_t length = copy_line(text, line, sizeof line);
        number++;
        if (line[strspn(line, " \t\r")] != '\0') {
            Error error;
            model_error_clear(&error);
            if (sim_plan_add(plan, line, where, number, limits, &error) != ERROR_OK)
                sim_errorlist_add(errors, &error);
        }
        text += length + (text[length] == '\n');
    }
}

void sim_plan_add_file(Plan *plan, const char *path, const OrderLimits *limits, ErrorList *errors) {
    char *text = NULL;
    size_t length = 0;
    Error error;
    model_error_clear(&error);
    if (sim_textfile_read(path, FILE_BYTES_MAX, &text, &length, &error) != ERROR_OK) {
        sim_errorlist_add(errors, &error);
        return;
    }
    sim_plan_add_lines(plan, text, path, limits, errors);
    free(text);
}

char *sim_plan_write(const Plan *plan) {
    enum { ROW_MAX = DURATION_TEXT_MAX + 2 * PLAN_LINE_MAX + 2 };
    size_t size = (size_t)plan->count * ROW_MAX + 1, used = 0;
    char *text = malloc(size);
    if (text == NULL) return NULL;
    for (int i = 0; i < plan->count; i++) {
        char time_text[DURATION_TEXT_MAX];
        sim_duration_format(plan->items[i].time_s, time_text, sizeof time_text);
        used += (size_t)snprintf(text + used, size - used, "%s ", time_text);
        for (const char *c = plan->items[i].text; *c != '\0'; c++) {
            if (*c == '#') text[used++] = '\\';
            text[used++] = *c;
        }
        text[used++] = '\n';
    }
    text[used] = '\0';
    return text;
}
