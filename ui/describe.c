/* A screen in words. */
#include "ui/describe.h"

#include "ui/bedside.h"
#include "ui/screen.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SAME_LINE_PX      6.0   /* texts whose baselines differ by less stand on one line */
#define PARAGRAPH_PX      150.0 /* a line this long goes on in the one under it */
#define PARAGRAPH_LINE_PX 28.0
#define NEXT_LINE_PX      40.0 /* a text further down begins something new */
#define SAME_LEFT_PX      8.0
#define NAMED_PX          60.0 /* a lower control is told by its name alone; a higher one holds more than that */
#define AROUND_PX         1.0

enum { CLIPS_MAX = 8, LINE_MAX_BYTES = 2048 };

static const char *const ROLE_NAME[UI_ROLE_COUNT] = {"button", "tab", "row", "field", "slider"};

/* What a region of the bedside is called; NULL where its texts say it themselves. */
static const char *region_name(int id) {
    static const char *const NAMES[REGION_COUNT] = {
        [REGION_TOP] = "Bar",        [REGION_PUMP] = "Pump",         [REGION_HEART] = "Heart",
        [REGION_GAUGES] = "Gauges",  [REGION_KEYS] = "Orders",       [REGION_DECK] = "Orders of the group",
        [REGION_LABS] = "Numbers",   [REGION_MESSAGES] = "Messages", [REGION_ACTIONS] = "Orders given",
        [REGION_OVERLAY] = "Card",   [REGION_FOOT] = "Legend",       [REGION_TABS] = "Panels",
        [REGION_NUMBERS] = "Numbers"};
    if (id >= REGION_LANE && id < REGION_TILE) return "Trace";
    if (id >= REGION_TILE && id < REGION_COUNT) return "Value";
    return id >= 0 && id < REGION_COUNT ? NAMES[id] : NULL;
}

/* One text with the room it takes. */
typedef struct Said {
    const char *text;
    Rect rect;        /* x, w; y is the baseline */
    size_t at;        /* command */
    const UiItem *of; /* control it names, NULL: none */
} Said;

typedef struct Teller {
    const Ui *ui;
    FILE *out;
    Said *said; /* of the region being told */
    size_t count;
    struct Entry *entry;
} Teller;

static Rect text_rect(const DrawList *list, const DrawCommand *c) {
    double w = ui_draw_text_width(list, c->face, c->size_px, list->chars + c->text);
    double x = c->rect.x - (c->align == ALIGN_LEFT ? 0.0 : c->align == ALIGN_CENTRE ? w / 2.0 : w);
    return (Rect){x, c->rect.y, w, c->size_px};
}

static bool inside(Rect outer, Rect text) {
    double middle = text.x + text.w / 2.0, y = text.y - 0.35 * text.h;
    return ui_rect_contains(ui_rect_inset(outer, -AROUND_PX, -AROUND_PX), middle, y);
}

/* The smallest control without a name of its own that a text lies in. */
static const UiItem *item_of(const Ui *ui, size_t first, size_t end, Rect text) {
    const UiItem *best = NULL;
    for (int i = 0; i < ui->befores; i++) {
        const UiItem *item = &ui->before[i];
        if (item->at <= first || item->at > end || !inside(item->rect, text)) continue;
        if (best == NULL || item->rect.w * item->rect.h < best->rect.w * best->rect.h) best = item;
    }
    return best;
}

/* Collects the texts of commands [first, end) that are not cut away. */
static void collect(Teller *t, size_t first, size_t end) {
    const DrawList *list = t->ui->list;
    Rect clip[CLIPS_MAX];
    int clips = 0;
    t->count = 0;
    for (size_t i = first; i < end; i++) {
        const DrawCommand *c = &list->commands[i];
        if ((c->kind == DRAW_CLIP_RECT || c->kind == DRAW_CLIP) && clips < CLIPS_MAX)
            clip[clips++] = c->kind == DRAW_CLIP_RECT ? c->rect : (Rect){-1e6, -1e6, 2e6, 2e6};
        if (c->kind == DRAW_UNCLIP && clips > 0) clips--;
        if (c->kind != DRAW_TEXT) continue;
        Rect rect = text_rect(list, c);
        bool shown = true;
        for (int k = 0; k < clips; k++)
            shown = shown && inside(clip[k], rect);
        if (!shown) continue;
        t->said[t->count++] = (Said){list->chars + c->text, rect, i, item_of(t->ui, first, end, rect)};
    }
}

/* How a text follows the one before: beside it, under it in the same block, or as something new. */
static const char *joint(const Said *before, const Said *now, double left, bool several) {
    double down = now->rect.y - before->rect.y;
    if (fabs(down) < SAME_LINE_PX && now->rect.x > before->rect.x) return " ";
    bool goes_on = fabs(now->rect.x - before->rect.x) < AROUND_PX && before->rect.w > PARAGRAPH_PX;
    if (down > 0.0 && down < PARAGRAPH_LINE_PX && goes_on) return " ";
    /* back at the left after a line of several: the next line of a list */
    if (down > 0.0 && several && fabs(now->rect.x - left) < AROUND_PX) return "\n";
    if (down > 0.0 && down < NEXT_LINE_PX && now->rect.x > left - SAME_LEFT_PX) return ", ";
    return "\n";
}

/* What a control is called: its own name, or the texts within it. */
static void item_name(const Teller *t, const UiItem *item, char *name, size_t size) {
    size_t used = 0;
    name[0] = '\0';
    if (item->label[0] != '\0') {
        snprintf(name, size, "%s", item->label);
        return;
    }
    for (size_t i = 0; i < t->count; i++) {
        if (t->said[i].of != item || used + 1 >= size) continue;
        int wrote = snprintf(name + used, size - used, "%s%s", used > 0 ? " " : "", t->said[i].text);
        used += wrote > 0 ? (size_t)wrote : 0;
    }
}

static void tell_item(const Teller *t, const UiItem *item) {
    char name[LINE_MAX_BYTES];
    item_name(t, item, name, sizeof name);
    bool focus = t->ui->focus == item->id && t->ui->focus_shown && !item->mouse_only;
    fprintf(t->out, "%s[%s] %s%s%s%s\n", focus ? "> " : "", ROLE_NAME[item->role], name,
            item->chosen ? " (chosen)" : "", item->off ? " (not available)" : "", focus ? " (focus)" : "");
}

/* A tile or a lane is one line, its texts from the top and from the left, whatever order they were drawn in.
 */
static bool one_line(int id) {
    return (id >= REGION_LANE && id < REGION_COUNT) || id == REGION_FOOT;
}

static int by_eye(const void *a, const void *b) {
    const Said *x = a, *y = b;
    if (fabs(x->rect.y - y->rect.y) >= SAME_LINE_PX) return x->rect.y < y->rect.y ? -1 : 1;
    return (x->rect.x > y->rect.x) - (x->rect.x < y->rect.x);
}

static void tell_line(Teller *t, const char *name) {
    qsort(t->said, t->count, sizeof *t->said, by_eye);
    fprintf(t->out, "%s:", name);
    for (size_t i = 0; i < t->count; i++)
        fprintf(t->out, " %s", t->said[i].text);
    fputc('\n', t->out);
}

/* What is told of a region, in order. */
typedef struct Entry {
    size_t place; /* command */
    const Said *said;
    const UiItem *item;
} Entry;

static int by_place(const void *a, const void *b) {
    const Entry *x = a, *y = b;
    if (x->place != y->place) return x->place < y->place ? -1 : 1;
    return (y->item != NULL) - (x->item != NULL); /* a control before the text at its place */
}

static bool in_region(const UiItem *item, size_t first, size_t end) {
    return item->at > first && item->at <= end;
}

/* Place of a control among the texts: where it was drawn, or before the first text that names it. */
static size_t item_place(const Teller *t, const UiItem *item) {
    size_t place = item->at;
    for (size_t i = 0; i < t->count; i++) {
        if (t->said[i].of == item && t->said[i].at < place) place = t->said[i].at;
    }
    return place;
}

/* Texts and controls of a region, but texts that a control says already. */
static size_t gather(const Teller *t, size_t first, size_t end, Entry *entry) {
    size_t count = 0;
    for (size_t i = 0; i < t->count; i++) {
        const Said *said = &t->said[i];
        bool told = said->of != NULL && (said->of->label[0] == '\0' || said->of->rect.h < NAMED_PX);
        if (!told) entry[count++] = (Entry){.place = said->at, .said = said};
    }
    for (int i = 0; i < t->ui->befores; i++) {
        const UiItem *item = &t->ui->before[i];
        bool extra = item->mouse_only && item->role == UI_ROLE_TRACK; /* the steppers do the same */
        if (in_region(item, first, end) && !extra)
            entry[count++] = (Entry){.place = item_place(t, item), .item = item};
    }
    qsort(entry, count, sizeof *entry, by_place);
    return count;
}

static void tell_region(Teller *t, size_t first, size_t end) {
    const char *name = region_name(t->ui->list->commands[first].id);
    collect(t, first, end);
    size_t count = gather(t, first, end, t->entry);
    if (count == 0) return;
    if (one_line(t->ui->list->commands[first].id) && name != NULL) {
        tell_line(t, name);
        return;
    }
    fprintf(t->out, name != NULL ? "-- %s --\n" : "--\n", name);
    const Said *before = NULL;
    double left = 0.0;
    bool several = false; /* the line so far is more than one text at its left */
    for (size_t i = 0; i < count; i++) {
        const Entry *entry = &t->entry[i];
        const char *join = before == NULL        ? ""
                           : entry->item != NULL ? "\n"
                                                 : joint(before, entry->said, left, several);
        fputs(join, t->out);
        if (entry->item != NULL) {
            tell_item(t, entry->item);
            before = NULL;
            continue;
        }
        if (before == NULL || join[0] == '\n') left = entry->said->rect.x;
        several = join[0] == ' ' || (join[0] == ',' && several);
        fputs(entry->said->text, t->out);
        before = entry->said;
    }
    if (before != NULL) fputc('\n', t->out);
}

void ui_describe_write(const Ui *ui, FILE *out) {
    const DrawList *list = ui->list;
    Teller t = {.ui = ui,
                .out = out,
                .said = calloc(list->command_count + 1, sizeof(Said)),
                .entry = calloc(list->command_count + UI_ITEMS_MAX, sizeof(Entry))};
    if (t.said == NULL || t.entry == NULL) {
        free(t.said);
        free(t.entry);
        return;
    }
    bool card = false;
    for (size_t i = 0; i < list->command_count; i++)
        card = card || (list->commands[i].kind == DRAW_REGION && list->commands[i].id == REGION_OVERLAY);
    for (size_t i = 0, end; i < list->command_count; i = end) {
        end = ui_draw_region_end(list, i);
        if (list->commands[i].kind != DRAW_REGION) continue;
        bool above = list->commands[i].id == REGION_OVERLAY || list->commands[i].id == REGION_NOTE;
        if (!card || above) tell_region(&t, i, end);
    }
    free(t.said);
    free(t.entry);
}

char *ui_describe_text(const Ui *ui) {
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);
    if (out == NULL) return NULL;
    ui_describe_write(ui, out);
    if (fclose(out) != 0) {
        free(text);
        return NULL;
    }
    return text;
}

void ui_describe_focus(const Ui *ui, char *text, size_t size) {
    text[0] = '\0';
    if (ui->focus == 0 || !ui->focus_shown) return;
    for (int i = 0; i < ui->befores; i++) {
        const UiItem *item = &ui->before[i];
        if (item->id != ui->focus || item->mouse_only) continue;
        Teller t = {.ui = ui, .said = calloc(ui->list->command_count + 1, sizeof(Said))};
        if (t.said == NULL) return;
        collect(&t, 0, ui->list->command_count);
        char name[LINE_MAX_BYTES];
        item_name(&t, item, name, sizeof name);
        snprintf(text, size, "%s %s%s", ROLE_NAME[item->role], name, item->chosen ? ", chosen" : "");
        free(t.said);
        return;
    }
}
