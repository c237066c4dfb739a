/* Compares a canvas with an image kept in tests/golden/images. Set EVENKEEL_UPDATE_GOLDEN=1 to write the
   images anew; set EVENKEEL_GOLDEN_OUT to a folder to get what was drawn where it differs. */
#ifndef TESTS_SUPPORT_GOLDEN_IMAGE_H
#define TESTS_SUPPORT_GOLDEN_IMAGE_H

#include "ui/raster.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>

/* Largest part of the pixels that may differ, and what counts as different, of 255 in any channel: room for
   another version of the drawing libraries, not for another picture. */
static const double GOLDEN_SHARE = 0.001;
enum { GOLDEN_STEP = 16 };

static int golden_channel_step(uint32_t a, uint32_t b) {
    int most = 0;
    for (int shift = 0; shift < 24; shift += 8) {
        int d = abs((int)(a >> shift & 255u) - (int)(b >> shift & 255u));
        if (d > most) most = d;
    }
    return most;
}

/* Fails the running test if the canvas differs from tests/golden/images/`name`.png. */
static inline void golden_image_check(Canvas *canvas, const char *name) {
    char path[512], text[600];
    Error error;
    snprintf(path, sizeof path, EVENKEEL_SOURCE_DIR "/tests/golden/images/%s.png", name);
    const char *update = getenv("EVENKEEL_UPDATE_GOLDEN");
    if (update != NULL && update[0] == '1') {
        ck_assert_int_eq(ui_raster_write_png(canvas, path, &error), ERROR_OK);
        return;
    }
    int width = 0, height = 0;
    uint32_t *wanted = ui_raster_read_png(path, &width, &height, &error);
    ck_assert_msg(wanted != NULL, "no image %s", path);
    ck_assert_int_eq(width, ui_raster_width(canvas));
    ck_assert_int_eq(height, ui_raster_height(canvas));
    const uint32_t *drawn = ui_raster_pixels(canvas);
    int stride = ui_raster_stride(canvas);
    long differ = 0;
    for (int y = 0; y < height; y++) {
        for (int x = 0; x < width; x++)
            differ +=
                golden_channel_step(wanted[(long)y * width + x], drawn[(long)y * stride + x]) > GOLDEN_STEP;
    }
    free(wanted);
    double share = (double)differ / ((double)width * height);
    const char *out = getenv("EVENKEEL_GOLDEN_OUT");
    if (share > GOLDEN_SHARE && out != NULL) {
        snprintf(text, sizeof text, "%s/%s.png", out, name);
        if (ui_raster_write_png(canvas, text, &error) != ERROR_OK) fprintf(stderr, "cannot write %s\n", text);
    }
    ck_assert_msg(share <= GOLDEN_SHARE, "%s: %ld of %ld pixels differ (%.3f %%)", name, differ,
                  (long)width * height, 100.0 * share);
}

#endif
