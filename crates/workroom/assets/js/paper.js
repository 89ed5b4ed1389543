// @ts-check
/** The paper page with scripts on: count and map follow what is chosen, and the focus stays where it is. */
const form = /** @type {HTMLFormElement | null} */ (document.querySelector("[data-paper]"));
/** @type {AbortController | null} */
let asking = null;

/** @param {HTMLFormElement} form */
async function follow(form) {
  asking?.abort();
  asking = new AbortController();
  const words = new URLSearchParams();
  for (const [name, value] of new FormData(form)) if (typeof value === "string" && name !== "anyway") words.append(name, value);
  const address = `${form.getAttribute("action")}?${words}`;
  const count = document.getElementById("count");
  try {
    const answer = await fetch(address, { signal: asking.signal, credentials: "same-origin" });
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const now = page.getElementById("count");
    if (!answer.ok || !now || !count) {
      // What can't be made so is said where the count stands; the choices stay as they are.
      if (count) count.textContent = page.querySelector("main p.lead, main p")?.textContent ?? "It can’t be made so.";
      return;
    }
    count.replaceChildren(...now.childNodes);
    const map = document.querySelector(".outpage .map");
    const newer = page.querySelector(".outpage .map");
    if (map && newer) map.replaceChildren(...newer.childNodes);
    history.replaceState(null, "", address);
  } catch (trouble) {
    if (!(trouble instanceof DOMException && trouble.name === "AbortError")) form.requestSubmit();
  }
}

if (form) {
  form.querySelector("[data-show]")?.setAttribute("hidden", "");
  form.addEventListener("change", (event) => {
    const target = /** @type {HTMLInputElement} */ (event.target);
    if (target.name !== "anyway") void follow(form);
  });
}
