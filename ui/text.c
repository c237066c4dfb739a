/* Text through SDL_ttf; the only file that knows it. Whole runs are rendered once and kept as 8-bit coverage,
   so that kerning is right and a steady screen costs only blending. */
#include "ui/text.h"

#include <SDL2/SDL_ttf.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum {
    SIZES_MAX = 96,     /* open (face, size) pairs */
    RUNS = 2048,        /* cached runs; a power of two */
    PROBES = 8,         /* places a run may be in */
    RUN_TEXT_MAX = 320, /* bytes of a run that is cached */
    SIZE_SMALLEST = 6,
    SIZE_LARGEST = 400
};

typedef struct FontFile {
    unsigned char *bytes;
    size_t size;
} FontFile;

typedef struct Size {
    FontFace face;
    int size_px;
    TTF_Font *font;
} Size;

typedef struct Run {
    uint64_t hash;
    char *utf8;
    FontFace face;
    int size_px, width, height, ascent;
    uint8_t *coverage; /* width * height */
    uint64_t used;     /* clock of the last use */
} Run;

struct Text {
    FontFile file[FACE_COUNT];
    int index[FACE_COUNT];
    Size size[SIZES_MAX];
    int sizes;
    Run run[RUNS];
    uint64_t clock;
};

static ErrorCode read_file(const char *path, FontFile *file, Error *error) {
    SDL_RWops *rw = SDL_RWFromFile(path, "rb");
    Sint64 size = rw == NULL ? -1 : SDL_RWsize(rw);
    if (size > 0) file->bytes = malloc((size_t)size);
    bool good = file->bytes != NULL && SDL_RWread(rw, file->bytes, (size_t)size, 1) == 1;
    if (rw != NULL) SDL_RWclose(rw);
    if (!good) {
        ErrorCode code = model_error_set(error, ERROR_FONT, "cannot read the font file");
        model_error_at(error, path, 0, 0);
        return code;
    }
    file->size = (size_t)size;
    return ERROR_OK;
}

Text *ui_text_create(const FontSet *fonts, Error *error) {
    if (TTF_Init() != 0) {
        (void)model_error_set(error, ERROR_FONT, "the font library does not start: %s", TTF_GetError());
        return NULL;
    }
    Text *text = calloc(1, sizeof *text);
    if (text == NULL) {
        (void)model_error_set(error, ERROR_MEMORY, "no memory for fonts");
        TTF_Quit();
        return NULL;
    }
    for (int face = 0; face < FACE_COUNT; face++) {
        text->index[face] = fonts->index[face];
        if (read_file(fonts->path[face], &text->file[face], error) != ERROR_OK) {
            ui_text_destroy(text);
            return NULL;
        }
    }
    return text;
}

void ui_text_destroy(Text *text) {
    if (text == NULL) return;
    for (int i = 0; i < text->sizes; i++)
        TTF_CloseFont(text->size[i].font);
    for (int i = 0; i < RUNS; i++) {
        free(text->run[i].utf8);
        free(text->run[i].coverage);
    }
    for (int face = 0; face < FACE_COUNT; face++)
        free(text->file[face].bytes);
    free(text);
    TTF_Quit();
}

/* The open font of a face at a size, or NULL if it cannot be opened. */
static TTF_Font *font_at(Text *text, FontFace face, int size_px) {
    for (int i = 0; i < text->sizes; i++) {
        if (text->size[i].face == face && text->size[i].size_px == size_px) return text->size[i].font;
    }
    if (text->sizes == SIZES_MAX) { /* the scale was changed often: start again */
        for (int i = 0; i < text->sizes; i++)
            TTF_CloseFont(text->size[i].font);
        text->sizes = 0;
    }
    SDL_RWops *rw = SDL_RWFromConstMem(text->file[face].bytes, (int)text->file[face].size);
    TTF_Font *font = rw == NULL ? NULL : TTF_OpenFontIndexRW(rw, 1, size_px, text->index[face]);
    if (font == NULL) return NULL;
    TTF_SetFontHinting(font, TTF_HINTING_LIGHT_SUBPIXEL);
    TTF_SetFontKerning(font, 1);
    text->size[text->sizes++] = (Size){face, size_px, font};
    return font;
}

static uint64_t hash_run(FontFace face, int size_px, const char *utf8) {
    uint64_t hash = 0xcbf29ce484222325u ^ ((uint64_t)face << 32) ^ (uint64_t)size_px; /* FNV-1a 64 */
    for (const unsigned char *c = (const unsigned char *)utf8; *c != '\0'; c++)
        hash = (hash ^ *c) * 0x100000001b3u;
    return hash;
}

/* Renders a run into a free or the least recently used of its places. NULL without a font or memory. */
static Run *render(Text *text, Run *run, uint64_t hash, FontFace face, int size_px, const char *utf8) {
    TTF_Font *font = font_at(text, face, size_px);
    if (font == NULL) return NULL;
    SDL_Surface *surface = TTF_RenderUTF8_Blended(font, utf8, (SDL_Color){255, 255, 255, 255});
    if (surface == NULL) return NULL;
    size_t bytes = (size_t)surface->w * (size_t)surface->h, length = strlen(utf8) + 1;
    char *copy = malloc(length);
    uint8_t *coverage = malloc(bytes);
    if (copy == NULL || coverage == NULL) {
        free(copy);
        free(coverage);
        SDL_FreeSurface(surface);
        return NULL;
    }
    memcpy(copy, utf8, length);
    for (int y = 0; y < surface->h; y++) {
        const unsigned char *row =
            (const unsigned char *)surface->pixels + (size_t)y * (size_t)surface->pitch;
        for (int x = 0; x < surface->w; x++) {
            Uint32 pixel;
            memcpy(&pixel, row + 4 * (size_t)x, sizeof pixel);
            coverage[(size_t)y * (size_t)surface->w + (size_t)x] = (uint8_t)(pixel >> 24);
        }
    }
    free(run->utf8);
    free(run->coverage);
    *run =
        (Run){hash, copy, face, size_px, surface->w, surface->h, TTF_FontAscent(font), coverage, text->clock};
    SDL_FreeSurface(surface);
    return run;
}

static Run *find_run(Text *text, FontFace face, int size_px, const char *utf8) {
    if (utf8[0] == '\0' || strlen(utf8) >= RUN_TEXT_MAX) return NULL;
    size_px = size_px < SIZE_SMALLEST ? SIZE_SMALLEST : size_px > SIZE_LARGEST ? SIZE_LARGEST : size_px;
    uint64_t hash = hash_run(face, size_px, utf8);
    Run *oldest = NULL;
    text->clock++;
    for (unsigned i = 0; i < PROBES; i++) {
        Run *run = &text->run[(hash + i) % RUNS];
        if (run->utf8 != NULL && run->hash == hash && run->face == face && run->size_px == size_px &&
            strcmp(run->utf8, utf8) == 0) {
            run->used = text->clock;
            return run;
        }
        if (oldest == NULL || run->used < oldest->used) oldest = run;
    }
    return render(text, oldest, hash, face, size_px, utf8);
}

int ui_text_width(Text *text, FontFace face, int size_px, const char *utf8) {
    const Run *run = find_run(text, face, size_px, utf8);
    return run == NULL ? 0 : run->width;
}

/* One channel of `colour` over `under` by coverage 0..255. */
static uint32_t blend(uint32_t under, uint32_t colour, uint32_t coverage, int shift) {
    uint32_t u = (under >> shift) & 0xff, c = (colour >> shift) & 0xff;
    uint32_t sum = u * (255 - coverage) + c * coverage + 127;
    return (sum / 255) << shift;
}

void ui_text_draw(Text *text, const TextTarget *target, FontFace face, int size_px, TextAlign align,
                  Colour colour, double x, double y, const char *utf8) {
    const Run *run = find_run(text, face, size_px, utf8);
    if (run == NULL) return;
    double shift = align == ALIGN_LEFT ? 0.0 : align == ALIGN_CENTRE ? run->width / 2.0 : run->width;
    int left = (int)lround(x - shift), top = (int)lround(y) - run->ascent;
    int x0 = left > target->left ? left : target->left, y0 = top > target->top ? top : target->top;
    int x1 = left + run->width < target->right ? left + run->width : target->right;
    int y1 = top + run->height < target->bottom ? top + run->height : target->bottom;
    uint32_t rgb = (uint32_t)colour.r << 16 | (uint32_t)colour.g << 8 | colour.b;
    for (int py = y0; py < y1; py++) {
        const uint8_t *coverage = run->coverage + (size_t)(py - top) * (size_t)run->width;
        uint32_t *row = target->pixels + (size_t)py * (size_t)target->stride_px;
        for (int px = x0; px < x1; px++) {
            uint32_t c = coverage[px - left];
            if (c == 0) continue;
            c = colour.a == 255 ? c : (c * colour.a + 127) / 255;
            uint32_t under = row[px];
            row[px] = c == 255 ? (0xff000000u | rgb)
                               : 0xff000000u | blend(under, rgb, c, 16) | blend(under, rgb, c, 8) |
                                     blend(under, rgb, c, 0);
        }
    }
}
