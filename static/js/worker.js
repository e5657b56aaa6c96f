/* The service worker: gives stored pages and files where the phone is offline, and sends what is
 * kept when the browser says that it is online again.
 *
 * `self.plan` comes before this, from the server:
 * { version, files, pages, noSignal, staticAt, words, isLoose }.
 */
(() => {
  "use strict";

  const { plan, actQueue, actSending } = self;
  const FILES = `files-${plan.version}`;
  const PATIENCE = 4_000;
  const ALIKE = { ignoreSearch: true, ignoreVary: true };
  /* What stands on the packet; the server leads from it to the build. */
  const SHORT_LINK = /^\/b\/([^/]+)\/?$/;

  self.addEventListener("install", (event) => {
    event.waitUntil(fetchFiles().then(() => self.skipWaiting()));
  });

  self.addEventListener("activate", (event) => {
    event.waitUntil(dropOldFiles().then(() => self.clients.claim()));
  });

  self.addEventListener("sync", (event) => {
    if (event.tag === "acts") event.waitUntil(sendOrFail());
  });

  self.addEventListener("fetch", (event) => {
    const { request } = event;
    const url = new URL(request.url);
    if (url.origin !== self.location.origin) return;
    if (request.method !== "GET") {
      if (request.mode === "navigate") event.respondWith(sent(request));
    } else if (request.mode === "navigate") event.respondWith(page(request, url));
    else if (isFile(url)) event.respondWith(file(request, url));
  });

  function isFile(url) {
    return url.pathname.startsWith(plan.staticAt) || plan.words.includes(url.pathname + url.search);
  }

  async function fetchFiles() {
    const cache = await caches.open(FILES);
    /* As nobody: what is kept for all must not name who is logged in. */
    await cache.addAll(
      [...plan.files, ...plan.words, ...plan.pages].map((one) => new Request(one, { credentials: "omit" })));
  }

  async function dropOldFiles() {
    const names = await caches.keys();
    const old = names.filter((name) => name.startsWith("files-") && name !== FILES);
    await Promise.all(old.map((name) => caches.delete(name)));
  }

  /* A sync that fails is tried again by the browser, later. */
  async function sendOrFail() {
    const { state, why } = await actSending.send();
    if (state === "offline") throw new Error(why || state);
  }

  /* From the server if it answers soon; else as it was stored; else the page that says so. */
  async function page(request, url) {
    const pages = await actQueue.pages();
    const stored = await pages.match(url.pathname, ALIKE);
    try {
      const answer = await (stored ? soon(fetch(request)) : fetch(request));
      if (stored && answer.status >= 500) return stored;
      if (stored && answer.ok && !url.search) await store(url.pathname, answer.clone());
      return answer;
    } catch {
      const link = stored ? null : SHORT_LINK.exec(url.pathname);
      const build = link && `/builds/${link[1].toUpperCase()}/`;
      if (build && (await pages.match(build, ALIKE))) return Response.redirect(build);
      return stored || forAll(url.pathname);
    }
  }

  /* A form of a page: sent, or the page that says that it was not. */
  async function sent(request) {
    try {
      return await fetch(request);
    } catch {
      return forAll(plan.noSignal);
    }
  }

  /* A page that is stored for any holder of the phone. */
  async function forAll(path) {
    const cache = await caches.open(FILES);
    return (await cache.match(path, ALIKE)) || cache.match(plan.noSignal, ALIKE);
  }

  /* Only pages that are stored already are stored again: which ones are is said by the pages. */
  async function store(path, answer) {
    if (answer.type === "basic" && !answer.redirected) {
      await (await actQueue.pages()).put(path, answer);
    }
  }

  function soon(answer) {
    const late = new Promise((_kept, failed) => setTimeout(failed, PATIENCE, new Error("late")));
    return Promise.race([answer, late]);
  }

  /* A name with its content's hash in it never changes; where there is none, ask first. */
  async function file(request, url) {
    const cache = await caches.open(FILES);
    const stored = await cache.match(url.pathname, ALIKE);
    if (stored && !plan.isLoose) return stored;
    try {
      return await fetch(request);
    } catch {
      return stored || (await namesake(cache, url)) || Response.error();
    }
  }

  /* A page stored before an update asks for files of then: those of now do as well. */
  async function namesake(cache, url) {
    const bare = (path) => path.replace(/\.[0-9a-f]{12}(?=\.\w+$)/, "");
    const known = (await cache.keys()).find(
      (one) => bare(new URL(one.url).pathname) === bare(url.pathname));
    return known && cache.match(known);
  }
})();
