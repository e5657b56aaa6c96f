/* A photo made upright and as small as the server keeps it, so that a phone has room for it. */
(() => {
  "use strict";

  const LONGEST_SIDE = 1600;
  const QUALITY = 0.85;

  /* JPEG in base64; null, with a word beside the field, for what is no photo. */
  async function shrunk(field) {
    let picture;
    try {
      picture = await createImageBitmap(field.files[0], { imageOrientation: "from-image" });
    } catch {
      refuse(field);
      return null;
    }
    const scale = Math.min(1, LONGEST_SIDE / Math.max(picture.width, picture.height));
    const canvas = document.createElement("canvas");
    canvas.width = Math.max(1, Math.round(picture.width * scale));
    canvas.height = Math.max(1, Math.round(picture.height * scale));
    const pen = canvas.getContext("2d");
    pen.fillStyle = "white";
    pen.fillRect(0, 0, canvas.width, canvas.height);
    pen.drawImage(picture, 0, 0, canvas.width, canvas.height);
    picture.close();
    return canvas.toDataURL("image/jpeg", QUALITY).split(",")[1];
  }

  function refuse(field) {
    field.setCustomValidity(
      gettext("This phone cannot read this photo. Choose a JPEG, PNG or WebP picture."));
    field.reportValidity();
    field.addEventListener("input", () => field.setCustomValidity(""), { once: true });
  }

  self.phonePhotos = { shrunk };
})();
