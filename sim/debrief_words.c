/* Words of the debrief: times, questions. */
#include "sim/debrief_parts.h"
#include "sim/duration.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#define PROMPT_S    600.0 /* a call this soon after the first sign is a good one; design */
#define INSIDE_WELL 0.8   /* of the time; design */
#define LONG_WAIT_S 600.0 /* worth asking about; design */

const char *sim_debrief_clock(double time_s, char text[16]) {
    char clock[DURATION_TEXT_MAX];
    sim_duration_format_clock(fmax(time_s, 0.0), clock, sizeof clock);
    snprintf(text, 16, "%.5s", clock);
    return text;
}

__attribute__((format(printf, 2, 3))) static void ask(Debrief *d, const char *format, ...) {
    if (d->question_count == DEBRIEF_QUESTIONS_MAX) return;
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(d->question[d->question_count++], CASE_TEXT_MAX, format, arguments);
    va_end(arguments);
}

static void ask_about_the_chain(Debrief *d) {
    const DebriefChain *c = &d->chain;
    char a[16], b[16];
    if (c->sign_s >= 0.0 && d->sign_count > 0) {
        const DebriefSign *sign = &d->sign[0];
        ask(d, "At %s the first thing to move was %s%s. What else would have told you then what it was?",
            sim_debrief_clock(c->sign_s, a), sign->label, sign->picture ? ", in the picture" : "");
    }
    if (c->call_s >= 0.0 && c->answer_s > c->call_s + LONG_WAIT_S)
        ask(d, "You named it at %s and treated it from %s. What did you wait for?",
            sim_debrief_clock(c->call_s, a), sim_debrief_clock(c->answer_s, b));
    if (c->trouble_s >= 0.0 && c->answer_s >= 0.0 && (c->call_s < 0.0 || c->answer_s < c->call_s))
        ask(d, "The first treatment came at %s, %s. What was it meant for?",
            sim_debrief_clock(c->answer_s, a),
            c->call_s < 0.0 ? "and the problem was not named" : "before the problem was named");
    if (c->trouble_s >= 0.0 && c->look_s < 0.0)
        ask(d,
            "There was no look at the heart after the trouble began. Which question could it have settled?");
}

static void ask_about_calls(Debrief *d) {
    for (int i = 0; i < d->recall->calls.kept; i++) {
        const Call *call = &d->recall->calls.call[i];
        const CaseTruth *truth = sim_debrief_truth_at(d, call->time_s);
        char a[16];
        if (truth == NULL || d->call_right[i] == 2) continue;
        ask(d,
            "At %s you called \"%s\" with %d %%. What spoke for it, and what would have spoken against it?",
            sim_debrief_clock(call->time_s, a), sim_diagnoses_row(call->diagnosis)->label,
            call->confidence_percent);
        return;
    }
}

/* The prediction that missed with the most confidence. */
static void ask_about_predictions(Debrief *d) {
    const Prediction *worst = NULL;
    const PredictionPart *part = NULL;
    for (int i = 0; i < d->recall->predictions.kept; i++) {
        const Prediction *p = &d->recall->predictions.prediction[i];
        for (int k = 0; p->status == PREDICTION_SEEN && k < p->count; k++) {
            if (!p->part[k].known || p->part[k].hit || (worst != NULL && p->sure <= worst->sure)) continue;
            worst = p;
            part = &p->part[k];
        }
    }
    if (worst == NULL) return;
    char a[16];
    ask(d, "At %s you expected %s to go %s after %s; it went %s. Why might that be?",
        sim_debrief_clock(worst->given_s, a), sim_instruments_display_row(part->quantity)->label,
        sim_predictions_way_word(part->said), sim_orders_row(worst->order.id)->label,
        sim_predictions_way_word(part->seen));
}

__attribute__((format(printf, 2, 3))) static void praise(Debrief *d, const char *format, ...) {
    if (d->well_count == DEBRIEF_WELL_MAX) return;
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(d->well[d->well_count++], DEBRIEF_LINE_MAX, format, arguments);
    va_end(arguments);
}

void sim_debrief_find_well(Debrief *d) {
    const DebriefChain *c = &d->chain;
    const DebriefTarget *best = NULL;
    char a[16];
    if (c->sign_s >= 0.0 && c->call_s >= 0.0 && c->call_s - c->sign_s <= PROMPT_S)
        praise(d, "You named it at %s, %.0f minutes after the first sign.", sim_debrief_clock(c->call_s, a),
               fmax((c->call_s - c->sign_s) / 60.0, 0.0));
    if (c->look_s >= 0.0 && c->trouble_s >= 0.0 && (c->answer_s < 0.0 || c->look_s <= c->answer_s))
        praise(d, "You looked at the heart at %s, before you treated.", sim_debrief_clock(c->look_s, a));
    if (d->known >= 3 && d->hits * 3 >= d->known * 2)
        praise(d, "%d of %d predictions came as you expected.", d->hits, d->known);
    for (int i = 0; i < d->target_count; i++) {
        bool hard = d->target[i].quantity == DISPLAY_art_mean_mmhg ||
                    d->target[i].quantity == DISPLAY_pump_flow_l_min ||
                    d->target[i].quantity == DISPLAY_cvp_mmhg;
        if (hard && d->target[i].inside_frac >= INSIDE_WELL &&
            (best == NULL || d->target[i].inside_frac > best->inside_frac))
            best = &d->target[i];
    }
    if (best != NULL)
        praise(d, "%s was in target for %.0f %% of the night.",
               sim_instruments_display_row(best->quantity)->label, 100.0 * best->inside_frac);
    for (int i = 0; i < d->line_count; i++)
        if (d->line[i].most > 0.0 && d->line[i].got >= d->line[i].most) praise(d, "%.200s", d->line[i].what);
}

void sim_debrief_ask(Debrief *d) {
    ask_about_the_chain(d);
    ask_about_calls(d);
    ask_about_predictions(d);
    const Case *night = d->recall->case_file;
    for (int i = 0; i < night->question_count; i++)
        ask(d, "%s", night->questions[i]);
    ask(d, "What will you look at in the first five minutes of the next night like this?");
}
