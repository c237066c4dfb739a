/* The variables of the circulation's differential equations. */
#ifndef MODEL_VARIABLES_H
#define MODEL_VARIABLES_H

/* V(name, text, absolute tolerance): first the blood volumes (mL), then the septum (mL), flows (mL/s),
   valve openings and inlet occlusions (0..1), lung volume above rest (mL). */
#define VARIABLES(V)                                                                                         \
    V(LV_ML, "left ventricular volume", 0.015)                                                               \
    V(RV_ML, "right ventricular volume", 0.015)                                                              \
    V(LA_ML, "left atrial volume", 0.015)                                                                    \
    V(RA_ML, "right atrial volume", 0.015)                                                                   \
    V(AORTA_ML, "aortic volume", 0.015)                                                                      \
    V(ARTERY_ML, "systemic arterial volume", 0.015)                                                          \
    V(SPLANCHNIC_ML, "splanchnic venous volume", 0.015)                                                      \
    V(OTHER_ML, "other systemic venous volume", 0.015)                                                       \
    V(CAVA_ML, "vena cava volume", 0.015)                                                                    \
    V(PA_ML, "pulmonary artery volume", 0.015)                                                               \
    V(LUNG_ARTERY_ML, "small pulmonary artery volume", 0.015)                                                \
    V(PULMONARY_VEIN_ML, "pulmonary venous volume", 0.015)                                                   \
    V(SEPTUM_ML, "septal volume", 0.015)                                                                     \
    V(AORTA_ML_S, "aortic flow", 0.075)                                                                      \
    V(PA_ML_S, "pulmonary artery flow", 0.075)                                                               \
    V(CAVA_ML_S, "caval flow", 0.075)                                                                        \
    V(MITRAL_ML_S, "mitral flow", 0.075)                                                                     \
    V(AORTIC_ML_S, "aortic valve flow", 0.075)                                                               \
    V(TRICUSPID_ML_S, "tricuspid flow", 0.075)                                                               \
    V(PULMONARY_ML_S, "pulmonary valve flow", 0.075)                                                         \
    V(LEFT_PUMP_ML_S, "left pump flow", 0.075)                                                               \
    V(RIGHT_PUMP_ML_S, "right pump flow", 0.075)                                                             \
    V(MITRAL_OPEN, "mitral opening", 0.0015)                                                                 \
    V(AORTIC_OPEN, "aortic valve opening", 0.0015)                                                           \
    V(TRICUSPID_OPEN, "tricuspid opening", 0.0015)                                                           \
    V(PULMONARY_OPEN, "pulmonary valve opening", 0.0015)                                                     \
    V(LEFT_OCCLUSION, "left inlet occlusion", 0.0015)                                                        \
    V(RIGHT_OCCLUSION, "right inlet occlusion", 0.0015)                                                      \
    V(LUNG_ML, "lung volume above rest", 0.75)

typedef enum Variable {
#define V(name, text, tolerance) VARIABLE_##name,
    VARIABLES(V)
#undef V
        VARIABLE_COUNT
} Variable;

enum { VARIABLE_BLOOD_COUNT = VARIABLE_SEPTUM_ML }; /* the first ones hold all blood */

typedef enum ValveId { VALVE_MITRAL, VALVE_AORTIC, VALVE_TRICUSPID, VALVE_PULMONARY, VALVE_COUNT } ValveId;

#endif
