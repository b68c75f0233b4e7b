import js from '@eslint/js';
import svelte from 'eslint-plugin-svelte';
import globals from 'globals';
import ts from 'typescript-eslint';
import svelteConfig from './svelte.config.js';

/** Refuses imports of the named folders, saying why. */
function keepOut(files, folders, reason) {
  return {
    files,
    ignores: ['**/*.test.ts'],
    rules: {
      'no-restricted-imports': [
        'error',
        {
          patterns: folders.map((folder) => ({
            regex: `(^|/)${folder}(/|$)`,
            message: reason,
          })),
        },
      ],
    },
  };
}

export default ts.config(
  { ignores: ['static/', 'node_modules/', 'src/**/*.gen.ts'] },
  js.configs.recommended,
  ts.configs.recommendedTypeChecked,
  svelte.configs.recommended,
  {
    languageOptions: {
      globals: { ...globals.browser },
      parserOptions: {
        project: ['tsconfig.json', 'tsconfig.node.json', 'tsconfig.worker.json'],
        extraFileExtensions: ['.svelte'],
        tsconfigRootDir: import.meta.dirname,
      },
    },
    rules: {
      '@typescript-eslint/no-unused-vars': [
        'error',
        { argsIgnorePattern: '^_', ignoreRestSiblings: true },
      ],
      '@typescript-eslint/consistent-type-imports': 'error',
      '@typescript-eslint/switch-exhaustiveness-check': 'error',
      'no-restricted-syntax': [
        'error',
        { selector: 'TSEnumDeclaration', message: 'Use a union of strings instead of an enum.' },
      ],
      'no-restricted-globals': [
        'error',
        { name: 'fetch', message: 'Only src/api talks to the server.' },
      ],
    },
  },
  { files: ['src/api/**'], rules: { 'no-restricted-globals': 'off' } },
  {
    files: ['**/*.svelte', '**/*.svelte.ts'],
    languageOptions: {
      parserOptions: { parser: ts.parser, svelteConfig },
    },
  },
  {
    // In markup ESLint sees a callback's parameter as any, since it does not know the props of the
    // component it goes to. svelte-check does, and runs with warnings as errors.
    files: ['**/*.svelte'],
    rules: {
      '@typescript-eslint/no-unsafe-argument': 'off',
      '@typescript-eslint/no-unsafe-assignment': 'off',
      '@typescript-eslint/no-unsafe-call': 'off',
      '@typescript-eslint/no-unsafe-member-access': 'off',
      '@typescript-eslint/no-unsafe-return': 'off',
    },
  },
  { files: ['**/*.js'], extends: [ts.configs.disableTypeChecked] },
  { files: ['build/**', '*.config.ts', '*.config.js'], languageOptions: { globals: globals.node } },
  keepOut(
    ['src/domain/**'],
    ['api', 'db', 'ui', 'screens', 'svelte', 'dexie'],
    'domain is plain arithmetic and rules: it imports nothing else of the app.',
  ),
  keepOut(['src/api/**'], ['db', 'ui', 'screens'], 'api knows the server only.'),
  keepOut(['src/db/**'], ['ui', 'screens'], 'db stores and syncs; it draws nothing.'),
  keepOut(
    ['src/ui/**'],
    ['api', 'db', 'screens'],
    'ui is given its data; it neither fetches nor queries.',
  ),
);
