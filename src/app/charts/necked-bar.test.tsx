import { describe, expect, it } from 'vitest';
import { drawn, ofClass } from './drawn.fixture.ts';
import { type Neck, NeckedBar, neckProfile } from './necked-bar.tsx';

const neck = (width: number, rest: Partial<Neck> = {}): Neck => ({
  width,
  known: true,
  cracked: false,
  weak: false,
  ...rest,
});

describe('the necked bar', () => {
  it('is one smooth body: each link ends as wide as the next begins', () => {
    const profile = neckProfile([1, 0.3, 0.6, 0.1, 1]);
    for (let i = 1; i < profile.length; i++) expect(profile[i]![0]).toBeCloseTo(profile[i - 1]![2], 12);
  });

  it('is as wide in the middle of a link as the link says, and never wider than the bar', () => {
    const widths = [1, 0.3, 1 / 12, 0.6];
    const profile = neckProfile(widths);
    const full = neckProfile([1])[0]![1];
    profile.forEach(([, middle], i) => {
      expect(middle / full).toBeCloseTo(widths[i]!, 12);
      expect(middle).toBeLessThanOrEqual(full);
    });
  });

  it('cracks where it is told, and draws what is not computed as an outline alone', () => {
    const all = drawn(
      <NeckedBar necks={[neck(0.1, { cracked: true, weak: true }), neck(1, { known: false }), neck(0.8)]} />,
    );
    expect(ofClass(all, 'crack')).toHaveLength(1);
    expect(ofClass(all, 'neck-blank')).toHaveLength(1);
    expect(ofClass(all, 'neck-fill')).toHaveLength(2);
    expect(ofClass(all, 'weak')).toHaveLength(1);
  });
});
