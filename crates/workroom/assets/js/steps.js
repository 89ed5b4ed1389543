// @ts-check
// Turns the steps without leaving the page, so that full screen stays; keys for the table and the wall.

/** The part of the page that a step fills. */
const place = () => /** @type {HTMLElement | null} */ (document.getElementById("steps"));

/** @type {AbortController | undefined} */
let waiting;

/** Full screen is being left by the page's own link, not by the browser's key. */
let leaving = false;

/** Whether a key press belongs to a box. @type {(target: EventTarget | null) => boolean} */
const typesInto = (target) =>
  target instanceof HTMLElement && target.matches("textarea, select, input, [contenteditable]");

/** An address of steps of this order. @type {(href: string) => boolean} */
const isStep = (href) => {
  const there = new URL(href, location.href);
  return there.origin === location.origin && /^\/orders\/\d+\/draft\/steps\/\d+$/.test(there.pathname);
};

/** Where the focus goes after a turn: the same button, else the sentence. @type {(id: string) => void} */
function focus(id) {
  const same = id ? document.getElementById(id) : null;
  const paper = /** @type {HTMLElement | null} */ (document.querySelector("#steps .paper"));
  (same ?? (id === "paper" ? paper : null))?.focus({ preventScroll: true });
}

/** Says the new step to those who listen. */
function tell() {
  let line = document.getElementById("steps-say");
  if (!line) {
    line = document.createElement("p");
    line.id = "steps-say";
    line.className = "vh";
    line.setAttribute("role", "status");
    document.body.append(line);
  }
  const which = document.querySelector("#steps .which")?.textContent ?? "";
  const says = document.getElementById("say")?.textContent ?? "";
  line.textContent = `${which}: ${says}`;
}

/** Takes a step from the server into the page. @type {(href: string, push: boolean) => Promise<void>} */
async function turn(href, push) {
  const here = place();
  if (!here) return;
  const active = document.activeElement;
  const id = active?.closest(".paper") ? "paper" : active?.id ?? "";
  waiting?.abort();
  waiting = new AbortController();
  try {
    const answer = await fetch(href, { signal: waiting.signal });
    if (!answer.ok) throw new Error(String(answer.status));
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const next = page.getElementById("steps");
    if (!next) throw new Error("no step");
    here.replaceWith(document.importNode(next, true));
    document.title = page.title;
    if (push) history.pushState(null, "", href);
    // A step begins at its top, also on a phone that was scrolled down to read.
    const top = place()?.offsetTop ?? 0;
    if (window.scrollY > top) window.scrollTo(0, top);
    focus(id);
    tell();
  } catch (trouble) {
    // Another step is already on its way, or the page itself says what is wrong.
    if (!(trouble instanceof DOMException && trouble.name === "AbortError")) location.assign(href);
  }
}

/** Full screen: the whole screen where the browser lets us, and no head in any case. */
async function wall() {
  const link = /** @type {HTMLAnchorElement | null} */ (document.getElementById("wall"));
  if (!link) return;
  const off = place()?.dataset.wall === "yes";
  leaving = off;
  try {
    if (off && document.fullscreenElement) await document.exitFullscreen();
    else if (!off) await document.documentElement.requestFullscreen();
  } catch {
    // The page without its head is large enough.
  }
  await turn(link.href, true);
  leaving = false;
}

/** Presses a link of the page by its id. @type {(id: string) => void} */
function press(id) {
  const link = /** @type {HTMLAnchorElement | null} */ (document.getElementById(id));
  if (!link) return;
  // A key never leaves the steps.
  if (isStep(link.href)) void turn(link.href, true);
}

document.addEventListener("click", (event) => {
  if (event.defaultPrevented || event.button !== 0 || event.ctrlKey || event.metaKey || event.shiftKey || event.altKey) return;
  // The tape is for a finger or a mouse only: the list of all steps does the same for everyone.
  const mark = event.target instanceof Element ? event.target.closest(".marks [data-step]") : null;
  if (mark instanceof HTMLElement) return void turn(mark.dataset.step ?? "", true);
  const link = event.target instanceof Element ? event.target.closest("a") : null;
  if (!link || !link.closest("#steps") || !isStep(link.href)) return;
  event.preventDefault();
  if (link.id === "wall") void wall();
  else void turn(link.href, true);
});

document.addEventListener("keydown", (event) => {
  if (event.defaultPrevented || event.ctrlKey || event.metaKey || event.altKey || typesInto(event.target)) return;
  if (document.querySelector("dialog[open]")) return;
  const onWall = place()?.dataset.wall === "yes";
  switch (event.key) {
    case "ArrowRight":
      event.preventDefault();
      return press("next");
    case "ArrowLeft":
      event.preventDefault();
      return press("back");
    case "PageDown":
    case "PageUp":
      // The keys of a hand-held presenter, where there is nothing to scroll.
      if (!onWall) return;
      event.preventDefault();
      return press(event.key === "PageDown" ? "next" : "back");
    case "Escape":
      if (onWall && !document.fullscreenElement) void wall();
      return;
    default:
  }
  // Letters only while the paper has the focus, or nothing else is on the wall.
  const onPaper = event.target instanceof Element && event.target.closest("#steps .paper");
  if (document.body.dataset.letters === "off" || !(onPaper || onWall)) return;
  if (event.key === "h" || event.key === "H") press("numbers");
  if (event.key === "f" || event.key === "F") void wall();
});

// The browser's own key ends full screen: then the head comes back too.
document.addEventListener("fullscreenchange", () => {
  if (!leaving && !document.fullscreenElement && place()?.dataset.wall === "yes") {
    const link = /** @type {HTMLAnchorElement | null} */ (document.getElementById("wall"));
    if (link) void turn(link.href, true);
  }
});

window.addEventListener("popstate", () => void turn(location.href, false));
