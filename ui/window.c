/* Window, events, presenting. */
#include "ui/window.h"

#include <SDL2/SDL.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { LEAST_WIDTH = 640, LEAST_HEIGHT = 400, DIRTY_MAX = 96, FIRST_WIDTH = 1920, FIRST_HEIGHT = 1080 };

#define SCALE_STEP 0.125

struct Window {
    SDL_Window *sdl;
    SDL_Surface *surface; /* of the last frame; owned by SDL */
    bool down, fresh;     /* main button held; the surface needs all of its pixels */
    double x, y;          /* pointer in window units */
    Input gathered;       /* since it was taken last */
};

static bool named(const char *variable) {
    const char *value = SDL_getenv(variable);
    return value != NULL && value[0] != '\0';
}

/* Starts SDL's video on a display that is there. Left to itself SDL would fall back to a driver that shows
   nothing, and its search for others prints lines of its own. */
static bool start_video(void) {
    if (!named("SDL_VIDEODRIVER")) {
        if (!named("DISPLAY") && !named("WAYLAND_DISPLAY")) return false;
        SDL_SetHint(SDL_HINT_VIDEODRIVER, named("WAYLAND_DISPLAY") ? "wayland,x11" : "x11");
    }
    return SDL_InitSubSystem(SDL_INIT_VIDEO | SDL_INIT_EVENTS) == 0;
}

/* The display wanted, 0 first; one that is not there: the first. */
static int display_of(int display) {
    return display >= 0 && display < SDL_GetNumVideoDisplays() ? display : 0;
}

int ui_window_display(const Window *window) {
    int display = SDL_GetWindowDisplayIndex(window->sdl);
    return display < 0 ? 0 : display;
}

int ui_window_other_display(const Window *window) {
    int here = ui_window_display(window);
    if (SDL_GetNumVideoDisplays() < 2) return here;
    return here == 0 ? 1 : 0;
}

Window *ui_window_open(const char *title, int display, int width_px, int height_px, bool full_screen,
                       Error *error) {
    /* presenting through OpenGL in software is ten times slower than copying to the window */
    SDL_SetHint(SDL_HINT_FRAMEBUFFER_ACCELERATION, "0");
    SDL_SetHint(SDL_HINT_VIDEO_ALLOW_SCREENSAVER, "1");
    if (!start_video()) {
        (void)model_error_set(error, ERROR_DISPLAY, "no display to open a window on");
        model_error_allow(error, "a desktop session, or a command without a window: evenkeel run CASE");
        return NULL;
    }
    Window *window = calloc(1, sizeof *window);
    if (window == NULL) {
        (void)model_error_set(error, ERROR_MEMORY, "no memory for the window");
        return NULL;
    }
    SDL_Rect screen = {0, 0, FIRST_WIDTH, FIRST_HEIGHT};
    display = display_of(display);
    (void)SDL_GetDisplayUsableBounds(display, &screen);
    int w = width_px > 0 ? width_px : screen.w < FIRST_WIDTH ? screen.w : FIRST_WIDTH;
    int h = height_px > 0 ? height_px : screen.h < FIRST_HEIGHT ? screen.h : FIRST_HEIGHT;
    Uint32 flags = SDL_WINDOW_RESIZABLE | SDL_WINDOW_ALLOW_HIGHDPI;
    if (full_screen) flags |= SDL_WINDOW_FULLSCREEN_DESKTOP;
    window->sdl = SDL_CreateWindow(title, SDL_WINDOWPOS_CENTERED_DISPLAY(display),
                                   SDL_WINDOWPOS_CENTERED_DISPLAY(display), w, h, flags);
    if (window->sdl == NULL || SDL_GetWindowSurface(window->sdl) == NULL) {
        (void)model_error_set(error, ERROR_DISPLAY, "the window cannot be opened (%s)", SDL_GetError());
        ui_window_close(window);
        return NULL;
    }
    SDL_SetWindowMinimumSize(window->sdl, LEAST_WIDTH, LEAST_HEIGHT);
    SDL_StartTextInput();
    window->x = window->y = -1.0;
    return window;
}

void ui_window_close(Window *window) {
    if (window == NULL) return;
    if (window->sdl != NULL) SDL_DestroyWindow(window->sdl);
    free(window);
    SDL_QuitSubSystem(SDL_INIT_VIDEO | SDL_INIT_EVENTS);
}

void ui_window_size(const Window *window, int *width_px, int *height_px) {
    SDL_GetWindowSizeInPixels(window->sdl, width_px, height_px);
}

double ui_window_pixel_ratio(const Window *window) {
    int units = 0, pixels = 0, height = 0;
    SDL_GetWindowSize(window->sdl, &units, &height);
    SDL_GetWindowSizeInPixels(window->sdl, &pixels, &height);
    return units > 0 ? (double)pixels / units : 1.0;
}

double ui_window_scale_guess(const Window *window) {
    int w = 0, h = 0;
    ui_window_size(window, &w, &h);
    double ratio = ui_window_pixel_ratio(window);
    double guess = ratio > 1.01 ? ratio : fmin(h / (double)FIRST_HEIGHT, w / (double)FIRST_WIDTH);
    return fmin(fmax(floor(guess / SCALE_STEP) * SCALE_STEP, 1.0), 3.0);
}

static Key key_of(const SDL_Keysym *sym) {
    bool ctrl = (sym->mod & KMOD_CTRL) != 0;
    if (sym->sym >= SDLK_F1 && sym->sym <= SDLK_F12) return (Key)(KEY_F1 + (sym->sym - SDLK_F1));
    switch (sym->sym) {
    case SDLK_UP:
        return KEY_UP;
    case SDLK_DOWN:
        return KEY_DOWN;
    case SDLK_LEFT:
        return KEY_LEFT;
    case SDLK_RIGHT:
        return KEY_RIGHT;
    case SDLK_RETURN:
    case SDLK_KP_ENTER:
        return KEY_ENTER;
    case SDLK_ESCAPE:
        return KEY_ESCAPE;
    case SDLK_TAB:
        return KEY_TAB;
    case SDLK_BACKSPACE:
        return KEY_BACKSPACE;
    case SDLK_DELETE:
        return KEY_DELETE;
    case SDLK_HOME:
        return KEY_HOME;
    case SDLK_END:
        return KEY_END;
    case SDLK_PAGEUP:
        return KEY_PAGE_UP;
    case SDLK_PAGEDOWN:
        return KEY_PAGE_DOWN;
    case SDLK_PLUS:
    case SDLK_EQUALS:
    case SDLK_KP_PLUS:
        return ctrl ? KEY_ZOOM_IN : KEY_NONE;
    case SDLK_MINUS:
    case SDLK_KP_MINUS:
        return ctrl ? KEY_ZOOM_OUT : KEY_NONE;
    case SDLK_0:
    case SDLK_KP_0:
        return ctrl ? KEY_ZOOM_RESET : KEY_NONE;
    default:
        return KEY_NONE;
    }
}

static void add_key(Input *input, KeyPress press) {
    if (input->keys < INPUT_KEYS_MAX) input->key[input->keys++] = press;
}

/* The characters of a text event. */
static void add_text(Input *input, const char *utf8) {
    const unsigned char *p = (const unsigned char *)utf8;
    while (*p != 0) {
        uint32_t c = *p++;
        int more = c >= 0xF0 ? 3 : c >= 0xE0 ? 2 : c >= 0xC0 ? 1 : 0;
        c = more == 3 ? c & 0x07 : more == 2 ? c & 0x0F : more == 1 ? c & 0x1F : c;
        for (; more > 0 && *p != 0; more--)
            c = c << 6 | (*p++ & 0x3F);
        add_key(input, (KeyPress){KEY_CHARACTER, false, c});
    }
}

static void take_event(Window *window, const SDL_Event *event, Input *input) {
    switch (event->type) {
    case SDL_WINDOWEVENT:
        if (event->window.event == SDL_WINDOWEVENT_CLOSE) input->quit = true;
        if (event->window.event == SDL_WINDOWEVENT_SIZE_CHANGED) input->resized = true;
        if (event->window.event == SDL_WINDOWEVENT_EXPOSED) input->exposed = true;
        if (event->window.event == SDL_WINDOWEVENT_LEAVE) window->x = window->y = -1.0;
        break;
    case SDL_MOUSEMOTION:
        window->x = event->motion.x;
        window->y = event->motion.y;
        break;
    case SDL_MOUSEBUTTONDOWN:
    case SDL_MOUSEBUTTONUP:
        if (event->button.button != SDL_BUTTON_LEFT) break;
        window->x = event->button.x;
        window->y = event->button.y;
        window->down = event->type == SDL_MOUSEBUTTONDOWN;
        if (window->down)
            input->pressed = true;
        else
            input->released = true;
        break;
    case SDL_MOUSEWHEEL:
        input->wheel += event->wheel.y;
        break;
    case SDL_KEYDOWN: {
        Key key = key_of(&event->key.keysym);
        SDL_Keycode letter = event->key.keysym.sym;
        if (key != KEY_NONE)
            add_key(input, (KeyPress){key, (event->key.keysym.mod & KMOD_SHIFT) != 0, 0});
        else if ((event->key.keysym.mod & KMOD_LALT) != 0 && letter > SDLK_SPACE && letter < SDLK_DELETE)
            add_key(input, (KeyPress){KEY_ALT, (event->key.keysym.mod & KMOD_SHIFT) != 0, (uint32_t)letter});
        break;
    }
    case SDL_TEXTINPUT:
        if ((SDL_GetModState() & (KMOD_CTRL | KMOD_ALT)) == 0) add_text(input, event->text.text);
        break;
    default:
        break;
    }
}

/* The window an event is for; NULL: for the program as a whole. */
static Window *window_of(Window *const windows[], int count, const SDL_Event *event) {
    Uint32 id = 0;
    switch (event->type) {
    case SDL_WINDOWEVENT:
        id = event->window.windowID;
        break;
    case SDL_MOUSEMOTION:
        id = event->motion.windowID;
        break;
    case SDL_MOUSEBUTTONDOWN:
    case SDL_MOUSEBUTTONUP:
        id = event->button.windowID;
        break;
    case SDL_MOUSEWHEEL:
        id = event->wheel.windowID;
        break;
    case SDL_KEYDOWN:
        id = event->key.windowID;
        break;
    case SDL_TEXTINPUT:
        id = event->text.windowID;
        break;
    default:
        return NULL;
    }
    for (int i = 0; i < count; i++) {
        if (windows[i] != NULL && SDL_GetWindowID(windows[i]->sdl) == id) return windows[i];
    }
    return NULL;
}

/* Hands an event to its window; to be asked to end is for the first. True for the end of a click. */
static bool hand_out(Window *const windows[], int count, const SDL_Event *event) {
    Window *window = window_of(windows, count, event);
    if (window != NULL) take_event(window, event, &window->gathered);
    if (event->type == SDL_QUIT) windows[0]->gathered.quit = true;
    return window != NULL && window->gathered.released;
}

void ui_window_wait(Window *const windows[], int count, double wait_s) {
    SDL_Event event;
    bool clicked = false;
    int wait_ms = (int)floor(wait_s * 1000.0);
    if (wait_ms > 0 && SDL_WaitEventTimeout(&event, wait_ms) != 0) clicked = hand_out(windows, count, &event);
    /* a click ends the frame's input, so that two clicks never become one */
    while (!clicked && SDL_PollEvent(&event) != 0)
        clicked = hand_out(windows, count, &event);
}

void ui_window_input(Window *window, double scale, Input *input) {
    *input = window->gathered;
    memset(&window->gathered, 0, sizeof window->gathered);
    double ratio = ui_window_pixel_ratio(window) / scale;
    input->x_px = window->x < 0.0 ? -1.0 : window->x * ratio;
    input->y_px = window->y < 0.0 ? -1.0 : window->y * ratio;
    input->down = window->down;
}

/* A rectangle of design px in whole device pixels inside the window. */
static SDL_Rect device_rect(Rect r, double scale, int width, int height) {
    int x0 = (int)fmax(floor(r.x * scale), 0.0), y0 = (int)fmax(floor(r.y * scale), 0.0);
    int x1 = (int)fmin(ceil((r.x + r.w) * scale), width), y1 = (int)fmin(ceil((r.y + r.h) * scale), height);
    return (SDL_Rect){x0, y0, x1 > x0 ? x1 - x0 : 0, y1 > y0 ? y1 - y0 : 0};
}

/* The window's surface; a new one (after a resize, or when the display came back) needs all of its pixels. */
static SDL_Surface *surface_of(Window *window) {
    SDL_Surface *surface = SDL_GetWindowSurface(window->sdl);
    if (surface != window->surface) window->fresh = true;
    window->surface = surface;
    return surface;
}

void ui_window_present(Window *window, Canvas *canvas, const Rect *dirty, int count, bool all) {
    SDL_Surface *surface = surface_of(window);
    if (surface == NULL) return; /* no display now, or a window of no size: the next frame tries again */
    all = all || window->fresh || count > DIRTY_MAX;
    if (count == 0 && !all) return;
    int width = ui_raster_width(canvas), height = ui_raster_height(canvas);
    SDL_Surface *picture = SDL_CreateRGBSurfaceWithFormatFrom(
        ui_raster_pixels(canvas), width, height, 32, ui_raster_stride(canvas) * 4, SDL_PIXELFORMAT_RGB888);
    if (picture == NULL) {
        window->fresh = true;
        return;
    }
    bool shown = SDL_SetSurfaceBlendMode(picture, SDL_BLENDMODE_NONE) == 0;
    SDL_Rect rects[DIRTY_MAX];
    int n = 0, right = width < surface->w ? width : surface->w,
        bottom = height < surface->h ? height : surface->h;
    Rect whole = {0.0, 0.0, width / ui_raster_scale(canvas), height / ui_raster_scale(canvas)};
    if (all) {
        dirty = &whole;
        count = 1;
    }
    for (int i = 0; i < count; i++) {
        SDL_Rect r = device_rect(dirty[i], ui_raster_scale(canvas), right, bottom), to = r;
        if (r.w == 0 || r.h == 0) continue;
        shown = SDL_BlitSurface(picture, &r, surface, &to) == 0 && shown;
        rects[n++] = r;
    }
    SDL_FreeSurface(picture);
    if (n > 0) shown = SDL_UpdateWindowSurfaceRects(window->sdl, rects, n) == 0 && shown;
    window->fresh = !shown; /* what did not arrive is sent again, whole */
}

void ui_window_full_screen(Window *window, bool full) {
    /* a desktop that refuses leaves the window as it is, which the next size event tells */
    if (SDL_SetWindowFullscreen(window->sdl, full ? SDL_WINDOW_FULLSCREEN_DESKTOP : 0) != 0)
        window->fresh = true;
}

void ui_window_title(Window *window, const char *title) {
    SDL_SetWindowTitle(window->sdl, title);
}
