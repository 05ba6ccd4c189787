// A table wider than the page: it scrolls by itself, by hand and by keys.
import type { ComponentChildren } from 'preact';

export function Wide({ label, children }: { label: string; children: ComponentChildren }) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reachable by keys (WCAG 2.1.1)
    <section class="scroll" tabIndex={0} aria-label={label}>
      {children}
    </section>
  );
}
