/* A rehearsal in words: tables for a terminal, and for programs. */
#include "sim/csv.h"
#include "sim/duration.h"
#include "sim/firstsign.h"
#include "sim/rehearse_parts.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define MINUTE_S 60.0

enum { LABEL_WIDTH = 26, CELL_MAX = 80, COLUMN_WIDTH = 30, NAME_WIDTH = 24 };

/* Hours and minutes of a time, "-" for what did not happen. */
static void put_clock(double time_s, char *text, size_t size) {
    if (!isfinite(time_s)) {
        snprintf(text, size, "-");
        return;
    }
    long minutes = (long)floor(time_s / MINUTE_S);
    snprintf(text, size, "%ld:%02ld", minutes / 60, minutes % 60);
}

void sim_rehearse_format_fact(RehearseFact fact, double value, char *text, size_t size) {
    const RehearseFactRow *row = sim_rehearse_fact_row(fact);
    if (strcmp(row->unit, "time") == 0)
        put_clock(value, text, size);
    else if (isfinite(value))
        snprintf(text, size, "%.*f", row->decimals, value);
    else
        snprintf(text, size, "-");
}

static bool is_time_of(const RehearseFactRow *row) {
    return strcmp(row->label, "at") == 0;
}

/* What stands beside a time: which alarm, which sign. */
static const char *which(const RehearseFacts *f, RehearseFact fact) {
    if (fact == REHEARSE_onset && f->onset_s >= 0.0) return sim_diagnoses_row(f->truth)->label;
    if (fact == REHEARSE_alarm && f->alarm_s >= 0.0) return sim_alarms_row(f->alarm)->label;
    if (fact == REHEARSE_number && f->number_s >= 0.0) return sim_instruments_display_row(f->number)->label;
    if (fact == REHEARSE_picture && f->picture_s >= 0.0) return sim_firstsign_picture(f->picture)->label;
    return "";
}

static const char *way(const RehearseFacts *f, RehearseFact fact) {
    if (fact == REHEARSE_number && f->number_s >= 0.0) return f->number_up ? " up" : " down";
    if (fact == REHEARSE_picture && f->picture_s >= 0.0) {
        if (sim_firstsign_picture(f->picture)->observable == OBSERVABLE_septum_mm)
            return f->picture_up ? " to the right" : " to the left";
        return f->picture_up ? " larger" : " smaller";
    }
    return "";
}

/* True if the next row of the table is the time of this one: they share a cell. */
static bool has_time(RehearseFact fact) {
    return fact + 1 < REHEARSE_FACT_COUNT && is_time_of(sim_rehearse_fact_row((RehearseFact)(fact + 1)));
}

void sim_rehearse_format_cell(const RehearseFacts *f, RehearseFact fact, char *text, size_t size) {
    char value[CELL_MAX];
    sim_rehearse_format_fact(fact, sim_rehearse_fact(f, fact), value, sizeof value);
    if (fact == REHEARSE_objectives)
        snprintf(text, size, "%s of %d", value, f->objective_count);
    else if (fact == REHEARSE_end)
        snprintf(text, size, "%s %s", value, f->ended ? sim_case_outcome_word(f->end) : "goes on");
    else if (has_time(fact) && isfinite(sim_rehearse_fact(f, fact))) {
        char clock[CELL_MAX];
        sim_rehearse_format_fact((RehearseFact)(fact + 1), sim_rehearse_fact(f, (RehearseFact)(fact + 1)),
                                 clock, sizeof clock);
        snprintf(text, size, "%.20s at %.20s", value, clock);
    } else
        snprintf(text, size, "%s %s%s", value, which(f, fact), way(f, fact));
}

bool sim_rehearse_fact_said(const Rehearsal *r, RehearseFact fact) {
    if (is_time_of(sim_rehearse_fact_row(fact))) return false;
    for (int i = 0; i < r->course_count; i++)
        if (isfinite(sim_rehearse_fact(&r->course[i].facts, fact))) return true;
    return false;
}

void sim_rehearse_course_name(const RehearseCourse *course, char *text, size_t size) {
    if (course->rank == CASE_RANK_COUNT)
        snprintf(text, size, "%s", course->name);
    else
        snprintf(text, size, "%s (%s)", course->name, sim_case_rank_word(course->rank));
}

static void put_label(RehearseFact fact, FILE *out) {
    const RehearseFactRow *row = sim_rehearse_fact_row(fact);
    char label[CELL_MAX];
    bool plain = row->unit[0] == '\0' || strcmp(row->unit, "time") == 0;
    snprintf(label, sizeof label, plain ? "%s" : "%s, %s", row->label, row->unit);
    fprintf(out, "%-*s", LABEL_WIDTH, label);
}

/* Columns first to first + count. */
static void print_some(const Rehearsal *r, int first, int count, FILE *out) {
    char text[CELL_MAX + CASE_ID_MAX];
    fprintf(out, "\n%-*s", LABEL_WIDTH, "");
    for (int i = first; i < first + count; i++) {
        sim_rehearse_course_name(&r->course[i], text, sizeof text);
        fprintf(out, " %-*.*s", COLUMN_WIDTH, COLUMN_WIDTH, text);
    }
    fputc('\n', out);
    for (int k = 0; k < REHEARSE_FACT_COUNT; k++) {
        if (!sim_rehearse_fact_said(r, (RehearseFact)k)) continue;
        put_label((RehearseFact)k, out);
        for (int i = first; i < first + count; i++) {
            sim_rehearse_format_cell(&r->course[i].facts, (RehearseFact)k, text, sizeof text);
            fprintf(out, " %-*.*s", COLUMN_WIDTH, COLUMN_WIDTH, text);
        }
        fputc('\n', out);
    }
}

void sim_rehearse_print_courses(const Rehearsal *r, FILE *out) {
    enum { COLUMNS = 3 }; /* at a time fit a terminal */
    for (int first = 0; first < r->course_count; first += COLUMNS) {
        int left = r->course_count - first;
        print_some(r, first, left < COLUMNS ? left : COLUMNS, out);
    }
    fputc('\n', out);
    for (int i = 0; i < r->course_count; i++) {
        const RehearseCourse *c = &r->course[i];
        if (c->facts.ended) fprintf(out, "%s: %s\n", c->name, c->facts.end_text);
        if (c->refused > 0)
            fprintf(out, "%s: %d step%s refused, the first: %s\n", c->name, c->refused,
                    c->refused == 1 ? " was" : "s were", c->refusal);
    }
    if (r->course_count == 1) fprintf(out, "This case has no example plans.\n");
}

/* ---- varied patients ---- */

static void print_ends(const RehearseRange *range, FILE *out) {
    fprintf(out, "%s: %d of %d patients played;", range->name, range->played, range->wanted);
    for (int i = 0; i < CASE_OUTCOME_COUNT; i++) {
        if (range->ends[i] > 0)
            fprintf(out, " %d %s", range->ends[i],
                    i == CASE_OUTCOME_NONE ? "not ended" : sim_case_outcome_word((CaseOutcome)i));
    }
    fputc('\n', out);
}

void sim_rehearse_print_ranges(const Rehearsal *r, FILE *out) {
    if (r->range_count == 0) return;
    fprintf(out,
            "\nPatients like this one (5th, 50th, 95th percentile of those in whom it happened; how many)\n");
    fprintf(out, "%-*s", LABEL_WIDTH, "");
    for (int i = 0; i < r->range_count; i++)
        fprintf(out, "  %-*.*s", 2 * NAME_WIDTH - 12, NAME_WIDTH, r->range[i].name);
    fputc('\n', out);
    for (int k = 0; k < REHEARSE_FACT_COUNT; k++) {
        bool any = false;
        for (int i = 0; i < r->range_count; i++)
            any = any || r->range[i].known[k] > 0;
        if (!any) continue;
        put_label((RehearseFact)k, out);
        for (int i = 0; i < r->range_count; i++) {
            const RehearseRange *range = &r->range[i];
            const double value[] = {range->low[k], range->mid[k], range->high[k]};
            char text[CELL_MAX];
            fputs("  ", out);
            for (int p = 0; p < 3; p++) {
                sim_rehearse_format_fact((RehearseFact)k, value[p], text, sizeof text);
                fprintf(out, "%8s", text);
            }
            fprintf(out, "%6d      ", range->known[k]);
        }
        fputc('\n', out);
    }
    for (int i = 0; i < r->range_count; i++)
        print_ends(&r->range[i], out);
}

/* ---- for programs ---- */

/* The same as which(), as programs know it. */
static const char *key_of(const RehearseFacts *f, RehearseFact fact) {
    if (fact == REHEARSE_onset && f->onset_s >= 0.0) return sim_diagnoses_row(f->truth)->key;
    if (fact == REHEARSE_alarm && f->alarm_s >= 0.0) return sim_alarms_row(f->alarm)->key;
    if (fact == REHEARSE_number && f->number_s >= 0.0) return sim_instruments_display_row(f->number)->key;
    if (fact == REHEARSE_picture && f->picture_s >= 0.0)
        return model_observables_row(sim_firstsign_picture(f->picture)->observable)->key;
    return fact == REHEARSE_end ? sim_case_outcome_word(f->end) : "";
}

static void write_row(CsvWriter *csv, const char *course, const char *rank, int patient,
                      const RehearseFacts *f, RehearseFact fact) {
    const RehearseFactRow *row = sim_rehearse_fact_row(fact);
    bool of_time = strcmp(row->unit, "time") == 0;
    char value[CELL_MAX];
    sim_csv_text(csv, course);
    sim_csv_text(csv, rank);
    sim_csv_number(csv, patient);
    sim_csv_text(csv, row->key);
    sim_csv_format(value, sizeof value, sim_rehearse_fact(f, fact), of_time ? 0 : row->decimals + 1);
    sim_csv_text(csv, value);
    sim_csv_text(csv, of_time ? "s" : row->unit);
    sim_csv_text(csv, key_of(f, fact));
    sim_csv_end_row(csv);
}

void sim_rehearse_write_csv(const Rehearsal *r, FILE *out) {
    static const char *const HEAD[] = {"course", "rank", "patient", "fact", "value", "unit", "which"};
    CsvWriter csv = sim_csv_begin(out);
    for (size_t i = 0; i < sizeof HEAD / sizeof HEAD[0]; i++)
        sim_csv_text(&csv, HEAD[i]);
    sim_csv_end_row(&csv);
    for (int i = 0; i < r->course_count; i++) {
        const RehearseCourse *c = &r->course[i];
        const char *rank = c->rank == CASE_RANK_COUNT ? "" : sim_case_rank_word(c->rank);
        for (int k = 0; k < REHEARSE_FACT_COUNT; k++)
            write_row(&csv, c->name, rank, 0, &c->facts, (RehearseFact)k);
    }
    for (int i = 0; i < r->range_count; i++) {
        const RehearseRange *range = &r->range[i];
        const char *rank = range->rank == CASE_RANK_COUNT ? "" : sim_case_rank_word(range->rank);
        for (int n = 0; n < range->wanted; n++) {
            for (int k = 0; range->course[n].played && k < REHEARSE_FACT_COUNT; k++)
                write_row(&csv, range->name, rank, n + 1, &range->course[n].facts, (RehearseFact)k);
        }
    }
}
