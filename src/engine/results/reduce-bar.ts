import { planArea } from '../bars/shapes.ts';
import type { RecordedBar } from '../curves/reading.ts';
import { curveOf } from '../curves/recorded-bars.ts';
import { reduceCurve } from '../curves/reduce.ts';
import { type Size, sizeOf } from '../curves/sizes.ts';
import { equivalentLength } from '../curves/specimen.ts';
import { modulusUncertainty } from '../curves/uncertainty.ts';
import { Refusal } from '../kernel.ts';
import { stressUncertainty } from '../statistics/uncertainty.ts';
import {
  type BarFacts,
  type BarResult,
  type BarUncertainty,
  type CurveOrigin,
  sizesOf,
  type TestFacts,
} from './bar.ts';
import { curvePath } from './curve-path.ts';

/** Coverage factor of the uncertainty of one bar: about 95 % (JCGM 100). */
const COVERAGE = 2;
const MM = 1e-3;

/**
 * One bar from its readings and its curve to its numbers. Means of width and thickness go into the stress; an area that
 * is given stands in their place; sizes in the file are taken where the person measured nothing, and are told as such.
 *
 * @param density of the bar [kg/m3] for the section by mass; null where it is not known
 * @throws Refusal where no section can be had, or the curve holds no tension
 */
export function reduceBar(
  facts: BarFacts,
  recorded: RecordedBar,
  origin: CurveOrigin,
  test: TestFacts,
  density: number | null = null,
): BarResult {
  const type = sizesOf(facts.type);
  const gaugeLength = test.gaugeLength ?? type.gaugeLength;
  const gripDistance = test.gripDistance ?? type.gripDistance;
  const { width, thickness, sectionFrom } = sectionOf(facts, recorded);
  const section = width.mean * thickness.mean;
  const { strain, stress, ...reduction } = reduceCurve(
    curveOf(recorded, section),
    {
      width: width.mean,
      thickness: thickness.mean,
      gaugeLength,
      gripDistance,
      equivalentLength: equivalentLength(type, gripDistance),
      compliance: test.compliance,
    },
    test.options,
  );
  const uncertainty = uncertaintyOf(facts, test, reduction.strength, section, width, thickness);
  const modulus = reduction.modulusRegression;
  const { mass } = facts.covariates;
  // The plan of the type with this bar's thickness holds the mass of a sound bar; the share is that of the section.
  const solid = density === null ? null : density * planArea(type) * (section / type.widthNarrow);
  return {
    facts,
    origin,
    width: width.mean,
    thickness: thickness.mean,
    section,
    sectionFrom,
    massSection: mass === null || solid === null ? null : mass / solid,
    reduction,
    curve: strain === null ? { x: [], y: [] } : curvePath(strain, stress, reduction.breakIndex + 1),
    strength: reduction.strength,
    uncertainty,
    modulusUncertainty:
      uncertainty === null || modulus === null || reduction.modulusError === null
        ? null
        : modulusUncertainty(uncertainty.relative, test.extensometerError, modulus, reduction.modulusError),
    counts: facts.leftOut === null,
    questions: [...sizeQuestions('width', width), ...sizeQuestions('thickness', thickness)],
  };
}

type Section = Readonly<{ width: Size; thickness: Size; sectionFrom: BarResult['sectionFrom'] }>;

function sectionOf(facts: BarFacts, recorded: RecordedBar): Section {
  const { width, thickness, area } = facts;
  const measured = (readings: readonly number[], inFile: number | null): Size | null =>
    readings.length > 0 ? sizeOf(readings) : inFile === null ? null : sizeOf([inFile]);
  const [w, t] = [measured(width, recorded.measures.width), measured(thickness, recorded.measures.thickness)];
  if (area !== null) {
    // The split bears on Poisson's ratio alone; the stress has the area.
    const side = w ?? sizeOf([t === null ? Math.sqrt(area.value) : area.value / t.mean]);
    return { width: side, thickness: sizeOf([area.value / side.mean]), sectionFrom: 'area given' };
  }
  if (w === null || t === null)
    throw new Refusal(
      `Bar ${facts.bar} has no ${w === null ? (t === null ? 'width and no thickness' : 'width') : 'thickness'}: there is no stress without a section.`,
    );
  const own = width.length > 0 && thickness.length > 0;
  return { width: w, thickness: t, sectionFrom: own ? 'readings' : 'the file' };
}

function uncertaintyOf(
  facts: BarFacts,
  test: TestFacts,
  strength: number,
  section: number,
  width: Size,
  thickness: Size,
): BarUncertainty | null {
  const { area } = facts;
  if (area !== null) {
    if (area.u === null) return null;
    const part = area.u / area.value;
    const relative = Math.hypot(test.forceError, part);
    const share = (test.forceError / relative) ** 2;
    const force = share >= 0.5;
    return {
      relative,
      expanded: COVERAGE * relative * strength,
      shareForce: share,
      shareWidth: (1 - share) / 2,
      shareThickness: (1 - share) / 2,
      largest: force ? 'force' : 'section',
      advice: force ? 'A force class half as wide would halve that part.' : 'Measure the section better.',
    };
  }
  const found = stressUncertainty({
    F_N: strength * section,
    b_mm: width.mean / MM,
    h_mm: thickness.mean / MM,
    u_F_rel: test.forceError,
    s_b_mm: (width.deviation ?? 0) / MM,
    s_h_mm: (thickness.deviation ?? 0) / MM,
    n_readings: Math.min(width.count, thickness.count),
    u_b_mm: test.caliperError / MM,
    u_h_mm: test.caliperError / MM,
    rough_mm: test.ridge / MM,
    k: COVERAGE,
  });
  return {
    relative: found.u_rel,
    expanded: found.u_rel * COVERAGE * strength,
    shareForce: found.share_force,
    shareWidth: found.share_width,
    shareThickness: found.share_thickness,
    largest: found.largest,
    advice: found.advice,
  };
}

function sizeQuestions(what: string, size: Size): string[] {
  return size.asked.map(
    (reading) =>
      `One reading of the ${what}, ${Number((reading / MM).toPrecision(4))} mm, lies more than 2 % from the mean of ${Number((size.mean / MM).toPrecision(4))} mm. Measure it again?`,
  );
}
