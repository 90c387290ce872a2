/* The frame of a page: light or dark, the drawer of places, the search button, unfolding for print. */
(function () {
  "use strict";

  const root = document.documentElement;
  const KEY = "doublure.scheme";
  const darkWished = matchMedia("(prefers-color-scheme: dark)");

  function remember(scheme) {
    try {
      if (scheme) localStorage.setItem(KEY, scheme);
      else localStorage.removeItem(KEY);
    } catch (error) {
      // Storage may be closed to pages opened from a folder; the choice then lasts for this page.
    }
  }

  function schemeNow() {
    return root.dataset.dbScheme || (darkWished.matches ? "dark" : "light");
  }

  function schemeButton(button) {
    const word = button.querySelector("[data-db-scheme-word]");
    const say = () => {
      word.textContent = schemeNow() === "dark" ? "Change to light" : "Change to dark";
      button.title = word.textContent;
    };
    button.addEventListener("click", () => {
      const next = schemeNow() === "dark" ? "light" : "dark";
      // Back at what the system wishes, the page follows the system again.
      if (next === (darkWished.matches ? "dark" : "light")) {
        delete root.dataset.dbScheme;
        remember("");
      } else {
        root.dataset.dbScheme = next;
        remember(next);
      }
      say();
    });
    darkWished.addEventListener("change", say);
    say();
  }

  function drawer(button) {
    const places = document.getElementById(button.getAttribute("aria-controls"));
    if (!places) return;
    const set = (open) => {
      button.setAttribute("aria-expanded", String(open));
      places.toggleAttribute("data-open", open);
    };
    const isOpen = () => places.hasAttribute("data-open");
    button.addEventListener("click", () => {
      const open = !isOpen();
      if (open) closeSearch();
      set(open);
    });
    document.addEventListener("keydown", (event) => {
      if (event.key !== "Escape" || !isOpen()) return;
      set(false);
      button.focus();
    });
    document.addEventListener("pointerdown", (event) => {
      if (isOpen() && !places.contains(event.target) && !button.contains(event.target)) set(false);
    });
    places.addEventListener("focusout", (event) => {
      const to = event.relatedTarget;
      if (isOpen() && to && !places.contains(to) && to !== button) set(false);
    });
    places.addEventListener("click", (event) => {
      if (event.target.closest("a")) set(false);
    });
    document.addEventListener("db-close-drawer", () => set(false));
  }

  /* The theme's script shows and hides the search by this box and listens to its change. */
  const searchBox = document.querySelector("[data-md-toggle=search]");

  function setSearch(open) {
    if (searchBox && searchBox.checked !== open) searchBox.click();
  }

  function closeSearch() {
    setSearch(false);
  }

  function searchButton(button) {
    const panel = document.getElementById(button.getAttribute("aria-controls"));
    const input = panel.querySelector("input");
    const hide = (focus) => {
      setSearch(false);
      if (focus) button.focus();
    };
    button.addEventListener("click", () => {
      if (searchBox.checked) {
        hide(true);
        return;
      }
      document.dispatchEvent(new CustomEvent("db-close-drawer"));
      setSearch(true);
      input.focus();
      input.select();
    });
    panel.querySelector("[data-db-search-close]").addEventListener("click", () => hide(true));
    panel.querySelector("form").addEventListener("submit", (event) => event.preventDefault());
    searchBox.addEventListener("change", () => button.setAttribute("aria-expanded", String(searchBox.checked)));
    // Before the theme's own listener on the window, which would only take the focus away.
    document.addEventListener("keydown", (event) => {
      if (!searchBox.checked) {
        const typing = event.target.closest("input, select, textarea, [contenteditable], dialog");
        if (event.key === "/" && !typing && !event.ctrlKey && !event.metaKey && !event.altKey) {
          event.preventDefault();
          event.stopPropagation();
          button.click();
        }
        return;
      }
      if (event.key === "Escape") {
        event.stopPropagation();
        hide(true);
      } else if (event.key === "Tab" && panel.contains(event.target)) {
        // The theme closes the search on Tab; here Tab goes on to the buttons and the results.
        event.stopPropagation();
      }
    });
    document.addEventListener("pointerdown", (event) => {
      if (searchBox.checked && !panel.contains(event.target) && !button.contains(event.target)) hide(false);
    });
    // Results come with tabindex -1, to be reached by arrow keys only; let Tab reach them as well.
    const list = panel.querySelector("ol");
    new MutationObserver(() => {
      for (const item of list.querySelectorAll("[tabindex='-1']")) item.removeAttribute("tabindex");
    }).observe(list, { childList: true, subtree: true });
  }

  const MOST_PICTURES = 60;

  function unfoldForPrint() {
    let folded = [];
    const fetchAll = () => {
      for (const image of document.querySelectorAll("img[loading=lazy]")) image.loading = "eager";
    };
    addEventListener("beforeprint", () => {
      folded = [...document.querySelectorAll(".db-sheet details:not([open])")];
      for (const one of folded) one.open = true;
      fetchAll();
    });
    // Printing does not wait for pictures: where a page is likely to be printed they are fetched while it is read.
    const saving = navigator.connection && navigator.connection.saveData;
    if (matchMedia("(min-width: 62em)").matches && !saving && document.images.length <= MOST_PICTURES) {
      addEventListener("load", () => setTimeout(fetchAll, 1000));
    }
    addEventListener("afterprint", () => {
      for (const one of folded) one.open = false;
      folded = [];
    });
  }

  /* A table written in Markdown moves sideways where it is too wide; then the keyboard must reach it. */
  function reachWideTables() {
    for (const frame of document.querySelectorAll(".md-typeset__scrollwrap")) {
      if (frame.scrollWidth <= frame.clientWidth) {
        for (const name of ["tabindex", "role", "aria-label"]) frame.removeAttribute(name);
        continue;
      }
      frame.tabIndex = 0;
      frame.setAttribute("role", "region");
      frame.setAttribute("aria-label", "Table");
    }
  }

  addEventListener("load", reachWideTables);
  addEventListener("resize", reachWideTables);

  for (const button of document.querySelectorAll("[data-db-scheme-toggle]")) schemeButton(button);
  for (const button of document.querySelectorAll("[data-db-drawer]")) drawer(button);
  for (const button of document.querySelectorAll("[data-db-search]")) searchButton(button);
  unfoldForPrint();
})();
