/* Inside the look: what its files call of each other. */
#ifndef UI_LOOK_PARTS_H
#define UI_LOOK_PARTS_H

#include "ui/heart_parts.h"
#include "ui/look.h"

/* Regions of the sheet that are repainted on their own. */
typedef enum LookRegion {
    LOOK_REGION_GROUND,
    LOOK_REGION_BAR,
    LOOK_REGION_BODY,
    LOOK_REGION_TOOLS,
    LOOK_REGION_VOLUMES,
    LOOK_REGION_SEPTUM,
    LOOK_REGION_COMB,
    LOOK_REGION_FLOWS
} LookRegion;

/* Parts of the sheet that its intents name. */
typedef enum LookPart {
    LOOK_PART_PAGE,   /* amount: LookPage; LOOK_PAGES: the gauges */
    LOOK_PART_FREEZE, /* toggles, as the next three */
    LOOK_PART_OUTLINE,
    LOOK_PART_PLAIN,
    LOOK_PART_MEASURE, /* large: leave measuring */
    LOOK_PART_STEP,    /* frames, when frozen */
    LOOK_PART_POINT,   /* the arrow keys move the other point */
    LOOK_PART_MOVE_X,  /* the chosen point by `amount` mm */
    LOOK_PART_MOVE_Y,
    LOOK_PART_AT_X, /* the chosen point to `amount` mm; large: choose the nearer point first */
    LOOK_PART_AT_Y,
    LOOK_PART_ASK, /* ask for the probe */
    LOOK_PART_PICK /* choose point `amount` */
} LookPart;

/* The fan of the picture: depth 0 at the probe's face, beams meeting above it. */
typedef struct LookSector {
    Rect rect;                  /* px, of the whole picture */
    double middle_x, skin_y;    /* px, middle of the probe's face */
    double beam_y;              /* px, where the beams meet */
    double near_px, far_px;     /* radii from there */
    double half_rad;            /* half the opening */
    double px_per_mm, depth_mm; /* shown depth */
} LookSector;

/* How things are painted: grain or diagram. */
typedef struct LookStyle {
    const Theme *theme;
    const LookSector *sector;
    bool plain;
    double line_px;  /* outlines */
    double grain_px; /* depth of a grain */
    Colour ground;   /* what an empty place looks like */
} LookStyle;

/* Where the parts of the sheet are. */
typedef struct LookLayout {
    bool compact; /* no room for gauges beside the picture */
    bool tiny;    /* and little for anything else */
    Rect screen, bar, tools;
    Rect body; /* repainted as one: picture and strip; on small screens also the gauges in their place */
    Rect picture, strip, volumes, septum, comb, flows;
} LookLayout;

LookLayout ui_look_layout(Rect screen, const LookSheet *sheet);

/* --- look_paint.c: sector, style, tags --- */

LookSector ui_look_sector(Rect rect, double depth_mm);
LookStyle ui_look_style(const Theme *theme, const LookSector *sector, const LookSheet *sheet);
/* The fan with its ground; empty without a probe. */
void ui_look_fan(DrawList *list, const LookStyle *style, bool empty);
/* Cuts what follows to the fan, until the matching ui_draw_unclip. */
void ui_look_fan_clip(DrawList *list, const LookStyle *style);
/* Scale in cm at the right edge. */
void ui_look_depth(DrawList *list, const LookStyle *style, const char *name);
/* Fill the current path as muscle, as blood of a side, or as clot. */
void ui_look_muscle(DrawList *list, const LookStyle *style);
Colour ui_look_blood_colour(const LookStyle *style, bool left);
void ui_look_blood(DrawList *list, const LookStyle *style, bool left);
void ui_look_clot(DrawList *list, const LookStyle *style, double seen);
/* Fills the current path as free fluid, `seen` 0..1. */
void ui_look_fluid(DrawList *list, const LookStyle *style, double seen);

/* A tag with a line to what it names: a strong name and value, and a quieter second line. */
typedef struct LookTag {
    const char *name;
    char value[TEXT_SHORT], note[TEXT_LINE];
    Colour edge;
    double x_px, y_px; /* what it names */
    bool right;        /* stands at the right of the picture */
} LookTag;

enum { LOOK_TAGS_MAX = 10 };

typedef struct LookTags {
    int count;
    LookTag tag[LOOK_TAGS_MAX];
} LookTags;

/* Adds a tag to be filled by the caller; never NULL (the last one is used again when full). */
LookTag *ui_look_tag(LookTags *tags, const char *name, bool right, Colour edge, double x_px, double y_px);
/* Draws them in two columns, none over another. */
void ui_look_tags_draw(DrawList *list, const LookStyle *style, const LookTags *tags);

/* --- pages: each draws its picture in the sector and gives its pen, for the calliper --- */

/* Depth in mm that the page needs to show everything. */
double ui_look_four_need_mm(const LookSheet *sheet);
double ui_look_short_need_mm(const LookSheet *sheet);

HeartPen ui_look_four(DrawList *list, const LookStyle *style, const LookSheet *sheet);
HeartPen ui_look_short_draw(DrawList *list, const LookStyle *style, const LookSheet *sheet);
HeartPen ui_look_valve(DrawList *list, const LookStyle *style, const LookSheet *sheet);
HeartPen ui_look_sac(DrawList *list, const LookStyle *style, const LookSheet *sheet);
HeartPen ui_look_inflow(DrawList *list, const LookStyle *style, const LookSheet *sheet);

/* The four-chamber outlines now and at the reference, as both four-chamber pages use them. */
void ui_look_shapes(const LookSheet *sheet, HeartShape *now, HeartShape *reference);
/* Pen for a four-chamber section in the sector. */
HeartPen ui_look_four_pen(const LookSector *sector, const LookSheet *sheet);
/* Muscle, blood, lines, valves, leaks, inflow. */
void ui_look_four_body(DrawList *list, const LookStyle *style, const HeartPen *pen, const HeartShape *shape,
                       const LookSheet *sheet);

/* The reference's cavities, dashed. */
void ui_look_four_reference(DrawList *list, const LookStyle *style, const HeartPen *pen,
                            const HeartShape *reference);

/* Depth in mm by which what lies outside pushes a wall in at this pressure difference (mmHg, positive:
   inward), given `room_mm` of fluid or clot beside it. */
double ui_look_push_mm(double push_mmhg, double room_mm);
/* Whether a chamber counts as pushed in at a moment. */
bool ui_look_pushed(const LookSheet *sheet, const HeartMoment *moment, int chamber);

/* --- look_strip.c: what happens over the last seconds, all on one time axis --- */

/* Draws the strip below the picture that the page has, and the electrocardiogram. */
void ui_look_strip(Ui *ui, Rect rect, const LookSheet *sheet);
/* Height in px that the page's strip wants. */
double ui_look_strip_px(LookPage page, bool compact, bool tiny);
/* Moment on show; NULL before the first beat. */
const HeartMoment *ui_look_moment(const LookSheet *sheet);

/* --- look_bars.c: tabs above, tools below; look_gauges.c: the right column --- */

/* Small screens: the alarms lie over the foot of the picture. */
void ui_look_alarms(Ui *ui, const LookLayout *layout, const LookSheet *sheet, Intents *intents);
void ui_look_bar(Ui *ui, const LookLayout *layout, const LookSheet *sheet, Intents *intents);
void ui_look_tools(Ui *ui, const LookLayout *layout, const LookSheet *sheet, Intents *intents);
void ui_look_gauges(Ui *ui, const LookLayout *layout, const LookSheet *sheet);

/* --- look_caliper.c --- */

void ui_look_caliper_draw(DrawList *list, const LookStyle *style, const HeartPen *pen,
                          const LookSheet *sheet);
/* Pointer and keys of the calliper. */
void ui_look_caliper_input(Ui *ui, Rect picture, const HeartPen *pen, const LookSheet *sheet,
                           Intents *intents);

#endif
