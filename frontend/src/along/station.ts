const STATION = /^station-(\d+(?:\.\d+)?)$/;

/** Place of this page where the cut at a station [m] stands, to a tenth of a millimetre. */
export const stationPlace = (station_m: number): string => `station-${Number((station_m * 1000).toFixed(1))}`;

/** The station that a place of this page asks for [m]; null for every other place. */
export function stationAt(place: string): number | null {
  const found = STATION.exec(place);
  return found ? Number(found[1]) / 1000 : null;
}
