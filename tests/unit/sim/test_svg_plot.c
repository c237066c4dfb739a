/* SVG plots: round scales, gaps, escaped text, well-formed output. */
#include "sim/svg_plot.h"
#include "tests/support/check_main.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

/* The plot as text; static so that the caller need not free it. */
static const char *render(const SvgPlot *plot) {
    static char text[200000];
    FILE *file = tmpfile();
    ck_assert_ptr_nonnull(file);
    sim_svg_plot_write(plot, file);
    rewind(file);
    size_t length = fread(text, 1, sizeof text - 1, file);
    text[length] = '\0';
    fclose(file);
    return text;
}

static int count(const char *text, const char *what) {
    int found = 0;
    for (const char *at = strstr(text, what); at != NULL; at = strstr(at + 1, what))
        found++;
    return found;
}

/* Every element closed in order: a small checker for the subset that the writer uses. */
static bool is_well_formed(const char *text) {
    char stack[32][32];
    int depth = 0;
    for (const char *c = text; (c = strchr(c, '<')) != NULL; c++) {
        if (c[1] == '?') continue;
        const char *end = strchr(c, '>');
        if (end == NULL || depth >= 31) return false;
        char name[32] = "";
        sscanf(c + (c[1] == '/' ? 2 : 1), "%31[a-z]", name);
        if (c[1] == '/') {
            if (depth == 0 || strcmp(stack[--depth], name) != 0) return false;
        } else if (end[-1] != '/') {
            strcpy(stack[depth++], name);
        }
    }
    return depth == 0;
}

START_TEST(svg_plot_scale_covers_range_in_round_steps) {
    SvgScale scale = sim_svg_plot_scale(8600.0, 10400.0, 4);
    ck_assert_double_eq_tol(scale.step, 500.0, 1e-9);
    ck_assert_double_eq_tol(scale.low, 8500.0, 1e-9);
    ck_assert_double_eq_tol(scale.high, 10500.0, 1e-9);
    ck_assert_int_eq(scale.decimals, 0);

    scale = sim_svg_plot_scale(0.12, 0.48, 4);
    ck_assert_double_eq_tol(scale.step, 0.1, 1e-12);
    ck_assert_int_eq(scale.decimals, 1);
    ck_assert_double_eq_tol(scale.low, 0.1, 1e-9);
    ck_assert_double_eq_tol(scale.high, 0.5, 1e-9);
}
END_TEST

START_TEST(svg_plot_scale_without_width_is_widened) {
    SvgScale scale = sim_svg_plot_scale(3.0, 3.0, 5);
    ck_assert(scale.low < 3.0 && scale.high > 3.0);
    scale = sim_svg_plot_scale(0.0, 0.0, 5);
    ck_assert(scale.low > -1e-9 && scale.low < 1e-9 && scale.high >= 1.0);
    ck_assert(scale.step > 0.0);
}
END_TEST

START_TEST(svg_plot_scale_many_ranges_always_cover) {
    for (int i = 1; i < 400; i++) {
        double low = -50.0 + 0.37 * i, high = low + 0.003 * i * i;
        SvgScale scale = sim_svg_plot_scale(low, high, 5);
        ck_assert(scale.low <= low + 1e-6 && scale.high >= high - 1e-6);
        double steps = (scale.high - scale.low) / scale.step;
        ck_assert_double_eq_tol(steps, nearbyint(steps), 1e-6);
        ck_assert(steps <= 12.0);
    }
}
END_TEST

START_TEST(svg_plot_write_is_well_formed_and_escaped) {
    const double x[] = {1, 2, 3, 4}, y[] = {4, 5, 6, 7};
    SvgPlot plot = {.title = "a < b & \"c\"",
                    .subtitle = "s",
                    .x_title = "speed",
                    .footer = "education only",
                    .mark_text = "suction",
                    .mark_x = 3.0,
                    .panel_count = 1,
                    .columns = 2};
    plot.panels[0] = (SvgPanel){.title = "flow",
                                .series = {{.name = "L", .x = x, .y = y, .count = 4, .style = SVG_PUMP}},
                                .series_count = 1};
    const char *text = render(&plot);
    ck_assert(is_well_formed(text));
    ck_assert_ptr_nonnull(strstr(text, "a &lt; b &amp; &quot;c&quot;"));
    ck_assert_ptr_nonnull(strstr(text, "suction"));
    ck_assert_ptr_null(strstr(text, "nan"));
}
END_TEST

START_TEST(svg_plot_write_missing_value_makes_a_gap) {
    const double x[] = {1, 2, 3, 4, 5}, y[] = {4, 5, NAN, 7, 8};
    SvgPlot plot = {.title = "t", .subtitle = "s", .x_title = "x", .panel_count = 1, .columns = 1};
    plot.panels[0] = (SvgPanel){.title = "p",
                                .series = {{.name = "n", .x = x, .y = y, .count = 5, .style = SVG_LEFT}},
                                .series_count = 1};
    const char *text = render(&plot);
    const char *curve = strstr(text, "class=\"curve\"");
    ck_assert_ptr_nonnull(curve);
    char path[400] = "";
    sscanf(strstr(curve, " d=\"") + 4, "%399[^\"]", path);
    ck_assert_int_eq(count(path, "M"), 2);
    ck_assert_int_eq(count(path, "L"), 2);
    ck_assert_int_eq(count(text, "<path fill="), 4);
}
END_TEST

START_TEST(svg_plot_write_without_data_says_so) {
    const double x[] = {1}, y[] = {NAN};
    SvgPlot plot = {.title = "t", .subtitle = "s", .x_title = "x", .panel_count = 1, .columns = 0};
    plot.panels[0] = (SvgPanel){.title = "p",
                                .series = {{.name = "n", .x = x, .y = y, .count = 1, .style = SVG_LEFT}},
                                .series_count = 1};
    const char *text = render(&plot);
    ck_assert(is_well_formed(text));
    ck_assert_ptr_nonnull(strstr(text, "no data"));
}
END_TEST

static Suite *suite(void) {
    Suite *s = suite_create("sim/svg_plot");
    TCase *c = tcase_create("svg_plot");
    tcase_add_test(c, svg_plot_scale_covers_range_in_round_steps);
    tcase_add_test(c, svg_plot_scale_without_width_is_widened);
    tcase_add_test(c, svg_plot_scale_many_ranges_always_cover);
    tcase_add_test(c, svg_plot_write_is_well_formed_and_escaped);
    tcase_add_test(c, svg_plot_write_missing_value_makes_a_gap);
    tcase_add_test(c, svg_plot_write_without_data_says_so);
    suite_add_tcase(s, c);
    return s;
}

CHECK_MAIN(suite)
