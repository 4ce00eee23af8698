/** Columns of a terminal that everything keeps to. */
export const WIDTH = 80;

/** Words in lines of at most WIDTH; lines after the first keep the indent of the first. */
export function wrapped(text: string, width = WIDTH): string[] {
  const indent = /^ */.exec(text)![0];
  const lines: string[] = [];
  let line = indent;
  for (const word of text.trim().split(/ +/)) {
    const longer = line.trim() === '' ? `${indent}${word}` : `${line} ${word}`;
    if (longer.length > width && line.trim() !== '') {
      lines.push(line);
      line = `${indent}${word}`;
    } else line = longer;
  }
  return [...lines, line];
}
