/* What this phone keeps: acts that are not sent yet, answers to be read, builds stored for work
 * without signal. Used by pages and by the service worker; everything is in IndexedDB, so that it
 * outlives a closed browser and a restarted phone.
 *
 * An act is kept as { seq, code, person, act, refused }: `seq` is its place in the order, `act` what
 * is sent as it stands, `refused` a sentence if the server would not have it.
 */
(() => {
  "use strict";

  const NAME = "on-this-phone";
  const PAGES = "build-pages";
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

  self.actQueue = {
    isPossible,

    add: (code, person, act) => change(["acts"], (acts) => acts.add({ code, person, act })),
    all: () => read("acts", (acts) => acts.getAll()),
    /* Answered: the acts go; answers that somebody has to read stay until they are read. */
    settle: (rows, answers) => change(["acts", "answers"], (acts, kept) => {
      for (const row of rows) acts.delete(row.seq);
      for (const [at, answer] of answers.entries()) {
        if (answer.is_odd) kept.add({ code: rows[at].code, person: rows[at].person, ...answer });
      }
    }),
    refuse: (row, why) => change(["acts"], (acts) => acts.put({ ...row, refused: why })),
    tryAgain: (row) => change(["acts"], (acts) => acts.put({ ...row, refused: "" })),
    throwAway: (row) => change(["acts"], (acts) => acts.delete(row.seq)),

    answers: () => read("answers", (kept) => kept.getAll()),
    readAnswer: (seq) => change(["answers"], (kept) => kept.delete(seq)),

    build: (code) => read("builds", (builds) => builds.get(code)),
    builds: () => read("builds", (builds) => builds.getAll()),
    /* What is known of it besides stays. */
    keepBuild: (code, facts) => change(["builds"], (builds) => {
      const known = builds.get(code);
      known.onsuccess = () => builds.put({ ...known.result, ...facts, code });
    }),
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
