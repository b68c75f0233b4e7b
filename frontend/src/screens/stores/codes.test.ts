import { describe, expect, it } from 'vitest';
import { codeOf, packIn } from './codes';

const RID = '019ac3f0-1c2d-7abc-8def-0123456789ab';

describe('the code on a label', () => {
  it('opens what it was made for, at whatever address the server has now', () => {
    expect(packIn(codeOf(RID, 'https://dogs.example'))).toBe(RID);
    expect(packIn(codeOf(RID, 'http://192.168.1.20:8000'))).toBe(RID);
  });

  it.each([
    '',
    'a jar of jam',
    'https://dogs.example/stores',
    `https://dogs.example/dogs/${RID}`,
    RID,
  ])('says that %j is none of ours', (text) => {
    expect(packIn(text)).toBeNull();
  });
});
