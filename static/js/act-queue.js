/* What this phone keeps: acts that are not sent yet, answers to be read, builds stored for work
 * without signal. Used by pages and by the service worker; everything is in IndexedDB, so that it
 * outlives a closed browser and a restarted phone.
 *
 * An act is kept as { seq, code, to, person, act, refused }: `seq` is its place in the order, `act`
 * what is sent as it stands, `refused` a sentence if the server would not have it. What is done on a
 * build has the build's `code`; a form of another page has `to`, the address that it is sent to.
 */
(() => {
  "use strict";

  /* Their own script has the words in the reader's language. A page that was stored before there was
   * one says them in English. */
  self.gettext ??= (words) => words;
  self.ngettext ??= (one, many, count) => (count === 1 ? one : many);
  self.interpolate ??= (words, values) => words.replace(/%\((\w+)\)s/g, (_all, name) => String(values[name]));
  const { gettext, interpolate } = self;

  const NAME = "on-this-phone";
  const PAGES = "build-pages";
  /* So long after an answer of the server, another one that knows less was asked for before it. */
  const LATE_MS = 60_000;
  const channel = "BroadcastChannel" in self ? new BroadcastChannel(NAME) : null;
  let opened = null;

  /* Service workers, and caches, are there only over HTTPS or on the machine itself. */
  const isPossible = () => self.isSecureContext && "indexedDB" in self && "caches" in self;

  function promised(request) {
    return new Promise((kept, failed) => {
      request.onsuccess = () => kept(request.result);
      request.onerror = () => failed(request.error);
    });
  }

  function open() {
    opened ??= new Promise((kept, failed) => {
      const request = indexedDB.open(NAME, 1);
      request.onupgradeneeded = () => {
        request.result.createObjectStore("acts", { keyPath: "seq", autoIncrement: true });
        request.result.createObjectStore("answers", { keyPath: "seq", autoIncrement: true });
        request.result.createObjectStore("builds", { keyPath: "code" });
      };
      request.onsuccess = () => kept(request.result);
      request.onerror = () => failed(request.error);
    });
    return opened;
  }

  /* Strict: an act counts as kept when it is on the disk, not before. */
  async function change(stores, work) {
    const database = await open();
    await new Promise((kept, failed) => {
      const all = database.transaction(stores, "readwrite", { durability: "strict" });
      all.oncomplete = kept;
      all.onabort = () => failed(all.error);
      work(...stores.map((name) => all.objectStore(name)));
    });
    tell();
  }

  async function read(store, how) {
    const database = await open();
    return promised(how(database.transaction(store).objectStore(store)));
  }

  /* Other pages, and the worker, keep the same acts; one's own page is told as well. */
  function tell() {
    channel?.postMessage("changed");
    self.dispatchEvent(new Event("kept-changed"));
  }

  if (channel) channel.onmessage = () => self.dispatchEvent(new Event("kept-changed"));

  /* What is done later has a later moment, even where the clock was set back in between. */
  function addAfterLast(acts, row) {
    acts.openCursor(null, "prev").onsuccess = ({ target }) => {
      const last = Date.parse(target.result?.value.act.at);
      const at = Date.parse(row.act.at);
      acts.add(last > at ? { ...row, act: { ...row.act, at: isoOf(last + 1) } } : row);
    };
  }

  const isoOf = (moment) => new Date(moment).toISOString();

  /* How a build stands, unless what is known of it is newer. */
  function putBuild(builds, code, facts) {
    builds.get(code).onsuccess = ({ target }) => {
      const known = target.result;
      const isOld = facts.told && known?.told?.words > facts.told.words
        && Math.abs(Date.now() - (known.answeredAt ?? 0)) < LATE_MS;
      builds.put({ ...known, ...facts, ...(isOld && { told: known.told }), code });
    };
  }

  /* Stores pages for work without signal, one after the other, under the name of a build or of other
   * work; `storedAs` says what they are made of. Pages that this person may not see are left out. */
  async function storePages(code, { storedAs, pages, ...facts }, tellDone = () => {}) {
    const cache = await caches.open(PAGES);
    for (const [at, page] of pages.entries()) {
      const answer = await fetch(page, { credentials: "same-origin", priority: "low" });
      if (answer.status >= 500 || answer.redirected) throw new Error(`${page} is not to be had`);
      if (answer.ok) await cache.put(page, answer);
      await tellDone(at + 1);
    }
    await self.actQueue.keepBuild(code, { ...facts, stored: storedAs });
  }

  const KINDS = {
    tick: gettext("Step done"), untick: gettext("Step reopened"), start: gettext("Step started"),
    note: gettext("Note"), photo: gettext("Photo"), shortage: gettext("Missing or damaged part"),
  };

  /* An act in words. */
  function told({ kind, label, said, text, note, what, count, is_damaged: isDamaged }) {
    const words = isDamaged ? gettext("%(count)s × %(part)s damaged") : gettext("%(count)s × %(part)s missing");
    const part = what && interpolate(words, { count, part: what }, true);
    return [label || KINDS[kind], ...(said || []), part, text, note].filter(Boolean).join(", ");
  }

  self.actQueue = {
    isPossible,
    told,
    storePages,

    add: (row) => change(["acts"], (acts) => addAfterLast(acts, row)),
    all: () => read("acts", (acts) => acts.getAll()),
    /* Answered: the acts go, and in the same moment how the build stands with them is known, so that
     * nobody sees it without them. Answers that somebody has to read stay until they are read. */
    settle: (rows, answers, build) => change(["acts", "answers", "builds"], (acts, kept, builds) => {
      for (const row of rows) acts.delete(row.seq);
      for (const [at, answer] of answers.entries()) {
        if (!answer.is_odd) continue;
        const { code, person, act } = rows[at];
        kept.add({ code, person, label: act.label, ...answer });
      }
      if (build) putBuild(builds, rows[0].code, { told: build, answeredAt: Date.now() });
    }),
    refuse: (row, why) => change(["acts"], (acts) => acts.put({ ...row, refused: why })),
    tryAgain: (row) => change(["acts"], (acts) => acts.put({ ...row, refused: "" })),
    throwAway: (row) => change(["acts"], (acts) => acts.delete(row.seq)),

    answers: () => read("answers", (kept) => kept.getAll()),
    readAnswer: (seq) => change(["answers"], (kept) => kept.delete(seq)),

    build: (code) => read("builds", (builds) => builds.get(code)),
    builds: () => read("builds", (builds) => builds.getAll()),
    /* What is known of it besides stays. */
    keepBuild: (code, facts) => change(["builds"], (builds) => putBuild(builds, code, facts)),
    pages: () => caches.open(PAGES),
    /* What is not sent stays, whoever comes. */
    async forgetBuilds() {
      await caches.delete(PAGES);
      await change(["builds", "answers"], (builds, answers) => {
        builds.clear();
        answers.clear();
      });
    },
  };
})();
