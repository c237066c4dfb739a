/* The handover card: two columns where there is room, one below the other where there is not. */
#include "ui/handover.h"
#include "ui/cards.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#define CARD_WIDTH_PX  1120.0
#define TWO_COLUMNS_PX 820.0 /* room from which on the text stands in two columns */
#define COLUMN_GAP_PX  40.0
#define SAME_SHARE     1e-9
#define LAST_GAP_PX    30.0 /* nothing is needed after the last paragraph */

enum { ORDERS_TEXT_MAX = 900 };

static double marked_list(Ui *ui, Rect room, double y, const char *head, int count,
                          const char text[][CASE_TEXT_MAX]) {
    if (count == 0) return y;
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, ui->theme->text2, room.x, y, head);
    y += CARD_LINE_PX;
    for (int i = 0; i < count; i++)
        y = ui_cards_paragraph(ui, room, y, true, text[i]) - 4.0;
    return y + 8.0;
}

static void add(char *text, size_t size, const char *more) {
    size_t length = strlen(text);
    snprintf(text + length, size - length, "%s", more);
}

/* One order of a group: its name, and its range where the case narrows it. */
static void add_order(char *text, size_t size, OrderId id, const OrderLimit *limit) {
    const OrderRow *row = sim_orders_row(id);
    char part[160], low[32], high[32];
    double width = row->high - row->low;
    bool narrowed = fabs(limit->low - row->low) > SAME_SHARE * width ||
                    fabs(limit->high - row->high) > SAME_SHARE * width;
    add(text, size, text[0] == '\0' ? "" : ", ");
    char name[64];
    snprintf(name, sizeof name, "%s", row->label);
    if (name[0] != '\0' && islower((unsigned char)name[1])) name[0] = (char)tolower((unsigned char)name[0]);
    if (row->kind == ORDER_KIND_ACTION || row->kind == ORDER_KIND_PACING || !narrowed) {
        add(text, size, name);
        return;
    }
    sim_orders_format_value(id, limit->low, low, sizeof low);
    sim_orders_format_value(id, limit->high, high, sizeof high);
    if (row->kind == ORDER_KIND_SETTING)
        snprintf(part, sizeof part, "%s %s to %s %s", name, low, high, row->unit);
    else
        snprintf(part, sizeof part, "%s up to %s %s", name, high,
                 row->kind == ORDER_KIND_FLUID ? "mL" : row->unit);
    add(text, size, part);
}

/* What may be ordered, a line for each group; a device that is not there is left out. */
static double orders_text(Ui *ui, Rect room, double y, const Case *file) {
    const Parameters *p = &file->patient.parameters;
    ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, ui->theme->text2, room.x, y,
                 "You may order");
    y += CARD_LINE_PX;
    for (int group = 0; group < ORDER_GROUP_COUNT; group++) {
        char text[ORDERS_TEXT_MAX] = "", line[ORDERS_TEXT_MAX + 40];
        for (int i = 0; i < ORDER_COUNT; i++) {
            OrderId id = (OrderId)i;
            bool there = id == ORDER_speed         ? p->left_pump_present > 0.5
                         : id == ORDER_right_speed ? p->right_pump_present > 0.5
                                                   : true;
            if (there && file->limits.of[i].allowed && sim_orders_row(id)->group == (OrderGroup)group)
                add_order(text, sizeof text, id, &file->limits.of[i]);
        }
        if (text[0] == '\0') continue;
        snprintf(line, sizeof line, "%s: %s", sim_orders_group_label((OrderGroup)group), text);
        y = ui_cards_paragraph(ui, room, y, true, line) - 4.0;
    }
    return y + 8.0;
}

/* Orders that run when the night begins. */
static double running_text(Ui *ui, Rect room, double y, const Case *file) {
    char text[ORDERS_TEXT_MAX] = "";
    for (int i = 0; i < file->running_count; i++) {
        Order order = sim_orders_resolve(&file->running[i], file->patient.parameters.weight_kg);
        const OrderRow *row = sim_orders_row(order.id);
        char value[32], part[160];
        sim_orders_format_value(order.id, order.value, value, sizeof value);
        const char *unit = order.act == ORDER_ACT_INFUSION ? "mL/h" : row->unit;
        snprintf(part, sizeof part, "%s%s %s %s", i > 0 ? ", " : "", row->label, value, unit);
        add(text, sizeof text, part);
    }
    return ui_cards_headed(ui, room, y, "Running now", text);
}

static double story(Ui *ui, Rect room, const OverlayView *o) {
    const CaseHandover *h = o->handover;
    double y = room.y + 20.0;
    y = ui_cards_headed(ui, room, y, "Who", h->who);
    y = ui_cards_headed(ui, room, y, "What was done", h->done);
    y = ui_cards_headed(ui, room, y, "Attached and running", h->attached);
    return o->case_file == NULL ? y : running_text(ui, room, y, o->case_file);
}

static double task(Ui *ui, Rect room, const OverlayView *o) {
    const CaseHandover *h = o->handover;
    double y = room.y + 20.0;
    y = marked_list(ui, room, y, "Aims of the night", h->objective_count, h->objectives);
    return o->case_file != NULL ? orders_text(ui, room, y, o->case_file) : y;
}

static double mind(Ui *ui, Rect room, double y, const OverlayView *o) {
    return marked_list(ui, room, y, "Mind", o->handover->caution_count, o->handover->cautions);
}

static double handover_text(Ui *ui, Rect room, const void *what) {
    const OverlayView *o = what;
    if (room.w < TWO_COLUMNS_PX) {
        double y = story(ui, room, o);
        return mind(ui, room, task(ui, (Rect){room.x, y, room.w, room.h}, o), o);
    }
    double w = floor((room.w - COLUMN_GAP_PX) / 2.0);
    Rect left = {room.x, room.y, w, room.h}, right = {room.x + w + COLUMN_GAP_PX, room.y, w, room.h};
    double left_y = story(ui, left, o), right_y = task(ui, right, o);
    /* what to mind stands where there is more room */
    if (left_y < right_y + LAST_GAP_PX)
        left_y = mind(ui, left, left_y, o);
    else
        right_y = mind(ui, right, right_y, o);
    return fmax(left_y, right_y) - LAST_GAP_PX;
}

void ui_handover_draw(Ui *ui, Rect screen, const OverlayView *o, Intents *intents) {
    char title[CASE_LINE_MAX + 16];
    snprintf(title, sizeof title, "Handover: %s", o->case_title);
    (void)ui_cards_text(ui, screen, CARD_WIDTH_PX, title, "Go to the bedside", handover_text, o, o->scroll_px,
                        intents);
}
