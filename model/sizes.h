/* Lengths an echo would measure, from volumes. */
#ifndef MODEL_SIZES_H
#define MODEL_SIZES_H

/* Septal shift in mm at septal volume `septum_ml` (either sign): height of a spherical cap on a base of 33 mm
   radius; positive toward the right ventricle, 0 flat. */
double model_sizes_septum_mm(double septum_ml);

/* The other way: septal volume in mL at a shift of `septum_mm`. */
double model_sizes_septum_ml(double septum_mm);

/* Shift in mm at which the left ventricle is round: that of a healthy end diastole. */
double model_sizes_septum_usual_mm(void);

/* Left ventricular short-axis diameter in mm: ellipsoid that rounds as it dilates, moved with the septum. */
double model_sizes_lv_mm(double lv_ml, double septum_ml);

/* Right ventricular basal diameter in mm; 39 mm at 145 mL. */
double model_sizes_rv_mm(double rv_ml);

/* Body surface in m2 (Mosteller, N Engl J Med 1987;317:1098). */
double model_sizes_body_m2(double weight_kg, double height_cm);

#endif
