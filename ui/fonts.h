/* Where the fonts are: Inter for words, B612 for digits, DejaVu Sans in place of either. */
#ifndef UI_FONTS_H
#define UI_FONTS_H

#include "model/error.h"
#include "ui/draw.h"

enum { FONTS_PATH_MAX = 1024 };

typedef struct FontSet {
    char path[FACE_COUNT][FONTS_PATH_MAX];
    int index[FACE_COUNT]; /* face within the file */
    bool fallback;         /* at least one face is not the wanted family */
} FontSet;

/* Asks fontconfig for each face. Returns ERROR_FONT if there is no usable font at all. */
ErrorCode ui_fonts_find(FontSet *fonts, Error *error) MODEL_CHECKED;

#endif
