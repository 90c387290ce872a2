/* Pictures opened large in a dialog: arrow keys go on, Escape closes, the focus returns to the picture. */
(function () {
  "use strict";

  const links = [...document.querySelectorAll("a[data-db-large]")];
  if (!links.length || typeof HTMLDialogElement === "undefined") return;

  const make = (name, properties, ...children) => {
    const element = Object.assign(document.createElement(name), properties);
    element.append(...children);
    return element;
  };

  const count = make("p", { className: "db-large__count" });
  count.setAttribute("aria-live", "polite");
  const before = make("button", { type: "button", textContent: "Before" });
  const after = make("button", { type: "button", textContent: "Next" });
  const close = make("button", { type: "button", textContent: "Close", autofocus: true });
  const image = make("img", { alt: "" });
  const words = make("p", { className: "db-large__words" });
  const dialog = make(
    "dialog",
    { className: "db-large" },
    make(
      "div",
      { className: "db-large__bar" },
      count,
      make("div", { className: "db-large__buttons" }, before, after, close)
    ),
    make("div", { className: "db-large__room" }, image),
    words
  );
  dialog.setAttribute("aria-label", "Picture");
  document.body.append(dialog);

  let at = 0;

  function show(index) {
    at = (index + links.length) % links.length;
    const link = links[at];
    const small = link.querySelector("img");
    const caption = link.closest("figure") && link.closest("figure").querySelector("figcaption");
    image.src = link.href;
    image.alt = small ? small.alt : "";
    words.textContent = caption
      ? [...caption.children].map((part) => part.textContent.trim()).filter(Boolean).join(" · ")
      : "";
    words.hidden = !words.textContent;
    count.textContent = links.length > 1 ? `Picture ${at + 1} of ${links.length}` : "Picture";
  }

  before.hidden = after.hidden = links.length < 2;
  before.addEventListener("click", () => show(at - 1));
  after.addEventListener("click", () => show(at + 1));
  close.addEventListener("click", () => dialog.close());
  dialog.addEventListener("click", (event) => {
    if (event.target.closest("button") || event.target === image || event.target.closest(".db-large__bar")) return;
    dialog.close();
  });
  dialog.addEventListener("keydown", (event) => {
    // The theme listens to single letters on the window; none of that in here.
    event.stopPropagation();
    if (links.length < 2) return;
    if (event.key === "ArrowLeft") show(at - 1);
    if (event.key === "ArrowRight") show(at + 1);
  });
  dialog.addEventListener("close", () => {
    image.removeAttribute("src");
    links[at].focus();
  });

  for (const [index, link] of links.entries()) {
    link.addEventListener("click", (event) => {
      if (event.ctrlKey || event.metaKey || event.shiftKey || event.button) return;
      event.preventDefault();
      show(index);
      dialog.showModal();
    });
  }
})();
