/* `evenkeel list TABLE`: walks the program's tables, for people and (--csv) for programs. */
#include "model/people.h"
#include "sim/acts.h"
#include "sim/alarms.h"
#include "sim/case_jsonschema.h"
#include "sim/casefolder.h"
#include "sim/cli_commands.h"
#include "sim/console.h"
#include "sim/csv.h"
#include "sim/deeds.h"
#include "sim/diagnoses.h"
#include "sim/duration.h"
#include "sim/suggest.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { CSV, JSON_SCHEMA, ROWS };

static const OptionRow ROW_TABLE[ROWS] = {
    [CSV] = {"csv", NULL, OPTION_FLAG, 0, 0, false, "as comma-separated text"},
    [JSON_SCHEMA] = {"json-schema", NULL, OPTION_FLAG, 0, 0, false,
                     "keys only: as a JSON Schema, for editors of case files"},
};

enum {
    COLUMNS_MAX = 8,
    CELL_MAX = 640,
    LINE_WIDTH = 100,    /* of what people read */
    TEXT_WIDTH_MIN = 36, /* a text that has less room beside its row stands below it */
    INDENT = 4,
    GAP = 2
};

typedef char Cells[COLUMNS_MAX][CELL_MAX];

/* One table: its columns, and what fills row i. */
typedef struct ListTable {
    const char *name;
    const char *text;
    int column_count;
    int aligned_count; /* columns that stand beside each other; the others are texts, broken into lines */
    const char *columns[COLUMNS_MAX];
    int (*count)(void);
    void (*fill)(int row, Cells cells);
} ListTable;

static void put_text(char *cell, const char *text) {
    snprintf(cell, CELL_MAX, "%s", text);
}

static void put_number(char *cell, double number) {
    bool whole = fabs(number - nearbyint(number)) <= 0.0;
    snprintf(cell, CELL_MAX, whole ? "%.0f" : "%.10g", number);
}

static int parameter_count(void) {
    return PARAMETER_COUNT;
}

static void fill_parameter(int row, Cells cells) {
    const ParameterRow *parameter = model_parameters_row((ParameterId)row);
    put_text(cells[0], parameter->key);
    put_text(cells[1], parameter->unit);
    put_number(cells[2], parameter->standard);
    put_number(cells[3], parameter->low);
    put_number(cells[4], parameter->high);
    put_text(cells[5], parameter->text);
    put_text(cells[6], parameter->source);
}

static int observable_count(void) {
    return OBSERVABLE_COUNT;
}

static void fill_observable(int row, Cells cells) {
    const ObservableRow *observable = model_observables_row((ObservableId)row);
    put_text(cells[0], observable->key);
    put_text(cells[1], observable->unit);
    put_text(cells[2], observable->text);
}

static int display_count(void) {
    return DISPLAY_COUNT;
}

static void fill_display(int row, Cells cells) {
    const DisplayRow *display = sim_instruments_display_row((DisplayId)row);
    snprintf(cells[0], CELL_MAX, "shown_%s", display->key);
    put_text(cells[1], display->unit);
    put_number(cells[2], display->window_s);
    put_text(cells[3], display->text);
}

static int order_count(void) {
    return ORDER_COUNT;
}

static void fill_order(int row, Cells cells) {
    const OrderRow *order = sim_orders_row((OrderId)row);
    put_text(cells[0], order->key);
    put_text(cells[1], order->unit);
    if (order->kind != ORDER_KIND_ACTION || order->high > 0) {
        put_number(cells[2], order->low);
        put_number(cells[3], order->high);
    }
    put_number(cells[4], order->standard);
    put_text(cells[5], order->text);
    sim_orders_example((OrderId)row, cells[6], CELL_MAX);
    put_text(cells[7], order->source);
}

static int act_count(void) {
    return ACT_ROW_COUNT;
}

static void fill_act(int row, Cells cells) {
    const ActRow *act = sim_acts_row((ActId)row);
    put_text(cells[0], act->key);
    put_text(cells[1], act->text);
    put_text(cells[2], act->form);
    put_text(cells[3], act->example);
    put_text(cells[4], act->instructor ? "instructor" : "trainee");
}

static int diagnosis_count(void) {
    return DIAGNOSIS_COUNT;
}

static void fill_diagnosis(int row, Cells cells) {
    const DiagnosisRow *diagnosis = sim_diagnoses_row((DiagnosisId)row);
    put_text(cells[0], diagnosis->key);
    put_text(cells[1], sim_diagnoses_kind_key(diagnosis->kind));
    put_text(cells[2], diagnosis->label);
    put_text(cells[3], diagnosis->text);
    put_text(cells[4], diagnosis->source);
}

static int deed_count(void) {
    return DEED_COUNT;
}

static void fill_deed(int row, Cells cells) {
    const DeedRow *deed = sim_deeds_row((DeedId)row);
    put_text(cells[0], deed->key);
    put_text(cells[1], deed->unit);
    put_text(cells[2], deed->text);
}

static int alarm_count(void) {
    return ALARM_COUNT;
}

static void fill_alarm(int row, Cells cells) {
    const AlarmRow *alarm = sim_alarms_row((AlarmId)row);
    put_text(cells[0], alarm->key);
    put_text(cells[1], sim_alarms_priority_word(alarm->priority));
    put_number(cells[2], alarm->delay_s);
    if (alarm->side != ALARM_SIDE_SIGN) {
        put_number(cells[3], alarm->standard);
        if (!alarm->on) put_text(cells[3], "off");
        put_number(cells[4], alarm->least);
        put_number(cells[5], alarm->most);
    }
    put_text(cells[6], alarm->text);
    put_text(cells[7], alarm->source);
}

static void fill_key(int row, Cells cells) {
    const CaseKeyRow *key = sim_case_key(row);
    put_text(cells[0], key->path);
    put_text(cells[1], sim_case_key_kind_word(key->kind));
    put_text(cells[2], key->required ? "needed" : "");
    if (key->high > key->low) {
        put_number(cells[3], key->low);
        put_number(cells[4], key->high);
    }
    put_text(cells[5], key->text);
    put_text(cells[6], key->words != NULL ? key->words : "");
}

static int person_count(void) {
    return PERSON_COUNT;
}

/* A base patient's name, and how far it is from the healthy adult. */
static void fill_person(int row, Cells cells) {
    Parameters person = model_people_parameters((PersonId)row);
    Parameters standard = model_parameters_standard();
    int changed = 0;
    for (int i = 0; i < PARAMETER_COUNT; i++) {
        double difference =
            model_parameters_get(&person, (ParameterId)i) - model_parameters_get(&standard, (ParameterId)i);
        changed += fabs(difference) > 0.0;
    }
    put_text(cells[0], model_people_key((PersonId)row));
    put_number(cells[1], person.weight_kg);
    put_number(cells[2], person.height_cm);
    put_number(cells[3], round(person.blood_volume_ml));
    put_number(cells[4], changed);
    put_text(cells[5], model_people_text((PersonId)row));
}

static const ListTable TABLES[] = {
    {"parameters",
     "inputs of the patient: anatomy, causes of trouble, settings, drips",
     7,
     5,
     {"key", "unit", "standard", "low", "high", "text", "source"},
     parameter_count,
     fill_parameter},
    {"observables",
     "what can be read from the patient; also the columns of run --csv",
     3,
     2,
     {"key", "unit", "text"},
     observable_count,
     fill_observable},
    {"display",
     "what the bedside shows; the further columns of run --display",
     4,
     3,
     {"key", "unit", "window_s", "text"},
     display_count,
     fill_display},
    {"orders",
     "what can be ordered; of actions, standard is the time they take",
     8,
     5,
     {"key", "unit", "low", "high", "standard", "text", "example", "source"},
     order_count,
     fill_order},
    {"acts",
     "what can be done beside ordering, in words; plans and --order take them too",
     5,
     1,
     {"key", "text", "form", "example", "who"},
     act_count,
     fill_act},
    {"diagnoses",
     "what can be called, and what a case can say is wrong",
     5,
     3,
     {"key", "kind", "label", "text", "source"},
     diagnosis_count,
     fill_diagnosis},
    {"deeds",
     "what conditions of cases can ask of the trainee's work",
     3,
     2,
     {"key", "unit", "text"},
     deed_count,
     fill_deed},
    {"alarms",
     "alarms of the bed: priority, delay, limit and what it can be set to",
     8,
     6,
     {"key", "priority", "delay_s", "limit", "low", "high", "text", "source"},
     alarm_count,
     fill_alarm},
    {"keys",
     "the language of case files",
     7,
     5,
     {"key", "kind", "needed", "low", "high", "text", "words"},
     sim_case_key_count,
     fill_key},
    {"patients",
     "base patients that a case starts from (patient.base)",
     6,
     5,
     {"key", "weight_kg", "height_cm", "blood_volume_ml", "changed", "text"},
     person_count,
     fill_person},
};

enum { TABLE_COUNT = sizeof TABLES / sizeof TABLES[0] };

static void write_csv(const ListTable *table) {
    Cells cells;
    CsvWriter csv = sim_csv_begin(stdout);
    for (int c = 0; c < table->column_count; c++)
        sim_csv_text(&csv, table->columns[c]);
    sim_csv_end_row(&csv);
    for (int r = 0; r < table->count(); r++) {
        memset(cells, 0, sizeof cells);
        table->fill(r, cells);
        for (int c = 0; c < table->column_count; c++)
            sim_csv_text(&csv, cells[c]);
        sim_csv_end_row(&csv);
    }
}

/* Prints `text` from `at` on, broken at blanks; further lines begin at `indent`. Ends the line. */
static void print_broken(const char *text, int at, int indent) {
    for (bool first = true; *text != '\0'; first = false) {
        int length = (int)strcspn(text, " ");
        if (!first && at + 1 + length > LINE_WIDTH) {
            printf("\n%*s", indent, "");
            at = indent;
        } else if (!first) {
            putchar(' ');
            at++;
        }
        printf("%.*s", length, text);
        at += length;
        text += length;
        text += strspn(text, " ");
    }
    putchar('\n');
}

/* One row: the aligned cells, the first text beside them if it has room, the other texts below. */
static void print_row(const ListTable *table, const int width[COLUMNS_MAX], Cells cells) {
    int at = 0, last = table->aligned_count;
    while (last > 0 && cells[last - 1][0] == '\0')
        last--;
    bool beside = false;
    for (int c = 0; c < table->aligned_count; c++)
        at += width[c] + GAP;
    beside = at + TEXT_WIDTH_MIN <= LINE_WIDTH;
    if (beside) last = table->aligned_count;
    for (int c = 0; c < last; c++)
        printf("%-*s", beside || c + 1 < last ? width[c] + GAP : 0, cells[c]);
    if (!beside) putchar('\n');
    for (int c = table->aligned_count; c < table->column_count; c++) {
        bool here = beside && c == table->aligned_count;
        if (cells[c][0] == '\0') {
            if (here) putchar('\n');
            continue;
        }
        int indent = beside ? at : INDENT;
        if (!here) printf("%*s", indent, "");
        if (c > table->aligned_count) printf("%s: ", table->columns[c]);
        print_broken(cells[c], indent + (c > table->aligned_count ? (int)strlen(table->columns[c]) + GAP : 0),
                     indent);
    }
}

static void print_table(const ListTable *table) {
    Cells cells;
    int width[COLUMNS_MAX] = {0};
    for (int c = 0; c < table->aligned_count; c++)
        width[c] = (int)strlen(table->columns[c]);
    for (int r = 0; r < table->count(); r++) {
        memset(cells, 0, sizeof cells);
        table->fill(r, cells);
        for (int c = 0; c < table->aligned_count; c++)
            if ((int)strlen(cells[c]) > width[c]) width[c] = (int)strlen(cells[c]);
    }
    memset(cells, 0, sizeof cells);
    for (int c = 0; c <= table->aligned_count; c++)
        put_text(cells[c], table->columns[c]);
    print_row(table, width, cells);
    for (int r = 0; r < table->count(); r++) {
        memset(cells, 0, sizeof cells);
        table->fill(r, cells);
        print_row(table, width, cells);
    }
}

/* The cases that come with the program; a file that does not load is listed with its first error. */
static ErrorCode list_cases(bool as_csv, Error *error) {
    CaseFolder *folder = calloc(1, sizeof *folder);
    ErrorList *errors = calloc(1, sizeof *errors);
    ErrorCode code = ERROR_OK, broken = ERROR_OK;
    if (folder == NULL || errors == NULL)
        code = model_error_set(error, ERROR_MEMORY, "no memory for the list of cases");
    if (code == ERROR_OK) code = sim_casefolder_find(folder, error);
    CsvWriter csv = sim_csv_begin(stdout);
    static const char *const COLUMNS[] = {"file", "id", "title", "theme", "level", "length"};
    for (size_t i = 0; code == ERROR_OK && as_csv && i < sizeof COLUMNS / sizeof COLUMNS[0]; i++)
        sim_csv_text(&csv, COLUMNS[i]);
    if (code == ERROR_OK && as_csv) sim_csv_end_row(&csv);
    for (int i = 0; code == ERROR_OK && i < folder->count; i++) {
        char path[CASEFOLDER_PATH_MAX + CASEFOLDER_NAME_MAX + 1], length[DURATION_TEXT_MAX], level[16];
        snprintf(path, sizeof path, "%s/%s", folder->path, folder->names[i]);
        Case *case_file = sim_case_load(path, errors);
        if (case_file == NULL) { /* said, and the others listed all the same */
            sim_console_say_error(&errors->items[0]);
            broken = errors->items[0].code;
            continue;
        }
        sim_duration_format(case_file->length_s, length, sizeof length);
        snprintf(level, sizeof level, "%d", case_file->level);
        if (as_csv) {
            const char *cells[] = {path, case_file->id, case_file->title, case_file->theme, level, length};
            for (size_t c = 0; c < sizeof cells / sizeof cells[0]; c++)
                sim_csv_text(&csv, cells[c]);
            sim_csv_end_row(&csv);
        } else {
            printf("%-40s level %s  %-6s %s\n", path, level, length, case_file->title);
        }
        sim_case_free(case_file);
    }
    free(folder);
    free(errors);
    return code != ERROR_OK ? code : broken;
}

static ErrorCode list_table(const CliCall *call, Error *error) {
    const char *typed = call->operands[0];
    bool as_csv = call->values[CSV].given;
    if (strcmp(typed, "cases") == 0) return list_cases(as_csv, error);
    const char *names[TABLE_COUNT + 1];
    if (call->values[JSON_SCHEMA].given) {
        if (strcmp(typed, "keys") != 0 || as_csv)
            return model_error_set(error, ERROR_USAGE, "--json-schema goes with the table keys alone");
        sim_case_jsonschema_write(stdout);
        return ERROR_OK;
    }
    for (int i = 0; i < TABLE_COUNT; i++) {
        if (strcmp(typed, TABLES[i].name) == 0) {
            if (as_csv)
                write_csv(&TABLES[i]);
            else
                print_table(&TABLES[i]);
            return ERROR_OK;
        }
        names[i] = TABLES[i].name;
    }
    names[TABLE_COUNT] = "cases";
    ErrorCode code = model_error_set(error, ERROR_USAGE, "there is no such table");
    model_error_at(error, typed, 0, 0);
    sim_suggest_allow(
        error, typed, names, TABLE_COUNT + 1, "",
        "parameters, observables, display, orders, acts, diagnoses, deeds, alarms, keys, patients, "
        "cases");
    return code;
}

const CliCommand SIM_CLI_LIST = {
    .name = "list",
    .operands = "TABLE",
    .operand_min = 1,
    .operand_max = 1,
    .text = "parameters, observables, display, orders, acts, diagnoses, deeds, alarms, keys, cases, patients",
    .rows = ROW_TABLE,
    .row_count = ROWS,
    .run = list_table,
};
