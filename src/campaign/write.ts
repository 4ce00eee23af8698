import {
  type Document,
  isMap,
  isScalar,
  isSeq,
  type Node,
  type Pair,
  parseDocument,
  visit,
  type YAMLMap,
  type YAMLSeq,
} from 'yaml';

/**
 * Changes in a campaign file that leave all else as it is: comments, order, layout, line ends. The text is cut and
 * filled at the one place; only where that cannot be done safely is the file written anew (comments kept, layout not).
 */

type Keys = readonly string[];

/**
 * Sets or takes out one value.
 *
 * @param text  a campaign that was read without a complaint
 * @param path  keys joined by a point, list items by their number from 0, such as `kit.dryer.for` or
 *              `plates.0.print`; `-` as the last key appends to a list (`events.-`)
 * @param value what would be typed after the colon: `8 h`, `no`, `fan-oven`, `{ did: flipped, at: ... }`; quotes are
 *              put round it where they belong. Null takes the key out
 * @returns the new text; the same text where the value stands there already
 * @throws Error where the text is not YAML, or the path leads through a value that cannot hold keys: the caller's fault
 */
export function setInCampaign(text: string, path: string, value: string | null): string {
  const keys = path.split('.');
  const doc = open(text);
  const wanted = changed(
    doc.toJS(),
    keys,
    value === null ? undefined : open(`v: ${snippet(value)}`).toJS().v,
  );
  if (same(doc.toJS(), wanted)) return text;
  const edited = value === null ? takeOut(text, doc, keys) : putIn(text, doc, keys, snippet(value));
  if (edited !== null && isSound(edited, wanted)) return edited;
  return writtenAnew(text, keys, value);
}

function open(text: string): Document {
  const doc = parseDocument(text, { version: '1.2', prettyErrors: false });
  if (doc.errors.length > 0) throw new Error(`not YAML: ${doc.errors[0]!.message}`);
  return doc;
}

function isSound(text: string, wanted: unknown): boolean {
  const doc = parseDocument(text, { version: '1.2', prettyErrors: false });
  return doc.errors.length === 0 && same(doc.toJS(), wanted);
}

function same(a: unknown, b: unknown): boolean {
  return JSON.stringify(a) === JSON.stringify(b);
}

/** A value as it is typed: quotes round quantities and whatever means something else to YAML. */
export function snippet(value: string): string {
  const said = value.trim();
  const isPlain =
    /^[[{"']/.test(said) ||
    /^(\d+(\.\d+)?|\d{4}-\d{2}-\d{2}( \d{2}:\d{2})?)$/.test(said) ||
    /^[A-Za-z][A-Za-z ]*$/.test(said) ||
    /^[A-Za-z][\w.-]*$/.test(said);
  return isPlain && said !== 'null' ? said : JSON.stringify(said);
}

/** Key that a word alone stands for, such as `dryer: fan-oven` for its card. */
function shortKey(path: Keys): string {
  if (path[0] === 'plates') return path[2] === 'print' ? 'gcode' : 'group';
  return 'card';
}

/** The data with one value changed, for comparing. A word alone becomes the group of keys that it stands for. */
function changed(data: unknown, keys: Keys, value: unknown, done: Keys = []): unknown {
  const [key, ...rest] = keys;
  if (key === undefined) return value;
  const path = [...done, key];
  if (Array.isArray(data)) {
    const list = [...(data as unknown[])];
    const index = key === '-' ? list.length : Number(key);
    const inner = changed(list[index], rest, value, path);
    if (inner === undefined) list.splice(index, 1);
    else list[index] = inner;
    return list;
  }
  if (key === '-') return [changed(undefined, rest, value, path)];
  if (typeof data === 'object' && data !== null) {
    const map = { ...(data as Record<string, unknown>) };
    const inner = changed(map[key], rest, value, path);
    if (inner === undefined) delete map[key];
    else map[key] = inner;
    return map;
  }
  const inner = changed(undefined, rest, value, path);
  if (inner === undefined) return data;
  if (data === undefined || data === null || data === 'unknown') return { [key]: inner };
  if (typeof data === 'string') return { [shortKey(done)]: data, [key]: inner };
  throw new Error(`"${done.join('.')}" holds ${String(data)} and cannot hold "${key}"`);
}

/** How far a path exists: the nodes on the way, the last of them at `keys[depth - 1]`. */
function walk(doc: Document, keys: Keys): Readonly<{ node: unknown; depth: number; pair: Pair | null }> {
  let node: unknown = doc.contents;
  let pair: Pair | null = null;
  for (const [depth, key] of keys.entries()) {
    if (isMap(node)) {
      const found = pairOf(node, key);
      if (!found) return { node, depth, pair };
      pair = found;
      node = found.value;
    } else if (isSeq(node) && key !== '-' && Number(key) < node.items.length) node = node.items[Number(key)];
    else return { node, depth, pair };
  }
  return { node, depth: keys.length, pair };
}

function pairOf(map: YAMLMap, key: string): Pair | undefined {
  return map.items.find((item) => String(isScalar(item.key) ? item.key.value : item.key) === key);
}

/** Keys that are not there yet, as one value: `{ print: { layer: "0.2 mm" } }`. */
function nested(keys: Keys, inner: string): string {
  return [...keys]
    .reverse()
    .reduce((text, key) => (key === '-' ? `[ ${text} ]` : `{ ${key}: ${text} }`), inner);
}

/** The text with the value put in; null where it cannot be done by filling one place. */
function putIn(text: string, doc: Document, keys: Keys, inner: string): string | null {
  const { node, depth, pair } = walk(doc, keys);
  const rest = keys.slice(depth);
  const newline = text.includes('\r\n') ? '\r\n' : '\n';
  const fill = (from: number, to: number, by: string) => text.slice(0, from) + by + text.slice(to);
  if (rest.length > 0 && isMap(node)) {
    const [key = '', ...deeper] = rest;
    return insertPair(text, node, key, deeper, inner, newline);
  }
  if (rest.length > 0 && isSeq(node))
    return rest[0] === '-' ? append(text, node, nested(rest.slice(1), inner), newline) : null;
  const value = nested(rest, inner);
  if (isEmpty(node)) {
    const colon = pair ? text.indexOf(':', (pair.key as Node).range![1]) : -1;
    return colon < 0 ? null : fill(colon + 1, colon + 1, ` ${value}`);
  }
  const range = (node as Node).range!;
  const isOneLine = !text.slice(range[0], range[1]).includes('\n');
  if (rest.length === 0 && isSeq(node) && !node.flow && pair)
    return inPlaceOfLines(text, pair, inner, newline);
  const isFlow = isScalar(node) || ((isMap(node) || isSeq(node)) && node.flow === true);
  if (!isFlow || !isOneLine) return null;
  if (rest.length === 0 || (isScalar(node) && node.value === 'unknown'))
    return fill(range[0], range[1], value);
  // A word alone becomes the group of keys that it stands for.
  const word = text.slice(range[0], range[1]);
  return fill(range[0], range[1], value.replace('{ ', `{ ${shortKey(keys.slice(0, depth))}: ${word}, `));
}

/** A list that stood line by line becomes one line; comments among its items stand before it. */
function inPlaceOfLines(text: string, pair: Pair, inner: string, newline: string): string | null {
  const key = pair.key as Node;
  const list = pair.value as YAMLSeq;
  const end = endOfNode(list);
  const colon = text.indexOf(':', key.range![1]);
  if (end === null || colon < 0) return null;
  const comments: string[] = [];
  const note = (node: { commentBefore?: string | null; comment?: string | null }) => {
    for (const said of [node.commentBefore, node.comment])
      if (said) comments.push(...said.split('\n').filter((line) => line.trim() !== ''));
  };
  visit(list, { Node: (_, node) => note(node), Pair: (_, { key: of }) => note(of as Node) });
  const start = lineStart(text, key.range![0]);
  const indent = text.slice(start, key.range![0]);
  const kept = comments.map((said) => `${indent}# ${said.trim()}${newline}`).join('');
  return `${text.slice(0, start)}${kept}${text.slice(start, colon + 1)} ${inner}${text.slice(lineEnd(text, end))}`;
}

function isEmpty(node: unknown): boolean {
  return (
    node === null ||
    node === undefined ||
    (isScalar(node) && node.value === null && node.range![0] === node.range![1])
  );
}

function insertPair(
  text: string,
  map: YAMLMap,
  key: string,
  deeper: Keys,
  inner: string,
  newline: string,
): string | null {
  const last = map.items.at(-1);
  const value = nested(deeper, inner);
  if (map.flow) {
    const at = last ? endOf(last) : map.range![0] + 1;
    if (at === null) return null;
    return text.slice(0, at) + (last ? `, ${key}: ${value}` : ` ${key}: ${value} `) + text.slice(at);
  }
  const first = map.items[0]?.key as Node | undefined;
  const end = last ? endOf(last) : null;
  if (!first?.range || end === null) return null;
  const indent = ' '.repeat(first.range[0] - lineStart(text, first.range[0]));
  const at = lineEnd(text, end);
  // A new list gets a line for each item.
  const isList = deeper[0] === '-';
  const body = isList
    ? `${indent}${key}:${newline}${indent}  - ${nested(deeper.slice(1), inner)}`
    : `${indent}${key}: ${value}`;
  return text.slice(0, at) + newline + body + text.slice(at);
}

function append(text: string, list: YAMLSeq, value: string, newline: string): string | null {
  const last = list.items.at(-1) as Node | undefined;
  if (list.flow) {
    const at = last ? (last.range?.[1] ?? null) : list.range![0] + 1;
    return at === null ? null : text.slice(0, at) + (last ? `, ${value}` : ` ${value} `) + text.slice(at);
  }
  const end = last ? endOfNode(last) : null;
  if (!last?.range || end === null) return null;
  const start = lineStart(text, last.range[0]);
  const dash = text.indexOf('-', start);
  const at = lineEnd(text, end);
  return `${text.slice(0, at)}${newline}${text.slice(start, dash)}- ${value}${text.slice(at)}`;
}

/** The text without the value; null where it cannot be cut out at one place. */
function takeOut(text: string, doc: Document, keys: Keys): string | null {
  const { node: parent, depth } = walk(doc, keys.slice(0, -1));
  if (depth < keys.length - 1 || !isMap(parent)) return null;
  const pair = pairOf(parent, keys.at(-1)!);
  const index = pair ? parent.items.indexOf(pair) : -1;
  const start = (pair?.key as Node | undefined)?.range?.[0];
  const end = pair ? endOf(pair) : null;
  if (start === undefined || end === null || parent.items.length < 2) return null;
  if (!parent.flow) {
    const from = lineStart(text, start);
    const to = lineEnd(text, end);
    return text.slice(0, from) + text.slice(text[to] === '\r' ? to + 2 : to + 1);
  }
  const before = parent.items[index - 1];
  if (before) return text.slice(0, endOf(before) ?? start) + text.slice(end);
  const next = (parent.items[index + 1]!.key as Node).range![0];
  return text.slice(0, start) + text.slice(next);
}

/** Offset behind the last sign of a pair that is not a comment. */
function endOf(pair: Pair): number | null {
  return isEmpty(pair.value) ? ((pair.key as Node).range?.[1] ?? null) : endOfNode(pair.value as Node);
}

function endOfNode(node: Node): number | null {
  if ((isMap(node) || isSeq(node)) && !node.flow) {
    const last = node.items.at(-1);
    if (last === undefined) return node.range?.[1] ?? null;
    return isMap(node) ? endOf(last as Pair) : endOfNode(last as Node);
  }
  return node.range?.[1] ?? null;
}

function lineStart(text: string, offset: number): number {
  return text.lastIndexOf('\n', offset - 1) + 1;
}

function lineEnd(text: string, offset: number): number {
  const end = text.indexOf('\n', offset);
  if (end < 0) return text.length;
  return text[end - 1] === '\r' ? end - 1 : end;
}

/** The whole file from its parts again: comments stay, spaces may move. */
function writtenAnew(text: string, keys: Keys, value: string | null): string {
  const doc = open(text);
  const { depth } = walk(doc, keys);
  const path = keys.slice(0, depth).map((key) => (/^\d+$/.test(key) ? Number(key) : key));
  if (value === null) doc.deleteIn(path);
  else {
    const js = changed(doc.toJS(), keys, open(`v: ${snippet(value)}`).toJS().v) as Record<string, unknown>;
    const [root = ''] = keys;
    doc.set(root, doc.createNode(js[root]));
  }
  return doc.toString({ lineWidth: 0 });
}
