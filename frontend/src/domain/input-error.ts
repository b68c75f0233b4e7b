/** What was given cannot be used; `fields` names what to mend. */
export class InputError extends Error {
  readonly fields: readonly string[];

  constructor(message: string, fields: readonly string[]) {
    super(message);
    this.name = 'InputError';
    this.fields = fields;
  }
}
