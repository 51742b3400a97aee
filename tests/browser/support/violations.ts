import axe, { type RunOnly } from 'axe-core';

/** Rules of WCAG 2.0 to 2.2, levels A and AA. */
const ALL: RunOnly = { type: 'tag', values: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'] };
/** Those of them that look at colours, which alone are others in another theme. */
const OF_COLOURS: RunOnly = { type: 'rule', values: ['color-contrast', 'link-in-text-block'] };

/** What is wrong with the page as it is: by day by all rules, in another theme by those that it could break. */
export async function violations(): Promise<string[]> {
  const { theme = 'day' } = document.documentElement.dataset;
  const runOnly = theme === 'day' ? ALL : OF_COLOURS;
  const found = await axe.run(document.body, { resultTypes: ['violations'], runOnly });
  return found.violations.flatMap(({ id, nodes }) =>
    nodes.map((node) => `${id}: ${node.html.slice(0, 160)} ${node.failureSummary ?? ''}`),
  );
}
