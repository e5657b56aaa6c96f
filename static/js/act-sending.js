/* Sends what is kept on this phone: in order, a few dozen acts at a time, one sender at a time.
 *
 * An act goes from the phone only when it was answered, so it may be sent twice; the server knows
 * it by its UUID and takes it once. Used by pages and by the service worker.
 */
(() => {
  "use strict";

  const ACTS_AT_ONCE = 50;
  const CHARACTERS_AT_ONCE = 3_000_000;
  const PATIENCE = 60_000;
  /* Not of these acts, but of who sends them, or of how many lately: they stay, to be sent again. */
  const NONE_TAKEN = [403, 409, 429];

  const WHO = "/who/";
  const LOG_IN = "/log-in/";
  const LOCK = "send acts";
  const CLOCK = "clock ahead by";

  /* Who came through the link of a kit has its address in the place of a build's code: no log-in. */
  const addressOf = (code) => (code.startsWith("k/") ? `/${code}/acts/` : `/builds/${code}/acts/`);
  const whoFor = (row) => (row.to ? WHO : addressOf(row.code));

  /* Why sending ended before all was sent. */
  class Stopped extends Error {
    constructor(state, why = "") {
      super(why);
      this.state = state;
    }
  }

  async function ask(address, options = {}) {
    let answer;
    try {
      const signal = AbortSignal.timeout(PATIENCE);
      answer = await fetch(address, { credentials: "same-origin", signal, ...options });
    } catch {
      throw new Stopped("offline");
    }
    if (answer.status === 401) throw new Stopped("log in");
    if (answer.redirected && new URL(answer.url).pathname === LOG_IN) throw new Stopped("log in");
    if (answer.status >= 500 || answer.redirected) throw new Stopped("offline");
    return answer;
  }

  async function whyOf(answer) {
    try {
      return (await answer.json()).why || "";
    } catch {
      return interpolate(gettext("The server answered %(status)s."), { status: answer.status }, true);
    }
  }

  /* Who is logged in, with a fresh token, and by how many milliseconds this phone's clock is ahead:
   * it asked and was answered half way, so to say, when the server looked at its own. */
  async function who(address = WHO, patience = PATIENCE) {
    const asked = Date.now();
    const answer = await ask(address, { signal: AbortSignal.timeout(patience) });
    const answered = Date.now();
    if (!answer.ok) return { why: await whyOf(answer) };
    const said = await answer.json();
    const ahead = Math.round((asked + answered) / 2 - Date.parse(said.now));
    self.localStorage?.setItem(CLOCK, ahead);
    return { ...said, ahead };
  }

  /* The token of the page may be days old: each round asks for a fresh one, and who is logged in. */
  async function tokenFor(row, tokens) {
    const address = whoFor(row);
    if (!tokens.has(address)) tokens.set(address, await who(address));
    return tokens.get(address);
  }

  function batchOf(rows, atOnce) {
    const batch = [];
    let weight = 0;
    for (const row of rows) {
      weight += JSON.stringify(row.act).length;
      if (row.to || row.code !== rows[0].code || batch.length === atOnce) break;
      if (batch.length && weight > CHARACTERS_AT_ONCE) break;
      batch.push(row);
    }
    return batch;
  }

  function post(batch, { token, person, ahead }) {
    const acts = batch.map((row) => row.act);
    return ask(addressOf(batch[0].code), {
      method: "POST",
      headers: { "Content-Type": "application/json", "X-CSRFToken": token },
      body: JSON.stringify({ person, ahead, sent: new Date().toISOString(), acts }),
    });
  }

  function postForm({ to, act }, { token }) {
    return ask(to, {
      method: "POST",
      headers: { "X-CSRFToken": token, "X-Kept-On-Phone": "yes" },
      body: act.image ? withPhoto(act) : new URLSearchParams(act.fields),
    });
  }

  function withPhoto({ fields, photo, image }) {
    const body = new FormData();
    for (const [name, value] of fields) body.append(name, value);
    const bytes = Uint8Array.from(atob(image), (one) => one.charCodeAt(0));
    body.append(photo, new Blob([bytes], { type: "image/jpeg" }), "photo.jpg");
    return body;
  }

  /* A form by itself: taken, or kept with why not. */
  async function sendForm(row, token) {
    const answer = await postForm(row, token);
    if (answer.ok) await self.actQueue.settle([row], [await answer.json()]);
    else await self.actQueue.refuse(row, await whyOf(answer));
  }

  /* What is to be sent now, in its order. Acts of another person stay for that person; so do those
   * that were refused. */
  async function sendable(tokens) {
    const found = { rows: [], why: "" };
    for (const row of (await self.actQueue.all()).filter((one) => !one.refused)) {
      const token = await tokenFor(row, tokens);
      found.why ||= token.why || "";
      if (token.person === row.person) found.rows.push(row);
    }
    return found;
  }

  /* One round. */
  async function sendAll() {
    const tokens = new Map();
    let atOnce = ACTS_AT_ONCE;
    for (;;) {
      const { rows, why } = await sendable(tokens);
      if (!rows.length) return { state: why ? "refused" : "sent", why };
      const token = tokens.get(whoFor(rows[0]));
      if (rows[0].to) {
        await sendForm(rows[0], token);
        continue;
      }
      const batch = batchOf(rows, atOnce);
      const answer = await post(batch, token);
      if (NONE_TAKEN.includes(answer.status)) {
        throw new Stopped("refused", await whyOf(answer));
      }
      if (answer.ok) {
        const { answers, build } = await answer.json();
        await self.actQueue.settle(batch, answers, build);
      } else if (batch.length > 1) atOnce = 1;
      else await self.actQueue.refuse(batch[0], await whyOf(answer));
    }
  }

  async function send() {
    try {
      return await navigator.locks.request(LOCK, sendAll);
    } catch (stopped) {
      if (!(stopped instanceof Stopped)) throw stopped;
      return { state: stopped.state, why: stopped.message };
    }
  }

  /* False if it was sent meanwhile: what is on its way is waited for. */
  function withdraw(row) {
    return navigator.locks.request(LOCK, async () => {
      const isHere = (await self.actQueue.all()).some((one) => one.seq === row.seq);
      if (isHere) await self.actQueue.throwAway(row);
      return isHere;
    });
  }

  /* By this phone's clock, less what it was wrong when it was measured last. */
  const now = () => new Date(Date.now() - Number(self.localStorage?.getItem(CLOCK) ?? 0));

  self.actSending = { send, who, withdraw, now };
})();
