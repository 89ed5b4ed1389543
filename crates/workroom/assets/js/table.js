// @ts-check
/**
 * The draft table with scripts on: the paper follows the hand, can be moved and enlarged, and measured.
 * All drawing is done by the server; here are only waiting, swapping and moving.
 */

const form = /** @type {HTMLFormElement | null} */ (document.querySelector("#table"));
if (form) begin(form);

/** @param {HTMLFormElement} form */
function begin(form) {
  form.classList.add("live");
  const live = form.dataset.live ?? "";
  const keep = form.dataset.keep ?? "";
  /** The paper's place on the screen: part of it that is seen, kept over redraws. @type {string | null} */
  let box = null;
  let working = false;
  /** @type {null | (() => Promise<void>)} */
  let next = null;
  let timer = 0;
  let settled = 0;

  /** One request is in flight; the newest goes next. @param {() => Promise<void>} work */
  async function queue(work) {
    if (working) {
      next = work;
      return;
    }
    working = true;
    try {
      await work();
    } finally {
      working = false;
      const then = next;
      next = null;
      if (then) queue(then);
    }
  }

  /** @param {string} address @param {Record<string, string>} more */
  async function ask(address, more = {}) {
    const data = new URLSearchParams();
    for (const [name, value] of new FormData(form)) if (typeof value === "string") data.append(name, value);
    for (const [name, value] of Object.entries(more)) data.set(name, value);
    const answer = await fetch(address, { method: "POST", body: data, credentials: "same-origin" });
    if (answer.redirected || !answer.ok) {
      // What stands in the way is told by the page itself.
      if (answer.status === 409 || answer.status === 401) form.requestSubmit();
      throw new Error(String(answer.status));
    }
    swap(await answer.text());
  }

  /** Puts each part of an answer in the place of the part with its name. @param {string} text */
  function swap(text) {
    const parts = document.createElement("template");
    parts.innerHTML = text;
    for (const part of [...parts.content.children]) {
      const old = part.id && document.getElementById(part.id);
      if (!old) continue;
      if (part.id === "slips") {
        const open = old.querySelector("details[open] .says")?.textContent;
        for (const slip of part.querySelectorAll("details")) {
          if (open) slip.open = slip.querySelector(".says")?.textContent === open;
        }
        if (open && !part.querySelector("details[open]")) part.querySelector("details")?.setAttribute("open", "");
      }
      if (part.id === "pattern") {
        for (const name of old.classList) if (name.startsWith("no-") || name === "far") part.classList.add(name);
        if (box) part.setAttribute("viewBox", box);
      }
      if (part instanceof HTMLInputElement && old instanceof HTMLInputElement) old.value = part.value;
      else old.replaceWith(part);
    }
  }

  const redraw = () => queue(() => ask(live).catch(() => {}));
  const settle = () => {
    clearTimeout(settled);
    settled = window.setTimeout(() => queue(() => ask(keep, { do: "draw" }).catch(() => {})), 350);
  };

  const hand = form.querySelector("#hand");
  hand?.addEventListener("input", (event) => {
    const target = /** @type {HTMLInputElement} */ (event.target);
    const typed = /** @type {HTMLInputElement | null} */ (document.querySelector("#hand-box"));
    if (target.id === "hand-slide" && typed) {
      typed.value = written(Number(target.value), form.dataset.unit === "in");
      redraw();
      settle();
      return;
    }
    clearTimeout(timer);
    timer = window.setTimeout(() => { redraw(); settle(); }, target.type === "radio" ? 0 : 150);
  });
  hand?.addEventListener("keydown", (event) => {
    const key = /** @type {KeyboardEvent} */ (event);
    const slide = /** @type {HTMLInputElement | null} */ (document.querySelector("#hand-slide"));
    const target = /** @type {HTMLElement} */ (key.target);
    if (target.id !== "hand-box" || !slide) return;
    const inch = form.dataset.unit === "in" ? 8 : 10;
    const by = { ArrowUp: 1, ArrowDown: -1, PageUp: inch, PageDown: -inch }[key.key];
    if (!by) return;
    key.preventDefault();
    slide.value = String(Number(slide.value) + by * Number(slide.step));
    slide.dispatchEvent(new Event("input", { bubbles: true }));
  });
  form.addEventListener("submit", (event) => {
    const button = /** @type {HTMLButtonElement | null} */ (/** @type {SubmitEvent} */ (event).submitter);
    if (!button || !["less", "more", "draw"].includes(button.value) || button.name !== "do") return;
    event.preventDefault();
    clearTimeout(settled);
    queue(() => ask(keep, { do: button.value }).catch(() => form.submit()));
  });

  // A slip leads to its place, a mark to its slip.
  document.addEventListener("click", (event) => {
    const target = /** @type {Element} */ (event.target);
    const mark = target.closest('a[href^="#finding-"]');
    if (mark) {
      event.preventDefault();
      const slip = /** @type {HTMLDetailsElement | null} */ (document.querySelector(mark.getAttribute("href") ?? ""));
      if (slip) {
        slip.open = true;
        slip.querySelector("summary")?.focus();
        slip.scrollIntoView({ block: "nearest" });
      }
    }
    const place = target.closest("[data-lit]");
    if (place) {
      event.preventDefault();
      document.querySelector("#paper")?.scrollIntoView({ block: "nearest" });
      /** @type {HTMLElement | null} */ (document.querySelector("#paper"))?.focus({ preventScroll: true });
    }
  });

  // Moving and enlarging the paper.
  const paper = /** @type {HTMLElement | null} */ (document.querySelector("#paper"));
  const drawing = () => /** @type {SVGSVGElement | null} */ (document.querySelector("#pattern"));
  /** @param {(b: { x: number, y: number, w: number, h: number }) => void} change */
  function move(change) {
    const svg = drawing();
    if (!svg) return;
    const [x, y, w, h] = (svg.getAttribute("viewBox") ?? "0 0 1 1").split(" ").map(Number);
    const b = { x, y, w, h };
    change(b);
    box = [b.x, b.y, b.w, b.h].map((v) => v.toFixed(1)).join(" ");
    svg.setAttribute("viewBox", box);
    svg.classList.add("far");
  }
  const whole = () => {
    box = null;
    const svg = drawing();
    if (!svg) return;
    svg.setAttribute("viewBox", svg.dataset.whole ?? svg.getAttribute("viewBox") ?? "");
    svg.classList.remove("far");
  };
  /** @param {number} by @param {number} [fx] @param {number} [fy] */
  const larger = (by, fx = 0.5, fy = 0.5) => move((b) => {
    const w = Math.min(Math.max(b.w / by, 20), 4000);
    const h = b.h * (w / b.w);
    b.x += (b.w - w) * fx;
    b.y += (b.h - h) * fy;
    b.w = w;
    b.h = h;
  });
  paper?.addEventListener("wheel", (event) => {
    if (!event.ctrlKey) return;
    event.preventDefault();
    const r = paper.getBoundingClientRect();
    larger(event.deltaY < 0 ? 1.15 : 1 / 1.15, (event.clientX - r.left) / r.width, (event.clientY - r.top) / r.height);
  }, { passive: false });
  /** Fingers on the paper: one moves it once it is enlarged, two enlarge it. @type {Map<number, PointerEvent>} */
  const fingers = new Map();
  let moved = false;
  paper?.addEventListener("pointerdown", (event) => { fingers.set(event.pointerId, event); moved = false; });
  window.addEventListener("pointerup", (event) => fingers.delete(event.pointerId));
  window.addEventListener("pointercancel", (event) => fingers.delete(event.pointerId));
  window.addEventListener("pointermove", (event) => {
    const last = fingers.get(event.pointerId);
    const svg = drawing();
    if (!last || !svg) return;
    if (fingers.size === 1 && (event.pointerType === "mouse" || svg.classList.contains("far"))) {
      if (Math.hypot(event.clientX - last.clientX, event.clientY - last.clientY) > 3) moved = true;
      if (!moved) return;
      const matrix = svg.getScreenCTM();
      const scale = matrix ? matrix.a : 1;
      move((b) => {
        b.x -= (event.clientX - last.clientX) / scale;
        b.y -= (event.clientY - last.clientY) / scale;
      });
    } else if (fingers.size === 2) {
      const other = [...fingers.values()].find((f) => f.pointerId !== event.pointerId);
      if (other) {
        const before = Math.hypot(last.clientX - other.clientX, last.clientY - other.clientY);
        const after = Math.hypot(event.clientX - other.clientX, event.clientY - other.clientY);
        if (before > 0 && after > 0) larger(after / before);
        moved = true;
      }
    }
    fingers.set(event.pointerId, event);
  });

  // Measuring between two points: the server knows the points and says the length.
  /** @type {{ x: number, y: number } | null} */
  let first = null;
  let measuring = false;
  const between = form.dataset.between ?? "";
  paper?.addEventListener("click", async (event) => {
    const svg = drawing();
    if (!measuring || moved || !svg) return;
    const matrix = svg.getScreenCTM()?.inverse();
    if (!matrix) return;
    const p = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix);
    const mm = Number(svg.dataset.mm ?? 1);
    const here = { x: p.x * mm, y: p.y * mm };
    if (!first) {
      first = here;
      say("Now the other end.");
      return;
    }
    const ends = new URLSearchParams({ x1: String(first.x), y1: String(first.y), x2: String(here.x), y2: String(here.y) });
    first = null;
    const answer = await fetch(`${between}?${ends}`, { credentials: "same-origin" });
    if (answer.ok) swap(await answer.text());
  });
  /** @param {string} text */
  function say(text) {
    const out = document.querySelector("#measured");
    if (out) out.textContent = text;
  }
  /** @param {boolean} on */
  function measure(on) {
    measuring = on;
    first = null;
    document.querySelector("#measure")?.setAttribute("open", "");
    say(on ? "Press two places on the paper. Near a corner or a notch it is taken from there." : "");
  }
  document.querySelector("[data-measure]")?.addEventListener("click", (event) => {
    event.preventDefault();
    measure(!measuring);
    paper?.focus();
  });

  // Lines shown or hidden.
  for (const tick of document.querySelectorAll("[data-hides]")) {
    tick.addEventListener("change", () => {
      const t = /** @type {HTMLInputElement} */ (tick);
      drawing()?.classList.toggle(`no-${t.dataset.hides}`, !t.checked);
    });
  }
  for (const button of document.querySelectorAll("[data-look]")) {
    button.addEventListener("click", (event) => {
      const look = /** @type {HTMLElement} */ (button).dataset.look;
      if (look === "whole") { event.preventDefault(); whole(); }
      if (look === "larger") { event.preventDefault(); larger(1.3); }
      if (look === "smaller") { event.preventDefault(); larger(1 / 1.3); }
    });
    /** @type {HTMLElement} */ (button).hidden = false;
  }

  // Keys act only while the paper has the focus, and can be switched off in Settings.
  let lit = 0;
  let walked = -1;
  paper?.addEventListener("keydown", (event) => {
    if (event.altKey || event.metaKey || (event.ctrlKey && event.key.length === 1)) return;
    const letters = document.body.dataset.letters !== "off";
    const slips = [...document.querySelectorAll("details.slip")];
    const key = event.key;
    const go = (/** @type {number} */ dx, /** @type {number} */ dy) => move((b) => { b.x += b.w * dx; b.y += b.h * dy; });
    if (key === "ArrowLeft") go(-0.08, 0);
    else if (key === "ArrowRight") go(0.08, 0);
    else if (key === "ArrowUp") go(0, -0.08);
    else if (key === "ArrowDown") go(0, 0.08);
    else if (key === "Escape") { measure(false); whole(); }
    else if (!letters) return;
    else if (key === "+" || key === "=") larger(1.3);
    else if (key === "-") larger(1 / 1.3);
    else if (key === "0") whole();
    else if (key.toLowerCase() === "f" && slips.length) {
      lit = (lit + (event.shiftKey ? slips.length - 1 : slips.some((s) => /** @type {HTMLDetailsElement} */ (s).open) && lit === 0 && !event.repeat ? 1 : 1)) % slips.length;
      /** @type {HTMLDetailsElement} */ (slips[lit]).open = true;
      say(slips[lit].querySelector(".says")?.textContent ?? "");
    } else if (key === "Enter" && event.target === paper) {
      /** @type {HTMLButtonElement | null} */ (document.querySelector("details.slip[open] button.main"))?.click();
    } else if (key.toLowerCase() === "e") {
      const edges = /** @type {HTMLSelectElement | null} */ (document.querySelector("#edge"));
      if (edges) {
        walked = (walked + (event.shiftKey ? edges.options.length - 1 : 1)) % edges.options.length;
        edges.selectedIndex = walked;
        say(edges.options[walked].textContent ?? "");
      }
    } else if (key.toLowerCase() === "m") measure(!measuring);
    else if (key.toLowerCase() === "s") location.assign(form.dataset.steps ?? "");
    else if (key.toLowerCase() === "b") location.assign(form.dataset.compare ?? "");
    else if (key.toLowerCase() === "u") /** @type {HTMLButtonElement | null} */ (document.querySelector('button[value="back"]'))?.click();
    else if (key.toLowerCase() === "r") /** @type {HTMLButtonElement | null} */ (document.querySelector('button[value="again"]'))?.click();
    else return;
    event.preventDefault();
  });
}

/**
 * A number of a slide as she writes it: whole inches and eighths.
 * @param {number} value @param {boolean} inches
 */
export function written(value, inches) {
  const slide = /** @type {HTMLInputElement | null} */ (document.querySelector("#hand-slide"));
  if (!inches || (slide && slide.step !== "0.125")) return String(Math.round(value * 100) / 100);
  const eighths = Math.round(Math.abs(value) * 8);
  const whole = Math.floor(eighths / 8);
  let top = eighths % 8;
  let bottom = 8;
  while (top && top % 2 === 0) { top /= 2; bottom /= 2; }
  const sign = value < 0 && eighths ? "-" : "";
  if (!top) return `${sign}${whole}`;
  return whole ? `${sign}${whole} ${top}/${bottom}` : `${sign}${top}/${bottom}`;
}
