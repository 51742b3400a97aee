/** As much of the platform's detector (Shape Detection API) as is used; few browsers have one. */
interface Detector {
  detect(source: HTMLVideoElement): Promise<readonly { readonly rawValue: string }[]>;
}
type DetectorMaker = new (options: { readonly formats: readonly string[] }) => Detector;

function detectorMaker(): DetectorMaker | undefined {
  return (globalThis as { readonly BarcodeDetector?: DetectorMaker }).BarcodeDetector;
}

/** Whether this browser reads QR codes by itself. */
export function canScan(): boolean {
  // Pages that are not secure have no devices.
  return detectorMaker() !== undefined && (navigator.mediaDevices as MediaDevices | undefined) !== undefined;
}

/** Shows the camera's picture in `video` until a QR code is in it, and gives its text. Rejects when there is no camera, or the signal says so. */
export async function scanCode(video: HTMLVideoElement, signal: AbortSignal): Promise<string> {
  const make = detectorMaker();
  if (make === undefined) throw new DOMException('This browser reads no QR codes.', 'NotSupportedError');
  const detector = new make({ formats: ['qr_code'] });
  const stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: 'environment' } });
  try {
    video.srcObject = stream;
    await video.play();
    for (;;) {
      signal.throwIfAborted();
      const [found] = await detector.detect(video);
      if (found !== undefined) return found.rawValue;
      await new Promise((drawn) => requestAnimationFrame(drawn));
    }
  } finally {
    for (const track of stream.getTracks()) track.stop();
    video.srcObject = null;
  }
}
