/* The program with its window. */
#include "sim/cli.h"
#include "ui/app.h"
#include "ui/app_bench.h"
#include "ui/app_describe.h"
#include "ui/debrief.h"

int main(int argc, char **argv) {
    const WindowHook window = {.open = ui_app_run, .describe = ui_app_describe, .bench = ui_app_bench, .heart = ui_debrief_heart_svg};
    return sim_cli_main(argc, argv, &window);
}
