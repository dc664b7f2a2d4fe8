  // What went wrong: chosen, or written out. Nothing in it changes while it is open.
  const wrong = one("#wrong");

  one("#wrong-open").addEventListener("click", () => {
    if (state) one("#choices").innerHTML = state.choices;
    layouts = [];
    wrong.showModal();
  });
  for (const kind of ["close", "scroll"]) wrong.addEventListener(kind, () => { layouts = []; });
  one("#wrong-close").addEventListener("click", () => wrong.close());
  one("#written").addEventListener("submit", (event) => {
    event.preventDefault();
    const line = one("#words").value.trim();
    if (!line) return;
    one("#words").value = "";
    wrong.close();
    tap("typed", line);
  });

  function choose(button) {
    const choice = one(`#${button.dataset.from}`);
    if (!choice.reportValidity()) return;
    wrong.close();
    tap(button.dataset.kind, choice.value);
  }
