// @ts-check
// The cloth: better lays as they are found, and pieces moved by finger or key. Without this, "Look
// again" and the buttons at the piece do the same.

const page = /** @type {HTMLElement | null} */ (document.querySelector(".clothpage"));
const sheet = document.getElementById("lay");
const address = page ? `/orders/${page.dataset.order}/cloth` : "";
const kind = page?.dataset.for ?? "shell";
// The mark of the lay as this page shows it: on another, a press would move another piece.
const lay = page?.dataset.lay ?? "";

const live = sheet?.dataset.live;
if (sheet && live) {
  const source = new EventSource(live);
  source.addEventListener("lay", (event) => {
    const got = new DOMParser().parseFromString(event.data, "text/html");
    const answer = got.querySelector("[data-answer]");
    const drawn = got.querySelector("svg");
    if (answer) document.getElementById("answer")?.replaceChildren(...answer.childNodes);
    if (drawn) sheet.replaceChildren(drawn);
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

/** Says at the head of the page why nothing came of it. @type {(words: string) => void} */
function tell(words) {
  const line = document.querySelector(".clothpage > .said");
  if (!line) return;
  line.textContent = words;
  line.scrollIntoView({ block: "nearest" });
}

/** Sends what to do with a piece, and shows the page that follows, at one place of it; tells whether it was taken. @type {(what: Record<string, string>, place: string) => Promise<boolean>} */
async function send(what, place) {
  try {
    const answer = await fetch(`${address}/hand`, { method: "POST", body: new URLSearchParams({ for: kind, lay, ...what }) });
    if (answer.ok) {
      // The same words twice are the same address, and would only scroll.
      const here = location.href.split("#")[0];
      if (here === answer.url) {
        history.replaceState(null, "", answer.url + place);
        location.reload();
      } else location.assign(answer.url + place);
      return true;
    }
    tell(answer.status === 401
      ? "This window is no longer signed in, so the piece lies where it lay. Start Ellwand again."
      : "That could not be done, so the piece lies where it lay. Something may have changed in another window: load this page again.");
  } catch {
    tell("Ellwand does not answer, so the piece lies where it lay. Start it again, then move the piece once more.");
  }
  return false;
}

/** What had the focus when the piece was moved: a button by its value, or the piece on the lay. */
const HAD = "ellwand-cloth-focus";
const remember = (/** @type {string} */ what) => {
  try {
    sessionStorage.setItem(HAD, what);
  } catch {
    // Then the first button has it.
  }
};
const remembered = () => {
  try {
    const had = sessionStorage.getItem(HAD);
    sessionStorage.removeItem(HAD);
    return had;
  } catch {
    return null;
  }
};

const form = /** @type {HTMLFormElement | null} */ (document.getElementById("hand"));
const inHand = form?.elements.namedItem("piece");
if (form && inHand instanceof HTMLInputElement) {
  const moves = { ArrowLeft: "left", ArrowRight: "right", ArrowUp: "up", ArrowDown: "down", t: "turn", p: "pin" };
  /** @type {(value: string) => HTMLButtonElement | null} */
  const button = (value) => form.querySelector(`button[value="${value}"]`) ?? (/^(pin|loose)$/.test(value) ? form.querySelector('button[value="pin"], button[value="loose"]') : null);
  const taken = /** @type {SVGElement | null} */ (sheet?.querySelector(`[data-of="${inHand.value}"]`) ?? null);
  let sent = false;
  const press = (/** @type {KeyboardEvent} */ event) => {
    const what = moves[/** @type {keyof typeof moves} */ (event.key)];
    if (!what || event.ctrlKey || event.altKey || event.metaKey) return;
    const pressed = button(what);
    if (!pressed) return;
    event.preventDefault();
    // A key that is held moves it once for each answer.
    if (sent) return;
    sent = true;
    const had = document.activeElement;
    const onLay = had !== null && had === taken;
    remember(onLay ? "piece" : had instanceof HTMLButtonElement ? had.value : what);
    /** @type {Record<string, string>} */
    const words = { piece: inHand.value, do: pressed.value };
    if (event.shiftKey) words.fine = "yes";
    void send(words, onLay ? "" : "#hand").then((done) => { sent = done; });
  };
  form.addEventListener("keydown", press);
  form.addEventListener("submit", (event) => { if (event.submitter instanceof HTMLButtonElement) remember(event.submitter.value); });
  taken?.addEventListener("keydown", (event) => press(/** @type {KeyboardEvent} */ (event)));
  // On a narrow window the cloth scrolls by itself: the piece is to be seen.
  if (sheet && taken) {
    const [wide, piece] = [sheet.getBoundingClientRect(), taken.getBoundingClientRect()];
    sheet.scrollLeft += piece.x + piece.width / 2 - wide.x - wide.width / 2;
  }
  const had = remembered();
  const focus = () => {
    if (had === "piece") taken?.focus({ preventScroll: true });
    else if (location.hash === "#hand") (button(had ?? "") ?? form.querySelector("button"))?.focus({ preventScroll: true });
  };
  // Going to the place that the address names takes the focus away; so it is given after that.
  if (document.readyState === "complete") focus();
  else window.addEventListener("load", () => requestAnimationFrame(focus), { once: true });
}

// Dragging: what it would lie over is marked while it moves, and a dashed outline shows where it would come
// to lie; let go, it lies there. A mouse or a pen takes a piece at once, a finger one that is in the hand
// already; another after a moment of resting on it, so that a finger can still scroll.
const drawing = /** @type {SVGSVGElement | null} */ (sheet?.querySelector("svg.lay") ?? null);
if (drawing && !live) {
  const RESTS = 400;
  const scale = Number(drawing.dataset.scale);
  /** @typedef {{ of: SVGElement, piece: string, pointer: number, finger: boolean, ready: boolean, since: number, x: number, y: number, dx: number, dy: number, asked: boolean, again: boolean, timer: number, ghost: Element | null, lifted: Element | null }} Held */
  /** @type {Held | null} */
  let held = null;
  /** @type {(event: PointerEvent) => { x: number, y: number }} */
  const at = (event) => {
    const matrix = drawing.getScreenCTM();
    const p = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix?.inverse());
    return { x: p.x, y: p.y };
  };
  const clear = () => drawing.querySelectorAll(".clash, .off").forEach((e) => e.classList.remove("clash", "off"));
  /** Puts everything back where it lay. @param {Held} mine */
  const drop = (mine) => {
    window.clearTimeout(mine.timer);
    mine.ghost?.remove();
    mine.lifted?.remove();
    mine.of.removeAttribute("transform");
    mine.of.classList.remove("held", "taken");
    clear();
  };
  /** A likeness of it above all others, as a piece in the hand is: itself it stays where the keys and readers know it. @param {Held} mine */
  const lift = (mine) => {
    const likeness = document.createElementNS("http://www.w3.org/2000/svg", "g");
    likeness.setAttribute("class", "lifted");
    likeness.setAttribute("aria-hidden", "true");
    for (const part of mine.of.children) likeness.append(part.cloneNode(true));
    for (const part of likeness.querySelectorAll("[id], [data-piece]")) {
      part.removeAttribute("id");
      part.removeAttribute("data-piece");
    }
    drawing.append(likeness);
    return likeness;
  };
  /** Asks where it would come to lie. @param {Held} mine @returns {Promise<void>} */
  const ask = async (mine) => {
    if (mine.asked) {
      mine.again = true;
      return;
    }
    mine.asked = true;
    const asked = new URLSearchParams({ for: kind, lay, piece: mine.piece, dx: String(mine.dx * scale), dy: String(-mine.dy * scale) });
    try {
      const answer = await fetch(`${address}/try?${asked}`);
      if (!answer.ok || held !== mine) return;
      const told = await answer.json();
      if (held !== mine) return;
      clear();
      for (const i of told.over) drawing.querySelector(`[data-of="${i}"]`)?.classList.add("clash");
      const legal = !told.off && told.over.length === 0;
      if (!legal) mine.of.classList.add("off");
      mine.lifted?.classList.toggle("off", !legal);
      mine.ghost?.remove();
      mine.ghost = null;
      const outline = mine.of.querySelector(".cut");
      if (!legal && told.to && outline) {
        const ghost = /** @type {Element} */ (outline.cloneNode(false));
        ghost.setAttribute("class", "ghost");
        ghost.removeAttribute("data-piece");
        ghost.setAttribute("transform", `translate(${told.to[0] / scale} ${-told.to[1] / scale})`);
        drawing.append(ghost);
        mine.ghost = ghost;
      }
    } catch {
      // Without an answer nothing is marked; letting go asks again.
    } finally {
      mine.asked = false;
      if (mine.again && held === mine) {
        mine.again = false;
        void ask(mine);
      }
    }
  };
  /** The pointer of a piece that was put back while it was held. */
  let dropped = -1;
  /** The link under it is not to be followed; the next press is one again. */
  const hush = () => {
    const stop = (/** @type {Event} */ event) => event.preventDefault();
    window.addEventListener("click", stop, { capture: true, once: true });
    window.setTimeout(() => window.removeEventListener("click", stop, { capture: true }), 300);
  };
  drawing.addEventListener("pointerdown", (event) => {
    dropped = -1;
    const of = event.target instanceof Element ? event.target.closest("[data-of]") : null;
    if (!(of instanceof SVGElement) || event.button !== 0 || !event.isPrimary) return;
    const finger = event.pointerType === "touch";
    const mine = { of, piece: of.getAttribute("data-of") ?? "0", pointer: event.pointerId, finger, ready: !finger || of.classList.contains("inhand"), since: event.timeStamp, ...at(event), dx: 0, dy: 0, asked: false, again: false, timer: 0, ghost: null, lifted: null };
    held = mine;
    if (mine.ready) {
      mine.since = -Infinity;
      of.classList.add("taken");
    } else {
      mine.timer = window.setTimeout(() => {
        mine.ready = true;
        of.classList.add("taken");
      }, RESTS);
    }
  });
  drawing.addEventListener("dragstart", (event) => event.preventDefault());
  // How long it rested is told by when it moved, not by when the page comes to hear of it: a busy phone is late
  // with both the clock and the finger.
  const rested = (/** @type {Held} */ mine, /** @type {Event} */ moved) => mine.ready && moved.timeStamp - mine.since >= RESTS;
  // A finger that rests on a piece moves the piece, not the page, and opens no menu.
  drawing.addEventListener("touchmove", (event) => { if (held && rested(held, event) && event.cancelable) event.preventDefault(); }, { passive: false });
  drawing.addEventListener("contextmenu", (event) => { if (held?.finger) event.preventDefault(); });
  window.addEventListener("pointermove", (event) => {
    const mine = held;
    if (!mine || event.pointerId !== mine.pointer) return;
    const now = at(event);
    mine.dx = now.x - mine.x;
    mine.dy = now.y - mine.y;
    if (Math.hypot(mine.dx, mine.dy) < 4) return;
    if (!rested(mine, event)) {
      // The finger went on: it scrolls.
      held = null;
      drop(mine);
      return;
    }
    mine.of.classList.add("held");
    mine.lifted ??= lift(mine);
    for (const part of [mine.of, mine.lifted]) part.setAttribute("transform", `translate(${mine.dx} ${mine.dy})`);
    void ask(mine);
  });
  window.addEventListener("pointercancel", (event) => {
    const mine = held;
    if (!mine || event.pointerId !== mine.pointer) return;
    held = null;
    drop(mine);
  });
  window.addEventListener("pointerup", (event) => {
    if (event.pointerId === dropped) {
      dropped = -1;
      hush();
    }
    const mine = held;
    if (!mine || event.pointerId !== mine.pointer) return;
    held = null;
    window.clearTimeout(mine.timer);
    if (!mine.of.classList.contains("held")) {
      drop(mine);
      return;
    }
    hush();
    event.preventDefault();
    void send({ piece: mine.piece, do: "put", dx: String(mine.dx * scale), dy: String(-mine.dy * scale) }, "").then((taken) => {
      if (!taken) drop(mine);
    });
  });
  document.addEventListener("keydown", (event) => {
    if (event.key !== "Escape" || !held) return;
    const mine = held;
    held = null;
    if (mine.of.classList.contains("held")) dropped = mine.pointer;
    drop(mine);
  });
}
