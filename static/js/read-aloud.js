/* Reads a step aloud: what its page marks with `data-aloud`, in order. Only with a voice that is on
 * the phone, so that nothing leaves it and no signal is needed; where it has none in the language
 * of the page, there is no button.
 */
(() => {
  "use strict";

  const button = document.querySelector("[data-read-aloud]");
  const { speechSynthesis } = self;
  if (!button || !speechSynthesis) return;

  /* The last piece of what is being read; null while it is quiet. */
  let last = null;

  /* Android writes en_GB. */
  const tag = (language) => language.replace("_", "-").toLowerCase();
  const wanted = tag(document.documentElement.lang);

  function findVoice() {
    const [language] = wanted.split("-");
    const here = speechSynthesis.getVoices().filter(
      (one) => one.localService && tag(one.lang).split("-")[0] === language);
    return here.find((one) => tag(one.lang) === wanted) || here.find((one) => one.default) || here[0];
  }

  const words = (one) => one.textContent.replace(/\s+/g, " ").trim();

  function show() {
    button.hidden = !findVoice();
    button.textContent = last ? button.dataset.stop : button.dataset.read;
  }

  function stop() {
    last = null;
    speechSynthesis.cancel();
    show();
  }

  /* A piece each: long ones are broken off by some phones. */
  function read() {
    const voice = findVoice();
    const seen = [...document.querySelectorAll("[data-aloud]")].filter(
      (one) => !one.closest("[hidden]"));
    const pieces = seen.map((one) => {
      const piece = new SpeechSynthesisUtterance(words(one));
      [piece.voice, piece.lang] = [voice, voice.lang];
      piece.addEventListener("end", () => piece === last && stop());
      piece.addEventListener("error", () => piece === last && stop());
      return piece;
    });
    speechSynthesis.cancel();
    last = pieces.at(-1);
    pieces.forEach((one) => speechSynthesis.speak(one));
    show();
  }

  button.addEventListener("click", () => (last ? stop() : read()));
  /* Voices are known some time after the page is. */
  speechSynthesis.addEventListener?.("voiceschanged", show);
  self.addEventListener("pagehide", stop);
  show();
})();
