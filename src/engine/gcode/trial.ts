import type { Source } from '../kernel.ts';
import type { GcodeCard } from './card.ts';

/** A machine and a strand for tests and measurements: invented, in the usual range. The product reads its cards. */
export const trialCard: GcodeCard = {
  filamentMm: 1.75,
  printMmS2: 3000,
  travelMmS2: 5000,
  retractMmS2: 2000,
  deltaMm: 0.02,
  maxMmS: 500,
  controllerRetractMm: 0.8,
  controllerRetractMmS: 30,
  homeS: 25,
  probeS: 90,
  cellMm: 0.25,
  heatKS: { nozzle: 2.5, bed: 0.15, chamber: 0.02 },
  coolKS: { nozzle: 1, bed: 0.05, chamber: 0.01 },
  layerDefaultMm: 0.2,
  restS: 3600,
  freezeC: 215,
  clearMm: 40,
  startS: 480,
};

/** Bytes in memory as a file; `most` bytes come at once. */
export function memorySource(name: string, bytes: Uint8Array, most = Number.POSITIVE_INFINITY): Source {
  return {
    name,
    size: bytes.length,
    read(offset, into) {
      const n = Math.max(0, Math.min(into.length, most, bytes.length - offset));
      into.set(bytes.subarray(offset, offset + n));
      return n;
    },
  };
}
