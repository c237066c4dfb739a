/* What the slow organs (drugs, reflex, blood, gases) do to the circulation during the next beat. */
#ifndef MODEL_EFFECTS_H
#define MODEL_EFFECTS_H

/* Multipliers are 1 and offsets 0 for no effect; each slow organ multiplies or adds its own part. */
typedef struct Effects {
    double lv_ees_x, rv_ees_x, atrial_ees_x; /* contractility */
    double relaxation_x;                     /* relaxation time constant, < 1 is faster */
    double hr_x;                             /* sinus rate before reflex */
    double svr_x;                            /* both systemic beds */
    double pvr_x;                            /* pulmonary resistance */
    double unstressed_ml;                    /* systemic venous unstressed volume, + is venodilation */
    double viscosity_x;                      /* resistance factor of blood viscosity, 1 at Hct 0.42 */
    /* set by the reflex (deviation form, see reflex.h) */
    double reflex_svr_x, reflex_ees_x;
    double reflex_splanchnic_ml, reflex_other_ml; /* change of unstressed volume, mL */
    double reflex_period_s;                  /* change of the heart period, s */
} Effects;

/* No effect at all. */
Effects model_effects_none(void);

#endif
