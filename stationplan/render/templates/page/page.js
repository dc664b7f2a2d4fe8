(() => {
  "use strict";
  const told = document.getElementById("told");
  const text = document.getElementById("told-text");
  const views = [...document.querySelectorAll(".view")];
  let kept = null;

  const middle = (bar) => { const box = bar.getBoundingClientRect(); return box.left + box.width / 2; };

  function tell(bar) {
    document.querySelectorAll(".chosen").forEach((other) => other.classList.remove("chosen"));
    const entry = bar && document.getElementById(decodeURIComponent(bar.getAttribute("href").slice(1)));
    told.hidden = !entry;
    if (!entry) return;
    text.replaceChildren(...[...entry.children].map((child) => child.cloneNode(true)));
    document.querySelectorAll(".bar").forEach((other) => {
      if (other.getAttribute("href") === bar.getAttribute("href")) other.classList.add("chosen");
    });
  }

  function leave() {
    kept = null;
    tell(null);
  }

  for (const view of views) {
    const rows = [...view.querySelectorAll(".row")].map((row) => [...row.querySelectorAll("a.bar")]
      .sort((one, other) => middle(one) - middle(other))).filter((row) => row.length);
    const bars = rows.flat();
    bars.forEach((bar, number) => bar.setAttribute("tabindex", number ? "-1" : "0"));

    const go = (bar) => {
      bars.forEach((other) => other.setAttribute("tabindex", other === bar ? "0" : "-1"));
      bar.focus();
      bar.scrollIntoView({ block: "nearest", inline: "nearest" });
    };

    view.addEventListener("keydown", (event) => {
      const bar = event.target.closest("a.bar");
      if (!bar) return;
      const row = rows.findIndex((candidates) => candidates.includes(bar));
      const column = rows[row].indexOf(bar);
      const nearest = (candidates) => candidates && candidates.reduce((best, other) =>
        Math.abs(middle(other) - middle(bar)) < Math.abs(middle(best) - middle(bar)) ? other : best);
      const next = {
        ArrowLeft: () => rows[row][column - 1],
        ArrowRight: () => rows[row][column + 1],
        ArrowUp: () => nearest(rows[row - 1]),
        ArrowDown: () => nearest(rows[row + 1]),
        Home: () => rows[row][0],
        End: () => rows[row][rows[row].length - 1],
      }[event.key];
      if (!next) return;
      event.preventDefault();
      const found = next();
      if (found) go(found);
    });
    view.addEventListener("focusin", (event) => {
      const bar = event.target.closest("a.bar");
      if (bar) tell(bar);
    });
    view.addEventListener("click", (event) => {
      const bar = event.target.closest("a.bar");
      if (!bar) return;
      event.preventDefault();
      kept = bar;
      tell(bar);
    });
    view.addEventListener("pointerover", (event) => {
      const bar = event.target.closest("a.bar");
      if (bar && event.pointerType === "mouse" && !kept) tell(bar);
    });
  }
  document.getElementById("close").addEventListener("click", leave);
  document.addEventListener("keydown", (event) => { if (event.key === "Escape") leave(); });
  document.querySelectorAll("#chart > input").forEach((input) => input.addEventListener("change", leave));
  document.getElementById("keys").hidden = false;

  const button = document.getElementById("now");
  const dated = views.filter((view) => view.dataset.axis);
  button.hidden = !dated.length;
  let timer = 0;

{% include "page/place.js" %}

  function now(scroll) {
    document.querySelectorAll(".now").forEach((line) => line.remove());
    if (button.getAttribute("aria-pressed") !== "true") return;
    const clock = new Date();
    for (const view of dated) {
      const x = place(JSON.parse(view.dataset.axis), clock.getHours() * 60 + clock.getMinutes());
      if (x === null) continue;
      const line = document.createElement("div");
      line.className = "now";
      line.style.left = `${x}px`;
      view.querySelector(".bars-strip").append(line);
      if (scroll) {
        const scroller = view.querySelector(".scroller");
        scroller.scrollLeft = x - (scroller.clientWidth - view.querySelector(".names-strip").clientWidth) / 3;
      }
    }
  }

  button.addEventListener("click", () => {
    const wanted = button.getAttribute("aria-pressed") !== "true";
    button.setAttribute("aria-pressed", String(wanted));
    clearInterval(timer);
    if (wanted) timer = setInterval(now, 20000, false);
    now(true);
  });
})();
