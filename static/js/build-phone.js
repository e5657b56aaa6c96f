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

  const { actQueue, actSending, buildNow } = self;
  const part = (name) => here.querySelector(`[data-${name}]`);
  const isOwn = (row) => row.person === buildNow.person;
  const head = headLine();
  let sending = { state: "sent", why: "" };
  let storing = null;

  /* The count, where the eye falls first; what it means stands at the foot of the page. */
  function headLine() {
    const link = document.createElement("a");
    link.className = "unsent-head";
    link.href = "#on-phone";
    link.hidden = true;
    document.getElementById("work").prepend(link);
    return link;
  }

  /* --- Sending --- */

  async function send() {
    if ((await actQueue.all()).some((row) => isOwn(row) && !row.refused)) {
      sending = await actSending.send();
      if (sending.state === "sent") await buildNow.update();
    }
    await show();
  }

  /* --- Storing: every page of the build, once for each way in which it can change --- */

  async function store(build) {
    if (!build || storing || !navigator.onLine) return;
    const { stored_as: storedAs, pages } = build.told;
    if (build.stored === storedAs) return;
    storing = { done: 0, of: pages.length };
    try {
      await navigator.serviceWorker.ready;
      const cache = await actQueue.pages();
      for (const page of pages) {
        const answer = await fetch(page, { credentials: "same-origin", priority: "low" });
        if (!answer.ok || answer.redirected) throw new Error(`${page} is not to be had`);
        await cache.put(page, answer);
        storing.done += 1;
        await show();
      }
      await actQueue.keepBuild(build.code, { stored: storedAs });
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
    write(head, unsent ? `${unsent} not sent yet` : "");
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

  const KINDS = {
    tick: "A tick", untick: "A step opened again", start: "Being on a step",
    note: "A note", photo: "A photo", shortage: "A missing or damaged part",
  };

  const told = (act) => [KINDS[act.kind], act.text || act.what || act.note].filter(Boolean).join(", ");

  const refusedLine = (row) => line(
    `${told(row.act)}: not taken, and kept on this phone. ${row.refused}`,
    button("Try again", async () => {
      await actQueue.tryAgain(row);
      await send();
    }),
    button("Throw away", () => {
      if (self.confirm(`Throw this away for good? ${told(row.act)}`)) actQueue.throwAway(row);
    }));

  const oddLine = (answer) => line(
    answer.sentence, button("I have read it", () => actQueue.readAnswer(answer.seq)));

  /* --- At work --- */

  part("send").addEventListener("click", send);
  self.addEventListener("kept-changed", show);
  self.addEventListener("online", send);
  self.addEventListener("build-refreshed", async (event) => {
    await store(event.detail);
    await send();
  });
  self.addEventListener("load", async () => {
    here.hidden = false;
    await show();
    await send();
    await navigator.serviceWorker.register(here.dataset.worker, { scope: "/" });
  });
})();
