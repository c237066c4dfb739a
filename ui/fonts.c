/* Finds the font files through fontconfig; the only file that knows it. */
#include "ui/fonts.h"

#include <fontconfig/fontconfig.h>

#include <stdio.h>
#include <string.h>

typedef struct Wanted {
    const char *family;
    int weight;
} Wanted;

static const Wanted WANTED[FACE_COUNT] = {
    [FACE_WORDS] = {"Inter", FC_WEIGHT_REGULAR},
    [FACE_WORDS_STRONG] = {"Inter", FC_WEIGHT_DEMIBOLD},
    [FACE_DIGITS] = {"B612", FC_WEIGHT_REGULAR},
    [FACE_DIGITS_STRONG] = {"B612", FC_WEIGHT_BOLD},
};

static const char FALLBACK_FAMILY[] = "DejaVu Sans";

/* The file of a family at a weight; false if fontconfig only has another family. */
static bool match(const char *family, int weight, char *path, int *index) {
    FcPattern *pattern = FcPatternBuild(NULL, FC_FAMILY, FcTypeString, (const FcChar8 *)family, FC_WEIGHT,
                                        FcTypeInteger, weight, FC_SLANT, FcTypeInteger, FC_SLANT_ROMAN,
                                        FC_SCALABLE, FcTypeBool, FcTrue, (char *)NULL);
    if (pattern == NULL) return false;
    FcConfigSubstitute(NULL, pattern, FcMatchPattern);
    FcDefaultSubstitute(pattern);
    FcResult result = FcResultNoMatch;
    FcPattern *found = FcFontMatch(NULL, pattern, &result);
    FcPatternDestroy(pattern);
    if (found == NULL) return false;
    FcChar8 *file = NULL, *name = NULL;
    bool good = FcPatternGetString(found, FC_FILE, 0, &file) == FcResultMatch &&
                FcPatternGetString(found, FC_FAMILY, 0, &name) == FcResultMatch &&
                strcmp((const char *)name, family) == 0 && strlen((const char *)file) < FONTS_PATH_MAX;
    if (good) {
        snprintf(path, FONTS_PATH_MAX, "%s", (const char *)file);
        if (FcPatternGetInteger(found, FC_INDEX, 0, index) != FcResultMatch) *index = 0;
    }
    FcPatternDestroy(found);
    return good;
}

static ErrorCode find_all(FontSet *fonts, Error *error) {
    for (int face = 0; face < FACE_COUNT; face++) {
        const Wanted *wanted = &WANTED[face];
        if (match(wanted->family, wanted->weight, fonts->path[face], &fonts->index[face])) continue;
        fonts->fallback = true;
        if (match(FALLBACK_FAMILY, wanted->weight, fonts->path[face], &fonts->index[face])) continue;
        ErrorCode code =
            model_error_set(error, ERROR_FONT, "no font for the screens: neither %s nor %s is installed",
                            wanted->family, FALLBACK_FAMILY);
        model_error_allow(error, "install fonts-inter and fonts-b612, or fonts-dejavu-core");
        return code;
    }
    return ERROR_OK;
}

ErrorCode ui_fonts_find(FontSet *fonts, Error *error) {
    memset(fonts, 0, sizeof *fonts);
    if (!FcInit()) return model_error_set(error, ERROR_FONT, "fontconfig does not start");
    ErrorCode code = find_all(fonts, error);
    FcFini(); /* nobody else in the program uses it */
    return code;
}
