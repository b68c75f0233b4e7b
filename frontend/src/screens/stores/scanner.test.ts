import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { watch } from './scanner';
import { soon } from '../../test/soon';

const stop = vi.fn();
/** What the detector does at each look. */
let detect: () => Promise<readonly { rawValue: string }[]>;

class FakeDetector {
  static getSupportedFormats(): Promise<string[]> {
    return Promise.resolve(['qr_code']);
  }

  detect = () => detect();
}

function videoThat(plays: () => Promise<void>): HTMLVideoElement {
  return { srcObject: null, play: plays } as unknown as HTMLVideoElement;
}

beforeEach(() => {
  stop.mockClear();
  vi.stubGlobal('BarcodeDetector', FakeDetector);
  const stream = { getTracks: () => [{ stop }] };
  vi.stubGlobal('navigator', {
    mediaDevices: { getUserMedia: () => Promise.resolve(stream) },
  });
});

afterEach(() => {
  vi.unstubAllGlobals();
});

describe('the camera', () => {
  it('is let go when the page is left before its picture comes', async () => {
    const video = videoThat(() => Promise.reject(new Error('taken out of the page')));
    await expect(watch(video, vi.fn())).rejects.toThrow('taken out of the page');
    expect(stop).toHaveBeenCalledOnce();
  });

  it('is looked at again after a look that failed', async () => {
    let looks = 0;
    detect = () => {
      looks += 1;
      return looks === 1
        ? Promise.reject(new Error('no picture yet'))
        : Promise.resolve([{ rawValue: 'a code' }]);
    };
    const found = vi.fn();
    const end = await watch(
      videoThat(() => Promise.resolve()),
      found,
    );
    await soon(() => {
      expect(found).toHaveBeenCalledWith('a code');
    });
    end();
    expect(stop).toHaveBeenCalledOnce();
  });
});
