import { describe, expect, it } from 'vitest';
import { setAside, unread, withRead } from './read-cautions';

const AT = '2026-11-25T09:00:00Z';
const plunger = { key: 'plunger', moment: 'grinder', text: 'Plunger only.', source: 's' };
const plug = { key: 'plug', moment: 'grinder', text: 'Unplug it.', source: 's' };

describe('the cautions of a batch', () => {
  it('are shown until they are ticked or set aside', () => {
    expect(unread([plunger, plug], null)).toEqual([plunger, plug]);
    const ticked = withRead(null, ['plunger'], AT);
    expect(unread([plunger, plug], ticked)).toEqual([plug]);
    expect(unread([plunger, plug], withRead(ticked, [setAside(plug)], AT))).toEqual([]);
  });

  it('keep what was noted before', () => {
    expect(withRead([{ what: 'plunger', at: AT }], ['plug'], AT)).toEqual([
      { what: 'plunger', at: AT },
      { what: 'plug', at: AT },
    ]);
  });
});
