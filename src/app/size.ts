import { useLayoutEffect, useRef, useState } from 'preact/hooks';

/** Real size of a place in the page, so that a chart is drawn for it and never scaled. */
export type Size = Readonly<{ width: number; text: number }>;

/** Size of the smallest label in a chart, in px at the browser's usual text size. */
const LABEL = 12;
/** Nothing is drawn for less: while a page is laid out or pictured, a place may be narrower for a moment. */
const WIDTH_LEAST = 160;

/** The width of an element in px, and of its labels where people have set larger text; follows both. */
export function useSize<T extends HTMLElement>(first: number): [{ current: T | null }, Size] {
  const place = useRef<T>(null);
  const [size, setSize] = useState<Size>({ width: first, text: LABEL });
  useLayoutEffect(() => {
    const element = place.current;
    if (!element) return;
    const measure = () => {
      const width = Math.max(Math.round(element.clientWidth), WIDTH_LEAST);
      const root = Number.parseFloat(getComputedStyle(document.documentElement).fontSize);
      const text = (LABEL * root) / 16;
      setSize((old) => (old.width === width && old.text === text ? old : { width, text }));
    };
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    return () => observer.disconnect();
  }, []);
  return [place, size];
}
