#!/usr/bin/env bash
# The what-if in the background under the thread sanitizer: model, bed and that one test are built with
# -fsanitize=thread in a folder of their own, and the test must run without a report.
#   whatif_job.sh FOLDER         where to build
set -euo pipefail
folder=$1
mkdir -p "$folder"
if ! echo 'int main(void) { return 0; }' | cc -fsanitize=thread -x c - -o "$folder/try" 2> /dev/null || ! "$folder/try"; then
    echo "whatif_job: no thread sanitizer here"
    exit 77
fi
cmake -S . -B "$folder" -G Ninja -DCMAKE_BUILD_TYPE=RelWithDebInfo -DEVENKEEL_UI=OFF \
    -DCMAKE_C_FLAGS='-fsanitize=thread' -DCMAKE_EXE_LINKER_FLAGS='-fsanitize=thread' \
    -DCMAKE_C_FLAGS_RELWITHDEBINFO='-O1 -g' > "$folder/configure.log" || { cat "$folder/configure.log"; exit 1; }
cmake --build "$folder" --target test_whatif_job > "$folder/build.log" || { tail -n 40 "$folder/build.log"; exit 1; }
CK_FORK=no TSAN_OPTIONS='halt_on_error=1 exitcode=66' "$folder/tests/test_whatif_job"
