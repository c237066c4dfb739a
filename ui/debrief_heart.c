/* The heart of a moment of a recorded night, at the end of its diastole, as the heart picture draws it. */
#include "ui/debrief.h"
#include "ui/draw_svg.h"
#include "ui/heart.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define USUAL_LOW  0.85 /* as in ui/feed_heart.c */
#define USUAL_HIGH 1.15
#define SEPTUM_MM  3.0

static void fill_chamber(HeartChamber *chamber, double now_ml, double low_ml, double high_ml, double start_ml,
                         double clot_ml) {
    *chamber = (HeartChamber){.now_ml = now_ml,
                              .reference_ml = start_ml,
                              .beat_min_ml = low_ml,
                              .beat_max_ml = high_ml,
                              .usual_low_ml = USUAL_LOW * start_ml,
                              .usual_high_ml = USUAL_HIGH * start_ml,
                              .clot_ml = clot_ml};
}

void ui_debrief_heart_view(const DebriefHeart *heart, HeartView *h) {
    const Observables *o = &heart->now, *s = &heart->start;
    const Parameters *p = &heart->parameters;
    double clots_ml = 0.0;
    memset(h, 0, sizeof *h);
    h->shown = h->frozen = h->reduced_motion = true;
    fill_chamber(&h->chamber[HEART_LV], o->lv_edv_ml, o->lv_esv_ml, o->lv_edv_ml, s->lv_edv_ml,
                 heart->clot_ml[0]);
    fill_chamber(&h->chamber[HEART_RV], o->rv_edv_ml, o->rv_esv_ml, o->rv_edv_ml, s->rv_edv_ml,
                 heart->clot_ml[1]);
    fill_chamber(&h->chamber[HEART_LA], o->la_max_ml, o->la_min_ml, o->la_max_ml, s->la_max_ml,
                 heart->clot_ml[2]);
    fill_chamber(&h->chamber[HEART_RA], o->ra_max_ml, o->ra_min_ml, o->ra_max_ml, s->ra_max_ml,
                 heart->clot_ml[3]);
    h->septum_mm = o->septum_mm;
    h->septum_reference_mm = s->septum_mm;
    h->septum_low_mm = s->septum_mm - SEPTUM_MM;
    h->septum_high_mm = s->septum_mm + SEPTUM_MM;
    for (int i = 0; i < CIRCULATION_CLOT_SITES; i++)
        clots_ml += heart->clot_ml[i];
    h->pericardial_ml = fmax(o->pericardial_ml - clots_ml, 0.0);
    h->pericardial_reference_ml = s->pericardial_ml;
    h->chest_open = p->chest_open > 0.5;
    h->left_pump = (HeartPump){.present = p->left_pump_present > 0.5,
                               .running = p->left_pump_powered > 0.5 && p->left_pump_speed_rpm > 0.0,
                               .mean_l_min = o->pump_flow_l_min,
                               .occlusion_frac = isfinite(o->suction_frac) ? o->suction_frac : 0.0,
                               .bore_mm = p->left_pump_bore_mm};
    h->right_pump = (HeartPump){.present = p->right_pump_present > 0.5,
                                .running = p->right_pump_powered > 0.5 && p->right_pump_speed_rpm > 0.0,
                                .inlet_atrium = p->right_pump_inlet < 0.5,
                                .mean_l_min = o->right_pump_flow_l_min};
    h->pump_l_min = o->pump_flow_l_min;
    h->right_l_min = o->right_flow_l_min;
    h->systemic_l_min = o->systemic_flow_l_min;
}

void ui_debrief_heart_svg(const DebriefHeart *heart, FILE *out) {
    const Rect view = {0.0, 0.0, 240.0, 300.0};
    HeartView h;
    DrawList list;
    char prefix[32], label[TEXT_LINE], clock[TEXT_SHORT];
    ui_draw_init(&list);
    list.theme = ui_theme_of(THEME_LIGHT);
    ui_debrief_heart_view(heart, &h);
    ui_heart_draw(&list, view, &h);
    snprintf(prefix, sizeof prefix, "heart%.0f-", heart->time_s);
    snprintf(label, sizeof label, "The heart at %s", ui_debrief_clock(heart->time_s, clock));
    if (!list.failed) ui_draw_svg_write(&list, view, prefix, label, out);
    ui_draw_free(&list);
}
