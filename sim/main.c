/* The program without a window: everything but the screens. */
#include "sim/cli.h"

int main(int argc, char **argv) {
    return sim_cli_main(argc, argv, NULL);
}
