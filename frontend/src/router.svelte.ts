/** Which screen is open: the address bar is the only state, kept in step with the history. */

class Router {
  path = $state(location.pathname);
}

export const router = new Router();
