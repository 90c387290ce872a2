/* Filters over cards: within one filter any choice will do, all filters together must be met.
   The address may bring choices along: gallery.html?standing=disputed&standing=thin */
(function () {
  "use strict";

  function chosen(form) {
    const filters = new Map();
    for (const [name, value] of new FormData(form)) {
      if (value) filters.set(name, [...(filters.get(name) || []), value]);
    }
    return filters;
  }

  function meets(card, filters) {
    for (const [name, values] of filters) {
      const filed = (card.getAttribute(`data-filed-${name}`) || "").split("|");
      if (!values.some((value) => filed.includes(value))) return false;
    }
    return true;
  }

  function prepare(gallery) {
    const form = gallery.querySelector("form");
    if (!form) return;
    const cards = [...gallery.querySelectorAll(".db-card")];
    const count = form.querySelector("output");
    const reset = form.querySelector("button[type=reset]");
    const noun = gallery.dataset.noun;

    const apply = () => {
      const filters = chosen(form);
      let shown = 0;
      for (const card of cards) {
        card.hidden = !meets(card, filters);
        if (!card.hidden) shown += 1;
      }
      count.textContent = filters.size ? `${shown} of ${cards.length} ${noun}` : `${cards.length} ${noun}`;
      reset.hidden = filters.size === 0;
    };

    for (const [name, value] of new URLSearchParams(location.search)) {
      for (const field of form.elements) {
        if (field.name !== name) continue;
        if (field.type === "checkbox" && field.value === value) field.checked = true;
        if (field.tagName === "SELECT" && [...field.options].some((one) => one.value === value)) field.value = value;
      }
    }
    form.addEventListener("change", apply);
    form.addEventListener("submit", (event) => event.preventDefault());
    form.addEventListener("reset", () => {
      // The fields are emptied only after this event; the button that had the focus is about to vanish.
      setTimeout(() => {
        apply();
        form.querySelector("input, select").focus();
      });
    });
    form.hidden = false;
    apply();
  }

  for (const gallery of document.querySelectorAll("[data-db-gallery]")) prepare(gallery);
})();
