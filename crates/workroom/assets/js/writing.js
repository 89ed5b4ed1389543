// @ts-check
/** Writing on a method: notes and drawing follow the text while she types. Without this page a button does it. */

/** So long after a key the text is sent, in ms. */
const PAUSE = 150;

const form = /** @type {HTMLFormElement | null} */ (document.querySelector("form.desk"));
const text = /** @type {HTMLTextAreaElement | null} */ (document.getElementById("f-text"));
const beside = document.getElementById("beside");
const numbers = /** @type {HTMLElement | null} */ (document.querySelector(".lines-no"));

if (form && text && beside && numbers) begin(form, text, beside, numbers);

/**
 * @param {HTMLFormElement} form
 * @param {HTMLTextAreaElement} text
 * @param {HTMLElement} beside
 * @param {HTMLElement} numbers
 */
function begin(form, text, beside, numbers) {
  const kept = form.hasAttribute("data-unkept") ? null : text.defaultValue;
  const word = document.getElementById("kept-or-not");
  const heard = document.getElementById("heard");
  let timer = 0;
  let busy = false;
  let again = false;
  let leaving = false;

  text.closest(".writing")?.classList.add("rolls");
  form.querySelector("[data-look-button]")?.setAttribute("hidden", "");
  text.addEventListener("scroll", () => { numbers.scrollTop = text.scrollTop; });

  const unkept = () => text.value !== kept;

  /** The numbers beside the text, as many as it has lines; marks where notes stand. */
  function count() {
    const lines = text.value.split("\n");
    const many = Math.max(1, lines.at(-1) === "" ? lines.length - 1 : lines.length);
    while (numbers.children.length < many) {
      const li = document.createElement("li");
      li.textContent = String(numbers.children.length + 1);
      numbers.append(li);
    }
    while (numbers.children.length > many) numbers.lastElementChild?.remove();
    tall(lines);
    numbers.scrollTop = text.scrollTop;
  }

  /** A hidden line that is as wide as the text's, to see how high one stands that goes on below itself. */
  const ruler = document.createElement("div");
  ruler.className = "ruler";
  ruler.setAttribute("aria-hidden", "true");
  text.parentElement?.append(ruler);

  /** Makes each number as high as its line. @param {string[]} lines */
  function tall(lines) {
    const style = getComputedStyle(text);
    const wraps = style.whiteSpace.includes("wrap") || style.textWrapMode === "wrap";
    const width = text.clientWidth - Number.parseFloat(style.paddingLeft) - Number.parseFloat(style.paddingRight);
    ruler.hidden = !wraps;
    const items = /** @type {HTMLElement[]} */ ([...numbers.children]);
    if (!wraps) {
      for (const li of items) li.style.height = "";
      return;
    }
    ruler.style.width = `${width}px`;
    const spans = lines.map((line) => {
      const row = document.createElement("div");
      row.textContent = line || " ";
      return row;
    });
    ruler.replaceChildren(...spans);
    const heights = spans.map((row) => row.offsetHeight);
    for (const [i, li] of items.entries()) li.style.height = heights[i] ? `${heights[i]}px` : "";
    ruler.replaceChildren();
  }
  addEventListener("resize", () => count());

  function marks() {
    const told = beside.querySelector("[data-lines]")?.getAttribute("data-lines") ?? "";
    const has = new Set(told.split(" ").filter(Boolean).map(Number));
    for (const [i, li] of [...numbers.children].entries()) li.classList.toggle("has", has.has(i + 1));
    for (const button of beside.querySelectorAll(".scripted")) button.removeAttribute("hidden");
  }

  /** What the notes come to is heard once, when it changes. */
  function tell() {
    const words = beside.querySelector("#notes-h")?.textContent ?? "";
    if (heard && heard.textContent !== words) heard.textContent = words;
    // At the head, where a phone shows no notes: how many stand, and the way to them.
    const head = document.getElementById("to-notes");
    const stand = beside.querySelector("[data-stands]");
    if (!head) return;
    head.replaceChildren();
    if (!stand) return;
    const way = document.createElement("a");
    way.href = "#notes-h";
    way.textContent = stand.textContent;
    head.append(way);
  }

  /** One request is in flight; the newest text goes next. */
  async function look() {
    if (busy) { again = true; return; }
    busy = true;
    do {
      again = false;
      const open = new Set([...beside.querySelectorAll("details.slip[open] .says")].map((s) => s.textContent));
      const card = beside.querySelector("select");
      const focused = card === document.activeElement;
      try {
        const body = new URLSearchParams();
        for (const [name, value] of new FormData(form)) body.append(name, String(value));
        const answer = await fetch(form.dataset.look ?? "", { method: "POST", body });
        if (answer.ok) {
          const drawing = beside.querySelector(".mini svg");
          beside.innerHTML = await answer.text();
          const paper = beside.querySelector(".mini");
          if (drawing && paper && !paper.querySelector("svg")) {
            paper.prepend(drawing);
            const words = paper.querySelector("figcaption");
            if (words) words.textContent = "This is the last that could be drawn.";
          }
          tell();
          for (const slip of beside.querySelectorAll("details.slip")) {
            if (open.has(slip.querySelector(".says")?.textContent ?? "")) slip.setAttribute("open", "");
          }
          if (focused) beside.querySelector("select")?.focus();
        }
      } catch {
        // The workroom is shut, or the computer asleep: the notes stay as they are until the next key.
      }
      marks();
    } while (again);
    busy = false;
  }

  /** @param {number} pause */
  function soon(pause) {
    clearTimeout(timer);
    timer = setTimeout(look, pause);
    count();
    if (word) word.textContent = unkept() ? "What is written here is not kept yet." : "";
  }

  /**
   * Where a line and a letter of it (both from 1; a letter of two units counts once) stand in the text.
   * @param {number} line
   * @param {number} column
   * @param {number} width
   * @returns {[number, number] | null}
   */
  function place(line, column, width) {
    const lines = text.value.split("\n");
    if (line < 1 || line > lines.length) return null;
    const letters = [...lines[line - 1]];
    if (column - 1 + width > letters.length) return null;
    let from = 0;
    for (const before of lines.slice(0, line - 1)) from += before.length + 1;
    const start = from + letters.slice(0, column - 1).join("").length;
    return [start, start + letters.slice(column - 1, column - 1 + width).join("").length];
  }

  /** @param {HTMLElement} button */
  const spot = (button) => place(Number(button.dataset.line), Number(button.dataset.column), Number(button.dataset.width));

  /** @param {number} line */
  function show(line) {
    const high = Number.parseFloat(getComputedStyle(text).lineHeight) || 28;
    const item = /** @type {HTMLElement | undefined} */ (numbers.children[line - 1]);
    const first = /** @type {HTMLElement | null} */ (numbers.firstElementChild);
    const down = item && first ? item.offsetTop - first.offsetTop : (line - 1) * high;
    text.scrollTop = Math.max(0, down - 3 * high);
    text.scrollIntoView({ block: "nearest" });
  }

  beside.addEventListener("click", (event) => {
    const button = /** @type {HTMLElement | null} */ (/** @type {Element} */ (event.target).closest("button"));
    if (!button) return;
    const found = spot(button);
    if (button.hasAttribute("data-go")) {
      if (found) { text.focus(); text.setSelectionRange(found[0], found[1]); show(Number(button.dataset.line)); }
    } else if (button.dataset.with !== undefined) {
      // Where the text has gone on since, the server puts it in.
      if (!found) return;
      event.preventDefault();
      text.focus();
      text.setSelectionRange(found[0], found[1]);
      // The old command alone leaves the change to be taken back by the browser's own undo.
      const put = document.execCommand("insertText", false, button.dataset.with);
      if (!put) text.setRangeText(button.dataset.with, found[0], found[1], "end");
      show(Number(button.dataset.line));
      soon(0);
    }
  });

  text.addEventListener("input", () => soon(PAUSE));
  beside.addEventListener("change", () => soon(0));
  form.addEventListener("submit", () => { leaving = true; });
  addEventListener("pageshow", () => { leaving = false; });
  addEventListener("beforeunload", (event) => { if (unkept() && !leaving) event.preventDefault(); });

  count();
  marks();
  if (kept !== null && form.elements.namedItem("text") === text && text.defaultValue !== text.value) soon(0);
}
