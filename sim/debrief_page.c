/* The debrief as one HTML page: headings, tables and text for everything, an inline plot, nothing from
 * elsewhere. */
#include "sim/debrief_parts.h"
#include "sim/markup.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define PERCENT 100.0

static const char STYLE[] =
    "body{font:16px/1.45 Inter,'DejaVu "
    "Sans',sans-serif;color:#12181d;background:#fff;max-width:1080px;margin:0 auto;"
    "padding:24px}h1{font-size:26px;margin:0 0 4px}h2{font-size:19px;margin:28px 0 8px;border-bottom:1px "
    "solid #c3ccd4;"
    "padding-bottom:4px}table{border-collapse:collapse;width:100%}th,td{text-align:left;padding:5px 10px 5px "
    "0;"
    "border-bottom:1px solid "
    "#e4eaef;vertical-align:top}td.n,th.n{text-align:right;font-variant-numeric:tabular-nums}"
    ".quiet{color:#3c4a55}.box{border:1px solid #76858f;padding:8px 14px;margin:14px 0}ol,ul{margin:6px 0 "
    "6px 22px;padding:0}"
    ".two{display:flex;gap:32px;flex-wrap:wrap}.two>section{flex:1 1 440px}svg{width:100%;height:auto}"
    ".hearts{display:flex;flex-wrap:wrap;gap:12px}figure{margin:0;flex:1 1 140px;max-width:190px;text-align:center}"
    ".wide{overflow-wrap:anywhere}"
    "@media print{body{padding:0;font-size:12px}h2{break-after:avoid}table,svg,section{break-inside:avoid}}";

static void put(FILE *out, const char *text) {
    sim_markup_write(text, out);
}

static void cell(FILE *out, const char *text) {
    fputs("<td>", out);
    put(out, text);
    fputs("</td>", out);
}

static void time_cell(FILE *out, double time_s) {
    char clock[16];
    fprintf(out, "<td class=\"n\">%s</td>", time_s < 0.0 ? "\u2013" : sim_debrief_clock(time_s, clock));
}

static void write_head(const Debrief *d, FILE *out) {
    const JournalNight *night = &d->recall->night;
    char clock[16];
    fputs("<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" "
          "content=\"width=device-width, initial-scale=1\"><title>Debrief: ",
          out);
    put(out, night->case_title);
    fprintf(out, "</title><style>%s</style></head><body>\n<h1>", STYLE);
    put(out, night->case_title);
    fputs("</h1>\n<p class=\"quiet\">", out);
    if (night->trainee[0] != '\0') {
        put(out, night->trainee);
        fputs(" \u00b7 ", out);
    }
    put(out, night->begun);
    fprintf(out, " \u00b7 %s of the night \u00b7 seed %llu \u00b7 level %d</p>\n",
            sim_debrief_clock(night->reached_s, clock), (unsigned long long)night->seed,
            d->recall->case_file->level);
    fputs("<p class=\"box\"><strong>Training only.</strong> An invented patient in a simplified model. Local "
          "protocols and "
          "licensed practice decide what is done to a person. Nothing here says how fit anybody is for "
          "practice.</p>\n",
          out);
}

/* How the night ended, from the log. */
static void write_end(const Debrief *d, FILE *out) {
    fputs("<p>", out);
    bool found = false;
    for (int64_t i = 0; i < d->recall->entry_count; i++) {
        const LogEntry *entry = &d->recall->entry[i];
        if (entry->kind != LOG_END) continue;
        found = true;
        fputs("<strong>", out);
        put(out, entry->from);
        fputs("</strong>: ", out);
        put(out, entry->text);
    }
    if (!found) fputs("The night was left before its end.", out);
    fputs("</p>\n", out);
}

static void write_well(const Debrief *d, FILE *out) {
    if (d->well_count == 0) return;
    fputs("<h2>What went well</h2><ul>\n", out);
    for (int i = 0; i < d->well_count; i++) {
        fputs("<li>", out);
        put(out, d->well[i]);
        fputs("</li>\n", out);
    }
    fputs("</ul>\n", out);
}

static void write_chain(const Debrief *d, FILE *out) {
    const DebriefChain *c = &d->chain;
    const struct {
        const char *what;
        double time_s;
    } LINKS[] = {{"Trouble began", c->trouble_s},
                 {"First sign that could be seen", c->sign_s},
                 {"First look at the heart after that", c->look_s},
                 {"Named rightly", c->call_s},
                 {"First treatment after that", c->answer_s}};
    if (c->trouble_s < 0.0) return;
    fputs("<section><h2>From trouble to answer</h2><table><tr><th></th><th class=\"n\">at</th><th "
          "class=\"n\">minutes after it "
          "began</th></tr>\n",
          out);
    for (size_t i = 0; i < sizeof LINKS / sizeof LINKS[0]; i++) {
        fputs("<tr>", out);
        cell(out, LINKS[i].what);
        time_cell(out, LINKS[i].time_s);
        if (LINKS[i].time_s < 0.0)
            fputs("<td class=\"n\">not at all</td></tr>\n", out);
        else
            fprintf(out, "<td class=\"n\">%.0f</td></tr>\n", (LINKS[i].time_s - c->trouble_s) / 60.0);
    }
    fputs("</table></section>\n", out);
}

static void write_score(const Debrief *d, FILE *out) {
    char got[SCORE_POINTS_TEXT_MAX], most[SCORE_POINTS_TEXT_MAX];
    fprintf(out, "<section><h2>Score: %s of %s</h2><table>\n", sim_score_format(d->total.got, got),
            sim_score_format(d->total.most, most));
    for (int i = 0; i < d->line_count; i++) {
        const ScoreLine *line = &d->line[i];
        bool whole = line->got >= line->most;
        fprintf(out, "<tr><td>%s</td>", whole ? "\u2713" : line->got > 0 ? "~" : "\u2717");
        cell(out, line->what);
        cell(out, line->why);
        fprintf(out, "<td class=\"n\">%s", sim_score_format(line->got, got));
        if (line->kind != CASE_SCORE_MINUS) fprintf(out, "/%s", sim_score_format(line->most, most));
        fputs("</td></tr>\n", out);
    }
    fputs("</table>", out);
    if (d->score_from_record)
        fputs("<p class=\"quiet\">Recorded by another build: measured again from the numbers kept every 10 "
              "s.</p>",
              out);
    fputs("</section>\n", out);
}

static void write_marks(const Debrief *d, FILE *out) {
    fputs("<h2>What you did</h2><ol>\n", out);
    for (int i = 0; i < d->mark_count; i++) {
        char clock[16];
        fprintf(out, "<li>%s ", sim_debrief_clock(d->mark[i].time_s, clock));
        put(out, d->mark[i].text);
        fputs("</li>\n", out);
    }
    fputs("</ol>\n", out);
}

static void write_targets(const Debrief *d, FILE *out) {
    if (d->target_count == 0) return;
    fputs("<section><h2>Time inside target</h2><table><tr><th></th><th>target</th><th "
          "class=\"n\">inside</th><th "
          "class=\"n\">farthest</th><th class=\"n\">at</th></tr>\n",
          out);
    for (int i = 0; i < d->target_count; i++) {
        const DebriefTarget *t = &d->target[i];
        const DisplayRow *row = sim_instruments_display_row(t->quantity);
        int decimals = row->decimals > 0 ? row->decimals : 0;
        fputs("<tr>", out);
        cell(out, row->label);
        fprintf(out, "<td>%.*f to %.*f ", decimals, t->low, decimals, t->high);
        put(out, row->unit);
        fprintf(out, "</td><td class=\"n\">%.0f %%</td><td class=\"n\">%.*f</td>", PERCENT * t->inside_frac,
                decimals, t->worst);
        time_cell(out, t->worst_s);
        fputs("</tr>\n", out);
    }
    fputs("</table></section>\n", out);
}

static void write_signs(const Debrief *d, FILE *out) {
    if (d->sign_count == 0) return;
    fputs(
        "<h2>What could be seen, and when</h2><p class=\"quiet\">First change of each quantity beyond three "
        "times its noise "
        "before the trouble, for at least a minute. The picture shows what a look at that moment would have "
        "shown.</p><table><tr><th class=\"n\">at</th><th>what</th><th>where</th><th "
        "class=\"n\">before</th><th "
        "class=\"n\">then</th></tr>\n",
        out);
    for (int i = 0; i < d->sign_count; i++) {
        const DebriefSign *s = &d->sign[i];
        int decimals = s->decimals > 0 ? s->decimals : 0;
        fputs("<tr>", out);
        time_cell(out, s->time_s);
        cell(out, s->label);
        fprintf(out, "<td>%s%s</td><td class=\"n\">%.*f</td><td class=\"n\">%.*f ",
                s->picture ? "picture" : "monitor", s->after_order ? ", after a treatment" : "", decimals,
                s->before, decimals, s->now);
        put(out, s->unit);
        fputs("</td></tr>\n", out);
    }
    fputs("</table>\n", out);
}

static void write_calls(const Debrief *d, FILE *out) {
    static const char *const VERDICT[] = {"something else", "the right kind of problem", "right"};
    if (d->recall->calls.kept == 0) return;
    fputs("<h2>What you called</h2><table><tr><th class=\"n\">at</th><th>called</th><th "
          "class=\"n\">confidence</th><th>it "
          "was</th><th>verdict</th></tr>\n",
          out);
    for (int i = 0; i < d->recall->calls.kept; i++) {
        const Call *call = &d->recall->calls.call[i];
        const CaseTruth *truth = sim_debrief_truth_at(d, call->time_s);
        fputs("<tr>", out);
        time_cell(out, call->time_s);
        cell(out, sim_diagnoses_row(call->diagnosis)->label);
        fprintf(out, "<td class=\"n\">%d %%</td>", call->confidence_percent);
        cell(out, truth != NULL ? sim_diagnoses_row(truth->diagnosis)->label : "the case does not say");
        cell(out, truth != NULL ? VERDICT[d->call_right[i]] : "");
        fputs("</tr>\n", out);
    }
    fputs("</table>\n", out);
}

static void write_prediction(const Prediction *p, FILE *out) {
    for (int k = 0; k < p->count; k++) {
        const PredictionPart *part = &p->part[k];
        const DisplayRow *row = sim_instruments_display_row(part->quantity);
        int decimals = row->decimals > 0 ? row->decimals : 0;
        fputs("<tr>", out);
        time_cell(out, p->given_s);
        cell(out, sim_orders_row(p->order.id)->label);
        cell(out, row->label);
        cell(out, sim_predictions_way_word(part->said));
        fprintf(out, "<td class=\"n\">%d of 5</td>", p->sure);
        if (p->status == PREDICTION_SEEN && part->known) {
            fprintf(out, "<td>%s (%.*f to %.*f)</td><td>%s</td></tr>\n", sim_predictions_way_word(part->seen),
                    decimals, part->before, decimals, part->after,
                    part->hit ? "\u2713 as expected" : "\u2717 otherwise");
        } else
            fputs("<td>not seen</td><td></td></tr>\n", out);
    }
}

static void write_predictions(const Debrief *d, FILE *out) {
    const PredictionsState *state = &d->recall->predictions;
    bool any = false;
    for (int i = 0; i < state->kept && !any; i++)
        any = state->prediction[i].status != PREDICTION_SKIPPED;
    if (!any) return;
    fputs("<h2>What you expected</h2><table><tr><th "
          "class=\"n\">at</th><th>order</th><th>of</th><th>said</th><th "
          "class=\"n\">sure</th><th>seen</th><th></th></tr>\n",
          out);
    for (int i = 0; i < state->kept; i++)
        if (state->prediction[i].status != PREDICTION_SKIPPED) write_prediction(&state->prediction[i], out);
    fputs("</table>\n", out);
    if (d->known > 0)
        fprintf(out,
                "<p>%d of %d as expected. Brier score %.2f: 0 is best, 0.22 is what guessing one of three "
                "with honest doubt "
                "gets.</p>\n",
                d->hits, d->known, d->brier);
}

static void write_alarms(const Debrief *d, FILE *out) {
    if (d->alarm_count == 0) return;
    double waited_s = 0.0;
    int acknowledged = 0;
    for (int i = 0; i < d->alarm_count; i++) {
        if (d->alarm[i].acknowledged_s < 0.0) continue;
        waited_s += d->alarm[i].acknowledged_s - d->alarm[i].from_s;
        acknowledged++;
    }
    fprintf(out, "<h2>Alarms: %d</h2>", d->alarm_count);
    if (acknowledged > 0)
        fprintf(out, "<p>%d acknowledged, on average after %.0f s.</p>", acknowledged,
                waited_s / acknowledged);
    fputs("<table><tr><th class=\"n\">from</th><th class=\"n\">to</th><th>what</th></tr>\n", out);
    for (int i = 0; i < d->alarm_count; i++) {
        AlarmId id = sim_alarms_find(d->alarm[i].key);
        fputs("<tr>", out);
        time_cell(out, d->alarm[i].from_s);
        time_cell(out, d->alarm[i].to_s);
        cell(out, id < ALARM_COUNT ? sim_alarms_row(id)->label : d->alarm[i].key);
        fputs("</tr>\n", out);
    }
    fputs("</table>\n", out);
}

static void write_talk(const Debrief *d, FILE *out) {
    const Case *night = d->recall->case_file;
    fputs("<h2>Talk it through</h2><ol>\n", out);
    for (int i = 0; i < d->question_count; i++) {
        fputs("<li>", out);
        put(out, d->question[i]);
        fputs("</li>\n", out);
    }
    fputs("</ol>\n<h2>Teaching points</h2><ul>\n", out);
    for (int i = 0; i < night->teaching_count; i++) {
        fputs("<li>", out);
        put(out, night->teaching[i].text);
        fputs(" <span class=\"quiet\">(", out);
        put(out, night->teaching[i].source);
        fputs(")</span></li>\n", out);
    }
    fputs("</ul>\n", out);
}

void sim_debrief_write_page(const Debrief *d, const DebriefExtras *extras, FILE *out) {
    static const DebriefExtras NONE = {.notes = NULL};
    if (extras == NULL) extras = &NONE;
    write_head(d, out);
    write_end(d, out);
    sim_debrief_write_notes(extras, out);
    write_well(d, out);
    fputs("<div class=\"two\">\n", out);
    write_chain(d, out);
    write_score(d, out);
    fputs("</div>\n<h2>The course</h2>\n", out);
    if (d->recall->point_count > 1)
        sim_debrief_write_course(d, out);
    else
        fputs("<p>The night was too short for a plot.</p>\n", out);
    fputs("<p class=\"quiet\">Grey: the target. Hatched: an alarm about this quantity. Dashed lines: what "
          "you did, by number; in "
          "the ventricles' panel the dashed line is the right one.</p>\n",
          out);
    write_marks(d, out);
    write_signs(d, out);
    sim_debrief_write_belief(d, out);
    write_calls(d, out);
    sim_debrief_write_hearts(d, extras, out);
    write_predictions(d, out);
    write_targets(d, out);
    write_alarms(d, out);
    sim_debrief_write_whatif(extras, out);
    write_talk(d, out);
    if (!d->recall->same_build) {
        fputs("<p class=\"quiet\">Recorded by another build (", out);
        put(out, d->recall->night.build);
        fputs("): predictions cannot be read from it.</p>\n", out);
    }
    fputs("</body></html>\n", out);
}
