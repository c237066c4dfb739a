/* A rehearsal as one HTML page: tables and text for everything, inline plots, nothing from elsewhere. */
#include "sim/alike.h"
#include "sim/markup.h"
#include "sim/rehearse_parts.h"
#include "sim/separation.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define MINUTE_S 60.0

enum { CELL_MAX = 240, SENTENCE_MAX = 800 };

static const char STYLE[] =
    "body{font:16px/1.45 Inter,'DejaVu Sans',sans-serif;color:#12181d;background:#fff;max-width:1080px;"
    "margin:0 auto;padding:24px}h1{font-size:26px;margin:0 0 4px}h2{font-size:19px;margin:28px 0 8px;"
    "border-bottom:1px solid #c3ccd4;padding-bottom:4px}h3{font-size:16px;margin:14px 0 4px}"
    "table{border-collapse:collapse;width:100%}th,td{text-align:left;padding:4px 10px 4px 0;"
    "border-bottom:1px solid #e4eaef;vertical-align:top}td.n,th.n{text-align:right;"
    "font-variant-numeric:tabular-nums}td.partly{background:#eef2f5}td.apart{background:#c8d3dc;font-weight:"
    "600}"
    ".quiet{color:#3c4a55}.box{border:1px solid #76858f;padding:8px 14px;margin:14px 0}"
    "ol,ul{margin:6px 0 6px 22px;padding:0}p{margin:6px 0}svg{width:100%;height:auto}"
    "@page{size:A4;margin:14mm}@media print{body{padding:0;font-size:11px;max-width:none}"
    "h2,h3{break-after:avoid}tr,svg,.box{break-inside:avoid}td.apart,td.partly{print-color-adjust:exact}}";

static void put(const char *text, FILE *out) {
    sim_markup_write(text, out);
}

/* `tag` may carry a class: "td class=\"n\"". */
static void cell(const char *tag, const char *text, FILE *out) {
    fprintf(out, "<%s>", tag);
    put(text, out);
    fprintf(out, "</%.2s>", tag);
}

static void write_head(const Rehearsal *r, FILE *out) {
    const Case *night = r->case_file;
    fputs("<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">"
          "<meta name=\"viewport\" content=\"width=device-width,initial-scale=1\"><title>Rehearsal: ",
          out);
    put(night->title, out);
    fprintf(out, "</title><style>%s</style></head><body>\n<h1>Rehearsal: ", STYLE);
    put(night->title, out);
    fprintf(out,
            "</h1>\n<p class=\"quiet\">Level %d, seed %llu. For the instructor: this page tells what is "
            "wrong.</p>\n<p>",
            night->level,
            (unsigned long long)(r->options.session.seed_given ? r->options.session.seed : night->seed));
    put(night->summary, out);
    fputs("</p>\n", out);
}

static void label_of(RehearseFact fact, char *text, size_t size) {
    const RehearseFactRow *row = sim_rehearse_fact_row(fact);
    bool plain = row->unit[0] == '\0' || strcmp(row->unit, "time") == 0;
    snprintf(text, size, plain ? "%s" : "%s, %s", row->label, row->unit);
}

static void write_courses(const Rehearsal *r, FILE *out) {
    char text[CELL_MAX];
    fputs("<h2>What happens</h2>\n<table><tr><th></th>", out);
    for (int i = 0; i < r->course_count; i++) {
        sim_rehearse_course_name(&r->course[i], text, sizeof text);
        cell("th", text, out);
    }
    fputs("</tr>\n", out);
    for (int k = 0; k < REHEARSE_FACT_COUNT; k++) {
        if (!sim_rehearse_fact_said(r, (RehearseFact)k)) continue;
        fputs("<tr>", out);
        label_of((RehearseFact)k, text, sizeof text);
        cell("th", text, out);
        for (int i = 0; i < r->course_count; i++) {
            sim_rehearse_format_cell(&r->course[i].facts, (RehearseFact)k, text, sizeof text);
            cell("td", text, out);
        }
        fputs("</tr>\n", out);
    }
    fputs("</table>\n<p class=\"quiet\">Lows and highs are means of a minute of the truth. First signs are "
          "changes of "
          "more than three standard deviations of the ten minutes before, and of more than anybody would "
          "speak of, "
          "that last a minute.</p>\n<ul>\n",
          out);
    for (int i = 0; i < r->course_count; i++) {
        const RehearseCourse *c = &r->course[i];
        if (c->facts.ended) {
            fprintf(out, "<li><b>%s</b>: ", c->name);
            put(c->facts.end_text, out);
            fputs("</li>\n", out);
        }
        if (c->refused > 0) {
            fprintf(out, "<li><b>%s</b>: %d step%s refused, the first: ", c->name, c->refused,
                    c->refused == 1 ? " was" : "s were");
            put(c->refusal, out);
            fputs("</li>\n", out);
        }
    }
    fputs("</ul>\n", out);
    sim_rehearse_draw_courses(r, out);
}

static void write_plans(const Rehearsal *r, FILE *out) {
    const Case *night = r->case_file;
    if (night->plan_count == 0) return;
    fputs("<h2>The plans</h2>\n", out);
    for (int i = 0; i < night->plan_count; i++) {
        const CasePlan *plan = &night->plans[i];
        fprintf(out, "<h3>%d %s (%s)</h3>\n<p>", i + 1, plan->id, sim_case_rank_word(plan->rank));
        put(plan->text, out);
        fputs("</p>\n<ul>\n", out);
        for (int k = 0; k < plan->step_count; k++) {
            const CaseStep *step = &night->steps[plan->first_step + k];
            fprintf(out, "<li>%.0f min: ", step->time_s / MINUTE_S);
            put(step->text, out);
            fputs("</li>\n", out);
        }
        fputs("</ul>\n", out);
    }
}

static void write_scores(const Rehearsal *r, FILE *out) {
    const RehearseCourse *first = &r->course[0];
    if (first->line_count == 0) return;
    char text[CELL_MAX], points[SCORE_POINTS_TEXT_MAX];
    fputs("<h2>Score</h2>\n<table><tr><th></th><th class=\"n\">of</th>", out);
    for (int i = 0; i < r->course_count; i++) {
        sim_rehearse_course_name(&r->course[i], text, sizeof text);
        cell("th class=\"n\"", text, out);
    }
    fputs("</tr>\n", out);
    for (int k = 0; k < first->line_count; k++) {
        fputs("<tr>", out);
        cell("td", first->line[k].what, out);
        cell("td class=\"n\"", sim_score_format(first->line[k].most, points), out);
        for (int i = 0; i < r->course_count; i++)
            cell("td class=\"n\"",
                 k < r->course[i].line_count ? sim_score_format(r->course[i].line[k].got, points) : "", out);
        fputs("</tr>\n", out);
    }
    fputs("<tr><th>Together</th>", out);
    cell("th class=\"n\"", sim_score_format(first->facts.score_most, points), out);
    for (int i = 0; i < r->course_count; i++)
        cell("th class=\"n\"", sim_score_format(r->course[i].facts.score, points), out);
    fputs("</tr></table>\n", out);
}

/* ---- look-alikes ---- */

static void area_cell(const Alike *alike, const AlikeView *view, int t, FILE *out) {
    double area = sim_alike_area(view);
    char text[16];
    if (t < alike->moved || isnan(area)) {
        cell("td class=\"n\"", t < alike->moved ? "\u00b7" : "\u2013", out);
        return;
    }
    snprintf(text, sizeof text, "%.2f", area);
    fprintf(out, "<td class=\"n%s\">%s</td>",
            area >= SEPARATION_APART    ? " apart"
            : area >= SEPARATION_PARTLY ? " partly"
                                        : "",
            text);
}

static void write_matrix(const Alike *alike, FILE *out) {
    const DisplayRow *lead = sim_instruments_display_row(alike->lead);
    fputs("<table><tr><th>minutes after the onset</th><th></th>", out);
    for (int t = 0; t < alike->times; t++)
        fprintf(out, "<th class=\"n\">%.0f</th>", alike->after_s[t] / MINUTE_S);
    fprintf(out, "</tr>\n<tr><td class=\"quiet\">%s, %s, change</td><td></td>", lead->label, lead->unit);
    for (int t = 0; t < alike->times; t++)
        fprintf(out, "<td class=\"n quiet\">%+.*f</td>", lead->decimals, alike->lead_change[t]);
    fputs("</tr>\n", out);
    for (int i = 0; i < alike->cause_count && alike->cause[i].kept; i++) {
        const AlikeCause *cause = &alike->cause[i];
        for (int of_picture = 0; of_picture < 2; of_picture++) {
            fputs("<tr>", out);
            cell("td", of_picture ? "" : sim_diagnoses_row(sim_alternatives_row(cause->id)->diagnosis)->label,
                 out);
            cell("td", of_picture ? "picture" : "numbers", out);
            for (int t = 0; t < alike->times; t++)
                area_cell(alike, of_picture ? &cause->picture[t] : &cause->number[t], t, out);
            fputs("</tr>\n", out);
        }
    }
    fputs("</table>\n", out);
}

static void write_alike(const Alike *alike, FILE *out) {
    fputs("<h2>Look-alikes: what numbers tell, and what the picture tells</h2>\n", out);
    if (alike->why_not[0] != '\0') {
        fputs("<p>", out);
        put(alike->why_not, out);
        fputs("</p>\n", out);
        return;
    }
    const DisplayRow *lead = sim_instruments_display_row(alike->lead);
    fprintf(out,
            "<p>%d patients, each with \u201c%s\u201d and with each cause below, made as bad as it takes for "
            "%s to %s alike in "
            "the same patient. Area under the curve: 0.5 is a coin, %.1f and more partly told apart (light), "
            "%.1f and "
            "more told apart (dark). A dot: nothing to tell apart yet.</p>\n",
            alike->played, sim_diagnoses_row(alike->truth)->label, lead->label,
            alike->falls ? "fall" : "rise", SEPARATION_PARTLY, SEPARATION_APART);
    write_matrix(alike, out);
    for (int i = 0; i < alike->cause_count && alike->cause[i].kept; i++) {
        const AlikeCause *cause = &alike->cause[i];
        const AlternativeRow *row = sim_alternatives_row(cause->id);
        char text[SENTENCE_MAX];
        fprintf(out, "<h3>%s: %s</h3>\n<p>", sim_diagnoses_row(row->diagnosis)->label, row->words);
        sim_alike_say_numbers(alike, cause, text, sizeof text);
        put(text, out);
        fputs("<br>", out);
        sim_alike_say_picture(alike, cause, text, sizeof text);
        put(text, out);
        sim_alike_say_rest(alike, cause, text, sizeof text);
        if (text[0] != '\0') fputs("<br>", out);
        put(text, out);
        fputs("</p>\n", out);
    }
    fputs("<p class=\"quiet\">Numbers are judged by their change since before the trouble, pictures by "
          "theirs against the "
          "outline before the case began; every reading is uncertain by half of the smallest change that "
          "anybody would "
          "speak of. Area: Mann and Whitney 1947, Hanley and McNeil 1982; discriminant of three readings, "
          "each person "
          "left out in turn: Fisher 1936, Friedman 1989; words: Hosmer, Lemeshow and Sturdivant 2013. Few "
          "patients: an "
          "area is good to about 0.1.</p>\n",
          out);
}

/* ---- varied patients ---- */

static void write_ranges(const Rehearsal *r, FILE *out) {
    if (r->range_count == 0) return;
    char text[CELL_MAX], label[CELL_MAX];
    fputs("<h2>Patients like this one</h2>\n<table><tr><th></th>", out);
    for (int i = 0; i < r->range_count; i++) {
        snprintf(text, sizeof text, "%s: 5th", r->range[i].name);
        cell("th class=\"n\"", text, out);
        fputs("<th class=\"n\">50th</th><th class=\"n\">95th percentile</th><th class=\"n\">in</th>", out);
    }
    fputs("</tr>\n", out);
    for (int k = 0; k < REHEARSE_FACT_COUNT; k++) {
        bool any = false;
        for (int i = 0; i < r->range_count; i++)
            any = any || r->range[i].known[k] > 0;
        if (!any) continue;
        label_of((RehearseFact)k, label, sizeof label);
        fputs("<tr>", out);
        cell("td", label, out);
        for (int i = 0; i < r->range_count; i++) {
            const RehearseRange *range = &r->range[i];
            const double value[] = {range->low[k], range->mid[k], range->high[k]};
            for (int n = 0; n < 3; n++) {
                sim_rehearse_format_fact((RehearseFact)k, value[n], text, sizeof text);
                cell("td class=\"n\"", text, out);
            }
            fprintf(out, "<td class=\"n\">%d</td>", range->known[k]);
        }
        fputs("</tr>\n", out);
    }
    fputs("</table>\n<ul>\n", out);
    for (int i = 0; i < r->range_count; i++) {
        const RehearseRange *range = &r->range[i];
        fprintf(out, "<li><b>%s</b>: %d of %d patients played;", range->name, range->played, range->wanted);
        for (int n = 0; n < CASE_OUTCOME_COUNT; n++)
            if (range->ends[n] > 0)
                fprintf(out, " %d %s", range->ends[n],
                        n == CASE_OUTCOME_NONE ? "not ended" : sim_case_outcome_word((CaseOutcome)n));
        fputs("</li>\n", out);
    }
    fputs("</ul>\n<p class=\"quiet\">Bands: 5th to 95th percentile, lines: median of those whose night still "
          "goes on, as long "
          "as half of them do. U: nobody acts; P, dashed: the first good plan.</p>\n",
          out);
    sim_rehearse_draw_ranges(r, out);
}

void sim_rehearse_write_page(const Rehearsal *r, FILE *out) {
    write_head(r, out);
    write_courses(r, out);
    write_scores(r, out);
    if (r->alike != NULL) write_alike(r->alike, out);
    write_ranges(r, out);
    write_plans(r, out);
    fputs("<p class=\"box quiet\">For education only. Invented patients and a model, not a forecast. Generic "
          "names. Local "
          "protocols and licensed practice decide.</p>\n</body></html>\n",
          out);
}
