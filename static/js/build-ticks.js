/* How a build stands, shown on its pages: what the server said last, and over it what is done on
 * this phone and not sent yet. So a page that was stored days ago says what is known today, and
 * several people see each other's ticks.
 */
(() => {
  "use strict";

  const here = document.querySelector("[data-build]");
  if (!here || !self.actQueue.isPossible()) return;

  const { actQueue } = self;
  const code = here.dataset.build;
  const person = Number(document.body.dataset.person);
  const OWN = gettext("you, on this phone, not sent yet");
  const EVERY = 20_000;
  const PATIENCE = 5_000;

  /* --- What is known --- */

  /* The build as the server told it, or as it was kept; null where neither is. */
  async function refresh() {
    const kept = await actQueue.build(code);
    let told;
    try {
      const signal = AbortSignal.timeout(PATIENCE);
      const answer = await fetch(here.dataset.ticks, { credentials: "same-origin", signal });
      if (!answer.ok || answer.redirected) return kept;
      told = await answer.json();
    } catch {
      return kept;
    }
    const isNew = JSON.stringify(kept?.told) !== JSON.stringify(told);
    if (isNew) await actQueue.keepBuild(code, { name: told.name, told });
    return actQueue.build(code);
  }

  /* Steps by key, in their order. A page or an act that was stored before a version in which keys
   * changed asks by the former one. */
  class Steps extends Map {
    constructor(told) {
      super(told.map((step) => [step.key, { ...step }]));
      this.former = new Map(told.filter((step) => step.was).map((step) => [step.was, step.key]));
    }

    get(key) {
      return super.get(this.former.get(key) ?? key);
    }
  }

  /* Its steps with what is done on this phone. Who ticks or begins a step is on no other any more. */
  async function stepsNow() {
    const kept = await actQueue.build(code);
    const steps = new Steps(kept?.told.steps || []);
    for (const row of await actQueue.all()) {
      if (row.code !== code || row.person !== person || row.refused) continue;
      const { kind, step: key } = row.act;
      if (!["tick", "untick", "start"].includes(kind)) continue;
      const step = steps.get(key) || { key, needs: [] };
      for (const other of steps.values()) other.own = "";
      if (kind === "tick") Object.assign(step, { is_done: true, done: OWN });
      else if (kind === "untick") Object.assign(step, { is_done: false, done: "" });
      else if (!step.is_done) step.own = gettext("you are on it, not sent yet");
      steps.set(step.key, step);
    }
    return steps;
  }

  const waitsFor = (step, steps) =>
    step.needs.map((key) => steps.get(key)).filter((need) => need && !need.is_done);

  /* What can be done next, rather further on and where nobody is; null when nothing can.
     Without a step that was just done (key ""): first of all what one began oneself. */
  function nextAfter(key, steps) {
    const ready = [...steps.values()].filter(
      (step) => step.number && !step.is_done && !waitsFor(step, steps).length);
    const free = ready.filter((step) => !step.on && !step.own);
    const number = steps.get(key)?.number || 0;
    const own = number ? null : ready.find((step) => step.own);
    return own || free.find((step) => step.number > number) || free[0] || ready[0] || null;
  }

  /* --- Shown --- */

  const all = (selector) => document.querySelectorAll(selector);

  function write(selector, words) {
    for (const one of all(selector)) if (one.textContent !== words) one.textContent = words;
  }

  function paragraph(name, words) {
    const made = document.createElement("p");
    made.className = name;
    made.textContent = words;
    return made;
  }

  const named = (step) => `${step.number}, ${step.title}`;

  /* A line of the overview. */
  function showLine(line, step, steps, next) {
    const waits = step.is_done ? [] : waitsFor(step, steps);
    line.className = step.is_done ? "is-done" : waits.length ? "waits" : "";
    if (step === next) line.className = "is-next";
    const said = [];
    if (step.is_done) said.push(paragraph("about", `${gettext("Done:")} ${step.done}`));
    const on = [step.own, step.on].filter(Boolean).join("; ");
    if (!step.is_done && on) said.push(paragraph("about on", on));
    if (waits.length) said.push(paragraph("about", `${gettext("Waits for:")} ${waits.map(named).join("; ")}`));
    line.querySelector("[data-said]").replaceChildren(...said);
  }

  /* The screen of a step. */
  function showStep(screen, step, steps) {
    const waits = waitsFor(step, steps);
    for (const one of all("[data-when-done]")) one.hidden = !step.is_done;
    for (const one of all("[data-when-open]")) one.hidden = Boolean(step.is_done);
    for (const one of all("[data-waits]")) one.hidden = step.is_done || !waits.length;
    write("[data-done-words]", step.done || "");
    const own = document.querySelector("[data-began]") ? "" : step.own;
    write("[data-on]", step.is_done ? "" : [own, step.on].filter(Boolean).join("; "));
    for (const form of all("form[data-act=start]")) form.hidden = Boolean(step.own);
    for (const one of all("[data-waits-words]")) {
      one.replaceChildren(...waits.map((need) => {
        const link = document.createElement("a");
        link.className = "target";
        link.href = need.address;
        link.textContent = interpolate(gettext("step %(number)s, %(title)s"), need, true);
        return link;
      }));
    }
    for (const bar of all("[data-tick-bar]")) showTickBar(bar, waits.length > 0);
  }

  function showTickBar(bar, isWaiting) {
    const button = bar.querySelector("button");
    bar.classList.toggle("stays", !isWaiting);
    button.classList.toggle("first", !isWaiting);
    button.textContent = isWaiting ? button.dataset.waiting : button.dataset.ready;
  }

  /* Notes, photos and reports of the step on the screen, before the server has them. */
  async function showKept() {
    for (const list of all("[data-kept-here]")) {
      const here = (await actQueue.all()).filter((row) => row.code === code && row.person === person
        && row.act.step === list.dataset.keptHere && (row.act.text || row.act.what || row.act.image));
      list.replaceChildren(...here.map(keptItem));
    }
  }

  function keptItem({ act }) {
    const made = document.createElement("li");
    made.append(paragraph("", actQueue.told(act)), paragraph("when", OWN));
    if (!act.image) return made;
    const photo = document.createElement("img");
    photo.src = `data:image/jpeg;base64,${act.image}`;
    photo.alt = act.note || gettext("Photo");
    made.append(photo);
    return made;
  }

  async function show() {
    await showKept();
    const steps = await stepsNow();
    const known = [...steps.values()].filter((step) => step.number);
    const next = nextAfter("", steps);
    for (const line of all("li[data-step]")) {
      const step = steps.get(line.dataset.step);
      if (step?.number) showLine(line, step, steps, next);
    }
    for (const screen of all("[data-step-screen]")) {
      const step = steps.get(screen.dataset.stepScreen);
      if (step) showStep(screen, step, steps);
    }
    const isTicked = known.every((step) => step.is_done || step.is_inspection);
    if (known.length && isTicked) {
      for (const one of all("[data-until-ticked]")) one.hidden = true;
      for (const one of all("[data-once-ticked]")) one.hidden = false;
    }
    if (known.length) showFar(known.filter((step) => step.is_done).length, known.length, next);
  }

  function showFar(done, total, next) {
    write("[data-far]", interpolate(gettext("%(done)s of %(total)s"), { done, total }, true));
    write("[data-far-done]", String(done));
    for (const bar of all("progress[data-far-bar]")) [bar.value, bar.max] = [done, total];
    for (const link of all("a[data-next]")) {
      link.hidden = !next;
      if (!next) continue;
      link.href = next.sign || next.address;
      const words = wordsOfNext(next, done);
      /* What else stands in it says that it is done, and not sent yet (kept-forms.js). */
      if (link.firstChild?.nodeValue !== words) link.textContent = words;
    }
  }

  function wordsOfNext(next, done) {
    if (next.sign) return gettext("Inspect and sign");
    const words = done ? gettext("Continue with step %(number)s") : gettext("Start with step %(number)s");
    return interpolate(words, next, true);
  }

  /* --- Kept up to date --- */

  async function update() {
    const build = await refresh();
    await show();
    self.dispatchEvent(new CustomEvent("build-refreshed", { detail: build }));
  }

  self.buildNow = { code, person, stepsNow, nextAfter, update };

  self.addEventListener("kept-changed", show);
  self.addEventListener("online", update);
  setInterval(() => {
    if (!document.hidden) update();
  }, EVERY);
  document.addEventListener("visibilitychange", () => {
    if (!document.hidden) update();
  });
  self.addEventListener("load", async () => {
    /* A stored page says what was known when it was stored. */
    if (!navigator.onLine) await show();
    await update();
  });
})();
