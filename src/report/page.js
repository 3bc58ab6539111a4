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
    root.classList.toggle("small-proofs", chosen("small") === "proof");
    const only = views.elements["only-findings"].checked;
    for (const face of faces) {
      face.hidden = only && !("findings" in face.dataset);
    }
    for (const tile of all(".contact li")) {
      tile.hidden = document.getElementById(tile.dataset.face).hidden;
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
    // Faces that were not drawn yet have an estimated height: what is far away is gone to at once,
    // and again when its surroundings have their true heights.
    const far = Math.abs(target.getBoundingClientRect().top) > 4 * innerHeight;
    target.scrollIntoView(far ? { behavior: "instant" } : {});
    target.focus({ preventScroll: true });
    let settling = far ? 5 : 0;
    const settle = () => {
      target.scrollIntoView({ behavior: "instant" });
      settling -= 1;
      if (settling > 0) {
        requestAnimationFrame(settle);
      }
    };
    if (far) {
      requestAnimationFrame(settle);
    }
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
    if (link && !event.ctrlKey && !event.metaKey && !event.shiftKey) {
      event.preventDefault();
      goTo(link.getAttribute("href").slice(1));
      history.pushState(null, "", link.getAttribute("href"));
    }
  });

  // Sheets, small pictures and crops borrow the pictures of the faces, when they come into sight.
  const picturesOf = (id) => one(".pictures", document.getElementById(id));

  function layOnCard(place, pictures, side) {
    const art = one(`.${side} .art`, pictures);
    const lies = pictures.dataset[side === "proof" ? "proofOnCard" : "sourceOnCard"];
    if (!art || !lies) {
      return false;
    }
    const [left, top, width, height] = lies.split(" ");
    const image = new Image();
    image.alt = "";
    image.className = `art of-${side}`;
    Object.assign(image.style, { left, top, width, height });
    image.src = art.src;
    place.append(image);
    return true;
  }

  function fillPaper(paper) {
    for (const place of all("[data-face]", paper)) {
      const pictures = picturesOf(place.dataset.face);
      if (pictures && !layOnCard(place, pictures, "proof")) {
        layOnCard(place, pictures, "source");
      }
    }
  }

  function fillCard(card) {
    const pictures = picturesOf(card.dataset.face);
    if (!pictures) {
      return;
    }
    const both = layOnCard(card, pictures, "source") && layOnCard(card, pictures, "proof");
    card.classList.toggle("both", both);
    if (!both && !card.firstChild) {
      layOnCard(card, pictures, "proof");
    }
  }

  // The place of a finding, from the source and from the proof, larger than life.
  const svg = one("svg").namespaceURI;
  function fillCrops(crops) {
    const pictures = picturesOf(crops.dataset.face);
    if (!pictures) {
      return;
    }
    const [, , width, height] = crops.dataset.crop.split(" ").map(Number);
    for (const art of all(".art", pictures)) {
      const stage = one(".drawing", art.closest(".stage")).viewBox.baseVal;
      const share = (side) => parseFloat(art.style[side]) / 100;
      const window = document.createElementNS(svg, "svg");
      const image = document.createElementNS(svg, "image");
      window.setAttribute("class", "crop");
      window.setAttribute("viewBox", crops.dataset.crop);
      window.style.aspectRatio = `${width}/${height}`;
      for (const [name, value] of Object.entries({
        class: "art",
        href: art.getAttribute("src"),
        preserveAspectRatio: "none",
        x: stage.x + share("left") * stage.width,
        y: stage.y + share("top") * stage.height,
        width: share("width") * stage.width,
        height: share("height") * stage.height,
      })) {
        image.setAttribute(name, value);
      }
      window.append(image);
      crops.append(window);
    }
  }

  const borrowers = [
    [".paper", fillPaper],
    [".card[data-face]", fillCard],
    [".crops", fillCrops],
  ];
  const fill = (element) => {
    borrowed.unobserve(element);
    if (!("filled" in element.dataset)) {
      element.dataset.filled = "";
      borrowers.find(([selector]) => element.matches(selector))[1](element);
    }
  };
  const borrowed = new IntersectionObserver(
    (entries) => entries.filter((e) => e.isIntersecting).forEach((e) => fill(e.target)),
    { rootMargin: "300px" },
  );
  for (const [selector] of borrowers) {
    all(selector).forEach((element) => borrowed.observe(element));
  }

  // The part that is being read is marked in the bar above it.
  const marks = new Map(all("nav a").map((a) => [a.getAttribute("href").slice(1), a]));
  const parts = new IntersectionObserver(
    (entries) => {
      for (const { isIntersecting, target } of entries) {
        const mark = marks.get(target.id);
        if (isIntersecting) {
          mark.setAttribute("aria-current", "true");
        } else {
          mark.removeAttribute("aria-current");
        }
      }
    },
    { rootMargin: "-20% 0px -79% 0px" },
  );
  all(".part").forEach((part) => parts.observe(part));

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
  const mostPrinted = 400;
  let closed = [];
  let classes = "";
  addEventListener("beforeprint", () => {
    closed = all(".rest:not([open]), .more-cuts:not([open])");
    closed.forEach((details) => {
      details.open = true;
    });
    classes = root.className;
    root.classList.remove("slider", "true-size");
    all("img[loading]").forEach((image) => {
      image.loading = "eager";
    });
    all("details[open] .paper, .card[data-face]").forEach(fill);
    const crops = all(".item .crops");
    crops.slice(0, mostPrinted).forEach(fill);
  });
  addEventListener("afterprint", () => {
    closed.forEach((details) => {
      details.open = false;
    });
    root.className = classes;
  });
})();
