import { z } from 'zod';
import { type Kernel, kernel, Refusal } from '../kernel.ts';
import { STANDARD_PRESSURE, ZERO_CELSIUS } from './constants.ts';
import { dewPoint, humidityRatio, saturationByHandbook } from './psychrometrics.ts';
import { saturationPressure } from './saturation.ts';
import { steamPressure } from './steam.ts';
import { heatedHumidity, vapourDensity } from './vapour.ts';

const overWaterC = z.number().min(0).max(200);
const share = z.number().min(0).max(1);

export const kernels: Kernel[] = [
  kernel({
    name: 'air.saturation',
    what: 'Saturation pressure of water vapour over water, ASHRAE eq. (6)',
    inputs: z.strictObject({ T_C: overWaterC }),
    outputs: z.strictObject({ p_Pa: z.number() }),
    // The package takes eq. (5), over ice, up to the triple point at 0.01 C; the local copy stays over water.
    run: ({ T_C }) => ({
      p_Pa: T_C > 0.01 ? saturationByHandbook(T_C + ZERO_CELSIUS) : saturationPressure(T_C + ZERO_CELSIUS),
    }),
  }),
  kernel({
    name: 'air.steam',
    what: 'Saturation pressure of steam, IAPWS-IF97 region 4',
    inputs: z.strictObject({ T_C: z.number().min(0).max(370) }),
    outputs: z.strictObject({ p_Pa: z.number() }),
    run: ({ T_C }) => ({ p_Pa: steamPressure(T_C + ZERO_CELSIUS) }),
  }),
  kernel({
    name: 'air.state',
    what: 'Vapour pressure, dew point, humidity ratio and vapour density of moist air',
    inputs: z.strictObject({
      T_C: overWaterC,
      rh: share,
      P_Pa: z.number().positive().default(STANDARD_PRESSURE),
    }),
    outputs: z.strictObject({
      vapour_Pa: z.number(),
      dew_C: z.number().nullable(),
      humidityRatio: z.number(),
      vapourDensity: z.number(),
    }),
    run: ({ T_C, rh, P_Pa }) => {
      const T = T_C + ZERO_CELSIUS;
      const vapour = rh * saturationPressure(T);
      if (vapour >= P_Pa)
        throw new Refusal(
          `Air of ${T_C} C and a relative humidity of ${rh} holds vapour at ${vapour.toFixed(0)} Pa, which is not below its pressure of ${P_Pa} Pa: lower the temperature or the humidity.`,
        );
      return {
        vapour_Pa: vapour,
        dew_C: vapour >= LEAST_DEW_PRESSURE ? dewPoint(T, vapour) - ZERO_CELSIUS : null,
        humidityRatio: humidityRatio(vapour, P_Pa),
        vapourDensity: vapourDensity(vapour, T),
      };
    },
  }),
  kernel({
    name: 'air.heated',
    what: 'Relative humidity of room air warmed at constant vapour pressure',
    inputs: z.strictObject({ room_C: overWaterC, room_rh: share, T_C: overWaterC }),
    outputs: z.strictObject({ rh: z.number() }),
    run: ({ room_C, room_rh, T_C }) => {
      const rh = heatedHumidity(room_C + ZERO_CELSIUS, room_rh, T_C + ZERO_CELSIUS);
      if (rh > 1)
        throw new Refusal(
          `Air of ${room_C} C and a relative humidity of ${room_rh} cannot be cooled to ${T_C} C at constant vapour pressure: it would condense.`,
        );
      return { rh };
    },
  }),
];

/** Vapour pressure at the lower end of the handbook's equations, saturation at -100 C [Pa]. */
const LEAST_DEW_PRESSURE = saturationByHandbook(ZERO_CELSIUS - 100);
