/* Sections of the page that are written only when there is something for them: the trainee's own words,
   belief against truth, hearts, what might have been. */
#include "sim/debrief_notes.h"
#include "sim/debrief_parts.h"
#include "sim/markup.h"
#include "sim/whatif.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define WIDTH_PX  1040.0
#define LEFT_PX   60.0
#define RIGHT_PX  20.0
#define TOP_PX    60.0
#define HEIGHT_PX 300.0
#define BOTTOM_PX 260.0
#define PERCENT   100.0
#define BAND_PX   24.0
#define LETTER_PX 7.4

enum { STEPS = 4 };

/* ---- own words ---- */

void sim_debrief_write_notes(const DebriefExtras *extras, FILE *out) {
    if (extras->notes == NULL || extras->notes->count == 0) return;
    fputs("<h2>In your own words</h2><ul class=\"wide\">\n", out);
    for (int i = 0; i < extras->notes->count; i++) {
        const DebriefNote *note = &extras->notes->note[i];
        char clock[16];
        fputs("<li><span class=\"quiet\">", out);
        if (note->kind == NOTE_MOMENT)
            fprintf(out, "At %s", sim_debrief_clock(note->time_s, clock));
        else
            sim_markup_write(sim_debrief_notes_ask(note->kind), out);
        fputs("</span> ", out);
        sim_markup_write(note->text, out);
        fputs("</li>\n", out);
    }
    fputs("</ul>\n", out);
}

/* ---- belief against truth ---- */

static double x_of(const Debrief *d, double time_s) {
    double share = time_s / fmax(d->recall->night.reached_s, 1.0);
    return LEFT_PX + (WIDTH_PX - LEFT_PX - RIGHT_PX) * fmin(fmax(share, 0.0), 1.0);
}

static double y_of(double percent) {
    return BOTTOM_PX - (BOTTOM_PX - TOP_PX) * percent / PERCENT;
}

static void text_at(FILE *out, double x, double y, const char *anchor, const char *text) {
    fprintf(out, "<text x=\"%.1f\" y=\"%.1f\" text-anchor=\"%s\">", x, y, anchor);
    sim_markup_write(text, out);
    fputs("</text>\n", out);
}

static void write_bands(const Debrief *d, FILE *out) {
    for (int i = 0; i < d->band_count; i++) {
        DiagnosisId id = d->band[i].truth.diagnosis;
        double x0 = x_of(d, d->band[i].from_s), w = fmax(x_of(d, d->band[i].to_s) - x0 - 1.0, 1.0);
        char text[DEBRIEF_LINE_MAX];
        int room = (int)((w - 10.0) / LETTER_PX);
        fprintf(out,
                "<rect x=\"%.1f\" y=\"6\" width=\"%.1f\" height=\"%.0f\" fill=\"%s\" stroke=\"#5a6873\"/>\n",
                x0, w, BAND_PX, id == DIAGNOSIS_well ? "#ffffff" : "#d6dde3");
        const char *label = sim_diagnoses_row(id)->label;
        if (room < 4) continue;
        snprintf(text, sizeof text, (int)strlen(label) <= room ? "%.*s" : "%.*s\u2026", room - 1, label);
        text_at(out, x0 + 6.0, 23.0, "start", (int)strlen(label) <= room ? label : text);
    }
}

static void write_call(const Debrief *d, int i, FILE *out) {
    static const char *const SIGN[] = {"\u2717", "~", "\u2713"}; /* something else, its kind, right */
    const CallsState *calls = &d->recall->calls;
    const Call *call = &calls->call[i];
    double x0 = x_of(d, call->time_s), y = y_of(call->confidence_percent);
    double x1 = i + 1 < calls->kept ? x_of(d, calls->call[i + 1].time_s) : WIDTH_PX - RIGHT_PX;
    char text[DEBRIEF_LINE_MAX], clock[16];
    bool right = d->call_right[i] == 2;
    fprintf(out,
            "<path d=\"M%.1f %.1fL%.1f %.1f\" fill=\"none\" stroke=\"#12181d\" stroke-width=\"2.5\" "
            "stroke-dasharray=\"%s\"/>\n",
            x0, y, x1, y, right ? "none" : "6 5");
    fprintf(out,
            "<circle cx=\"%.1f\" cy=\"%.1f\" r=\"9\" fill=\"#ffffff\" stroke=\"#12181d\" "
            "stroke-width=\"1.5\"/>\n",
            x0, y);
    text_at(out, x0, y + 5.0, "middle", SIGN[d->call_right[i]]);
    snprintf(text, sizeof text, "%s %s, %d %%", sim_debrief_clock(call->time_s, clock),
             sim_diagnoses_row(call->diagnosis)->label, call->confidence_percent);
    bool far = x0 > 0.6 * WIDTH_PX;
    text_at(out, far ? x0 - 14.0 : x0 + 14.0, y - 8.0, far ? "end" : "start", text);
}

void sim_debrief_write_belief(const Debrief *d, FILE *out) {
    char text[16];
    if (d->recall->calls.kept == 0) return;
    fputs("<h2>What you called, how sure you were, and what it was</h2>\n", out);
    fprintf(out,
            "<svg viewBox=\"0 0 %.0f %.0f\" role=\"img\" aria-label=\"Working diagnoses with confidence over "
            "time, under "
            "what was wrong\" font-family=\"Inter, 'DejaVu Sans', sans-serif\" font-size=\"14\" "
            "fill=\"#12181d\">\n",
            WIDTH_PX, HEIGHT_PX);
    write_bands(d, out);
    for (int i = 0; i <= STEPS; i++) {
        double y = y_of(PERCENT * i / STEPS);
        fprintf(out, "<path d=\"M%.1f %.1fL%.1f %.1f\" stroke=\"#c3ccd4\" fill=\"none\"/>\n", LEFT_PX, y,
                WIDTH_PX - RIGHT_PX, y);
        snprintf(text, sizeof text, "%d %%", 100 * i / STEPS);
        text_at(out, LEFT_PX - 8.0, y + 5.0, "end", text);
    }
    for (int i = 0; i < d->recall->calls.kept; i++)
        write_call(d, i, out);
    text_at(out, LEFT_PX, BOTTOM_PX + 24.0, "start", "00:00");
    text_at(out, WIDTH_PX - RIGHT_PX, BOTTOM_PX + 24.0, "end",
            sim_debrief_clock(d->recall->night.reached_s, text));
    fputs("</svg>\n", out);
}

/* ---- hearts ---- */

void sim_debrief_write_hearts(const Debrief *d, const DebriefExtras *extras, FILE *out) {
    if (d->moment_count == 0 || extras->heart == NULL) return;
    fputs("<h2>The heart at the turning points</h2>\n", out);
    if (!d->recall->same_build) {
        fputs("<p>No picture: another build recorded this night, and its states cannot be read.</p>\n", out);
        return;
    }
    fputs("<p class=\"quiet\">At the end of diastole. Dashed: the same heart at the start of the night. "
          "Schematic, computed by the model.</p><div class=\"hearts\">\n",
          out);
    for (int i = 0; i < d->moment_count; i++) {
        DebriefHeart heart;
        DebriefSeen seen;
        Error error;
        char clock[16];
        if (sim_debrief_heart(d, d->moment[i].time_s, &heart, &error) != ERROR_OK) continue;
        fputs("<figure>", out);
        extras->heart(&heart, out);
        fprintf(out, "<figcaption><strong>%s</strong> ", sim_debrief_clock(d->moment[i].time_s, clock));
        sim_markup_write(d->moment[i].what, out);
        sim_debrief_seen(d, d->moment[i].time_s, &seen);
        for (int k = 0; k < seen.count; k++) {
            if (!seen.picture[k]) continue;
            fputs("<br/>", out);
            sim_markup_write(seen.line[k], out);
        }
        fputs("</figcaption></figure>\n", out);
    }
    fputs("</div>\n", out);
}

/* ---- what if ---- */

/* The acts of `of` that are not in `in`. */
static void write_difference(const char *what, const RerunActs *of, const RerunActs *in, FILE *out) {
    for (int i = 0; i < of->count; i++) {
        bool both = false;
        char clock[16];
        for (int k = 0; k < in->count && !both; k++)
            both = fabs(in->act[k].time_s - of->act[i].time_s) < 0.5 &&
                   strcmp(in->act[k].words, of->act[i].words) == 0;
        if (both) continue;
        fprintf(out, "<li>%s %s: ", what, sim_debrief_clock(of->act[i].time_s, clock));
        sim_markup_write(of->act[i].words, out);
        fputs("</li>\n", out);
    }
}

static void write_end(const char *what, const RerunCourse *course, FILE *out) {
    char clock[16];
    fprintf(out, "<p>%s: %s, %s", what, sim_debrief_clock(course->reached_s, clock),
            course->ended ? sim_case_outcome_word(course->end) : "goes on");
    if (course->ended) fputs(": ", out);
    sim_markup_write(course->end_text, out);
    fputs("</p>\n", out);
}

void sim_debrief_write_whatif(const DebriefExtras *extras, FILE *out) {
    const RerunCourse *night = extras->night, *other = extras->other;
    if (night == NULL || other == NULL) return;
    bool range = extras->range != NULL && extras->range->variants > 1;
    fputs("<section><h2>What if</h2><ul class=\"wide\">\n", out);
    write_difference("now at", extras->otherwise, extras->acts, out);
    write_difference("not at", extras->acts, extras->otherwise, out);
    fprintf(out, "</ul><table><tr><th></th><th class=\"n\">night</th><th class=\"n\">what if</th>%s</tr>\n",
            range ? "<th class=\"n\">range</th>" : "");
    for (int i = 0; i < OUTCOME_COUNT; i++) {
        const RerunOutcomeRow *row = sim_rerun_outcome_row((RerunOutcome)i);
        fputs("<tr><td>", out);
        sim_markup_write(row->label, out);
        fputs(", ", out);
        sim_markup_write(row->unit, out);
        fprintf(out, "</td><td class=\"n\">%.*f</td><td class=\"n\"><strong>%.*f</strong></td>",
                row->decimals, night->outcome[i], row->decimals, other->outcome[i]);
        if (range)
            fprintf(out, "<td class=\"n\">%.*f to %.*f</td>", row->decimals, extras->range->low[i],
                    row->decimals, extras->range->high[i]);
        fputs("</tr>\n", out);
    }
    fputs("</table>\n", out);
    write_end("The night", night, out);
    write_end("What if", other, out);
    if (range)
        fprintf(out, "<p class=\"quiet\">Range: 5th to 95th of %d patients like this one.</p>\n",
                extras->range->variants);
    fputs("<p class=\"quiet\">A model's estimate with the same seed, not proof of what a person would have "
          "done.</p></section>\n",
          out);
}
