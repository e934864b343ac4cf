// What a page is held against in a browser. Each check gives a list of complaints; a
// page without fault gives empty lists. Evaluates to an object of functions.
(() => {
  const words = (node) => node.textContent.trim().slice(0, 40);
  const tag = (node) => node.tagName.toLowerCase();

  // CSS Color 4: computed colours are rgb(), rgba() or color(srgb ...).
  const rgba = (text) => {
    const n = (text.match(/[\d.]+/g) || []).map(Number);
    const unit = text.startsWith("color(srgb") ? 1 : 255;
    return n.length < 3 ? null : [n[0] / unit, n[1] / unit, n[2] / unit, n[3] ?? 1];
  };

  // WCAG 2.2, "relative luminance" and "contrast ratio":
  // https://www.w3.org/TR/WCAG22/#dfn-relative-luminance
  const luminance = (c) => {
    const l = (v) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
    return 0.2126 * l(c[0]) + 0.7152 * l(c[1]) + 0.0722 * l(c[2]);
  };
  const ratio = (a, b) => {
    const [high, low] = [luminance(a), luminance(b)].sort((x, y) => y - x);
    return (high + 0.05) / (low + 0.05);
  };
  const over = (top, under, alpha) =>
    [0, 1, 2].map((k) => top[k] * alpha + under[k] * (1 - alpha));

  const ground = (node) => {
    const svg = node.closest("svg");
    const rect = svg && svg.querySelector(".ground");
    if (rect) return rgba(getComputedStyle(rect).fill);
    for (let up = node; up; up = up.parentElement) {
      const c = rgba(getComputedStyle(up).backgroundColor);
      if (c && c[3] > 0.99) return c;
    }
    return [1, 1, 1, 1];
  };
  const opacity = (node) => {
    let out = 1;
    for (let up = node; up; up = up.parentElement)
      out *= Number(getComputedStyle(up).opacity);
    return out;
  };
  const against = (node, colour) => {
    const c = rgba(colour);
    const under = ground(node);
    return ratio(over(c, under, c[3] * opacity(node)), under);
  };
  const has_text = (node) =>
    [...node.childNodes].some((n) => n.nodeType === 3 && n.data.trim());

  // Success criteria 1.4.3 (text) and 1.4.11 (lines and marks that carry meaning).
  const contrast = () => {
    const out = [];
    for (const node of document.body.querySelectorAll("*")) {
      if (!has_text(node) || node.closest("title,desc,style,script")) continue;
      const style = getComputedStyle(node);
      const size = parseFloat(style.fontSize);
      const large = size >= 24 || (size >= 18.66 && Number(style.fontWeight) >= 700);
      const found = against(node, node.closest("svg") ? style.fill : style.color);
      if (found < (large ? 3 : 4.5)) out.push(`${found.toFixed(2)}: ${words(node)}`);
    }
    for (const node of document.querySelectorAll("svg .line,svg .mark,svg .rule")) {
      const found = against(node, getComputedStyle(node).stroke);
      if (found < 3) out.push(`${found.toFixed(2)}: ${node.getAttribute("class")}`);
    }
    return out;
  };

  const scrolls = (node) => {
    for (let up = node.parentElement; up; up = up.parentElement)
      if (/auto|scroll/.test(getComputedStyle(up).overflowX)) return true;
    return false;
  };
  const overflow = () => {
    const out = [];
    const wide = document.documentElement.clientWidth;
    const needs = document.documentElement.scrollWidth;
    if (needs > wide) out.push(`page: ${needs} px in ${wide}`);
    for (const node of document.body.querySelectorAll("*")) {
      if (node.closest("svg") && tag(node) !== "svg") continue;
      const box = node.getBoundingClientRect();
      if ((box.right > wide + 1 || box.left < -1) && !scrolls(node))
        out.push(`${tag(node)}: ${words(node)}`);
    }
    return out;
  };

  // The em square of a text: its box has leading above and below.
  const em_box = (text, scale) => {
    const box = text.getBoundingClientRect();
    const em = parseFloat(getComputedStyle(text).fontSize) * scale;
    const cut = Math.max(0, (box.height - em) / 2);
    return { left: box.left, right: box.right, top: box.top + cut,
             bottom: box.bottom - cut };
  };
  const each_figure = (what) => {
    const out = [];
    for (const svg of document.querySelectorAll("svg")) {
      const frame = svg.getBoundingClientRect();
      const texts = [...svg.querySelectorAll("text")].filter((t) => t.textContent);
      const scale = svg.getScreenCTM().a;
      what(texts.map((t) => [t, em_box(t, scale)]), frame, out);
    }
    return out;
  };
  const overlaps = () => each_figure((texts, _, out) => {
    for (let i = 0; i < texts.length; ++i) {
      for (let j = 0; j < i; ++j) {
        const [a, b] = [texts[i][1], texts[j][1]];
        if (a.left < b.right - 0.5 && b.left < a.right - 0.5 &&
            a.top < b.bottom - 0.5 && b.top < a.bottom - 0.5)
          out.push(`${words(texts[j][0])} / ${words(texts[i][0])}`);
      }
    }
  });
  const cut = () => each_figure((texts, frame, out) => {
    for (const [text, box] of texts) {
      if (box.left < frame.left - 0.5 || box.right > frame.right + 0.5 ||
          box.top < frame.top - 0.5 || box.bottom > frame.bottom + 0.5)
        out.push(words(text));
    }
  });

  const structure = () => {
    const out = [];
    if (!document.documentElement.lang) out.push("no lang");
    if (!document.title) out.push("no title");
    let level = 0;
    const heads = [...document.querySelectorAll("h1,h2,h3,h4,h5,h6")];
    for (const head of heads) {
      const here = Number(head.tagName[1]);
      if (here > level + 1) out.push(`heading skips: ${words(head)}`);
      level = here;
    }
    if (heads.filter((h) => h.tagName === "H1").length !== 1) out.push("not one h1");
    for (const th of document.querySelectorAll("th"))
      if (!th.getAttribute("scope")) out.push(`th without scope: ${words(th)}`);
    for (const table of document.querySelectorAll("table"))
      if (!table.caption || !words(table.caption)) out.push("table without caption");
    for (const svg of document.querySelectorAll("svg")) {
      if (svg.getAttribute("role") !== "img") out.push("svg without role=img");
      const ids = (svg.getAttribute("aria-labelledby") || "").split(" ");
      for (const id of ids)
        if (!document.getElementById(id)?.textContent) out.push(`no text: ${id || "svg"}`);
    }
    const ids = [...document.querySelectorAll("[id]")].map((n) => n.id);
    for (const id of new Set(ids.filter((id, k) => ids.indexOf(id) !== k)))
      out.push(`id twice: ${id}`);
    for (const script of document.scripts) out.push(`script: ${words(script)}`);
    return out;
  };

  const values = () => [...document.querySelectorAll("[data-json]")].map(
    (n) => [n.dataset.json, n.textContent.replaceAll("\u00a0", " ")]);

  return { contrast, overflow, overlaps, cut, structure, values };
})()
