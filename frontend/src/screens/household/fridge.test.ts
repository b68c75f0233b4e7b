import { expect, test } from 'vitest';
import { fridgeWords, readTemperature, temperatureError, temperatureWords } from './fridge';

// By definition: °F = °C × 9/5 + 32 (NIST Special Publication 811, appendix B).
test('a temperature is told and read in the unit of the member', () => {
  expect(temperatureWords(4, 'metric')).toBe('4 °C');
  expect(temperatureWords(5, 'us')).toBe('41 °F');
  expect(readTemperature('41', 'us')).toBe(5);
  expect(readTemperature('3,5', 'metric')).toBe(3.5);
  expect(readTemperature('cold', 'metric')).toBeNull();
});

test('a temperature that was typed is told as it was typed', () => {
  for (let tenths = 338; tenths <= 680; tenths += 1) {
    const typed = String(tenths / 10);
    expect(temperatureWords(readTemperature(typed, 'us') ?? 0, 'us')).toBe(`${typed} °F`);
  }
  for (let tenths = 10; tenths <= 200; tenths += 1) {
    const typed = String(tenths / 10);
    expect(temperatureWords(readTemperature(typed, 'metric') ?? 0, 'metric')).toBe(`${typed} °C`);
  }
});

test('a fridge that nobody has measured is told as a range, and as that', () => {
  const fridge = { coldest_c: 2, warmest_c: 4, is_assumed: true };
  expect(fridgeWords(fridge, 'metric')).toBe('2 to 4 °C, not measured');
  expect(fridgeWords({ ...fridge, coldest_c: 4, is_assumed: false }, 'metric')).toBe('4 °C');
});

test('what cannot be a fridge is refused with what is allowed; nothing means unknown', () => {
  expect(temperatureError('', 'metric')).toBeNull();
  expect(temperatureError('4', 'metric')).toBeNull();
  expect(temperatureError('40', 'us')).toBeNull();
  expect(temperatureError('40', 'metric')).toBe(
    '40 does not go here. Give 1 to 20 °C, or leave it empty if nobody has measured it.',
  );
  expect(temperatureError('cold', 'us')).toMatch(/^“cold” is not a number\. Give 33\.8 to 68 °F/);
});
