/* The program with its window. */
#include "sim/cli.h"
#include "ui/app.h"

int main(int argc, char **argv) {
    const WindowHook window = {.open = ui_app_run};
    return sim_cli_main(argc, argv, &window);
}
