/* Tables as comma-separated text (RFC 4180), the same under every locale. */
#ifndef SIM_CSV_H
#define SIM_CSV_H

#include <stddef.h>
#include <stdio.h>

/* A row under construction: the first field writes no comma. */
typedef struct CsvWriter {
    FILE *out;  /* borrowed */
    int fields; /* written in this row */
} CsvWriter;

/* Begins a table on `out`, which stays the caller's. */
CsvWriter sim_csv_begin(FILE *out);

/* One text field; quoted where it holds a comma, a quote or a line end. */
void sim_csv_text(CsvWriter *csv, const char *text);

/* One number with as many decimals as its unit deserves; empty when it is not finite. `unit` is the text of
   the parameter and observable tables ("mmHg", "L/min", ...); an unknown one gets 4 decimals. */
void sim_csv_quantity(CsvWriter *csv, double value, const char *unit);

/* One number in its shortest form of at most 15 significant digits. */
void sim_csv_number(CsvWriter *csv, double value);

/* Ends the row. */
void sim_csv_end_row(CsvWriter *csv);

/* Decimals that a quantity of this unit is written with. */
int sim_csv_decimals(const char *unit);

/* Writes `value` with `decimals` decimals and a point into text[size]; "-0.0" is written "0.0".
   Empty when not finite. */
void sim_csv_format(char *text, size_t size, double value, int decimals);

#endif
