/**
 * Node, with modules compiled as for a browser: Svelte's runes then really react.
 * No document: what needs one is tested in a real browser.
 */
export default {
  name: 'phone',
  viteEnvironment: 'client',
  setup() {
    return {
      teardown() {
        // Nothing was set up.
      },
    };
  },
};
