// @ts-check
/** The paper page with scripts on: another paper shows how it comes out as soon as it is chosen. */
const form = /** @type {HTMLFormElement | null} */ (document.querySelector("[data-paper]"));
form?.addEventListener("change", (event) => {
  const target = /** @type {HTMLInputElement} */ (event.target);
  if (target.name !== "anyway") form.requestSubmit();
});
