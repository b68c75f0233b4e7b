import './ui/base.css';
import { mount } from 'svelte';
import App from './App.svelte';
import { boot, followOtherTabs } from './db/session.ts';
import { reportError } from './db/store.svelte.ts';
import { registerWorker } from './shell/worker.ts';

const target = document.getElementById('app');
if (!target) throw new Error('index.html has no element with id "app".');

addEventListener('unhandledrejection', (event) => {
  reportError(event.reason);
});
followOtherTabs();
mount(App, { target });
void boot();
void registerWorker();
