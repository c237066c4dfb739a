/* The dark theme and the letters of the sides. */
#include "ui/theme.h"

#define HEX(rgb)                                                                                             \
    { (uint8_t)((rgb) >> 16), (uint8_t)(((rgb) >> 8) & 0xff), (uint8_t)((rgb)&0xff), 255 }

static const Theme DARK = {
    .window = HEX(0x0D1217),
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
    .focus = HEX(0xEDF2F6),
    .band = HEX(0x5D7A94),
    .band_mark = HEX(0xB7C3CD),
    .selected = HEX(0x1E2A31),
};

const Theme *ui_theme_dark(void) {
    return &DARK;
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
