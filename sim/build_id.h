/* Name of this build. Nights are repeatable bit for bit within one build, so a recorded night carries it. */
#ifndef SIM_BUILD_ID_H
#define SIM_BUILD_ID_H

/* Version and a hash of the sources, compiler and flags, for example "0.1.0+3f2a...". */
const char *sim_build_id(void);

/* Version alone. */
const char *sim_build_version(void);

#endif
