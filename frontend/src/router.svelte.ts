/** Which screen is open. The address is the only state, kept in step with the history. */

import { SvelteURL } from 'svelte/reactivity';

function isPlainClick(event: MouseEvent): boolean {
  const hasModifier = event.metaKey || event.ctrlKey || event.shiftKey || event.altKey;
  return !event.defaultPrevented && event.button === 0 && !hasModifier;
}

/** A link that stays inside the app: same origin, same window, and not a page that the server draws. */
function innerLink(event: MouseEvent): URL | null {
  const link = (event.target as Element | null)?.closest('a');
  if (!link || link.target || link.hasAttribute('download')) return null;
  const url = new URL(link.href, location.href);
  const isOurs =
    url.origin === location.origin && !/^\/(api|static|admin|trust)(\/|$)/.test(url.pathname);
  return isOurs ? url : null;
}

class Router {
  #url = new SvelteURL(location.href);

  get path(): string {
    return this.#url.pathname;
  }

  get query(): URLSearchParams {
    return this.#url.searchParams;
  }

  /** Opens another screen, as a tap on a link does. */
  go(href: string): void {
    if (new URL(href, location.href).href === location.href) return;
    history.pushState(null, '', href);
    this.#moved();
  }

  /** Opens another screen in place of this one: the way back skips it. */
  replace(href: string): void {
    history.replaceState(null, '', href);
    this.#moved();
  }

  back(): void {
    history.back();
  }

  /** Follows the address and the links; returns how to stop. */
  start(): () => void {
    const onPop = (): void => {
      this.#url.href = location.href;
    };
    const onClick = (event: MouseEvent): void => {
      const url = isPlainClick(event) ? innerLink(event) : null;
      if (!url) return;
      event.preventDefault();
      this.go(url.href);
    };
    addEventListener('popstate', onPop);
    document.addEventListener('click', onClick);
    return () => {
      removeEventListener('popstate', onPop);
      document.removeEventListener('click', onClick);
    };
  }

  #moved(): void {
    this.#url.href = location.href;
    scrollTo(0, 0);
  }
}

export const router = new Router();
