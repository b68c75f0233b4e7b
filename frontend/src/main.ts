import './ui/base.css';
import { mount } from 'svelte';
import App from './App.svelte';
import { boot, followOtherTabs } from './db/session.ts';
import { reportError } from './db/store.svelte.ts';
import { match } from './shell/routes.ts';

const target = document.getElementById('app');
if (!target) throw new Error('index.html has no element with id "app".');

addEventListener('unhandledrejection', (event) => {
  reportError(event.reason);
});
followOtherTabs();
// Both under way while the app is drawn; whoever shows the screen tells what went wrong with it.
void boot();
match(location.pathname)
  ?.load()
  .catch(() => undefined);
mount(App, { target });
