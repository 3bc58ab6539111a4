/* Copyright the paleproof authors
   SPDX-License-Identifier: MIT */
(() => {
  "use strict";
  const root = document.documentElement;
  const all = (selector, from = document) => [...from.querySelectorAll(selector)];
  const one = (selector, from = document) => from.querySelector(selector);

  // A browser may refuse storage to a file: page; ticks then last as long as the page.
  const deck = document.body.dataset.storage;
  const storage = {
    read(key) {
      try {
        return JSON.parse(localStorage.getItem(`paleproof ${key}`));
      } catch {
        return null;
      }
    },
    write(key, value) {
      try {
        localStorage.setItem(`paleproof ${key}`, JSON.stringify(value));
      } catch {
        return;
      }
    },
  };

  all("[data-needs-script]").forEach((element) => {
    element.hidden = false;
  });

  // Worklist ------------------------------------------------------------------------------------
  const filter = one(".filter");
  const items = all(".item");
  const groups = all(".group");
  const ticked = new Set(storage.read(`ticks of ${deck}`) || []);

  function refilter() {
    const { rule, face } = filter.elements;
    const severities = new Set(
      all('[name="severity"]:checked', filter).map((box) => box.value),
    );
    const hideTicked = filter.elements["hide-ticked"].checked;
    let shown = 0;
    for (const item of items) {
      const { dataset } = item;
      item.hidden =
        (rule.value && dataset.rule !== rule.value) ||
        (face.value && dataset.face !== face.value) ||
        !severities.has(dataset.severity) ||
        (hideTicked && ticked.has(dataset.key));
      shown += item.hidden ? 0 : 1;
    }
    for (const group of groups) {
      group.hidden = !one(".item:not([hidden])", group);
    }
    const narrowed = shown < items.length;
    for (const rest of all(".rest")) {
      const inside = all(".item:not([hidden])", rest).length;
      rest.hidden = inside === 0;
      rest.open = narrowed && inside > 0 ? true : rest.open;
    }
    const done = items.filter((item) => ticked.has(item.dataset.key)).length;
    one("output", filter).textContent = `${shown} of ${items.length} shown, ${done} ticked`;
  }

  if (filter) {
    for (const item of items) {
      const box = one("input", item);
      box.checked = ticked.has(item.dataset.key);
      box.addEventListener("change", () => {
        ticked[box.checked ? "add" : "delete"](item.dataset.key);
        storage.write(`ticks of ${deck}`, [...ticked]);
        refilter();
      });
    }
    filter.addEventListener("change", refilter);
    filter.addEventListener("submit", (event) => event.preventDefault());
    refilter();
  }

  // Views of the faces --------------------------------------------------------------------------
  const views = one(".views");
  const faces = all(".face");

  function addSliders() {
    for (const pair of all(".pictures.pair")) {
      if (one(".slide", pair)) {
        continue;
      }
      const slide = document.createElement("input");
      Object.assign(slide, { type: "range", min: 0, max: 100, value: 50, className: "slide" });
      slide.setAttribute("aria-label", `${pair.dataset.name}: source left, proof right`);
      const move = () => {
        pair.style.setProperty("--split", `${slide.value}%`);
        slide.setAttribute("aria-valuetext", `${slide.value} % source`);
      };
      slide.addEventListener("input", move);
      move();
      pair.append(slide);
    }
  }

  function chosen(name) {
    return one(`[name="${name}"]:checked`, views).value;
  }

  function drawn(value) {
    return one(`[name="draw"][value="${value}"]`, views).checked;
  }

  function show() {
    if (chosen("compare") === "slider") {
      addSliders();
    }
    root.classList.toggle("slider", chosen("compare") === "slider");
    const seen = chosen("see");
    one(".vision-note").hidden = !["protan", "deutan", "tritan"].includes(seen);
    one(".ink-scale").hidden = seen !== "ink";
    for (const kind of ["gray", "protan", "deutan", "tritan", "ink"]) {
      root.classList.toggle(`see-${kind}`, seen === kind);
    }
    const trueSize = chosen("size") === "true";
    root.classList.toggle("true-size", trueSize);
    one(".calibrate").hidden = !trueSize;
    one(".to-calibrate").hidden = !trueSize;
    root.classList.toggle("no-findings-drawn", !drawn("findings"));
    root.classList.toggle("draw-text", drawn("text"));
    root.classList.toggle("no-trim", !drawn("trim"));
    const only = views.elements["only-findings"].checked;
    for (const face of faces) {
      face.hidden = only && !("findings" in face.dataset);
    }
  }

  // A millimeter is 96 / 25.4 px until the reader has held a card to the screen.
  const screen = one("#screen");
  function calibrate() {
    root.style.setProperty("--px-per-mm", screen.value);
    one("#screen-value").textContent = `${Math.round(screen.value * 25.4)} px per inch`;
  }
  screen.value = storage.read("px per mm") || 96 / 25.4;
  calibrate();
  screen.addEventListener("input", () => {
    calibrate();
    storage.write("px per mm", Number(screen.value));
  });

  function goTo(id) {
    const target = document.getElementById(id);
    if (!target) {
      return;
    }
    if (target.hidden && target.classList.contains("face")) {
      views.elements["only-findings"].checked = false;
      show();
    }
    if (target.hidden && target.classList.contains("group")) {
      filter.reset();
      refilter();
    }
    target.scrollIntoView();
    target.focus({ preventScroll: true });
  }

  views.addEventListener("change", (event) => {
    if (event.target.name !== "jump") {
      show();
    }
  });
  views.elements.jump.addEventListener("change", (event) => {
    if (event.target.value) {
      goTo(event.target.value);
    }
  });
  views.addEventListener("submit", (event) => event.preventDefault());
  document.addEventListener("click", (event) => {
    const link = event.target.closest('a[href^="#"]');
    if (link) {
      goTo(link.getAttribute("href").slice(1));
    }
  });

  // The sheets borrow the pictures of the faces, when they come into sight.
  function fill(paper) {
    for (const place of all("[data-face]", paper)) {
      const pictures = one(".pictures", document.getElementById(place.dataset.face));
      const art = pictures && (one(".proof .art", pictures) || one(".art", pictures));
      if (!art || !pictures.dataset.onCard) {
        continue;
      }
      const [left, top, width, height] = pictures.dataset.onCard.split(" ");
      const image = new Image();
      image.alt = "";
      Object.assign(image.style, { left, top, width, height });
      image.src = art.src;
      place.append(image);
    }
  }
  const sheets = new IntersectionObserver(
    (entries) => {
      for (const { isIntersecting, target } of entries) {
        if (isIntersecting) {
          sheets.unobserve(target);
          fill(target);
        }
      }
    },
    { rootMargin: "300px" },
  );
  all(".paper").forEach((paper) => sheets.observe(paper));

  // A remark that is pointed at shows its number on the picture.
  function point(event, on) {
    const remark = event.target.closest(".face-findings li");
    if (remark) {
      const tag = one(`.tag[data-numbers~="${remark.dataset.number}"]`, remark.closest(".face"));
      if (tag) {
        tag.classList.toggle("pointed", on);
      }
    }
  }
  for (const [name, on] of [["mouseover", true], ["mouseout", false], ["focusin", true], ["focusout", false]]) {
    document.addEventListener(name, (event) => point(event, on));
  }

  // On paper the worklist is whole and the faces are side by side.
  let closed = [];
  let classes = "";
  addEventListener("beforeprint", () => {
    closed = all(".rest:not([open])");
    closed.forEach((details) => {
      details.open = true;
    });
    classes = root.className;
    root.classList.remove("slider", "true-size");
    all("img[loading]").forEach((image) => {
      image.loading = "eager";
    });
    all("details[open] .paper").forEach((paper) => {
      if (!one("img", paper)) {
        sheets.unobserve(paper);
        fill(paper);
      }
    });
  });
  addEventListener("afterprint", () => {
    closed.forEach((details) => {
      details.open = false;
    });
    root.className = classes;
  });
})();
