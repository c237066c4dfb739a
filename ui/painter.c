/* Which regions to paint. */
#include "ui/painter.h"

#include <string.h>

void ui_painter_forget(Painter *painter) {
    memset(painter->hash, 0, sizeof painter->hash);
}

void ui_painter_begin(Painter *painter) {
    painter->dirties = 0;
    painter->all = false;
    memset(painter->painted, 0, sizeof painter->painted);
}

static void mark(Painter *painter, Rect rect) {
    if (painter->dirties < PAINTER_DIRTY_MAX)
        painter->dirty[painter->dirties++] = rect;
    else
        painter->all = true;
}

static void paint(Painter *painter, Canvas *canvas, const DrawList *list, size_t first, size_t end) {
    const DrawCommand *region = &list->commands[first];
    ui_raster_run(canvas, list, first + 1, end - first - 1, region->rect);
    mark(painter, region->rect);
}

void ui_painter_regions(Painter *painter, Canvas *canvas, const DrawList *list, bool whole) {
    bool differs = false, met[PAINTER_REGIONS] = {false};
    for (size_t i = 0, end; i < list->command_count; i = end) {
        end = ui_draw_region_end(list, i);
        const DrawCommand *region = &list->commands[i];
        if (region->kind != DRAW_REGION || region->id < 0 || region->id >= PAINTER_REGIONS || end == i + 1)
            continue;
        uint64_t hash = ui_draw_hash(list, i, end - i);
        int slot = region->id + (met[region->id] ? PAINTER_REGIONS : 0);
        met[region->id] = true;
        if (hash == painter->hash[slot]) continue;
        painter->hash[slot] = hash;
        painter->painted[region->id] = true;
        differs = true;
        if (!whole) paint(painter, canvas, list, i, end);
    }
    if (!whole || !differs) return;
    painter->all = true;
    for (size_t i = 0, end; i < list->command_count; i = end) {
        end = ui_draw_region_end(list, i);
        if (list->commands[i].kind == DRAW_REGION && end > i + 1) paint(painter, canvas, list, i, end);
    }
}

void ui_painter_always(Painter *painter, Canvas *canvas, const DrawList *list) {
    for (size_t i = 0, end; i < list->command_count; i = end) {
        end = ui_draw_region_end(list, i);
        if (list->commands[i].kind == DRAW_REGION && end > i + 1) paint(painter, canvas, list, i, end);
    }
}

bool ui_painter_painted(const Painter *painter, int id) {
    return id >= 0 && id < PAINTER_REGIONS && painter->painted[id];
}
