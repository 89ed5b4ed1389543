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
  const paper = /** @type {HTMLElement | null} */ (document.querySelector("#paper"));
  const drawing = () => /** @type {SVGSVGElement | null} */ (document.querySelector("#pattern"));
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
    // The slide follows the box here, and the box the slide: what counts is what stands in the box.
    for (const [name, value] of new FormData(form)) if (typeof value === "string" && name !== "slide") data.append(name, value);
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
      const trace = part.querySelector(":scope > #trace");
      if (trace) {
        draw(trace);
        continue;
      }
      const old = part.id && document.getElementById(part.id);
      if (!old) continue;
      if (part.id === "measured") {
        // The line stays, so that what comes into it is heard.
        old.replaceChildren(...part.childNodes);
        continue;
      }
      const back = holder(old);
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
      if (part instanceof HTMLInputElement && old instanceof HTMLInputElement) {
        old.value = part.value;
        const says = part.getAttribute("aria-valuetext");
        if (says) old.setAttribute("aria-valuetext", says);
      } else old.replaceWith(part);
      if (back) back();
    }
  }

  /** What gives the focus back to a part that is about to be replaced, if it has it. @param {HTMLElement} old */
  function holder(old) {
    const active = document.activeElement;
    if (!(active instanceof Element) || active === old || !old.contains(active)) return null;
    const slip = active.closest("details.slip");
    const says = slip?.querySelector(".says")?.textContent;
    const href = active.getAttribute("href");
    const value = active.getAttribute("value");
    return () => {
      const now = document.getElementById(old.id);
      const slips = [...(now?.querySelectorAll("details.slip") ?? [])];
      const same = slips.find((s) => s.querySelector(".says")?.textContent === says)?.querySelector("summary");
      const link = href && now?.querySelector(`a[href="${CSS.escape(href)}"]`);
      const button = value && now?.querySelector(`button[value="${CSS.escape(value)}"]`);
      const to = /** @type {HTMLElement | null} */ (same ?? link ?? button ?? (old.id === "slips" ? now?.querySelector("summary") : null) ?? paper);
      to?.focus({ preventScroll: true });
    };
  }

  /** Draws what is measured on the paper. @param {Element} trace */
  function draw(trace) {
    document.querySelector("#pattern #trace")?.remove();
    drawing()?.append(trace);
  }

  const redraw = () => queue(() => ask(live).catch(() => {}));
  const settle = () => {
    clearTimeout(settled);
    settled = window.setTimeout(() => queue(() => ask(keep, { do: "draw" }).then(seek).catch(() => {})), 350);
  };

  /** Cures are sought behind the page: the newest search only. @type {AbortController | null} */
  let search = null;
  let sought = 0;
  function seek() {
    search?.abort();
    clearTimeout(sought);
    const more = document.querySelector("[data-more]");
    if (!more) return;
    more.textContent = "Cures are being sought.";
    sought = window.setTimeout(async () => {
      search = new AbortController();
      const seen = /** @type {HTMLInputElement | null} */ (document.querySelector("#seen"))?.value;
      try {
        const answer = await fetch(form.dataset.cures ?? "", { signal: search.signal, credentials: "same-origin" });
        const text = await answer.text();
        const now = /** @type {HTMLInputElement | null} */ (document.querySelector("#seen"))?.value;
        if (answer.ok && seen === now) swap(text);
      } catch {
        // Another search is under way, or Ellwand was shut: the slips stay as they are.
      }
    }, 250);
  }
  seek();

  const hand = form.querySelector("#hand");
  const boxed = /** @type {HTMLInputElement | null} */ (document.querySelector("#hand-box"))?.value ?? "";
  const told = document.querySelector("#hand-slide")?.getAttribute("aria-valuetext") ?? "";
  /** What the slide says after the number. */
  const unit = told.startsWith(boxed) ? told.slice(boxed.length) : "";
  /** The slide goes with what is typed, once it is a number: a step by the arrows goes on from there. @param {string} text */
  function slideTo(text) {
    const slide = /** @type {HTMLInputElement | null} */ (document.querySelector("#hand-slide"));
    const at = counted(text);
    if (!slide || at === null) return;
    slide.value = String(at);
    slide.setAttribute("aria-valuetext", text.trim() + unit);
  }
  hand?.addEventListener("input", (event) => {
    const target = /** @type {HTMLInputElement} */ (event.target);
    const typed = /** @type {HTMLInputElement | null} */ (document.querySelector("#hand-box"));
    if (target.id === "hand-slide" && typed) {
      typed.value = written(Number(target.value), form.dataset.unit === "in");
      target.setAttribute("aria-valuetext", typed.value + unit);
      redraw();
      settle();
      return;
    }
    if (target === typed) slideTo(typed.value);
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
    queue(() => ask(keep, { do: button.value }).then(seek).catch(() => form.submit()));
  });

  // A slip leads to its place, a mark to its slip.
  document.addEventListener("click", (event) => {
    const target = /** @type {Element} */ (event.target);
    const hit = target.closest('#pattern a[href^="#finding-"]');
    if (hit && measuring) return event.preventDefault();
    const mark = hit && event.detail ? nearest(event) ?? hit : hit;
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

  /** Of marks whose rounds overlap the one whose middle is nearest is meant. @param {MouseEvent} event */
  function nearest(event) {
    let best = null;
    let least = Infinity;
    for (const mark of document.querySelectorAll('#pattern a[href^="#finding-"]')) {
      const r = mark.getBoundingClientRect();
      const far = Math.hypot(r.left + r.width / 2 - event.clientX, r.top + r.height / 2 - event.clientY);
      if (far < least) [least, best] = [far, mark];
    }
    return best;
  }

  // Moving and enlarging the paper.
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
  /** Where on the part that is seen something lies: 0 to 1 across and down. @param {{ clientX: number, clientY: number }} event */
  function under(event) {
    const svg = drawing();
    const matrix = svg?.getScreenCTM()?.inverse();
    if (!svg || !matrix) return null;
    const p = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix);
    const [x, y, w, h] = (svg.getAttribute("viewBox") ?? "0 0 1 1").split(" ").map(Number);
    return { x: (p.x - x) / w, y: (p.y - y) / h };
  }
  paper?.addEventListener("wheel", (event) => {
    if (!event.ctrlKey) return;
    event.preventDefault();
    const at = under(event) ?? { x: 0.5, y: 0.5 };
    larger(event.deltaY < 0 ? 1.15 : 1 / 1.15, at.x, at.y);
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
        // What lies between the fingers stays between them: so two fingers move the paper too.
        const between = (/** @type {PointerEvent} */ one) => ({ clientX: (one.clientX + other.clientX) / 2, clientY: (one.clientY + other.clientY) / 2 });
        const [was, now] = [between(last), between(event)];
        const at = under(was);
        if (before > 0 && after > 0 && at) {
          larger(after / before, at.x, at.y);
          const scale = svg.getScreenCTM()?.a ?? 1;
          move((b) => {
            b.x -= (now.clientX - was.clientX) / scale;
            b.y -= (now.clientY - was.clientY) / scale;
          });
        }
        moved = true;
      }
    }
    fingers.set(event.pointerId, event);
  });

  // Measuring: the server knows the points and edges, says the length and draws it.
  /** @type {{ x: number, y: number } | null} */
  let first = null;
  let measuring = false;
  const between = form.dataset.between ?? "";
  /** The newest question alone is answered, and none once the tape is put away. */
  let questions = 0;
  /** @param {Record<string, string>} what */
  async function taken(what) {
    questions += 1;
    const mine = questions;
    const answer = await fetch(`${between}?${new URLSearchParams(what)}`, { credentials: "same-origin" });
    const text = await answer.text();
    if (answer.ok && mine === questions) swap(text);
  }
  paper?.addEventListener("click", async (event) => {
    const svg = drawing();
    if (!measuring || moved || !svg || !(/** @type {Element} */ (event.target).closest("#pattern"))) return;
    const matrix = svg.getScreenCTM()?.inverse();
    if (!matrix) return;
    const p = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix);
    const mm = Number(svg.dataset.mm ?? 1);
    const here = { x: p.x * mm, y: p.y * mm };
    const dots = /** @type {PointerEvent} */ (event).pointerType === "touch" ? 22 : 12;
    const ends = { x1: String((first ?? here).x), y1: String((first ?? here).y), finger: String(dots * matrix.a * mm) };
    const second = first;
    first = second ? null : here;
    await taken(second ? { ...ends, x2: String(here.x), y2: String(here.y) } : ends);
  });
  /** @param {string} text */
  function say(text) {
    const out = document.querySelector("#measured");
    if (out && out.textContent !== text) out.textContent = text;
  }
  /** @type {Record<string, HTMLElement | null>} */
  const panels = { measure: document.querySelector("#measure"), lines: document.querySelector("#lines") };
  /** Opens what stands under the paper, or shuts it. @param {string} name @param {boolean} on */
  function panel(name, on) {
    for (const [key, part] of Object.entries(panels)) part?.classList.toggle("on", on && key === name);
    if (location.hash === `#${name}`) history.replaceState(null, "", location.pathname + location.search);
    measuring = on && name === "measure";
    first = null;
    questions += 1;
    paper?.classList.toggle("measuring", measuring);
    say(measuring ? "Press two places on the paper, or choose them below. Near a corner, a notch or a line it is taken from there." : "");
    if (!on) document.querySelector("#pattern #trace")?.remove();
  }
  for (const link of document.querySelectorAll("[data-panel]")) {
    link.addEventListener("click", (event) => {
      event.preventDefault();
      const name = /** @type {HTMLElement} */ (link).dataset.panel ?? "";
      const on = !panels[name]?.classList.contains("on");
      panel(name, on);
      // Pressed by a key, it leads on by keys.
      const by = /** @type {MouseEvent} */ (event).detail === 0;
      if (on && by) /** @type {HTMLElement | null} */ (panels[name]?.querySelector("select, a"))?.focus();
      else if (on) {
        paper?.focus({ preventScroll: true });
        // Where it does not fit beside the hand, the paper comes to the top.
        if (name === "measure" && window.innerWidth < 700) paper?.scrollIntoView({ block: "start" });
        else panels[name]?.scrollIntoView({ block: "nearest" });
      }
    });
  }
  for (const link of document.querySelectorAll("[data-shut]")) {
    link.addEventListener("click", (event) => { event.preventDefault(); panel("", false); paper?.focus({ preventScroll: true }); });
  }
  for (const part of Object.values(panels)) {
    part?.addEventListener("keydown", (event) => {
      if (event.key === "Escape") { panel("", false); paper?.focus(); }
    });
  }
  // Opened by its address it is open: pressing works at once.
  if (panels.measure?.classList.contains("on") || location.hash === "#measure") {
    panels.measure?.classList.add("on");
    measuring = true;
  } else if (location.hash === "#lines") panels.lines?.classList.add("on");
  const points = ["#a", "#b", "#edge"].map((id) => /** @type {HTMLSelectElement | null} */ (document.querySelector(id)));
  for (const select of points) {
    select?.addEventListener("change", () => {
      const [a, b, edge] = points.map((s) => s?.value ?? "");
      // An edge and a pair of points are measured one at a time here.
      if (select.id === "edge" && edge) taken({ edge });
      else if (a && b) taken({ a, b });
    });
  }

  // Lines shown or hidden.
  for (const link of document.querySelectorAll("[data-line]")) {
    link.addEventListener("click", (event) => {
      event.preventDefault();
      const name = `no-${/** @type {HTMLElement} */ (link).dataset.line}`;
      const off = drawing()?.classList.toggle(name) ?? false;
      const state = link.querySelector(".state");
      if (state) state.textContent = off ? "hidden" : "shown";
      const hide = /** @type {HTMLInputElement | null} */ (form.elements.namedItem("hide"));
      const all = [...(drawing()?.classList ?? [])].filter((c) => c.startsWith("no-"));
      if (hide) hide.value = all.map((c) => c.slice(3)).join(",");
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
    else if (key === "Escape") { panel("", false); whole(); }
    else if (!letters) return;
    else if (key === "+" || key === "=") larger(1.3);
    else if (key === "-") larger(1 / 1.3);
    else if (key === "0") whole();
    else if (key.toLowerCase() === "f" && slips.length) {
      const at = slips.findIndex((s) => /** @type {HTMLDetailsElement} */ (s).open);
      const lit = event.shiftKey ? (at <= 0 ? slips.length : at) - 1 : (at + 1) % slips.length;
      const slip = /** @type {HTMLDetailsElement} */ (slips[lit]);
      slip.open = true;
      slip.scrollIntoView({ block: "nearest" });
      say(`${lit + 1} of ${slips.length}: ${slip.querySelector(".says")?.textContent ?? ""}.`);
    } else if (key === "Enter" && event.target === paper) {
      /** @type {HTMLButtonElement | null} */ (document.querySelector("details.slip[open] button.main"))?.click();
    } else if (key.toLowerCase() === "e") {
      const edges = /** @type {HTMLSelectElement | null} */ (document.querySelector("#edge"));
      if (edges) {
        // The first of the list is no edge.
        const many = edges.options.length - 1;
        if (many < 1) return;
        walked = (walked + (event.shiftKey ? many - 1 : 1)) % many;
        edges.selectedIndex = walked + 1;
        taken({ edge: edges.value });
      }
    } else if (key.toLowerCase() === "m") {
      panel("measure", !measuring);
      if (measuring) /** @type {HTMLElement | null} */ (panels.measure?.querySelector("select"))?.focus();
    }
    else if (key.toLowerCase() === "s") location.assign(form.dataset.steps ?? "");
    else if (key.toLowerCase() === "b") location.assign(form.dataset.compare ?? "");
    else if (key.toLowerCase() === "u") press("back");
    else if (key.toLowerCase() === "r") press("again");
    else return;
    event.preventDefault();
  });

  /** Takes back or puts again, once what is under way is kept. @param {string} what */
  function press(what) {
    queue(async () => /** @type {HTMLButtonElement | null} */ (document.querySelector(`#backs button[value="${what}"], .back button[value="${what}"]`))?.click());
  }
  // The keys that every hand knows, anywhere but in a box that has its own.
  document.addEventListener("keydown", (event) => {
    if (!(event.ctrlKey || event.metaKey) || event.altKey || event.defaultPrevented) return;
    const into = /** @type {Element | null} */ (event.target);
    if (into?.matches?.("textarea, select, [contenteditable], input:not([type=range], [type=radio], [type=checkbox])")) return;
    if (document.querySelector("dialog[open]")) return;
    const key = event.key.toLowerCase();
    const what = key === "z" ? (event.shiftKey ? "again" : "back") : key === "y" ? "again" : "";
    if (!what) return;
    event.preventDefault();
    press(what);
  });
}

/**
 * A number as she types it, whole or with a fraction or a point; null for anything else.
 * @param {string} text
 */
export function counted(text) {
  const parts = /^\s*(-?)(?:(\d+(?:[.,]\d+)?)\s*)?(?:(?<![\d.,])(\d+)\s*[/\u2044]\s*(\d+))?\s*$/.exec(text);
  if (!parts || (parts[2] === undefined && parts[3] === undefined)) return null;
  const [, sign, whole = "0", top = "0", bottom = "1"] = parts;
  const value = Number(whole.replace(",", ".")) + Number(top) / Number(bottom);
  return Number.isFinite(value) ? (sign ? -value : value) : null;
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
