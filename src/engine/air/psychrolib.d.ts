/** The part of `psychrolib` that Bonedry calls; the package brings no types. */
declare module 'psychrolib' {
  const psychrolib: {
    SI: number;
    SetUnitSystem(system: number): void;
    /** Celsius to Pa. */
    GetSatVapPres(temperatureC: number): number;
    GetTDewPointFromVapPres(temperatureC: number, vapourPressure: number): number;
    GetHumRatioFromVapPres(vapourPressure: number, pressure: number): number;
  };
  export default psychrolib;
}
