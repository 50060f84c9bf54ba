import js from '@eslint/js';
import globals from 'globals';

// The scripts run as they are, as classic scripts, in browsers of the last few years.
export default [
  { ignores: ['**/vendor/**'] },
  js.configs.recommended,
  {
    files: ['**/*.js'],
    languageOptions: { ecmaVersion: 2022, sourceType: 'script', globals: { ...globals.browser } },
    rules: {
      eqeqeq: 'error',
      'no-implicit-globals': 'error',
      'no-unused-vars': ['error', { caughtErrors: 'none' }],
      'no-empty': ['error', { allowEmptyCatch: true }],
    },
  },
  { files: ['**/edition-guard.js'], languageOptions: { globals: { say: 'readonly' } } },  // the build puts the words there
  {
    files: ['**/offline-worker.js', '**/hand-in-worker.js'],
    languageOptions: { globals: { ...globals.serviceworker, VERSION: 'readonly', FILES: 'readonly', HAND_IN: 'readonly' } },
    rules: { 'no-implicit-globals': 'off' },
  },
];
