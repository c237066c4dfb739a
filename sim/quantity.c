/* Reading numbers with units. */
#include "sim/quantity.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { NUMBER_TEXT_MAX = 40 };

typedef struct UnitName {
    const char *typed, *table;
} UnitName;

/* Ways people write a unit of the tables. */
static const UnitName unit_names[] = {
    {"ug/kg/min", "mcg/kg/min"},
    {"units/min", "U/min"},
    {"unit/min", "U/min"},
    {"/min", "1/min"},
    {"per_min", "1/min"},
    {"ug/kg", "mcg/kg"},
    {"ug", "mcg"},
    {"units", "unit"},
    {"degc", "degC"},
    {"cmh2o", "cmH2O"},
    {"rpm", "1/min"},
    {"bpm", "1/min"},
};

/* Number of characters of `text` that make a plain decimal number; 0 if it does not begin with one. */
static size_t number_length(const char *text) {
    size_t i = 0, digits = 0;
    if (text[i] == '+' || text[i] == '-') i++;
    for (; isdigit((unsigned char)text[i]); i++) {
        digits++;
    }
    if (text[i] == '.') {
        i++;
        for (; isdigit((unsigned char)text[i]); i++) {
            digits++;
        }
    }
    if (digits == 0) return 0;
    if (text[i] == 'e' || text[i] == 'E') {
        size_t j = i + 1;
        if (text[j] == '+' || text[j] == '-') j++;
        if (isdigit((unsigned char)text[j])) {
            while (isdigit((unsigned char)text[j])) {
                j++;
            }
            i = j;
        }
    }
    return i;
}

/* Value of the first `length` characters, which number_length has checked. */
static ErrorCode number_value(const char *text, size_t length, double *value, Error *error) {
    char digits[NUMBER_TEXT_MAX];
    if (length == 0 || length >= sizeof digits) {
        model_error_set(error, ERROR_SYNTAX, "\"%.60s\" is not a number", text);
        model_error_allow(error, "a plain number like 250 or 0.25");
        return ERROR_SYNTAX;
    }
    memcpy(digits, text, length);
    digits[length] = '\0';
    double read = strtod(digits, NULL);
    if (!isfinite(read)) return model_error_set(error, ERROR_RANGE, "\"%s\" is too large a number", digits);
    *value = read;
    return ERROR_OK;
}

ErrorCode sim_quantity_number(const char *text, double *value, Error *error) {
    size_t length = number_length(text);
    if (text[length] != '\0') length = 0;
    return number_value(text, length, value, error);
}

ErrorCode sim_quantity_parse(const char *text, Quantity *quantity, Error *error) {
    double value = 0;
    size_t length = number_length(text);
    ErrorCode code = number_value(text, length, &value, error);
    if (code != ERROR_OK) return code;
    const char *unit = text + length;
    while (*unit == ' ') {
        unit++;
    }
    if (strlen(unit) >= QUANTITY_UNIT_MAX || strchr(unit, ' ') != NULL)
        return model_error_set(error, ERROR_SYNTAX, "\"%.60s\" is not a number with a unit", text);
    quantity->value = value;
    memcpy(quantity->unit, unit, strlen(unit) + 1);
    return ERROR_OK;
}

static bool same_letters(const char *a, const char *b) {
    for (; *a != '\0' && *b != '\0'; a++, b++) {
        if (tolower((unsigned char)*a) != tolower((unsigned char)*b)) return false;
    }
    return *a == *b;
}

static const char *table_name(const char *unit) {
    for (size_t i = 0; i < sizeof unit_names / sizeof unit_names[0]; i++) {
        if (same_letters(unit, unit_names[i].typed)) return unit_names[i].table;
    }
    return unit;
}

bool sim_quantity_unit_is(const char *unit, const char *wanted) {
    return unit[0] == '\0' || same_letters(table_name(unit), table_name(wanted));
}

bool sim_quantity_is_choice(ParameterId id) {
    const char *unit = model_parameters_row(id)->unit;
    return strcmp(unit, "0/1") == 0 || strcmp(unit, "RhythmKind") == 0;
}

ErrorCode sim_quantity_parameter(const char *text, ParameterId id, double *value, Error *error) {
    const ParameterRow *row = model_parameters_row(id);
    double read = 0.0;
    bool number = sim_quantity_number(text, &read, NULL) == ERROR_OK;
    bool choice = sim_quantity_is_choice(id);
    if (number && read >= row->low && read <= row->high && !(choice && fabs(read - nearbyint(read)) > 0.0)) {
        *value = read;
        return ERROR_OK;
    }
    ErrorCode code = model_error_set(error, number ? ERROR_RANGE : ERROR_SYNTAX,
                                     "'%.40s' is not accepted for %s", text, row->key);
    if (choice)
        model_error_allow(error, "a whole number from %g to %g: %s", row->low, row->high, row->text);
    else
        model_error_allow(error, "a number from %g to %g %s", row->low, row->high, row->unit);
    return code;
}
