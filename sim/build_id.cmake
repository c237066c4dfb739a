# Writes build_id.c with the build's name: the version and a hash over the sources of model/ and sim/, the compiler
# and its flags, which together decide every bit of a night. Run by the build with SOURCE_DIR, OUTPUT, VERSION and TOOLS set.
file(GLOB inputs ${SOURCE_DIR}/model/*.[ch] ${SOURCE_DIR}/model/*.def ${SOURCE_DIR}/sim/*.[ch] ${SOURCE_DIR}/sim/*.def)
list(SORT inputs)
set(all "${TOOLS}")
foreach(input ${inputs})
  file(SHA256 ${input} hash)
  string(APPEND all " ${hash}")
endforeach()
string(SHA256 build "${all}")
string(SUBSTRING ${build} 0 16 build)
file(WRITE ${OUTPUT} "/* Written by the build. */
#include \"sim/build_id.h\"

const char *sim_build_id(void) {
    return \"${VERSION}+${build}\";
}

const char *sim_build_version(void) {
    return \"${VERSION}\";
}
")
