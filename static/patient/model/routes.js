// Where a stop report sends the patient. The most urgent symptom decides.

export const SYMPTOMS_BY_ROUTE = Object.freeze({
  emergency: ["chest_pain", "breathless"],
  same_day: ["calf_pain", "calf_swelling", "dark_urine", "fever"],
  surgeon: ["wound_change", "pop", "leg_raise_lost"],
  clinic: ["skin_burn", "strong_pain", "faint", "numb", "other"],
});

export const SYMPTOMS = Object.freeze(Object.values(SYMPTOMS_BY_ROUTE).flat());

// Null while nothing is chosen.
export function routeOf(symptoms) {
  const found = Object.entries(SYMPTOMS_BY_ROUTE).find(([, codes]) =>
    codes.some((code) => symptoms.includes(code)));
  return found ? found[0] : null;
}

// Emergency and same-day symptoms concern the whole body, not one knee.
export function stopsEverything(symptoms) {
  return ["emergency", "same_day"].includes(routeOf(symptoms));
}
