import type { Finding } from './finding.ts';

/** A finding, with all the steps in which the very same was found at the same moment. */
export type Lesson = Omit<Finding, 'step'> & { readonly steps: readonly string[] };

/** What there is to learn from findings, each once, in their order: what a trainee is told, and what is counted. */
export function lessonsOf(findings: readonly Finding[]): readonly Lesson[] {
  const lessons = new Map<string, Lesson>();
  for (const { step, ...finding } of findings) {
    const key = `${finding.kind} ${finding.at} ${finding.what}`;
    lessons.set(key, { ...finding, steps: [...(lessons.get(key)?.steps ?? []), step] });
  }
  return [...lessons.values()];
}
