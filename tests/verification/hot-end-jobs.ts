import {
  caseOf,
  contactValues,
  hotEndValues,
  type JobInput,
  jobInput,
  printFrom,
} from '../../src/engine/hot-end/kernel-inputs.ts';
import { kernels } from '../../src/engine/hot-end/kernels.ts';
import type { Case } from '../../src/engine/hot-end/model.ts';
import type { Print } from '../../src/engine/hot-end/print.ts';

/** Base print of the trade facts: PA6 with fibre, 270 C, 0.8 mm at 30 mm/s, chamber to 58 C. Numbers are ours. */
export const pattern = {
  leadS: 30,
  prints: 25,
  printS: 0.25,
  flowMm3S: 5,
  retractMm: 0.8,
  retractMmS: 30,
  travelS: 0.3,
  stopEvery: 0,
  stopS: 0,
};
export const base = {
  material: 'PA6CF',
  nozzleC: 270,
  chamber: { fromC: 25, toC: 58, tauS: 1500 },
  partFan: 0.2,
  sinkFan: 1,
};
export const COARSE_INPUT = { dxMm: 0.2, dtS: 0.1, shells: 3 };

/** Runs a kernel of the hot end as the registry would: inputs checked, outputs checked. */
export function ask(name: string, inputs: unknown): Record<string, unknown> {
  const kernel = kernels.find((k) => k.name === `hot-end.${name}`)!;
  return kernel.outputs.parse(
    kernel.run(kernel.inputs.parse(inputs), {
      open: () => {
        throw new Error('no files here');
      },
    }),
  ) as Record<string, unknown>;
}

/** Case and print of a job, for tests that go below the kernels. */
export function prepared(inputs: unknown): { c: Case; print: Print; job: JobInput } {
  const job = jobInput.parse(inputs);
  return {
    c: caseOf(job, hotEndValues(job.hotEnd), contactValues(job.contact)),
    print: printFrom(job.print),
    job,
  };
}
