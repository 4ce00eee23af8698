/**
 * Words and units that stand in the exports of test machines, in several languages. What a heading says is evidence;
 * what it does not say is asked.
 */

export type Role =
  | 'id'
  | 'time'
  | 'force'
  | 'stress'
  | 'grip'
  | 'extension'
  | 'strain'
  | 'transverse'
  | 'other';

export type Dimension = 'force' | 'length' | 'strain' | 'time' | 'stress';
export type Unit = Readonly<{ name: string; dimension: Dimension; factor: number }>;

// Order counts: the first role whose words stand in the heading and whose unit fits. "Transverse strain" is no strain
// along the bar, "crosshead extension" no extensometer, "force time" no force.
const ROLE_WORDS: readonly (readonly [Role, RegExp])[] = [
  [
    'transverse',
    words(
      'transverse|transversal|lateral|width change|change of width|quer\\p{L}*|breitenänderung|transversale',
    ),
  ],
  ['extension', words('extensometer|extensometre|extensomètre|gauge elongation|gage elongation|feindehnung')],
  [
    'grip',
    words(
      'crosshead|cross head|travel|displacement|position|stroke|grip|grips|weg|traverse|traversenweg|course|déplacement|deplacement|desplazamiento|spostamento',
    ),
  ],
  ['time', words('time|zeit|temps|tiempo|tempo|tijd')],
  ['strain', words('strain|dehnung|deformation|déformation|deformación|deformazione')],
  [
    'extension',
    words('extension|elongation|allongement|verlängerung|längenänderung|alargamiento|allungamento'),
  ],
  ['stress', words('stress|spannung|contrainte|tensión|tensione')],
  ['force', words('force|load|kraft|prüfkraft|last|charge|fuerza|carga|forza|carico|kracht')],
  [
    'id',
    words(
      'specimen|specimen id|bar|bar id|sample|sample id|id|probe|proben?nummer|probe nr|specimen no|bar no|éprouvette|eprouvette',
    ),
  ],
];

function words(list: string): RegExp {
  return new RegExp(`(?<![\\p{L}\\p{N}])(?:${list})(?![\\p{L}\\p{N}])`, 'giu');
}

const DIMENSION_OF: Readonly<Record<Role, readonly Dimension[]>> = {
  id: [],
  time: ['time'],
  force: ['force'],
  stress: ['stress'],
  grip: ['length'],
  extension: ['length', 'strain'],
  strain: ['strain', 'length'],
  transverse: ['length', 'strain'],
  other: [],
};

/** Whether a unit can belong to a role. */
export function fits(role: Role, unit: Unit): boolean {
  return DIMENSION_OF[role].includes(unit.dimension);
}

/** Names of the units that a column of a role may have. */
export function unitsOfRole(role: Role): string[] {
  return UNITS.filter(([, dimension]) => DIMENSION_OF[role].includes(dimension)).map(([name]) => name);
}

// To SI: N, m, m/m, s, Pa. The pound-force is 0.45359237 kg x 9.80665 m/s2, the inch 25.4 mm (both by definition).
const POUND_FORCE = 4.4482216152605;
const INCH = 0.0254;
const UNITS: readonly (readonly [string, Dimension, number, string])[] = [
  ['N', 'force', 1, 'N|newton|newtons'],
  ['kN', 'force', 1e3, 'kN'],
  ['daN', 'force', 10, 'daN'],
  ['kgf', 'force', 9.80665, 'kgf|kp'],
  ['lbf', 'force', POUND_FORCE, 'lbf|lbs|lb'],
  ['mm', 'length', 1e-3, 'mm|millimeter|millimetre'],
  ['um', 'length', 1e-6, 'um|µm|μm|micron'],
  ['cm', 'length', 1e-2, 'cm'],
  ['m', 'length', 1, 'm'],
  ['in', 'length', INCH, 'in|inch|"'],
  ['%', 'strain', 0.01, '%|percent|prozent|pct'],
  ['per mille', 'strain', 1e-3, '‰|per mille|promille|permille'],
  ['mm/mm', 'strain', 1, 'mm/mm|m/m|in/in|-'],
  ['um/m', 'strain', 1e-6, 'um/m|µm/m|μm/m|µε|με|ustrain|microstrain'],
  ['s', 'time', 1, 's|sec|seconds|sek'],
  ['ms', 'time', 1e-3, 'ms'],
  ['min', 'time', 60, 'min'],
  ['MPa', 'stress', 1e6, 'MPa|N/mm2|N/mm²|N/mm\\^2'],
  ['kPa', 'stress', 1e3, 'kPa'],
  ['Pa', 'stress', 1, 'Pa'],
  ['psi', 'stress', POUND_FORCE / INCH ** 2, 'psi|lbf/in2'],
];
const UNIT_PATTERNS = UNITS.map(([name, dimension, factor, spellings]) => ({
  unit: { name, dimension, factor } as Unit,
  // The case counts: MPa, ms and min are not to be taken for one another; long words may begin with a capital.
  pattern: new RegExp(`^(?:${spellings})$`, 'u'),
  loose: new RegExp(`^(?:${spellings})$`, 'iu'),
}));

/** The unit that a text names, with or without brackets around it; null where it is none. */
export function unitOf(words: string): Unit | null {
  const bare = words
    .trim()
    .replace(/^[([{]\s*(.*?)\s*[)\]}]$/u, '$1')
    .replace(/^in\s+(?=\S)/u, '');
  const exact = UNIT_PATTERNS.find(({ pattern }) => pattern.test(bare));
  if (exact !== undefined) return exact.unit;
  return bare.length > 2 ? (UNIT_PATTERNS.find(({ loose }) => loose.test(bare))?.unit ?? null) : null;
}

export function unitByName(name: string): Unit | null {
  return UNIT_PATTERNS.find(({ unit }) => unit.name === name)?.unit ?? null;
}

/** The unit that is taken where a column has none, until somebody says otherwise. */
export function usualUnit(role: Role): Unit | null {
  const name = {
    force: 'N',
    stress: 'MPa',
    grip: 'mm',
    extension: 'mm',
    transverse: 'mm',
    time: 's',
    strain: 'mm/mm',
  }[role as string];
  return name === undefined ? null : unitByName(name);
}

/** A heading taken apart: "name (unit)", "name [unit]", "name/unit", "name, unit", "name in unit", "name_unit". */
export function headingParts(heading: string): { name: string; unit: Unit | null } {
  const bracket = /^(.*?)\s*[([{]\s*([^()[\]{}]*?)\s*[)\]}]\s*(.*)$/u.exec(heading);
  if (bracket !== null) {
    const [, before = '', inside = '', after = ''] = bracket;
    const unit = unitOf(inside);
    if (unit !== null) return { name: `${before} ${after}`.trim(), unit };
  }
  for (const sign of ['/', ',', ' in ', ' ', '_']) {
    for (let at = heading.indexOf(sign, 1); at > 0; at = heading.indexOf(sign, at + 1)) {
      const unit = unitOf(heading.slice(at + sign.length));
      if (unit !== null) return { name: heading.slice(0, at).trim(), unit };
    }
  }
  return { name: heading.trim(), unit: null };
}

/** Role that the words of a heading give, among those that its unit fits; the words are `found`, the rest a name perhaps. */
export function roleOf(name: string, unit: Unit | null): { role: Role; found: string; rest: string } | null {
  const spaced = name.replace(/[_-]+/g, ' ');
  for (const [role, pattern] of ROLE_WORDS) {
    const found = spaced.match(pattern);
    if (found === null || (unit !== null && !fits(role, unit))) continue;
    // "bar" within a heading is a unit of pressure, "sample" a rate: a name of bars begins with its word.
    if (role === 'id' && !spaced.toLowerCase().startsWith(found[0]!.toLowerCase())) continue;
    return { role, found: found.join(' '), rest: restOf(spaced) };
  }
  return null;
}

/** Roles whose words stand in a heading, whatever its unit. */
export function rolesNamed(name: string): Role[] {
  const spaced = name.replace(/[_-]+/g, ' ');
  return ROLE_WORDS.filter(([role, pattern]) => role !== 'id' && spaced.match(pattern) !== null).map(
    ([role]) => role,
  );
}

/** What is left of a heading without the words of all roles. */
function restOf(name: string): string {
  return ROLE_WORDS.reduce((left, [, pattern]) => left.replace(pattern, ' '), name)
    .replace(/\s+/g, ' ')
    .trim();
}

export type Measure = 'width' | 'thickness' | 'gaugeLength' | 'gripDistance';

const MEASURES: readonly (readonly [Measure, RegExp])[] = [
  [
    'gaugeLength',
    /^(?:extensometer )?(?:gauge|gage)[ _-]?length|^messl\u00e4nge|^initial gauge length|^longueur (?:de )?r\u00e9f\u00e9rence|^L0\b/iu,
  ],
  [
    'gripDistance',
    /^grip (?:distance|separation|to grip)|^distance between (?:the )?grips|^einspannl\u00e4nge|^distance entre (?:les )?m(?:\u00e2|a)choires/iu,
  ],
  ['width', /^(?:specimen |bar |mean )?width|^(?:proben)?breite|^largeur|^b0\b/iu],
  ['thickness', /^(?:specimen |bar |mean )?thickness|^(?:proben)?dicke|^\u00e9paisseur|^epaisseur|^h0\b/iu],
];

/** The measure that a line of words gives, with the words after its name. */
export function measureOf(line: string): { measure: Measure; rest: string } | null {
  for (const [measure, pattern] of MEASURES) {
    const match = pattern.exec(line.trim());
    if (match !== null) return { measure, rest: line.trim().slice(match[0].length) };
  }
  return null;
}

const NAME_LINE =
  /^"?(?:specimen|bar|sample|id|probe|proben|\u00e9prouvette|eprouvette|muster)"?(?:[ _-]?(?:id|name|nr|no|number|nummer|bezeichnung|label|identification)\b)?\.?"?\s*[:=;,|\t #]+\s*(.+)$/iu;
const NO_NAME =
  /^(?:rate|size|type|width|thickness|length|frequency|shape|form|geometry|count|material|standard|preparation)\b/iu;

/** The name of a bar that a line of words gives, or null. */
export function nameIn(line: string): string | null {
  const match = NAME_LINE.exec(line.trim());
  if (match === null) return null;
  const name = match[1]!.replace(/^["\s:=;,|\t#]+|["\s;,|\t]+$/gu, '');
  return name === '' || NO_NAME.test(name) || name.length > 60 ? null : name;
}
