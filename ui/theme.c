/* The themes and the letters of the sides. */
#include "ui/theme.h"

#define HEX(rgb)                                                                                             \
    { (uint8_t)((rgb) >> 16), (uint8_t)(((rgb) >> 8) & 0xff), (uint8_t)((rgb)&0xff), 255 }

static const Theme THEMES[THEME_COUNT] = {
    [THEME_DARK] = {.window = HEX(0x0D1217),
                    .panel = HEX(0x141B22),
                    .raised = HEX(0x1E2831),
                    .hairline = HEX(0x2B3742),
                    .edge = HEX(0x65778A),
                    .text1 = HEX(0xEDF2F6),
                    .text2 = HEX(0xB7C3CD),
                    .text3 = HEX(0x8D9CA8),
                    .side = {[SIDE_LEFT] = HEX(0xF79B3C),
                             [SIDE_RIGHT] = HEX(0x6F9BE8),
                             [SIDE_PUMP] = HEX(0xCB80A4),
                             [SIDE_GAS] = HEX(0x2DB481),
                             [SIDE_ELECTRICAL] = HEX(0xF1F0EA),
                             [SIDE_TISSUE] = HEX(0xB7C3CD)},
                    .blood_left = HEX(0x6E4219),
                    .blood_right = HEX(0x274A80),
                    .wall = HEX(0x43505C),
                    .pericardium = HEX(0xB7C3CD),
                    .fluid = HEX(0xCFD2B6),
                    .clot = HEX(0x59353B),
                    .ink = HEX(0x0B0F13),
                    .alarm_high = HEX(0xFF4D4A),
                    .alarm_medium = HEX(0xFFD83D),
                    .alarm_low = HEX(0x4FD8EE),
                    .alarm_ink = {HEX(0x0B0F13), HEX(0x0B0F13), HEX(0x0B0F13)},
                    .alarm_text = {HEX(0x4FD8EE), HEX(0xFFD83D), HEX(0xFF5F5C)},
                    .focus = HEX(0xEDF2F6),
                    .band = HEX(0x5D7A94),
                    .band_mark = HEX(0xB7C3CD),
                    .selected = HEX(0x1E2A31),
                    .look_ground = HEX(0x070A0D),
                    .look_tissue = HEX(0x59626B),
                    .look_wall = HEX(0xA9B4BE),
                    .focus_px = 2.0,
                    .trace_px = 2.1},
    /* bright rooms and print */
    [THEME_LIGHT] = {.window = HEX(0xE6EBEF),
                     .panel = HEX(0xF8FAFB),
                     .raised = HEX(0xEAEFF3),
                     .hairline = HEX(0xD2DAE0),
                     .edge = HEX(0x70808A),
                     .text1 = HEX(0x12181D),
                     .text2 = HEX(0x3C4A55),
                     .text3 = HEX(0x56636E),
                     .side = {[SIDE_LEFT] = HEX(0x8E5E02),
                              [SIDE_RIGHT] = HEX(0x0763C3),
                              [SIDE_PUMP] = HEX(0x8C3071),
                              [SIDE_GAS] = HEX(0x085F4B),
                              [SIDE_ELECTRICAL] = HEX(0x292125),
                              [SIDE_TISSUE] = HEX(0x4A5863)},
                     .blood_left = HEX(0xF0C493),
                     .blood_right = HEX(0xA9C4EE),
                     .wall = HEX(0xB4BFC8),
                     .pericardium = HEX(0x3C4A55),
                     .fluid = HEX(0x6B6A3C),
                     .clot = HEX(0xD8A9AE),
                     .ink = HEX(0xFFFFFF),
                     .alarm_high = HEX(0xE5102D),
                     .alarm_medium = HEX(0xFFD83D),
                     .alarm_low = HEX(0x4FD8EE),
                     .alarm_ink = {HEX(0x0B0F13), HEX(0x0B0F13), HEX(0xFFFFFF)},
                     .alarm_text = {HEX(0x005C6E), HEX(0x6E5200), HEX(0xB01010)},
                     .focus = HEX(0x12181D),
                     .band = HEX(0x5D7A94),
                     .band_mark = HEX(0x3C4A55),
                     .selected = HEX(0xDCE6EE),
                     .look_ground = HEX(0xF8FAFB),
                     .look_tissue = HEX(0xB6C0C8),
                     .look_wall = HEX(0x66747F),
                     .focus_px = 2.0,
                     .trace_px = 2.1},
    /* black and white; sides by line style, alarms by their usual colours, the focus in a yellow of its own
     */
    [THEME_HIGH_CONTRAST] = {.window = HEX(0x000000),
                             .panel = HEX(0x000000),
                             .raised = HEX(0x1C1C1C),
                             .hairline = HEX(0x6E6E6E),
                             .edge = HEX(0xFFFFFF),
                             .text1 = HEX(0xFFFFFF),
                             .text2 = HEX(0xFFFFFF),
                             .text3 = HEX(0xE6E6E6),
                             .side = {[SIDE_LEFT] = HEX(0xFFFFFF),
                                      [SIDE_RIGHT] = HEX(0xFFFFFF),
                                      [SIDE_PUMP] = HEX(0xFFFFFF),
                                      [SIDE_GAS] = HEX(0xFFFFFF),
                                      [SIDE_ELECTRICAL] = HEX(0xFFFFFF),
                                      [SIDE_TISSUE] = HEX(0xFFFFFF)},
                             .blood_left = HEX(0x5C5C5C),
                             .blood_right = HEX(0x242424),
                             .wall = HEX(0x8A8A8A),
                             .pericardium = HEX(0xFFFFFF),
                             .fluid = HEX(0xFFFFFF),
                             .clot = HEX(0x3A3A3A),
                             .ink = HEX(0x000000),
                             .alarm_high = HEX(0xFF6B66),
                             .alarm_medium = HEX(0xFFD83D),
                             .alarm_low = HEX(0x5CE1F5),
                             .alarm_ink = {HEX(0x000000), HEX(0x000000), HEX(0x000000)},
                             .alarm_text = {HEX(0x5CE1F5), HEX(0xFFD83D), HEX(0xFF6B66)},
                             .focus = HEX(0xFFFF00),
                             .band = HEX(0x9A9A9A),
                             .band_mark = HEX(0xFFFFFF),
                             .selected = HEX(0x262626),
                             .look_ground = HEX(0x000000),
                             .look_tissue = HEX(0x3C3C3C),
                             .look_wall = HEX(0xC0C0C0),
                             .focus_px = 4.0,
                             .trace_px = 2.6,
                             .dash_on_px = {[SIDE_RIGHT] = 16.0, [SIDE_PUMP] = 7.0, [SIDE_GAS] = 2.0},
                             .dash_off_px = {[SIDE_RIGHT] = 8.0, [SIDE_PUMP] = 6.0, [SIDE_GAS] = 6.0}},
};

const Theme *ui_theme_of(ThemeKind kind) {
    return &THEMES[(unsigned)kind < THEME_COUNT ? kind : THEME_DARK];
}

const Theme *ui_theme_dark(void) {
    return &THEMES[THEME_DARK];
}

Colour ui_theme_alarm(const Theme *theme, int priority) {
    return priority >= 3 ? theme->alarm_high : priority == 2 ? theme->alarm_medium : theme->alarm_low;
}

static int rank(int priority) {
    return priority >= 3 ? 2 : priority == 2 ? 1 : 0;
}

Colour ui_theme_alarm_ink(const Theme *theme, int priority) {
    return theme->alarm_ink[rank(priority)];
}

Colour ui_theme_alarm_text(const Theme *theme, int priority) {
    return theme->alarm_text[rank(priority)];
}

const char *ui_theme_letter(Side side) {
    static const char *const LETTERS[SIDE_COUNT] = {"L", "R", "P", "G", "E", "T"};
    return LETTERS[side];
}

const char *ui_theme_side_name(Side side) {
    static const char *const NAMES[SIDE_COUNT] = {"left / systemic", "right / pulmonary", "pump", "gas",
                                                  "electrical",      "tissue, labs"};
    return NAMES[side];
}
