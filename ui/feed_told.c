/* What became of predictions: the newest whose time has come, until it is put away. */
#include "ui/feed_parts.h"
#include "ui/tiles.h"
#include "ui/units.h"

#include "sim/acts.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define MINUTE_S 60.0

static void format_value(const Feed *feed, DisplayId id, double value, char text[TEXT_SHORT]) {
    const DisplayRow *row = sim_instruments_display_row(id);
    ui_units_format(&feed->settings, row->key, row->unit, row->decimals, value, text, TEXT_SHORT);
}

static const char *unit_of(const Feed *feed, DisplayId id) {
    const DisplayRow *row = sim_instruments_display_row(id);
    const char *unit = ui_units_shown(&feed->settings, row->key, row->unit).name;
    return unit[0] == '1' && unit[1] == '/' ? unit + 1 : unit; /* 1/min reads better as /min */
}

void ui_feed_quantity(const Feed *feed, DisplayId id, double value, char name[TEXT_SHORT],
                      char text[TEXT_SHORT]) {
    char number[TEXT_SHORT];
    format_value(feed, id, value, number);
    snprintf(name, TEXT_SHORT, "%s", sim_instruments_display_row(id)->label);
    snprintf(text, TEXT_SHORT, "%.10s %.12s", number, unit_of(feed, id));
}

bool ui_feed_says(const LogEntry *entry, ActionLine *line) {
    ActionLine none;
    line = line == NULL ? &none : line;
    Act act;
    Error error;
    if (entry->kind == LOG_OUTCOME) {
        OrderId order = sim_orders_find(entry->from);
        snprintf(line->what, sizeof line->what, "Predicted: %.70s",
                 order < ORDER_COUNT ? sim_orders_row(order)->label : entry->from);
        snprintf(line->detail, sizeof line->detail, "%.90s", entry->text);
        return true;
    }
    if (entry->kind == LOG_NOTE) {
        snprintf(line->what, sizeof line->what, "Note");
        const char *words = strncmp(entry->text, "note ", 5) == 0 ? entry->text + 5 : entry->text;
        snprintf(line->detail, sizeof line->detail, "%.90s", words);
        return true;
    }
    if (entry->kind != LOG_CALL) return false;
    if (sim_acts_parse(entry->text, NULL, &act, &error) != ERROR_OK) return false;
    snprintf(line->what, sizeof line->what, "Call: %.80s", sim_diagnoses_row(act.diagnosis)->label);
    snprintf(line->detail, sizeof line->detail, "%d %%%s%.80s", act.confidence_percent,
             act.words[0] != '\0' ? "; " : "", act.words);
    return true;
}

/* The newest prediction whose time has come; NULL: none. */
static const Prediction *newest_seen(const Session *session) {
    const Prediction *newest = NULL;
    for (int i = 0;; i++) {
        const Prediction *p = sim_session_prediction(session, i);
        if (p == NULL) break;
        if (p->status != PREDICTION_SEEN) continue;
        if (newest == NULL || p->seen_s > newest->seen_s) newest = p;
    }
    return newest;
}

void ui_feed_told(const Feed *feed, PredictionTold *told) {
    const Prediction *p = newest_seen(feed->session);
    *told = (PredictionTold){.parts = 0};
    if (p != NULL) told->time_s = p->seen_s;
    if (p == NULL || p->seen_s <= feed->told_seen_s) return;
    int known, hits;
    sim_predictions_score(p, &known, &hits);
    char value[TEXT_SHORT];
    const OrderRow *row = sim_orders_row(p->order.id);
    sim_orders_format_value(p->order.id, p->order.value, value, sizeof value);
    if (p->order.act == ORDER_ACT_SET)
        snprintf(told->what, sizeof told->what, "%s %s: %d of %d as said", row->label, value, hits, known);
    else
        snprintf(told->what, sizeof told->what, "%s: %d of %d as said", row->label, hits, known);
    snprintf(told->note, sizeof told->note, "%.0f min after%s", round((p->seen_s - p->given_s) / MINUTE_S),
             p->others > 0 ? "; other orders came between" : "");
    for (int i = 0; i < p->count && i < TOLD_PARTS; i++) {
        const PredictionPart *part = &p->part[i];
        PredictionToldPart *to = &told->part[told->parts++];
        snprintf(to->name, sizeof to->name, "%s", sim_instruments_display_row(part->quantity)->label);
        snprintf(to->unit, sizeof to->unit, "%s", unit_of(feed, part->quantity));
        format_value(feed, part->quantity, part->before, to->before);
        format_value(feed, part->quantity, part->after, to->after);
        to->said = (int)part->said;
        to->known = part->known;
        to->hit = part->hit;
    }
}

void ui_feed_told_seen(Feed *feed) {
    feed->told_seen_s = sim_session_time_s(feed->session);
}
