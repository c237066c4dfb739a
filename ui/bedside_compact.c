/* The compact arrangement's own parts: tabs, and the panel of all numbers that are not beside a lane. */
#include "ui/alarm_strip.h"
#include "ui/bedside.h"
#include "ui/tiles.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { ID_PANEL = 70, CELLS_MAX = 32 };

#define TAB_GAP_PX    4.0
#define TAB_PAD_PX    14.0
#define LOW_CELL_PX   76.0 /* a lower one has two lines */
#define CELL_PX       78.0 /* height of a number with name, unit and note */
#define CELL_WIDTH_PX 74.0 /* the least */

static void draw_tab(Ui *ui, int id, Rect r, const char *name, bool open, bool marked) {
    const Theme *t = ui->theme;
    ui_draw_rect(ui->list, r, 6.0, open || ui_widgets_hovered(ui, r) ? t->raised : t->panel);
    ui_draw_frame(ui->list, r, 6.0, ui_draw_solid(open ? t->text1 : t->edge, open ? 2.0 : 1.0));
    ui_draw_text_fit(ui->list, open ? FACE_WORDS_STRONG : FACE_WORDS, TYPE_NOTE, ALIGN_CENTRE,
                     open ? t->text1 : t->text2, r.x + r.w / 2.0, r.y + r.h / 2.0 + 6.0, r.w - 6.0, name);
    if (marked) ui_draw_circle(ui->list, r.x + r.w - 8.0, r.y + 8.0, 4.0, t->text1);
    ui_widgets_focus_ring(ui, id, ui_rect_inset(r, 4.0, 4.0), 4.0);
}

enum { TAB_COUNT = PANEL_COUNT - 1 + DECK_GROUPS }; /* the orders have a tab for each group */

/* One tab: a panel, or a group of orders. */
typedef struct Tab {
    int id, group; /* group -1: a panel */
    BedsidePanel panel;
    bool open, marked;
    char name[TEXT_SHORT + 4], said[UI_LABEL_MAX];
} Tab;

static Tab panel_tab(const BedsideLayout *l, BedsidePanel panel, const char *name, bool marked) {
    Tab tab = {.id = ID_PANEL + (int)panel,
               .group = -1,
               .panel = panel,
               .open = l->panel == panel,
               .marked = marked};
    snprintf(tab.name, sizeof tab.name, "%s", name);
    snprintf(tab.said, sizeof tab.said, "%s%s", name, marked ? ", new" : "");
    return tab;
}

static Tab group_tab(const BedsideLayout *l, const DeckView *deck, int group, bool named) {
    Tab tab = {.id = UI_BEDSIDE_GROUP_ID + group,
               .group = group,
               .panel = PANEL_ORDERS,
               .open = l->panel == PANEL_ORDERS && group == deck->open_group,
               .marked = deck->group[group].pending > 0};
    snprintf(tab.name, sizeof tab.name, named ? "F%d %s" : "F%d", group + 1, deck->group[group].name);
    snprintf(tab.said, sizeof tab.said, "F%d %.40s%s", group + 1, deck->group[group].name,
             tab.marked ? ", pending" : "");
    return tab;
}

/* The tabs in order with their widths; returns the width of all. */
static double list_tabs(const Ui *ui, const BedsideLayout *l, const BedsideView *v, bool named,
                        Tab tab[TAB_COUNT], double width[TAB_COUNT], int *count) {
    double all = 0.0;
    *count = 0;
    tab[(*count)++] = panel_tab(l, PANEL_NUMBERS, "Numbers", false);
    tab[(*count)++] = panel_tab(l, PANEL_HEART, "Heart", false);
    for (int i = 0; i < v->deck.groups; i++)
        tab[(*count)++] = group_tab(l, &v->deck, i, named);
    tab[(*count)++] = panel_tab(l, PANEL_WORDS, "Messages", v->unseen > 0 || v->told.parts > 0);
    for (int i = 0; i < *count; i++) {
        width[i] = ui_draw_text_width(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, tab[i].name) + TAB_PAD_PX;
        all += width[i] + (i > 0 ? TAB_GAP_PX : 0.0);
    }
    return all;
}

void ui_bedside_tabs(Ui *ui, const BedsideLayout *l, const BedsideView *v, Intents *intents) {
    ui_draw_region(ui->list, REGION_TABS, ui_rect_inset(l->tabs, -4.0, -2.0));
    ui_draw_rect(ui->list, ui_rect_inset(l->tabs, -4.0, -2.0), 0.0, ui->theme->window);
    Tab tab[TAB_COUNT];
    double width[TAB_COUNT];
    int count = 0;
    Rect row = l->tabs,
         tools = ui_bedside_tools_in_bar(l) ? (Rect){0} : ui_rect_cut_right(&row, ui_bedside_tools_px(ui));
    double all = list_tabs(ui, l, v, true, tab, width, &count);
    if (all > row.w) all = list_tabs(ui, l, v, false, tab, width, &count);
    double more = fmax(row.w - all, 0.0) / count, x = row.x;
    for (int i = 0; i < count; i++) {
        Rect r = {x, l->tabs.y, floor(width[i] + more), l->tabs.h};
        x += width[i] + more + TAB_GAP_PX;
        if (ui_widgets_area(ui, tab[i].id, r))
            ui_intents_add(intents, tab[i].group < 0 ? INTENT_PANEL : INTENT_GROUP,
                           tab[i].group < 0 ? (int)tab[i].panel : tab[i].group, 0.0, false);
        ui_widgets_tell(ui, UI_ROLE_TAB, tab[i].said, tab[i].open);
        draw_tab(ui, tab[i].id, r, tab[i].name, tab[i].open, tab[i].marked);
    }
    if (tools.w > 0.0) ui_bedside_tools(ui, tools, intents);
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

/* A cell of two lines: name with the alarm's mark and word, number with unit or arrow. */
static void draw_low_cell(Ui *ui, const Reading *r, Rect cell) {
    const Theme *t = ui->theme;
    char mark[TEXT_SHORT] = "";
    double w = ui_draw_text_width(ui->list, FACE_WORDS, TYPE_NOTE, r->name) + 8.0;
    if (r->priority > 0) snprintf(mark, sizeof mark, "%s %.16s", ui_alarm_strip_mark(r->priority), r->mark);
    if (w + ui_draw_text_width(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, mark) > cell.w)
        snprintf(mark, sizeof mark, "%s", ui_alarm_strip_mark(r->priority));
    ui_draw_text_fit(ui->list, FACE_WORDS, TYPE_NOTE, ALIGN_LEFT, t->text2, cell.x, cell.y + 16.0, cell.w,
                     r->name);
    if (r->priority > 0)
        ui_draw_text(ui->list, FACE_WORDS_STRONG, TYPE_NOTE, ALIGN_LEFT, ui_tiles_priority(t, r->priority),
                     cell.x + w, cell.y + 16.0, mark);
    ui_tiles_inline(ui->list, t, r, TYPE_VALUE_S, cell.x, cell.y + 40.0, cell.w);
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
    double w = inner.w / columns, h = fmin(inner.h / rows, CELL_PX + 14.0);
    for (int i = 0; i < count; i++) {
        Rect room = {inner.x + i % columns * w, inner.y + i / columns * h, w - 6.0, h};
        if (h < LOW_CELL_PX)
            draw_low_cell(ui, &cell[i], room);
        else
            ui_tiles_small(ui->list, ui->theme, &cell[i], room);
    }
}
