/* Tables as comma-separated text (RFC 4180), the same under every locale. Lines end with a line feed alone,
   as the tools that read these files on this system expect. */
#include "sim/csv.h"

#include <locale.h>
#include <math.h>
#include <stdbool.h>
#include <string.h>

enum { NUMBER_TEXT_MAX = 64, DECIMALS_OTHERWISE = 4 };

/* One more decimal than a careful reader of a chart uses, so that a plot of a column is smooth. */
static const struct {
    const char *unit;
    int decimals;
} UNIT_DECIMALS[] = {
    {"s", 3},       {"mmHg", 2},  {"mL", 2},       {"mm", 2},     {"fraction", 4}, {"L/min", 3},
    {"W", 2},       {"1/min", 1}, {"WU", 3},       {"ratio", 3},  {"mmol/L", 3},   {"mL/h", 1},
    {"mmHg/mL", 4}, {"cm/s", 1},  {"L/min/m2", 3}, {"mL/min", 1}, {"g/dL", 2},     {"pH", 3},
    {"degC", 2},    {"cmH2O", 2}, {"mL/s", 2},     {"ms", 0},
};

CsvWriter sim_csv_begin(FILE *out) {
    return (CsvWriter){.out = out, .fields = 0};
}

static void separate(CsvWriter *csv) {
    if (csv->fields++ > 0) fputc(',', csv->out);
}

void sim_csv_text(CsvWriter *csv, const char *text) {
    separate(csv);
    if (strpbrk(text, ",\"\r\n") == NULL) {
        fputs(text, csv->out);
        return;
    }
    fputc('"', csv->out);
    for (const char *c = text; *c != '\0'; c++) {
        if (*c == '"') fputc('"', csv->out);
        fputc(*c, csv->out);
    }
    fputc('"', csv->out);
}

/* Puts a point in place of the locale's decimal sign, which may be several bytes long. */
static void use_point(char *text) {
    const char *sign = localeconv()->decimal_point;
    char *found = strstr(text, sign);
    size_t length = strlen(sign);
    if (found == NULL || length == 0) return;
    *found = '.';
    memmove(found + 1, found + length, strlen(found + length) + 1);
}

void sim_csv_format(char *text, size_t size, double value, int decimals) {
    if (!isfinite(value)) {
        text[0] = '\0';
        return;
    }
    snprintf(text, size, "%.*f", decimals, value);
    use_point(text);
    /* a minus before nothing but zeros says nothing */
    if (text[0] == '-' && strspn(text + 1, "0.") == strlen(text + 1)) memmove(text, text + 1, strlen(text));
}

int sim_csv_decimals(const char *unit) {
    for (size_t i = 0; i < sizeof UNIT_DECIMALS / sizeof UNIT_DECIMALS[0]; i++)
        if (strcmp(UNIT_DECIMALS[i].unit, unit) == 0) return UNIT_DECIMALS[i].decimals;
    return DECIMALS_OTHERWISE;
}

void sim_csv_quantity(CsvWriter *csv, double value, const char *unit) {
    char text[NUMBER_TEXT_MAX];
    sim_csv_format(text, sizeof text, value, sim_csv_decimals(unit));
    separate(csv);
    fputs(text, csv->out);
}

void sim_csv_number(CsvWriter *csv, double value) {
    char text[NUMBER_TEXT_MAX] = "";
    if (isfinite(value)) {
        snprintf(text, sizeof text, "%.15g", value);
        use_point(text);
    }
    separate(csv);
    fputs(text, csv->out);
}

void sim_csv_end_row(CsvWriter *csv) {
    fputc('\n', csv->out);
    csv->fields = 0;
}
