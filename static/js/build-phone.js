/* Says on each page of a build what this phone keeps of it: whether the build is stored for work
 * without signal, what is not sent yet, what was not taken. Stores the build, and sends.
 */
(() => {
  "use strict";

  const here = document.querySelector("[data-build]");
  if (!here) return;
  if (!self.actQueue.isPossible() || !("serviceWorker" in navigator)) {
    here.querySelector("[data-no-store]").hidden = here.hidden = false;
    return;
  }

  const { actQueue, buildNow, unsentActs } = self;
  const part = (name) => here.querySelector(`[data-${name}]`);
  const isOwn = (row) => row.person === buildNow.person;
  let sending = { state: "sent", why: "" };
  let storing = null;

  /* --- Storing: every page of the build, once for each way in which it can change --- */

  async function store(build) {
    if (!build || storing || !navigator.onLine) return;
    const { stored_as: storedAs, pages } = build.told;
    if (build.stored === storedAs) return;
    storing = { done: 0, of: pages.length };
    try {
      await navigator.serviceWorker.ready;
      await actQueue.storePages(build.code, { storedAs, pages }, (done) => {
        storing.done = done;
        return show();
      });
    } catch {
      /* No signal, or no more leave to see it: it is tried again with the next look. */
    }
    storing = null;
    await show();
  }

  /* --- Words --- */

  const things = (count) => (count === 1 ? "1 thing" : `${count} things`);

  function wordsOnUnsent(count) {
    if (!count) return "";
    const head = `${count} not sent yet.`;
    if (sending.state === "log in") {
      return `${head} Kept on this phone. Log in again, and it is sent.`;
    }
    if (sending.state === "refused") return `${head} Kept on this phone. ${sending.why}`;
    return `${head} Kept on this phone, and sent as soon as there is signal.`;
  }

  function wordsOnStore(build) {
    if (storing) return `Storing for work without signal: ${storing.done} of ${storing.of} pages.`;
    if (build?.stored) return "Stored on this phone: works without signal.";
    return "Not stored on this phone yet: stay where there is signal.";
  }

  async function show() {
    const rows = await actQueue.all();
    const own = rows.filter(isOwn);
    const unsent = own.filter((row) => !row.refused).length;
    const others = rows.length - own.length;
    write(part("unsent"), wordsOnUnsent(unsent));
    write(part("others"), others
      ? `${things(others)} of somebody else who used this phone: sent when they log in here.` : "");
    write(part("stored"), wordsOnStore(await actQueue.build(buildNow.code)));
    part("send").hidden = !unsent || sending.state === "log in";
    part("log-in").hidden = !unsent || sending.state !== "log in";
    here.classList.toggle("has-unsent", Boolean(unsent));
    part("read").hidden = !own.length;
    part("odd").replaceChildren(
      ...own.filter((row) => row.refused).map(refusedLine),
      ...(await actQueue.answers()).filter(isOwn).map(oddLine));
  }

  function write(place, words) {
    if (place.textContent !== words) place.textContent = words;
    place.hidden = !words;
  }

  /* --- What was not taken --- */

  function line(words, ...buttons) {
    const made = document.createElement("li");
    made.append(words, " ", ...buttons);
    return made;
  }

  function button(words, work) {
    const made = document.createElement("button");
    made.type = "button";
    made.className = "button";
    made.textContent = words;
    made.addEventListener("click", work);
    return made;
  }

  const { told } = actQueue;

  const refusedLine = (row) => line(
    `${told(row.act)}: not taken, and kept on this phone. ${row.refused}`,
    button("Try again", async () => {
      await actQueue.tryAgain(row);
      await unsentActs.send();
    }),
    button("Throw away", () => {
      if (self.confirm(`Throw this away for good? ${told(row.act)}`)) actQueue.throwAway(row);
    }));

  const oddLine = (answer) => line(
    answer.sentence, button("I have read it", () => actQueue.readAnswer(answer.seq)));

  /* --- At work --- */

  part("send").addEventListener("click", unsentActs.send);
  self.addEventListener("kept-changed", show);
  self.addEventListener("acts-sent", async ({ detail }) => {
    sending = detail;
    if (detail.isAny && detail.state === "sent") await buildNow.update();
    await show();
  });
  self.addEventListener("build-refreshed", ({ detail }) => store(detail));
  self.addEventListener("load", async () => {
    here.hidden = false;
    await show();
    await navigator.serviceWorker.register(here.dataset.worker, { scope: "/" });
  });
})();
