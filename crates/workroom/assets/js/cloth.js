// @ts-check
// The cloth: better lays as they are found, and pieces moved by finger or key. Without this, "Look
// again" and the buttons at the piece do the same.

const page = /** @type {HTMLElement | null} */ (document.querySelector(".clothpage"));
const sheet = document.getElementById("lay");
const address = page ? `/orders/${page.dataset.order}/cloth` : "";
const kind = page?.dataset.for ?? "shell";

const live = sheet?.dataset.live;
if (sheet && live) {
  const source = new EventSource(live);
  source.addEventListener("lay", (event) => {
    const got = new DOMParser().parseFromString(event.data, "text/html");
    const answer = got.querySelector("[data-answer]");
    const lay = got.querySelector("svg");
    if (answer) document.getElementById("answer")?.replaceChildren(...answer.childNodes);
    if (lay) sheet.replaceChildren(lay);
  });
  source.addEventListener("time", (event) => {
    const progress = document.getElementById("progress");
    if (progress) progress.textContent = event.data;
  });
  source.addEventListener("done", () => {
    source.close();
    location.assign(`${address}?for=${encodeURIComponent(kind)}`);
  });
}

/** Sends what to do with a piece, and shows the page that follows. @type {(what: Record<string, string>) => Promise<void>} */
async function send(what) {
  const answer = await fetch(`${address}/hand`, { method: "POST", body: new URLSearchParams({ for: kind, ...what }) });
  if (answer.ok) location.assign(answer.url);
}

const form = /** @type {HTMLFormElement | null} */ (document.getElementById("hand"));
const inHand = form?.elements.namedItem("piece");
if (form && inHand instanceof HTMLInputElement) {
  const moves = { ArrowLeft: "left", ArrowRight: "right", ArrowUp: "up", ArrowDown: "down", t: "turn", p: "pin" };
  const press = (/** @type {KeyboardEvent} */ event) => {
    const what = moves[/** @type {keyof typeof moves} */ (event.key)];
    if (!what || event.ctrlKey || event.altKey || event.metaKey) return;
    const button = form.querySelector(`button[value="${what}"]`) ?? (what === "pin" ? form.querySelector('button[value="loose"]') : null);
    if (!(button instanceof HTMLButtonElement)) return;
    event.preventDefault();
    /** @type {Record<string, string>} */
    const sent = { piece: inHand.value, do: button.value };
    if (event.shiftKey) sent.fine = "yes";
    void send(sent);
  };
  form.addEventListener("keydown", press);
  const taken = sheet?.querySelector(`[data-of="${inHand.value}"]`);
  taken?.addEventListener("keydown", (event) => press(/** @type {KeyboardEvent} */ (event)));
  if (location.hash === "#hand") form.querySelector("button")?.focus({ preventScroll: true });
}

// Dragging: what it would lie over is marked while it moves; it comes to lie at the nearest place.
const drawing = /** @type {SVGSVGElement | null} */ (sheet?.querySelector("svg.lay") ?? null);
if (drawing && !live) {
  const scale = Number(drawing.dataset.scale);
  /** @type {{ of: Element, piece: string, x: number, y: number, dx: number, dy: number, asked: boolean } | null} */
  let held = null;
  /** @type {(event: PointerEvent) => { x: number, y: number }} */
  const at = (event) => {
    const matrix = drawing.getScreenCTM();
    const p = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix?.inverse());
    return { x: p.x, y: p.y };
  };
  const clear = () => drawing.querySelectorAll(".clash, .off").forEach((e) => e.classList.remove("clash", "off"));
  drawing.addEventListener("pointerdown", (event) => {
    const of = event.target instanceof Element ? event.target.closest("[data-of]") : null;
    if (!of || event.button !== 0 || event.pointerType === "touch") return;
    held = { of, piece: of.getAttribute("data-of") ?? "0", ...at(event), dx: 0, dy: 0, asked: false };
  });
  drawing.addEventListener("dragstart", (event) => event.preventDefault());
  window.addEventListener("pointermove", async (event) => {
    if (!held) return;
    const now = at(event);
    held.dx = now.x - held.x;
    held.dy = now.y - held.y;
    if (Math.hypot(held.dx, held.dy) < 4) return;
    held.of.classList.add("held");
    held.of.setAttribute("transform", `translate(${held.dx} ${held.dy})`);
    if (held.asked) return;
    held.asked = true;
    const mine = held;
    const asked = new URLSearchParams({ for: kind, piece: mine.piece, dx: String(mine.dx * scale), dy: String(-mine.dy * scale) });
    try {
      const answer = await fetch(`${address}/try?${asked}`);
      if (answer.ok && held === mine) {
        const told = await answer.json();
        clear();
        for (const i of told.over) drawing.querySelector(`[data-of="${i}"]`)?.classList.add("clash");
        if (told.off || told.over.length > 0) mine.of.classList.add("off");
      }
    } finally {
      mine.asked = false;
    }
  });
  window.addEventListener("pointerup", (event) => {
    const mine = held;
    held = null;
    if (!mine || !mine.of.classList.contains("held")) return;
    // The link under it is not to be followed.
    window.addEventListener("click", (e) => e.preventDefault(), { capture: true, once: true });
    event.preventDefault();
    void send({ piece: mine.piece, do: "put", dx: String(mine.dx * scale), dy: String(-mine.dy * scale) });
  });
}
