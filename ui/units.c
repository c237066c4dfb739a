/* Units for the eye. */
#include "ui/units.h"

#include "ui/tiles.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* 1 mmHg = 133.322 Pa, 1 cmH2O = 98.0665 Pa (NIST SP 811, 2008, appendix B.8); haemoglobin as the
   monomer, 16.114 g/mmol (IFCC and IUPAC usage). */
static const double KPA_PER_MMHG = 0.133322, HPA_PER_CMH2O = 0.980665;
static const double MMOL_L_PER_G_DL = 10.0 / 16.114, G_L_PER_G_DL = 10.0;

enum { TICKS_MAX = 4, TICKS_WANTED = 2 };

static bool gas_tension(const char *key) {
    return key != NULL && strncmp(key, "pa", 2) == 0 && strstr(key, "o2") != NULL;
}

ShownUnit ui_units_shown(const Settings *settings, const char *key, const char *unit) {
    bool mmhg = strcmp(unit, "mmHg") == 0;
    SettingId pressure = gas_tension(key) ? SETTING_gas : SETTING_pressure;
    if (mmhg && ui_settings_value(settings, pressure) == 1) return (ShownUnit){"kPa", KPA_PER_MMHG, 1};
    if (strcmp(unit, "cmH2O") == 0 && ui_settings_value(settings, SETTING_airway) != 0)
        return (ShownUnit){ui_settings_value(settings, SETTING_airway) == 1 ? "hPa" : "mbar", HPA_PER_CMH2O,
                           0};
    if (strcmp(unit, "g/dL") == 0) {
        int haemoglobin = ui_settings_value(settings, SETTING_haemoglobin);
        if (haemoglobin == 1) return (ShownUnit){"g/L", G_L_PER_G_DL, -1};
        if (haemoglobin == 2) return (ShownUnit){"mmol/L", MMOL_L_PER_G_DL, 0};
    }
    return (ShownUnit){unit, 1.0, 0};
}

void ui_units_format(const Settings *settings, const char *key, const char *unit, int decimals, double value,
                     char *text, size_t size) {
    ShownUnit shown = ui_units_shown(settings, key, unit);
    ui_tiles_format(text, size, value * shown.factor, decimals + shown.more_decimals);
}

void ui_units_reading(const Settings *settings, const char *key, Reading *r) {
    ShownUnit shown = ui_units_shown(settings, key, r->unit);
    if (shown.name == r->unit) return;
    double *const values[] = {&r->value,       &r->scale_low, &r->scale_high, &r->target_low,
                              &r->target_high, &r->trend_low, &r->trend_high};
    for (size_t i = 0; i < sizeof values / sizeof values[0]; i++)
        *values[i] *= shown.factor;
    for (int i = 0; i < r->trend.count; i++)
        r->trend.value[i] = (float)(r->trend.value[i] * shown.factor);
    r->decimals += shown.more_decimals;
    char name[TEXT_SHORT];
    snprintf(name, sizeof name, "%s", shown.name);
    memcpy(r->unit, name, sizeof name);
}

/* The smallest of 1, 2, 5, 10 ... that is at least `least`. */
static double round_step(double least) {
    double power = pow(10.0, floor(log10(least)));
    const double of[] = {1.0, 2.0, 5.0};
    for (int i = 0; i < 3; i++) {
        if (of[i] * power >= least * (1.0 - 1e-9)) return of[i] * power;
    }
    return 10.0 * power;
}

void ui_units_lane(const Settings *settings, const char *unit, Lane *lane) {
    ShownUnit shown = ui_units_shown(settings, NULL, unit);
    lane->tick_factor = shown.factor;
    lane->tick_decimals = 0;
    if (shown.name == unit || !(lane->high > lane->low)) return;
    double low = lane->low * shown.factor, high = lane->high * shown.factor;
    double step = round_step((high - low) / (TICKS_WANTED + 1));
    lane->ticks = 0;
    lane->tick_decimals = step < 1.0 ? 1 : 0;
    for (double tick = ceil(low / step) * step; tick <= high && lane->ticks < TICKS_MAX; tick += step)
        lane->tick[lane->ticks++] = tick / shown.factor;
}
