/* Look-alikes in words: the matrix over time, and what it comes to. */
#include "sim/alike.h"

#include "sim/duration.h"
#include "sim/rehearse_parts.h"
#include "sim/separation.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define MINUTE_S 60.0

enum { LABEL_WIDTH = 34, CELL_WIDTH = 6, TEXT_MAX = 400 };

const char *sim_alike_word(double area) {
    if (!(area >= SEPARATION_PARTLY)) return "not told apart";
    return area >= SEPARATION_APART ? "told apart" : "partly told apart";
}

double sim_alike_area(const AlikeView *view) {
    return isnan(view->together) ? view->area : fmax(view->area, view->together);
}

/* The last time at which there were people enough. */
static int last_time(const AlikeCause *cause, int times) {
    int t = times - 1;
    while (t > 0 && isnan(cause->number[t].area))
        t--;
    return t;
}

static void say_clock(const Alike *alike, int t, char *text, size_t size) {
    char clock[DURATION_TEXT_MAX];
    sim_duration_format_clock(alike->onset_s + alike->after_s[t], clock, sizeof clock);
    clock[strlen("00:00")] = '\0';
    snprintf(text, size, "%.0f min after the onset (%s)", alike->after_s[t] / MINUTE_S, clock);
}

static void say_number(const AlikeView *view, char *text, size_t size) {
    const DisplayRow *row = sim_instruments_display_row((DisplayId)view->best);
    int decimals = row->decimals < 0 ? 0 : row->decimals;
    if (view->change)
        snprintf(text, size, "%s, change %+.*f against %+.*f %s", row->label, decimals, view->own, decimals,
                 view->other, row->unit);
    else
        snprintf(text, size, "%s, %.*f against %.*f %s", row->label, decimals, view->own, decimals,
                 view->other, row->unit);
}

void sim_alike_say_numbers(const Alike *alike, const AlikeCause *cause, char *text, size_t size) {
    char best[TEXT_MAX], when[TEXT_MAX];
    int t = cause->number_from >= 0 ? cause->number_from : last_time(cause, alike->times);
    const AlikeView *view = &cause->number[t];
    if (isnan(view->area)) {
        snprintf(text, size, "Too few patients to tell.");
        return;
    }
    say_number(view, best, sizeof best);
    say_clock(alike, t, when, sizeof when);
    double area = sim_alike_area(view);
    if (cause->number_from < 0)
        snprintf(text, size, "Numbers alone: %s up to %s; the best is %s (AUC %.2f, together %.2f).",
                 area >= SEPARATION_APART ? "told apart only now and then" : sim_alike_word(area), when, best,
                 view->area, view->together);
    else
        snprintf(text, size, "Numbers alone: told apart from %s on; %s (AUC %.2f, together %.2f).", when,
                 best, view->area, view->together);
}

void sim_alike_say_picture(const Alike *alike, const AlikeCause *cause, char *text, size_t size) {
    char when[TEXT_MAX];
    int t = cause->picture_from >= 0 ? cause->picture_from : last_time(cause, alike->times);
    const AlikeView *view = &cause->picture[t];
    if (isnan(view->area)) {
        snprintf(text, size, "Too few patients to tell.");
        return;
    }
    const AlikePicture *picture = sim_alike_picture(view->best);
    say_clock(alike, t, when, sizeof when);
    double area = sim_alike_area(view);
    if (cause->picture_from < 0)
        snprintf(
            text, size,
            "The picture: %s up to %s; the best is the %s, %.*f against %.*f %s (AUC %.2f, together %.2f).",
            area >= SEPARATION_APART ? "told apart only now and then" : sim_alike_word(area), when,
            picture->label, picture->decimals, view->own, picture->decimals, view->other, picture->unit,
            view->area, view->together);
    else
        snprintf(text, size,
                 "The picture: told apart from %s on; %s %.*f against %.*f %s (AUC %.2f, together %.2f).",
                 when, picture->label, picture->decimals, view->own, picture->decimals, view->other,
                 picture->unit, view->area, view->together);
}

void sim_alike_say_rest(const Alike *alike, const AlikeCause *cause, char *text, size_t size) {
    const DisplayRow *lead = sim_instruments_display_row(alike->lead);
    int t = last_time(cause, alike->times), used = 0;
    text[0] = '\0';
    if (cause->drain[t] >= SEPARATION_APART)
        used = snprintf(text, size, "The drains' reading, which is not counted, differs (AUC %.2f). ",
                        cause->drain[t]);
    if (!cause->follows && used >= 0 && (size_t)used < size)
        snprintf(text + used, size - (size_t)used,
                 "It does not go quite alike: %s is %.*f %s off on average.", lead->label, lead->decimals + 1,
                 cause->miss, lead->unit);
}

/* ---- the matrix ---- */

static void print_row(const Alike *alike, const char *label, const AlikeView *views, FILE *out) {
    fprintf(out, "  %-*s", LABEL_WIDTH - 2, label);
    for (int t = 0; t < alike->times; t++) {
        double area = sim_alike_area(&views[t]);
        if (t < alike->moved)
            fprintf(out, "%*s", CELL_WIDTH, ".");
        else if (isnan(area))
            fprintf(out, "%*s", CELL_WIDTH, "-");
        else
            fprintf(out, "%*.2f", CELL_WIDTH, area);
    }
    fputc('\n', out);
}

static void print_head(const Alike *alike, FILE *out) {
    const DisplayRow *lead = sim_instruments_display_row(alike->lead);
    fprintf(
        out,
        "\nLook-alikes of \"%s\": %d patients, each with every cause, made as bad as it takes for %s (%s) "
        "to\n"
        "%s as it does in the same patient with the case's own cause. Area under the curve: 0.5 like a coin, "
        "%.1f and\nmore partly told apart, %.1f and more told apart.\n\n",
        sim_diagnoses_row(alike->truth)->label, alike->played, lead->label, lead->unit,
        alike->falls ? "fall" : "rise", SEPARATION_PARTLY, SEPARATION_APART);
    fprintf(out, "%-*s", LABEL_WIDTH, "minutes after the onset");
    for (int t = 0; t < alike->times; t++)
        fprintf(out, "%*.0f", CELL_WIDTH, alike->after_s[t] / MINUTE_S);
    fprintf(out, "\n%s%-*s", "", LABEL_WIDTH, lead->label);
    for (int t = 0; t < alike->times; t++)
        fprintf(out, "%+*.*f", CELL_WIDTH, lead->decimals, alike->lead_change[t]);
    fputc('\n', out);
}

static void print_left_out(const Alike *alike, FILE *out) {
    int less = 0, cannot = 0;
    for (int i = 0; i < alike->cause_count; i++) {
        if (!alike->cause[i].follows || alike->cause[i].kept) continue;
        fprintf(out, "%s%s", less++ == 0 ? "Also possible, and less alike by their numbers: " : "; ",
                sim_diagnoses_row(sim_alternatives_row(alike->cause[i].id)->diagnosis)->label);
    }
    if (less > 0) fputs(".\n", out);
    for (int i = 0; i < alike->cause_count; i++) {
        if (alike->cause[i].follows || alike->cause[i].kept) continue;
        fprintf(out, "%s%s", cannot++ == 0 ? "Cannot go the same way in this patient: " : "; ",
                sim_diagnoses_row(sim_alternatives_row(alike->cause[i].id)->diagnosis)->label);
    }
    if (cannot > 0) fputs(".\n", out);
}

void sim_alike_print(const Alike *alike, FILE *out) {
    if (alike->why_not[0] != '\0') {
        fprintf(out, "\nLook-alikes: %s\n", alike->why_not);
        return;
    }
    print_head(alike, out);
    for (int i = 0; i < alike->cause_count && alike->cause[i].kept; i++) {
        const AlikeCause *cause = &alike->cause[i];
        const AlternativeRow *row = sim_alternatives_row(cause->id);
        fprintf(out, "%s: %s\n", sim_diagnoses_row(row->diagnosis)->label, row->words);
        print_row(alike, "numbers", cause->number, out);
        print_row(alike, "picture", cause->picture, out);
    }
    fputc('\n', out);
    for (int i = 0; i < alike->cause_count && alike->cause[i].kept; i++) {
        char numbers[2 * TEXT_MAX], picture[2 * TEXT_MAX];
        sim_alike_say_numbers(alike, &alike->cause[i], numbers, sizeof numbers);
        sim_alike_say_picture(alike, &alike->cause[i], picture, sizeof picture);
        fprintf(out, "%s\n  %s\n  %s\n",
                sim_diagnoses_row(sim_alternatives_row(alike->cause[i].id)->diagnosis)->label, numbers,
                picture);
    }
    print_left_out(alike, out);
}
