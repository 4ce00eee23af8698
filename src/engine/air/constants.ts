/** Physical definitions that moist air and water in polymers need. Values of materials stand on cards. */

/** Molar gas constant [J/(mol K)], exact since the SI of 2019 (CODATA 2018). */
export const GAS_CONSTANT = 8.31446261815324;
/** Molar mass of water [kg/mol] (IAPWS). */
export const MOLAR_MASS_WATER = 0.01801528;
/** Standard atmosphere [Pa] (definition). */
export const STANDARD_PRESSURE = 101_325;
/** Zero of the Celsius scale [K] (definition). */
export const ZERO_CELSIUS = 273.15;
