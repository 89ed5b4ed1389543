// @ts-check
// What every page has: the list of keys, care for what was typed, and lost connections told.

/** @type {(target: EventTarget | null) => boolean} */
const typesInto = (target) =>
  target instanceof HTMLElement &&
  (target.isContentEditable || target.matches("textarea, select, input:not([type=radio], [type=checkbox], [type=range])"));

const keys = /** @type {HTMLDialogElement | null} */ (document.getElementById("keys"));

/** Opens the list of keys. */
function showKeys() {
  if (keys && !keys.open) keys.showModal();
}

if (keys) {
  document.querySelector("[data-keys]")?.addEventListener("click", (event) => {
    event.preventDefault();
    showKeys();
  });
  document.addEventListener("keydown", (event) => {
    if (event.key !== "?" || event.ctrlKey || event.altKey || event.metaKey) return;
    if (document.body.dataset.letters === "off" || typesInto(event.target)) return;
    event.preventDefault();
    showKeys();
  });
}

// A list of what did not fit takes the focus, so that it is heard first.
/** @type {HTMLElement | null} */ (document.querySelector("[data-focus]"))?.focus();

/** Forms with something typed that is not kept yet; a stranger's is left alone: who is not in yet can't be asked whether he is. @type {Set<HTMLFormElement>} */
const typed = new Set();

document.addEventListener("input", (event) => {
  const box = event.target;
  if (!(box instanceof HTMLElement)) return;
  const form = box.closest("form");
  if (form instanceof HTMLFormElement && form.method === "post" && !("live" in form.dataset) && !("stranger" in form.dataset)) typed.add(form);
});

window.addEventListener("beforeunload", (event) => {
  if (typed.size > 0) event.preventDefault();
});

/** Says something at a form, for eyes and ears. @type {(form: HTMLFormElement, words: string) => void} */
function say(form, words) {
  let line = form.querySelector(".lost");
  if (!line) {
    line = document.createElement("p");
    line.className = "lost";
    line.setAttribute("role", "alert");
    form.append(line);
  }
  line.textContent = words;
}

// A file that is too large is told before it is sent, so that nothing typed beside it is lost.
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (!(form instanceof HTMLFormElement)) return;
  for (const box of form.querySelectorAll("input[type=file][data-most]")) {
    if (!(box instanceof HTMLInputElement)) continue;
    const most = Number(box.dataset.most);
    const file = [...(box.files ?? [])].find((f) => f.size > most);
    if (!file) continue;
    event.preventDefault();
    const mb = (/** @type {number} */ size) => Math.ceil(size / 1024 / 1024);
    say(form, `This file is ${mb(file.size)} MB, and ${mb(most)} MB is the most. Choose a smaller one; what you typed is still here.`);
    return;
  }
});

// Before a form is sent, one small question whether Ellwand is still there: else what she typed stays.
document.addEventListener("submit", async (event) => {
  const form = event.target;
  if (event.defaultPrevented || !(form instanceof HTMLFormElement) || form.method !== "post") return;
  if (!typed.has(form)) return;
  event.preventDefault();
  const button = event.submitter;
  try {
    const here = await fetch("/here", { cache: "no-store" });
    if (here.status === 401) {
      say(form, "This window is no longer signed in. What you typed is still here: start Ellwand again, then press once more.");
      return;
    }
  } catch {
    say(form, "Ellwand does not answer. What you typed is still here: start it again, then press once more.");
    return;
  }
  typed.delete(form);
  if (button instanceof HTMLButtonElement && button.name) {
    const pressed = document.createElement("input");
    pressed.type = "hidden";
    pressed.name = button.name;
    pressed.value = button.value;
    form.append(pressed);
  }
  if (button instanceof HTMLButtonElement && button.hasAttribute("formaction")) form.action = button.formAction;
  form.submit();
});
