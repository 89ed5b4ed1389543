// @ts-check
// The card: an eighth that is tapped goes into the box she wrote in last, and what is understood is
// echoed by the server as she types.

const form = /** @type {HTMLFormElement | null} */ (document.querySelector("form[data-measure]"));

if (form) {
  const boxes = /** @type {HTMLInputElement[]} */ ([...form.querySelectorAll("input.box[data-reading]")]);
  const echo = form.querySelector(".echo");
  const marks = /** @type {HTMLInputElement[]} */ ([...form.querySelectorAll(".inch input")]);
  let box = boxes.find((b) => b === document.activeElement) ?? boxes.find((b) => b.value === "") ?? boxes[0];
  /** @type {number | undefined} */
  let waiting;
  /** @type {AbortController | undefined} */
  let asking;

  /** Asks the server what a text says. */
  function tell() {
    clearTimeout(waiting);
    waiting = window.setTimeout(async () => {
      asking?.abort();
      asking = new AbortController();
      if (!box || !echo || !form) return;
      const asked = new URLSearchParams({ text: box.value, unit: form.dataset.unit ?? "in", measure: form.dataset.measure ?? "" });
      try {
        const answer = await fetch(`/cards/echo?${asked}`, { signal: asking.signal });
        if (answer.ok) echo.innerHTML = await answer.text();
      } catch {
        // The next letter asks again; keeping it does not need the echo.
      }
    }, 150);
  }

  for (const b of boxes) {
    // Passing through an empty box on the way to the eighths does not make it the one in the hand.
    b.addEventListener("focus", () => {
      if (b.value !== "") box = b;
      // What she types takes the place of what stood there.
      b.select();
    });
    b.addEventListener("input", () => {
      box = b;
      for (const m of marks) m.checked = m.value === "";
      tell();
    });
  }

  for (const mark of marks) {
    mark.addEventListener("change", () => {
      if (!box) return;
      const whole = (/^\s*(\d+)/.exec(box.value) ?? ["", ""])[1];
      const part = mark.dataset.part ?? "";
      if (form.dataset.unit === "cm") {
        if (whole !== "") box.value = part === "" ? whole : `${whole}.${part}`;
      } else {
        box.value = [whole, part].filter((t) => t !== "").join(" ");
      }
      box.dispatchEvent(new Event("input", { bubbles: true }));
      mark.checked = true;
    });
  }
  // The script writes the eighth into the box itself: the marks are not to be added once more.
  form.addEventListener("submit", () => { for (const m of marks) m.disabled = true; });
}
