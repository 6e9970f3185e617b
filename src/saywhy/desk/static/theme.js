/* Day or night before the first paint: what was chosen here, else what the reader's system says. */
(() => {
  let chosen = null;
  try {
    chosen = localStorage.getItem("saywhy-theme");
  } catch {
    chosen = null;
  }
  if (chosen === "light" || chosen === "dark") document.documentElement.dataset.theme = chosen;
  addEventListener("DOMContentLoaded", () => {
    const lamp = document.getElementById("lamp");
    if (!lamp) return;
    const night = () => (document.documentElement.dataset.theme ?? (matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light")) === "dark";
    lamp.setAttribute("aria-pressed", String(night()));
    lamp.addEventListener("click", () => {
      const next = night() ? "light" : "dark";
      document.documentElement.dataset.theme = next;
      lamp.setAttribute("aria-pressed", String(next === "dark"));
      try {
        localStorage.setItem("saywhy-theme", next);
      } catch {
        /* Storage is shut: the choice holds for this page. */
      }
    });
  });
})();
