/** The few formulas behind the small pictures; SI units. */

const GRAVITY_M_S2 = 9.80665;

/** Speed at which a canopy meets the air when it comes late: fallen freely, no air drag. */
export function speedWhenLate(lateS: number): number {
  return GRAVITY_M_S2 * lateS;
}

/** Energy for each kilogram that a cord must take when all of that speed is stopped. */
export function energyPerKg(lateS: number): number {
  return speedWhenLate(lateS) ** 2 / 2;
}

/** Numbers of these pictures in the units that the page is read in. */
export const speedSaid = (m_s: number, us: boolean): string => (us ? `${(m_s / 0.3048).toFixed(0)} ft/s` : `${m_s.toFixed(0)} m/s`);
export const energySaid = (j_kg: number, us: boolean): string =>
  us ? `${(j_kg / (GRAVITY_M_S2 * 0.3048)).toFixed(0)} ft lbf for each pound` : `${j_kg.toFixed(0)} J for each kilogram`;
export const forceSaid = (newtons: number, us: boolean): string => (us ? `${(newtons / 4.44822).toFixed(0)} lbf` : `${newtons.toFixed(0)} N`);

/** Which way the wind turns it: 1 into the wind, -1 round, 0 where nobody can say. */
export function turnsTo(balanceM: number, bandM: readonly [number, number]): -1 | 0 | 1 {
  if (bandM[0] > balanceM) return 1;
  return bandM[1] < balanceM ? -1 : 0;
}

/** Share of a load that rods take beside a wall, by stiffness times area over the sum. */
export function rodShare(rodStiffnessN: number, wallStiffnessN: number): number {
  return rodStiffnessN / (rodStiffnessN + wallStiffnessN);
}

export type PinState = "opens alone" | "holds, then opens" | "stays shut";

/** What pins do: hold against drag and handling, and give way to the charge. */
export function pinState(pinsN: number, dragN: number, chargeN: number): PinState {
  if (pinsN <= dragN) return "opens alone";
  return pinsN < chargeN ? "holds, then opens" : "stays shut";
}

const MOST_PLACES = 10;

/** Places of a slider for a table: evenly from end to end, each one that the slider has. */
export function places(min: number, max: number, step: number): number[] {
  const steps = Math.round((max - min) / step);
  const every = Math.ceil(steps / MOST_PLACES);
  const shown = Array.from({ length: Math.floor(steps / every) + 1 }, (_, number) => number * every);
  if (shown.at(-1) !== steps) shown.push(steps);
  return shown.map((number) => Number((min + number * step).toFixed(6)));
}
