/* Unit conversions. Inside the program everything is mmHg, mL, s; screens and files convert with these. */
#ifndef MODEL_UNITS_H
#define MODEL_UNITS_H

#define UNITS_DYN_CM2_PER_MMHG 1333.22387415 /* dyn/cm2 in 1 mmHg (exact to the digits shown, 133.322387415 Pa) */
#define UNITS_MMHG_PER_CMH2O 0.735559        /* mmHg in 1 cmH2O (conventional, 4 degC) */
#define UNITS_KPA_PER_MMHG 0.133322387415    /* kPa in 1 mmHg */
#define UNITS_ML_S_PER_L_MIN (1000.0 / 60.0) /* mL/s in 1 L/min */
#define UNITS_WU_PER_MMHG_S_ML (1000.0 / 60.0) /* Wood units (mmHg min/L) in 1 mmHg s/mL */
#define UNITS_S_PER_MIN 60.0
#define UNITS_S_PER_H 3600.0

#endif
