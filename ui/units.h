/* Units for the eye: the simulation keeps one system (mmHg, cmH2O, g/dL); what is shown follows the settings.
 */
#ifndef UI_UNITS_H
#define UI_UNITS_H

#include "ui/settings.h"
#include "ui/view.h"

/* How a quantity is shown. */
typedef struct ShownUnit {
    const char *name;
    double factor;     /* shown = kept * factor */
    int more_decimals; /* beyond those of the unit it is kept in; may be negative */
} ShownUnit;

/* How a quantity kept in `unit` is shown. `key` is its name in the table of displays or observables (it tells
   gas tensions from blood pressures) and may be NULL; `settings` NULL: the defaults. An unknown unit is shown
   as it is. */
ShownUnit ui_units_shown(const Settings *settings, const char *key, const char *unit);

/* Writes a number kept in `unit` with `decimals` places as it is shown, without its unit; like
   ui_tiles_format. */
void ui_units_format(const Settings *settings, const char *key, const char *unit, int decimals, double value,
                     char *text, size_t size);

/* Turns a reading into the units shown: value, scales, targets, trend, unit and decimals. */
void ui_units_reading(const Settings *settings, const char *key, Reading *reading);

/* Gives a lane round tick labels in the unit shown; its scale and trace stay in the unit kept. */
void ui_units_lane(const Settings *settings, const char *unit, Lane *lane);

#endif
