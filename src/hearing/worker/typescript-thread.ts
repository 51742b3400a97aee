/**
 * What a Node worker thread is to run for the TypeScript module `entry`: a thread does not inherit the reader of TypeScript that its
 * parent runs under, so it registers one itself. For `new Worker(…, { eval: true })`.
 */
export function typescriptThread(entry: URL): string {
  const reader = JSON.stringify(import.meta.resolve('tsx/esm/api'));
  return `import(${reader}).then(({ register }) => { register(); return import(${JSON.stringify(entry.href)}); });`;
}
