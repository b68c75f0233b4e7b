import { expect, it } from 'vitest';
import { isForNobody, namedBy } from './mealtime-dogs';

it('a new time leaves alone who eats then, whoever is away or has come since', () => {
  // Lunch is the puppy’s alone. While the other dog is away the puppy is all that are here.
  expect(namedBy(null, ['puppy'])).toEqual({});
});

it('all that are here ticked are all, those that come later too', () => {
  const here = ['puppy', 'tansy'];
  expect(namedBy(['puppy', 'tansy'], here)).toEqual({ dogs: [] });
  expect(namedBy(['tansy'], here)).toEqual({ dogs: ['tansy'] });
});

it('is for nobody when the only one ticked is away, but may stay so', () => {
  expect(isForNobody(['away'], ['morag', 'tansy'])).toBe(true);
  expect(isForNobody(['away', 'tansy'], ['morag', 'tansy'])).toBe(false);
  expect(isForNobody(null, ['morag'])).toBe(false);
  expect(isForNobody(null, [])).toBe(true);
});
