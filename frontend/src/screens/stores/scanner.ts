/** Reads codes from a camera or a picture: by the browser where it can, else by a library. */

type Source = HTMLVideoElement | ImageBitmap;

/** What both the browser's detector and the library's offer. */
interface Detector {
  detect: (source: Source) => Promise<readonly { readonly rawValue: string }[]>;
}

interface DetectorClass {
  new (options: { formats: string[] }): Detector;
  getSupportedFormats: () => Promise<readonly string[]>;
}

/** How often the camera is looked at [ms]. */
const LOOK_EVERY_MS = 150;

async function detector(): Promise<Detector> {
  const native = (globalThis as { BarcodeDetector?: DetectorClass }).BarcodeDetector;
  // Some systems have the class and no format, since the part that reads is not installed.
  if (native && (await native.getSupportedFormats()).includes('qr_code')) {
    return new native({ formats: ['qr_code'] });
  }
  const { decodeQR } = await import('qr/decode.js');
  const canvas = document.createElement('canvas');
  const context = canvas.getContext('2d', { willReadFrequently: true });
  return {
    detect: (source) => {
      canvas.width = source instanceof HTMLVideoElement ? source.videoWidth : source.width;
      canvas.height = source instanceof HTMLVideoElement ? source.videoHeight : source.height;
      if (context === null || canvas.width === 0) return Promise.resolve([]);
      context.drawImage(source, 0, 0);
      try {
        const image = context.getImageData(0, 0, canvas.width, canvas.height);
        return Promise.resolve([{ rawValue: decodeQR(image) }]);
      } catch {
        return Promise.resolve([]); // That is how it says that there is no code in the picture.
      }
    },
  };
}

/** The words of the code in a picture; null when none is found. */
export async function readPicture(file: Blob): Promise<string | null> {
  const picture = await createImageBitmap(file);
  const [found] = await (await detector()).detect(picture);
  picture.close();
  return found?.rawValue ?? null;
}

/** Looks at a video until it is stopped, and says each code that it sees. */
export async function watch(
  video: HTMLVideoElement,
  onfound: (text: string) => void,
): Promise<() => void> {
  const [eye, stream] = await Promise.all([
    detector(),
    navigator.mediaDevices.getUserMedia({ video: { facingMode: 'environment' }, audio: false }),
  ]);
  let isOver = false;

  function end(): void {
    isOver = true;
    for (const track of stream.getTracks()) track.stop();
    video.srcObject = null;
  }

  async function look(): Promise<void> {
    if (isOver) return;
    // A picture that cannot be read, such as the first one of a slow camera, is followed by others.
    const [found] = await eye.detect(video).catch(() => []);
    if (found && !isOver) onfound(found.rawValue);
    setTimeout(() => void look(), LOOK_EVERY_MS);
  }

  video.srcObject = stream;
  try {
    await video.play();
  } catch (error) {
    // The page was left meanwhile: nobody would end it.
    end();
    throw error;
  }
  void look();
  return end;
}

/** Whether there is a camera that a page may ask for: only over https or on the machine itself. */
export function hasCamera(): boolean {
  return 'mediaDevices' in navigator;
}
