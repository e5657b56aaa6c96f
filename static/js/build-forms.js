/* What somebody does on a build is kept on this phone first, then sent: with signal at once,
 * without it later. A form says what it does by `data-act`. Without this script, or where nothing
 * can be kept, the same forms are sent plainly.
 */
(() => {
  "use strict";

  if (!self.buildNow) return;
  const { actQueue, buildNow, phonePhotos, unsentActs } = self;
  const PATIENCE = 1_500;
  const plain = new WeakSet();

  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!form.matches("form[data-act]") || plain.has(form)) return;
    event.preventDefault();
    if (form.dataset.busy) return;
    form.dataset.busy = "yes";
    keep(form, event.submitter).finally(() => delete form.dataset.busy);
  });

  async function keep(form, button) {
    const act = await actOf(form, button);
    if (!act) return;
    try {
      await actQueue.add({ code: buildNow.code, person: buildNow.person, act });
    } catch {
      /* Nothing can be kept here, for want of room or leave: as if there were no script. */
      if (!navigator.onLine) return unsentActs.tellNoRoom(form);
      plain.add(form);
      form.requestSubmit(button);
      return;
    }
    navigator.storage?.persist?.();
    form.reset();
    say(gettext("Saved on this phone."));
    await goOn(act, form);
  }

  function say(words) {
    document.getElementById("announce").textContent = words;
  }

  /* --- What the form says --- */

  async function actOf(form, button) {
    const { elements } = form;
    const value = (name) => elements[name]?.value ?? "";
    const act = {
      once: crypto.randomUUID(),
      kind: form.dataset.act,
      step: form.dataset.step ?? value("step"),
      at: new Date().toISOString(),
    };
    if (act.kind === "note") return { ...act, text: storable(value("text")) };
    if (act.kind === "shortage") return { ...act, ...shortage(value, button) };
    if (act.kind !== "photo") return act;
    const image = await phonePhotos.shrunk(elements.photo);
    return image && { ...act, image, note: storable(value("note")) };
  }

  function shortage(value, button) {
    const report = button?.name === "report" ? button.value : value("report");
    return {
      what: value("what"),
      count: Number(value("count")),
      is_damaged: report === "damaged",
      note: storable(value("note")),
    };
  }

  /* No database keeps a NUL or half a pair of surrogates; such come only by pasting. */
  const storable = (words) => words.replaceAll("\0", "").replace(/\p{Surrogate}/gu, "\ufffd");

  /* --- And then --- */

  /* After a tick to what can be done next; after all else the page stays, or comes anew. */
  async function goOn(act, form) {
    /* Tapped before anything was known of the build: what comes next has to be asked for. */
    if (!(await actQueue.build(buildNow.code))) await buildNow.update();
    const next = buildNow.nextAfter(act.step, await buildNow.stepsNow());
    const late = new Promise((kept) => setTimeout(kept, PATIENCE, { state: "offline" }));
    const { state } = await Promise.race([unsentActs.send(), late]);
    if (state === "offline") unsentActs.askForSync();
    const { overview } = document.querySelector("[data-build]").dataset;
    if (act.kind === "tick") location.assign(next ? next.address : overview);
    else if (form.dataset.back) location.assign(form.dataset.back);
    else if (state === "sent" && !isWriting()) location.reload();
    else await buildNow.update();
  }

  const isWriting = () => [...document.querySelectorAll("form[data-act] :is(textarea, input)")]
    .some((field) => !["hidden", "radio"].includes(field.type) && field.value !== field.defaultValue);
})();
