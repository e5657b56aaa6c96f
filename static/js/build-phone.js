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

  function wordsOnUnsent(count) {
    if (!count) return "";
    const head = interpolate(
      ngettext("%(count)s not sent yet.", "%(count)s not sent yet.", count), { count }, true);
    if (sending.state === "log in") {
      return `${head} ${gettext("Saved on this phone. Log in again to send it.")}`;
    }
    if (sending.state === "refused") return `${head} ${gettext("Saved on this phone.")} ${sending.why}`;
    return `${head} ${gettext("Saved on this phone, and sent as soon as you are online.")}`;
  }

  function wordsOnStore(build) {
    if (storing) {
      return interpolate(
        gettext("Storing for work offline: %(done)s of %(of)s pages."), storing, true);
    }
    if (build?.stored) return gettext("Stored on this phone: works offline.");
    return gettext("Not stored on this phone yet: stay online.");
  }

  async function show() {
    const rows = await actQueue.all();
    const own = rows.filter(isOwn);
    const unsent = own.filter((row) => !row.refused).length;
    const others = rows.length - own.length;
    write(part("unsent"), wordsOnUnsent(unsent));
    write(part("others"), others ? interpolate(ngettext(
      "%(count)s report of another person who used this phone: sent when they log in here.",
      "%(count)s reports of another person who used this phone: sent when they log in here.",
      others), { count: others }, true) : "");
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
    interpolate(gettext("%(what)s: not accepted, and saved on this phone. %(why)s"),
      { what: told(row.act), why: row.refused }, true),
    button(gettext("Try again"), async () => {
      await actQueue.tryAgain(row);
      await unsentActs.send();
    }),
    button(gettext("Delete"), () => {
      const asked = gettext("Delete this for good? It will not be sent.");
      if (self.confirm(`${asked} ${told(row.act)}`)) actQueue.throwAway(row);
    }));

  const oddLine = (answer) => line(
    answer.sentence, button(gettext("Mark as read"), () => actQueue.readAnswer(answer.seq)));

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
