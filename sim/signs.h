/* What a monitor and a pump console recognise on their own waveforms: a flat line, fibrillation, wide fast
   beats, a pump flow that dips as when the inlet closes. Recognised from the shown traces, as devices do it;
   they can be wrong where the trace does not tell. */
#ifndef SIM_SIGNS_H
#define SIM_SIGNS_H

#include "sim/instruments.h"

#include <stdbool.h>

typedef enum SignId {
    SIGN_FIBRILLATION,
    SIGN_FLAT,
    SIGN_WIDE_FAST,
    SIGN_LEFT_NO_POWER,
    SIGN_LEFT_STOPPED,
    SIGN_RIGHT_STOPPED,
    SIGN_DIPS,
    SIGN_ART_NO_READING,
    SIGN_CVP_NO_READING,
    SIGN_PA_NO_READING,
    SIGN_SPO2_NO_READING,
    SIGN_COUNT
} SignId;

/* What the devices say of themselves. */
typedef struct SignsDevices {
    bool left_present, left_supplied; /* pump connected; its supply is there */
    bool right_present;
} SignsDevices;

/* Flat: copied by assignment. */
typedef struct SignsState {
    bool on[SIGN_COUNT];
    int wide_run; /* wide, fast, unpaced beats in a row */
    bool dips_started;
    double dip_share;      /* lowest over mean flow of a beat, averaged over some beats */
    double flow_l_min;     /* mean flow, averaged over the same beats */
    double usual_share;    /* the largest dip_share since the speed was last lowered */
    double usual_map_mmhg; /* shown MAP at that time */
    double usual_l_min;    /* mean flow at that time */
    double speed_rpm;      /* shown speed that goes with it */
    double settled_s;      /* s played since the start or since the speed was lowered */
} SignsState;

/* Nothing recognised yet. */
void sim_signs_start(SignsState *state);

/* Takes in the shown waveforms of one beat and the numbers on show after it. */
void sim_signs_advance(SignsState *state, const Trace *trace, const Display *display,
                       const SignsDevices *devices);

#endif
