import type { Piece } from '../../job.ts';

/** The strand's way as it stands in a campaign file: `[{ tube: "0.9 m" }, { bend: "60 mm x 90 deg" }]`. */
export function pathText(pieces: readonly Piece[]): string {
  const written = pieces.map((piece) =>
    piece.kind === 'tube'
      ? `{ tube: "${figure(piece.length)} m" }`
      : `{ bend: "${figure(1000 * piece.radius)} mm x ${figure((piece.angle * 180) / Math.PI)} deg" }`,
  );
  return `[${written.join(', ')}]`;
}

/** Three digits: no tube and no bend is measured closer. */
function figure(value: number): string {
  return String(Number(value.toPrecision(3)));
}
