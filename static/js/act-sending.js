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

  const addressOf = (code) => `/builds/${code}/acts/`;

  /* Why sending ended before all was sent. */
  class Stopped extends Error {
    constructor(state, why = "") {
      super(why);
      this.state = state;
    }
  }

  async function ask(address, options = {}) {
    const signal = AbortSignal.timeout(PATIENCE);
    let answer;
    try {
      answer = await fetch(address, { credentials: "same-origin", signal, ...options });
    } catch {
      throw new Stopped("no signal");
    }
    if (answer.status === 401) throw new Stopped("log in");
    if (answer.status >= 500 || answer.redirected) throw new Stopped("no signal");
    return answer;
  }

  async function whyOf(answer) {
    try {
      return (await answer.json()).why || "";
    } catch {
      return `The server answered ${answer.status}.`;
    }
  }

  /* The token of the page may be days old: each round asks for a fresh one, and who is logged in. */
  async function tokenFor(code, tokens) {
    if (!tokens.has(code)) {
      const answer = await ask(addressOf(code));
      tokens.set(code, answer.ok ? await answer.json() : { why: await whyOf(answer) });
    }
    return tokens.get(code);
  }

  function batchOf(rows, atOnce) {
    const batch = [];
    let weight = 0;
    for (const row of rows) {
      weight += JSON.stringify(row.act).length;
      if (row.code !== rows[0].code || batch.length === atOnce) break;
      if (batch.length && weight > CHARACTERS_AT_ONCE) break;
      batch.push(row);
    }
    return batch;
  }

  function post(batch, { token, person }) {
    const acts = batch.map((row) => row.act);
    return ask(addressOf(batch[0].code), {
      method: "POST",
      headers: { "Content-Type": "application/json", "X-CSRFToken": token },
      body: JSON.stringify({ person, sent: new Date().toISOString(), acts }),
    });
  }

  /* One round. Acts of another person stay for that person; so do those that were refused. */
  async function sendAll() {
    const tokens = new Map();
    let atOnce = ACTS_AT_ONCE;
    let why = "";
    for (;;) {
      const kept = (await self.actQueue.all()).filter((row) => !row.refused);
      const sendable = [];
      for (const row of kept) {
        const token = await tokenFor(row.code, tokens);
        why ||= token.why || "";
        if (token.person === row.person) sendable.push(row);
      }
      if (!sendable.length) return { state: why ? "refused" : "sent", why };
      const batch = batchOf(sendable, atOnce);
      const answer = await post(batch, tokens.get(batch[0].code));
      if (answer.status === 403 || answer.status === 409) {
        throw new Stopped("refused", await whyOf(answer));
      }
      if (answer.ok) await self.actQueue.settle(batch, (await answer.json()).answers);
      else if (batch.length > 1) atOnce = 1;
      else await self.actQueue.refuse(batch[0], await whyOf(answer));
    }
  }

  async function send() {
    try {
      return await navigator.locks.request("send acts", sendAll);
    } catch (stopped) {
      if (!(stopped instanceof Stopped)) throw stopped;
      return { state: stopped.state, why: stopped.message };
    }
  }

  self.actSending = { send };
})();
