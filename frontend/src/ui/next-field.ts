/** Walking through a form with the next key of a phone's keyboard. */

const FIELDS = 'input:not([type="checkbox"], [type="radio"], [type="hidden"]), textarea';

/** The field after `current` in the order of the page; null after the last. */
export function fieldAfter(form: HTMLElement, current: Element): HTMLElement | null {
  const fields = [...form.querySelectorAll<HTMLElement>(FIELDS)];
  const at = fields.findIndex((field) => field === current);
  return at < 0 ? null : (fields[at + 1] ?? null);
}

/** Enter in a one-line field goes on to the next one; after the last the keyboard closes. */
export function nextField(form: HTMLElement): { destroy: () => void } {
  const onKey = (event: KeyboardEvent): void => {
    const field = event.target;
    if (event.key !== 'Enter' || !(field instanceof HTMLInputElement)) return;
    event.preventDefault();
    const next = fieldAfter(form, field);
    if (next === null) field.blur();
    else next.focus();
  };
  form.addEventListener('keydown', onKey);
  return { destroy: () => form.removeEventListener('keydown', onKey) };
}
