/* The compact arrangement's own parts: tabs, and the panel of all numbers that are not beside a lane. */
#include "ui/bedside.h"
#include "ui/tiles.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { ID_PANEL = 60, CELLS_MAX = 32 };

#define TAB_GAP_PX      4.0
#define NAMED_GROUPS_PX 860.0 /* from this width on there is room for the groups' names */
#define CELL_PX         84.0  /* height of a number with name, unit and note */
#define CELL_WIDTH_PX   84.0  /* the least */

static void draw_tab(Ui *ui, int id, Rect r, const char *name, bool open, bool marked) {
    const Theme *t = ui->theme;
    ui_draw_rect(ui->list, r, 6.0, open || ui_widgets_hovered(ui, r) ? t->raised : t->panel);
    ui_draw_frame(ui->list, r, 6.0, ui_draw_solid(open ? t->text1 : t->edge, open ? 2.0 : 1.0));
    ui_draw_text_fit(ui->list, open ? FACE_WORDS_STRONG : FACE_WORDS, TYPE_NOTE, ALIGN_CENTRE,
                     open ? t->text1 : t->text2, r.x + r.w / 2.0, r.y + r.h / 2.0 + 6.0, r.w - 6.0, name);
    if (marked) ui_draw_circle(ui->list, r.x + r.w - 8.0, r.y + 8.0, 4.0, t->text1);
    ui_widgets_focus_ring(ui, id, ui_rect_inset(r, 4.0, 4.0), 4.0);
}

static void panel_tab(Ui *ui, const BedsideLayout *l, Rect *rest, double w, BedsidePanel panel,
                      const char *name, bool marked, Intents *intents) {
    Rect r = ui_rect_cut_left(rest, w);
    (void)ui_rect_cut_left(rest, TAB_GAP_PX);
    if (ui_widgets_area(ui, ID_PANEL + (int)panel, r))
        ui_intents_add(intents, INTENT_PANEL, (int)panel, 0.0, false);
    draw_tab(ui, ID_PANEL + (int)panel, r, name, l->panel == panel, marked);
}

void ui_bedside_tabs(Ui *ui, const BedsideLayout *l, const BedsideView *v, Intents *intents) {
    ui_draw_region(ui->list, REGION_TABS, l->tabs);
    ui_draw_rect(ui->list, l->tabs, 0.0, ui->theme->window);
    Rect rest = l->tabs;
    bool named = l->tabs.w >= NAMED_GROUPS_PX;
    double words = 108.0, numbers = 88.0, heart = 64.0;
    panel_tab(ui, l, &rest, numbers, PANEL_NUMBERS, "Numbers", false, intents);
    panel_tab(ui, l, &rest, heart, PANEL_HEART, "Heart", false, intents);
    double w = floor((rest.w - words - TAB_GAP_PX) / DECK_GROUPS - TAB_GAP_PX);
    for (int i = 0; i < v->deck.groups; i++) {
        Rect r = ui_rect_cut_left(&rest, w);
        (void)ui_rect_cut_left(&rest, TAB_GAP_PX);
        char name[TEXT_SHORT + 4];
        snprintf(name, sizeof name, named ? "F%d %s" : "F%d", i + 1, v->deck.group[i].name);
        int id = UI_BEDSIDE_GROUP_ID + i;
        if (ui_widgets_area(ui, id, r)) ui_intents_add(intents, INTENT_GROUP, i, 0.0, false);
        draw_tab(ui, id, r, name, l->panel == PANEL_ORDERS && i == v->deck.open_group,
                 v->deck.group[i].pending > 0);
    }
    panel_tab(ui, l, &rest, fmin(words, rest.w), PANEL_WORDS, "Messages", v->unseen > 0, intents);
}

/* A name that fits a narrow cell. */
static void shorten(Reading *r) {
    static const char *const SHORT[][2] = {{"Pulsatility", "Pulsat."},
                                           {"Pump flow", "Flow"},
                                           {"Flow, est.", "Flow est"},
                                           {"Right speed", "R speed"},
                                           {"Right pump flow", "R flow"}};
    for (size_t i = 0; i < sizeof SHORT / sizeof SHORT[0]; i++) {
        if (strcmp(r->name, SHORT[i][0]) == 0) snprintf(r->name, sizeof r->name, "%s", SHORT[i][1]);
    }
}

static void add_cell(Reading cell[], int *count, const Reading *r, const char *prefix) {
    if (*count == CELLS_MAX) return;
    Reading *c = &cell[(*count)++];
    *c = *r;
    shorten(c);
    if (prefix[0] != '\0') {
        char name[TEXT_SHORT];
        snprintf(name, sizeof name, "%s%.20s", prefix, c->name);
        memcpy(c->name, name, sizeof name);
    }
}

void ui_bedside_numbers(Ui *ui, const BedsideLayout *l, const BedsideView *v) {
    Rect r = l->numbers;
    ui_draw_region(ui->list, REGION_NUMBERS, r);
    ui_draw_rect(ui->list, r, 0.0, ui->theme->window);
    ui_draw_rect(ui->list, r, PANEL_RADIUS, ui->theme->panel);
    Reading cell[CELLS_MAX];
    int count = 0;
    for (int i = 0; i < v->lanes; i++) {
        if (l->lane[i].w <= 0.0) add_cell(cell, &count, &v->lane[i].value, "");
    }
    for (int i = 0; i < 2; i++) {
        for (int k = 0; v->pump[i].present && k < v->pump[i].values; k++)
            add_cell(cell, &count, &v->pump[i].value[k], i == 1 ? "R " : v->pump[1].present ? "L " : "");
    }
    for (int i = 0; i < v->labs; i++)
        add_cell(cell, &count, &v->lab[i], "");
    Rect inner = ui_rect_inset(r, 10.0, 2.0);
    int rows = (int)fmax(floor(inner.h / CELL_PX), 1.0);
    int most = (int)fmax(floor(inner.w / CELL_WIDTH_PX), 1.0), columns = (count + rows - 1) / rows;
    if (columns > most) rows = (count + most - 1) / most;
    columns = rows > 0 ? (count + rows - 1) / rows : 1;
    double w = inner.w / columns, h = fmin(inner.h / rows, CELL_PX + 8.0);
    for (int i = 0; i < count; i++)
        ui_tiles_small(ui->list, ui->theme, &cell[i],
                       (Rect){inner.x + i % columns * w, inner.y + i / columns * h, w - 6.0, h});
}
