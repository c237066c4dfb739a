/* Bedside formulas that are arithmetic on measured values. Each returns NAN where a divisor is not positive.
 */
#ifndef MODEL_FORMULAS_H
#define MODEL_FORMULAS_H

#include <stdbool.h>

/* Blood volume, mL, from height (cm) and weight (kg). Nadler, Hidalgo and Bloch, Surgery 1962;51:224. */
double model_formulas_nadler_ml(double height_cm, double weight_kg, bool female);

/* Body surface area, m2, from height (cm) and weight (kg). Mosteller, N Engl J Med 1987;317:1098. */
double model_formulas_surface_m2(double height_cm, double weight_kg);

/* Vascular resistance, Wood units: (inflow - outflow pressure, mmHg) / flow (L/min). Systemic: MAP and CVP;
   pulmonary: mean PA and wedge. Times 80 it is dyn s/cm5. */
double model_formulas_resistance_wu(double inflow_mmhg, double outflow_mmhg, double flow_l_min);

/* Pulmonary artery pulsatility index: (PA systolic - diastolic) / CVP, all mmHg. Morine, J Card Fail 2016. */
double model_formulas_papi(double pa_systolic_mmhg, double pa_diastolic_mmhg, double cvp_mmhg);

/* Cardiac power output, W: MAP (mmHg) x flow (L/min) / 451. Fincke, J Am Coll Cardiol 2004;44:340. */
double model_formulas_power_w(double map_mmhg, double flow_l_min);

/* Right ventricular stroke work index, g m/m2: (mean PA - RA, mmHg) x stroke volume index (mL/m2) x 0.0136.
 */
double model_formulas_rvswi(double pa_mean_mmhg, double ra_mmhg, double stroke_index_ml_m2);

/* Mixed venous saturation, fraction, by the principle of Fick without dissolved oxygen: flow L/min,
   haemoglobin g/dL, consumption mL/min, arterial saturation fraction. */
double model_formulas_fick_svo2(double sao2_frac, double vo2_ml_min, double flow_l_min, double hb_g_dl);

/* Chance (0..1) that one biphasic shock of energy_j (J, > 0) ends ventricular fibrillation; `internal` for
   paddles on the heart. Internal: half at 5 J, nine in ten above 10 J (Anesthesiology 2003;98:1063: mean
   threshold 6.8 J, half by 5 J); external: first shock of 150-200 J 85-95 % (from memory). The curve is a
   fit. */
double model_formulas_shock_success(double energy_j, bool internal);

/* Chance (0..1) that one synchronised biphasic shock of energy_j (J, > 0) ends atrial fibrillation. External: 68 %
   at 70 J for the first shock and 94 % after up to four of at most 200 J (Mittal, Circulation 2000;101:1282, from
   memory; 94 % with 199 J in all in 1022 patients, Am Heart J). On the heart a tenth of the energy (from memory). */
double model_formulas_cardioversion_success(double energy_j, bool internal);

#endif
