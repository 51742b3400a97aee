import type { Plugin } from 'vite';

/** The script of the vosk engine, made by Emscripten. */
const ENGINE = /vosk-browser\/dist\/vosk\.worker\.js/;

/**
 * Its glue (embind) makes functions out of text, for which a page would have to allow `unsafe-eval` to everything in it. Each of the two
 * places does, told by the text around it, what the made function would have done; Emscripten writes it so itself with
 * `-sDYNAMIC_EXECUTION=0`.
 */
const PLACES: readonly (readonly [made: string, told: string])[] = [
  [
    'var invokerFn = newFunc(Function, args)(...closureArgs);',
    `var invokerFn = function (...given) {
        var destructors = needsDestructorStack ? [] : null;
        var wired = [];
        if (isClassMethodFunc) wired.push(argTypes[1].toWireType(destructors, this));
        for (var k = 2; k < argTypes.length; ++k) wired.push(argTypes[k].toWireType(destructors, given[k - 2]));
        var rv = cppInvokerFunc(cppTargetFunc, ...wired);
        if (needsDestructorStack) runDestructors(destructors);
        else {
          var first = isClassMethodFunc ? 1 : 2;
          for (var k = first; k < argTypes.length; ++k)
            if (argTypes[k].destructorFunction !== null) argTypes[k].destructorFunction(wired[k - first]);
        }
        if (returns) return argTypes[0].fromWireType(rv);
      };`,
  ],
  [
    'var invokerFunction = newFunc(Function, params)(...args);',
    `var invokerFunction = function (obj, func, destructorsRef, packed) {
        var values = [];
        var at = 0;
        for (var k = 0; k < argCount; ++k) {
          values.push(types[k].readValueFromPointer(packed + at));
          at += types[k].argPackAdvance;
        }
        var rv = kind === 1 ? new func(...values) : kind === 0 ? func.call(obj, ...values) : func.call(...values);
        if (!retType.isVoid) return emval_returnValue(retType, destructorsRef, rv);
      };`,
  ],
];

/** Takes the making of functions from text out of the engine's script; the build fails where a new release has it in other words. */
export function withoutEval(): Plugin {
  return {
    name: 'without-eval',
    apply: 'build',
    enforce: 'pre',
    transform(code, id) {
      if (!ENGINE.test(id)) return undefined;
      let plain = code;
      for (const [made, told] of PLACES) {
        if (plain.split(made).length !== 2) this.error(`The engine has not one “${made}”: see src/without-eval.ts.`);
        plain = plain.replace(made, () => told);
      }
      return { code: plain, map: null };
    },
  };
}
