import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { nudge } from './amounts';
import { shownLimits, stepsFrom, stepSize, steppedGrams, type MassStep } from './mass-steps';
import { measureScale, scaleFigure } from './words';

const grams = fc.integer({ min: 1, max: 50_000 });
const round: MassStep = { metric: 50, us: 2 };

describe('a mass that is stepped and typed', () => {
  it('is as many grams as there are where all that is shown is typed', () => {
    // 640 g are 22.58 oz, shown as 22.6, of which a scale would make 641 g.
    const limits = { min_g: 0, max_g: 640 };
    expect(shownLimits(limits, 'us')).toEqual({ min: 0, max: 22.6 });
    expect(steppedGrams(22.6, round, limits, 'us')).toBe(640);
    fc.assert(
      fc.property(grams, fc.constantFrom('metric' as const, 'us' as const), (max_g, units) => {
        const shown = Number(measureScale(max_g, units).figure);
        expect(steppedGrams(shown, round, { min_g: 0, max_g }, units)).toBe(max_g);
      }),
    );
  });

  it('is never more than there is, and always whole grams', () => {
    fc.assert(
      fc.property(
        grams,
        grams,
        fc.double({ min: 0, max: 1, noNaN: true }),
        (max_g, pack_g, share) => {
          const limits = { min_g: 1, max_g };
          const { max } = shownLimits(limits, 'us');
          for (const step of [round, { pack_g }]) {
            // With more decimals than are shown, too.
            const mass_g = steppedGrams(max * share, step, limits, 'us');
            expect(Number.isInteger(mass_g)).toBe(true);
            expect(mass_g).toBeGreaterThanOrEqual(1);
            expect(mass_g).toBeLessThanOrEqual(max_g);
          }
        },
      ),
    );
  });

  it('goes by whole packs to the gram, and down again to nothing', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 5, max: 5000 }),
        fc.integer({ min: 1, max: 9 }),
        (pack_g, count) => {
          const step = { pack_g };
          const limits = { min_g: 0, max_g: pack_g * count };
          const shown = shownLimits(limits, 'us');
          const size = stepSize(step, 'us');
          let mass_g = 0;
          for (const way of [1, -1]) {
            for (let pressed = 1; pressed <= count; pressed += 1) {
              const next = nudge(stepsFrom(mass_g, step, 'us'), way * size, shown);
              mass_g = steppedGrams(next, step, limits, 'us');
              expect(mass_g).toBe(pack_g * (way > 0 ? pressed : count - pressed));
            }
          }
        },
      ),
    );
  });

  it('takes what is typed for whole packs where it says just that', () => {
    // 341 g are 12.03 oz; 12.0 oz would be 340 g.
    const limits = { min_g: 0, max_g: 2000 };
    expect(steppedGrams(12, { pack_g: 341 }, limits, 'us')).toBe(341);
    expect(steppedGrams(12, round, limits, 'us')).toBe(340);
    expect(steppedGrams(340, { pack_g: 341 }, limits, 'metric')).toBe(340);
  });

  it('does not stick at a gram more than whole packs', () => {
    // Four packs of 12 oz, 340 g each, and the gram that 3 lb have more.
    const [step, limits] = [{ pack_g: 340 }, { min_g: 0, max_g: 1361 }];
    const down = nudge(
      stepsFrom(1361, step, 'us'),
      -stepSize(step, 'us'),
      shownLimits(limits, 'us'),
    );
    expect(steppedGrams(down, step, limits, 'us')).toBe(1020);
  });

  it('stays as it was read and shown', () => {
    fc.assert(
      fc.property(fc.integer({ min: 5, max: 17_000 }), (tenths) => {
        const mass_g = steppedGrams(tenths / 10, round, { min_g: 0, max_g: 50_000 }, 'us');
        expect(stepsFrom(mass_g, round, 'us')).toBe(tenths / 10);
        expect(scaleFigure(mass_g, 'us')).toBe(tenths / 10);
      }),
    );
  });
});
