/** An affine layer as rows of 8-bit weights with one scale per row: weight = scale x q. */
export interface QuantisedLayer {
  readonly rows: number;
  readonly cols: number;
  readonly scale: readonly number[];
  readonly bias: readonly number[];
  /** Row-major int8, base64. */
  readonly q: string;
}

/** Both transitions of a state (stay, leave) have this probability. */
const EVEN = 0.5;

/**
 * Kaldi's transition model, text form, for `phones` one-state phones: phone p (from 1) emits pdf p - 1, transition
 * 2p - 1 stays in it and 2p leaves it. Kaldi detects text and binary by itself, and text needs no type codes.
 */
export function transitionModel(phones: number): string {
  const ids = Array.from({ length: phones }, (_, index) => index);
  const logProbs = [0, ...ids.flatMap(() => [Math.log(EVEN), Math.log(EVEN)])];
  return [
    '<TransitionModel>',
    '<Topology>',
    '<TopologyEntry>',
    '<ForPhones>',
    ids.map((id) => id + 1).join(' '),
    '</ForPhones>',
    `<State> 0 <PdfClass> 0 <Transition> 0 ${EVEN} <Transition> 1 ${EVEN} </State>`,
    '<State> 1 </State>',
    '</TopologyEntry>',
    '</Topology>',
    `<Triples> ${phones}`,
    ...ids.map((id) => `${id + 1} 0 ${id}`),
    '</Triples>',
    '<LogProbs>',
    vector(logProbs),
    '</LogProbs>',
    '</TransitionModel>',
    '',
  ].join('\n');
}

/** A network of one hidden layer of rectified units over spliced frames, in nnet3's text form (AmNnetSimple). */
export function oneHiddenLayerNet(
  inputs: number,
  offsets: readonly number[],
  hidden: QuantisedLayer,
  output: QuantisedLayer,
): string {
  const splice = offsets.map((offset) => (offset === 0 ? 'input' : `Offset(input, ${offset})`)).join(', ');
  return [
    '<Nnet3> ',
    `input-node name=input dim=${inputs}`,
    `component-node name=affine1 component=affine1 input=Append(${splice})`,
    'component-node name=relu1 component=relu1 input=affine1',
    'component-node name=affine2 component=affine2 input=relu1',
    'output-node name=output input=affine2 objective=linear',
    '',
    '<NumComponents> 3',
    affine('affine1', hidden),
    `<ComponentName> relu1 <RectifiedLinearComponent> <Dim> ${hidden.rows} <ValueAvg> [ ]`,
    '<DerivAvg> [ ]',
    '<Count> 0 </RectifiedLinearComponent>',
    affine('affine2', output),
    `</Nnet3> <LeftContext> ${-Math.min(...offsets)} <RightContext> ${Math.max(...offsets)} <Priors> [ ]`,
    '',
  ].join('\n');
}

function affine(name: string, layer: QuantisedLayer): string {
  const weights = new Int8Array(Buffer.from(layer.q, 'base64'));
  const rows = layer.scale.map((scale, row) =>
    Array.from(weights.subarray(row * layer.cols, (row + 1) * layer.cols), (q) => number(q * scale)).join(' '),
  );
  return [
    `<ComponentName> ${name} <FixedAffineComponent> <LinearParams>  [`,
    `${rows.map((row) => ` ${row}`).join('\n')} ]`,
    `<BiasParams> ${vector(layer.bias)}`,
    '</FixedAffineComponent>',
  ].join('\n');
}

function vector(values: readonly number[]): string {
  return ` [ ${values.map(number).join(' ')} ]`;
}

/** Five significant digits: finer than the 8-bit weights, and short. */
function number(value: number): string {
  return String(Number(value.toPrecision(5)));
}
